"""The verbs of `practice`: words, JSON, drawings, and sentences for what is typed wrongly."""

import re

import pytest

from firstbounce.cli.practice import COMMANDS

PNG = b"\x89PNG\r\n\x1a\n"


@pytest.fixture
def scores(tmp_path):
    return tmp_path / "scores.csv"


@pytest.mark.parametrize("verb", COMMANDS)
def test_each_verb_has_help_with_an_example(run, verb):
    said = run("practice", verb, "--help").stdout
    assert re.search(rf"Examples?:\s+firstbounce practice {verb}\b", said) and "--json" in said


def test_drills_are_listed_by_fault(run, run_json):
    assert len(run_json("practice", "list")["drills"]) == 24
    heavy = run_json("practice", "list", "--fault", "heavy")["drills"]
    assert heavy and all("heavy" in one["faults"] for one in heavy)
    assert len(run("practice").stdout.splitlines()) == 25


def test_a_drill_is_shown_with_its_drawing(run, run_json, tmp_path):
    said = run("practice", "show", "12", "--carry", "12", "--hand", "left", "--pictures", tmp_path)
    assert "2 clubs" in said.stdout and "Caution" in said.stdout and "typical for the level" in said.stdout
    assert (tmp_path / "landing-circle.png").read_bytes().startswith(PNG)
    assert "<desc" in (tmp_path / "landing-circle.svg").read_text()
    made = run_json("practice", "show", "landing circle", "--level", "scratch")
    usual = run_json("practice", "show", "landing circle", "--level", "beginner")
    radius = [one["numbers"][1]["length_m"] for one in (made, usual)]
    assert radius[0] < radius[1]


def test_own_balls_change_the_set_up(run_json, green, balls):
    shown = run_json("practice", "show", "12", "--green", green, "--balls", balls, "--carry", "8")
    (circle,) = [one for one in shown["numbers"] if one["name"] == "circle"]
    assert circle["rests_on"] == f"learned from {circle['balls']} balls" and circle["balls"] > 10


def test_a_session_is_built(run, run_json, tmp_path):
    words = (
        "practice",
        "build",
        "--minutes",
        "45",
        "--ball-count",
        "60",
        "--fault",
        "heavy",
        "--with",
        "towel, rope",
    )
    said = run(*words, "--pictures", tmp_path).stdout
    assert "Why: For heavy: your coach chose it" in said and "Cautions:" in said and "[ ]" in said
    assert len(list(tmp_path.glob("*.png"))) >= 2
    made = run_json(*words)
    assert made["minutes"] <= 45 and made["balls"] <= 60 and made["group"] is None
    assert made == run_json(*words) and made["blocks"][0]["fault"] == "heavy"


def test_the_review_of_balls_names_faults(run_json, green, balls):
    made = run_json("practice", "build", "--green", green, "--balls", balls, "--swing-fault", "tempo")
    assert made["blocks"][0]["why"].startswith("For tempo: your swing showed it")


def test_a_group_is_set_out(run, run_json, tmp_path):
    words = ("practice", "build", "--fault", "heavy", "--players", "6", "--minutes", "60", "--youngest", "11")
    made = run_json(*words, "--adults", "2")["group"]
    assert made["adults_needed"] == 2 and made["spacing_m"] >= 3
    assert "Do not start" in run(*words, code=2).stderr
    said = run(*words, "--adults", "2", "--pictures", tmp_path).stdout
    assert "players at station 1" in said and (tmp_path / "stations.svg").exists()


def test_a_score_is_kept_and_used(run, run_json, scores):
    made = run_json(
        "practice",
        "score",
        "12",
        "--marks",
        "xxoxxoxxxxoxxx",
        "--radius",
        "1.8",
        "--keep",
        scores,
        "--player",
        "A",
    )
    assert (made["hits"], made["out_of"], made["passed"]) == (11, 14, True) and made["size_m"] > 0
    said = run(
        "practice", "score", "8", "--marks", "xxx", "--carries", "9,10,11", "--stick", "0.9", "--keep", scores
    )
    assert "Kept in" in said.stdout
    stick = run_json("practice", "show", "8", "--carry", "10", "--scores", scores)["numbers"][1]
    assert stick["rests_on"] == "learned from 3 balls"
    circle = run_json("practice", "show", "12", "--scores", scores)["numbers"][1]
    assert circle["length_m"] == pytest.approx(made["next_size_m"])


def test_games_are_explained_and_scored(run, run_json):
    assert run("practice", "games").stdout.count("\n") == 4
    assert len(run_json("practice", "games")["games"]) == 4
    made = run_json("practice", "games", "the one that counts", "in", "in", "out", "in", "out")
    assert made["score"]["points"] == 3 and made["score"]["passed"] and "to be expected" in made["meaning"]
    said = run("practice", "games", "the one that counts").stdout
    assert "Write down: in or out" in said and "Caution" in said


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("show", "Juggling"), "No drill called 'Juggling'"),
        (("show", "12", "--carry", "900"), "carries 0.5 to 60 m"),
        (("show", "12", "--pace", "9"), "length of a pace must be"),
        (("show", "12", "--balls", "balls.csv"), "Balls need the green"),
        (("score", "12", "--hits", "11", "--of", "10"), "Hits must be 0 to the number of tries"),
        (("score", "12", "--marks", "xyz"), "Try 2: write x for a hit"),
        (("score", "12"), "either --marks, or --hits together with --of"),
        (("score", "12", "--hits", "3", "--of", "5", "--radius", "1"), "use --marks"),
        (("score", "12", "--marks", "xxx", "--radius", "50"), "size_m must be 0.1 to 10 m"),
        (("score", "12", "--marks", "xxx", "--carries", "9,10"), "3 tries and 2 carries"),
        (("score", "12", "--marks", "xxx", "--carries", "far"), "must be numbers"),
        (("build", "--fault", "heavy", "--minutes", "3"), "minutes must be a whole number 10 to 180"),
        (("build", "--fault", "heavy", "--with", "cannon"), "Not known as equipment: cannon"),
        (("build",), "Name at least one fault"),
        (("games", "tag"), "No game called 'tag'"),
        (("games", "up-and-down nine", "2", "2"), "9 entries, got 2"),
    ],
)
def test_what_is_typed_wrongly_is_one_sentence(run, words, says):
    said = run("practice", *words, code=2).stderr
    assert says in said and said.startswith("Error: ") and said.count("\n") == 1


def test_no_drill_with_what_is_there(run):
    said = run("practice", "build", "--fault", "arms apart", "--with", "none", code=1).stderr
    assert "soft ball or towel" in said


def test_a_faulty_drill_file_lists_every_fault(run, tmp_path):
    path = tmp_path / "mine.toml"
    path.write_text('format = 1\n[[drill]]\nname = "x"\nfaults = ["laziness"]\ncolour = 1\n')
    said = run("practice", "list", "--drills", path, code=3).stderr
    assert "nothing was read" in said and "line 4" in said and "laziness" in said and "line 5" in said


def test_a_faulty_file_of_scores_loses_nothing(run, scores):
    scores.write_text("# firstbounce scores 1\nscore,at\n")
    run("practice", "score", "12", "--marks", "xxo", "--keep", scores, code=3)
    assert scores.read_text() == "# firstbounce scores 1\nscore,at\n"
