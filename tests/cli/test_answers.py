"""What the commands answer: words for a coach, JSON for a script, pictures on disk."""

import json
import math
import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from firstbounce.checks.case import CheckResult, Seen
from firstbounce.cli.progress import Progress
from firstbounce.cli.words import table
from firstbounce.services.day import load_day
from firstbounce.services.demo import copy_inputs
from firstbounce.units import Lengths, out_of_ten

PNG = b"\x89PNG\r\n\x1a\n"


@pytest.fixture(scope="module")
def fitted(run_json, green, balls):
    return run_json("fit", green, balls)


@pytest.fixture(scope="module")
def plan(run_json, green, balls):
    (plan,) = run_json("plan", green, "--balls", balls, "--station", "Gate")["plans"]
    return plan


@pytest.fixture(scope="module")
def demo(run_json, tmp_path_factory):
    folder = tmp_path_factory.mktemp("demo") / "out"
    return folder, run_json("demo", "--folder", folder)


def test_fit_says_how_many_balls_stand_behind_each_value(fitted):
    assert fitted["verdict"] == "fitted" and fitted["balls"] == 18
    for known in fitted["known"].values():
        assert known["low"] <= known["value"] <= known["high"] and known["balls"] >= 12
    assert fitted["balls_by_club"] == {"PW": 6, "SW": 6, "9i": 6}


def test_fit_tells_it_in_words(run, green, balls):
    said = run("fit", green, balls).stdout
    assert said.startswith("Learned from 18 of 18 balls logged.")
    assert re.search(r"green speed, ft +\d+\.\d +\d+\.\d to \d+\.\d +fitted, 18 balls", said)
    assert not re.search(r"\b(prior|posterior|model|bias)\b", said)


def test_too_few_balls_are_not_learned_from(run, green, balls, tmp_path):
    lines = Path(balls).read_text().splitlines(keepends=True)
    (tmp_path / "two.csv").write_text("".join(lines[:5]))
    said = run("fit", green, tmp_path / "two.csv").stdout
    assert said.startswith("Not enough balls yet (2 of 2 balls logged)")


def test_plan_ranks_every_club(plan):
    strokes = [choice["strokes"]["value"] for choice in plan["choices"]]
    assert {choice["club"] for choice in plan["choices"]} == {"7i", "9i", "PW", "GW", "SW", "LW", "putter"}
    assert strokes[0] == min(strokes) and plan["choices"][0]["behind_strokes"] == 0
    assert plan["learned_from_balls"] == 18 and plan["reason"].endswith(".")


def test_plan_is_the_same_each_time(run_json, green, balls, plan):
    (again,) = run_json("plan", green, "--balls", balls, "--station", "Gate")["plans"]
    assert again == plan


def test_plan_tells_it_in_either_unit(run, run_json, green, balls, plan):
    said = run("plan", green, "--balls", balls, "--station", "Gate").stdout
    assert said.startswith("Gate (fairway, 17.1 m to the hole)")
    assert (
        run_json("plan", green, "--balls", balls, "--station", "Gate", "--units", "yards")["plans"][0][
            "choices"
        ]
        == plan["choices"]
    )


def test_pictures_are_svg_with_words_and_png(run, green, balls, tmp_path):
    said = run("plan", green, "--balls", balls, "--station", "Gate", "--pictures", tmp_path / "p").stdout
    written = [Path(line.removeprefix("wrote ")) for line in said.splitlines() if line.startswith("wrote ")]
    assert {path.suffix for path in written} == {".svg", ".png"} and len(written) >= 4
    for path in written:
        if path.suffix == ".png":
            assert path.read_bytes().startswith(PNG)
        else:
            names = {element.tag.split("}")[-1] for element in ET.parse(path).iter()}
            assert {"title", "desc"} <= names


def test_json_stays_json_beside_pictures(run, green, tmp_path):
    words = ("play", green, "--club", "SW", "--carry", "9", "--json", "--pictures", tmp_path / "p")
    result = run(*words)
    assert json.loads(result.stdout)["club"] == "SW"
    assert "wrote" in result.stderr and len(list((tmp_path / "p").iterdir())) == 4


def test_play_is_one_consistent_ball(run_json, green):
    shot = run_json("play", green, "--club", "pitching wedge", "--carry", "8", "--right", "0.5")
    assert shot["club"] == "PW" and shot["outcome"] == "stopped"
    assert math.dist(shot["landed_m"], shot["spot_m"]) < 0.002
    assert shot["run_m"] == pytest.approx(math.dist(shot["landed_m"], shot["finished_m"]))
    assert math.hypot(shot["long_m"], shot["right_m"]) == pytest.approx(shot["left_to_hole_m"])
    assert shot["path"][0]["phase"] == "flight"


def test_a_putt_neither_flies_nor_bounces(run, run_json, green):
    shot = run_json("play", green, "--club", "putter", "--carry", "20")
    assert shot["carry_m"] == shot["apex_m"] == shot["bounces"] == 0 and shot["run_m"] > 5
    assert "rolls" in run("play", green, "--club", "putter", "--carry", "20").stdout


def test_balls_change_the_shot(run_json, green, balls):
    usual = run_json("play", green, "--club", "PW", "--carry", "8")
    learned = run_json("play", green, "--club", "PW", "--carry", "8", "--balls", balls)
    assert (usual["learned_from_balls"], learned["learned_from_balls"]) == (0, 18)
    assert usual["run_m"] != learned["run_m"]


def test_chart_has_every_lofted_club_at_every_carry(run_json, green, balls):
    chart = run_json("chart", green, "--balls", balls, "--carries", "8,4")
    assert [(row["club"], row["carry_m"]) for row in chart["rows"][:2]] == [("7i", 4.0), ("7i", 8.0)]
    assert len(chart["rows"]) == 12 and chart["learned_from_balls"] == 18
    runs = [row["run"]["value_m"] for row in chart["rows"] if row["carry_m"] == 8.0]
    assert runs == sorted(runs, reverse=True)


def test_chart_without_balls_says_so(run, green):
    assert "(typical for the level, no balls)" in run("chart", green, "--carries", "5").stdout


def test_balls_of_two_sessions_are_said_to_count_as_one_day(run, green, balls, tmp_path):
    rows = Path(balls).read_text().splitlines()
    rows = [row.replace("morning", "evening") if row.startswith("SW-") else row for row in rows]
    mixed = tmp_path / "balls.csv"
    mixed.write_text("\n".join(rows) + "\n")
    for words in (("chart", green, "--carries", "5"), ("plan", green, "--station", "Gate")):
        said = " ".join(run(*words, "--balls", mixed).stdout.split())
        assert "2 sessions" in said, words
        assert "2 sessions" not in run(*words, "--balls", balls).stdout


def test_plan_with_nothing_measured_answers_in_paces(run):
    words = ("plan", "--level", "beginner", "--to-edge", "3", "--edge-to-hole", "9", "--slope", "level")
    said = run(*words).stdout
    assert re.search(r"^club +carry, paces +run, paces +strokes", said, re.M)
    assert len(re.findall(r" in 10+ ", said)) == 8
    assert "hree balls" in said and "nothing was measured, a pace is 0.9 m." in said
    assert not re.search(r"\d m\b", said.replace("0.9 m", ""))


def test_plan_with_nothing_measured_draws_ranges(run, tmp_path):
    words = ("--level", "scratch", "--lie", "light rough", "--to-edge", "8", "--edge-to-hole", "9")
    run("plan", *words, "--pictures", tmp_path)
    drawn = {path.name: path.read_text() for path in tmp_path.glob("*.svg")}
    assert len(drawn) == len(list(tmp_path.glob("*.png"))) == 3
    above, side = (
        drawn[next(name for name in drawn if name.endswith(f"{which}.svg"))] for which in ("above", "side")
    )
    assert "its shape a guess" in above and "Only the two paced distances are known" in " ".join(
        above.split()
    )
    assert "most balls run" in " ".join(re.sub("<[^>]*>", " ", side).split())
    assert "over all likely greens" in drawn["ranges.svg"]
    assert all("paces" in svg for svg in drawn.values())


@pytest.mark.parametrize(
    "words, said",
    [
        (("--to-edge", "3", "--edge-to-hole", "9"), "add --level"),
        (("--level", "beginner", "--to-edge", "3"), "add --edge-to-hole"),
        (("GREEN", "--to-edge", "3"), "--to-edge is for a plan without a green file"),
        (("GREEN", "--wet"), "--wet is for a plan without a green file"),
        (
            ("--level", "beginner", "--to-edge", "3", "--edge-to-hole", "9", "--balls", "b.csv"),
            "need a green file",
        ),
    ],
)
def test_half_a_question_is_refused(run, green, words, said):
    words = [green if word == "GREEN" else word for word in words]
    assert said in run("plan", *words, code=2).stderr


def test_a_distance_that_makes_no_sense_is_no_plan(run):
    words = ("plan", "--level", "beginner", "--to-edge", "-3", "--edge-to-hole", "9")
    assert "From ball to edge must be 0 to 50 m" in run(*words, code=1).stderr


def test_demo_does_the_whole_job(demo):
    folder, shape = demo
    summary = (folder / "summary.txt").read_text()
    assert summary.startswith("Lower green, Quillet Common (invented), player R. T.: everyone and everything")
    for name in ("green.toml", "heights.csv", "balls.csv", "chart.svg", "chart.png"):
        assert (folder / name).stat().st_size > 100
    assert set(shape) == {"folder", "fit", "plans", "pictures"}
    assert [plan["station"]["name"] for plan in shape["plans"]] == ["Gate", "Bench", "Brook"]
    assert all(Path(path).exists() for path in shape["pictures"])
    assert all(plan["reason"] in summary for plan in shape["plans"])


def test_demo_puts_its_inputs_over_spoilt_ones(tmp_path):
    (tmp_path / "green.toml").write_text("spoilt")
    copy_inputs(tmp_path)
    assert load_day(tmp_path / "green.toml").player.name == "R. T."


def result(passed, ours=1.0):
    return CheckResult(
        field="Roll",
        what="rolled",
        unit="m",
        published_low=1.0,
        published_high=1.0,
        tolerance=0.1,
        ours=ours,
        source="Someone 1990",
        tag=Seen.READ,
        passed=passed,
    )


@pytest.mark.parametrize(
    "results, code, said",
    [
        ([result(True)], 0, "1 of 1 passed, 0 failed."),
        ([result(True), result(False, 3.0)], 1, "1 of 2 passed, 1 failed."),
        ([result(None, None)], 0, "0 of 1 passed, 0 failed, 1 not run (they need a development package)."),
    ],
)
def test_check_fails_when_a_case_fails(run, run_json, monkeypatch, results, code, said):
    monkeypatch.setattr("firstbounce.checks.run.run_all", lambda progress: results)
    text = run("check", code=code).stdout
    assert said in text and "Someone 1990" in text and "read" in text
    shape = run_json("check", code=code)
    assert [one["passed"] for one in shape["checks"]] == [one.passed for one in results]


class Terminal:
    """A stream that says it is a terminal and keeps what is written."""

    def __init__(self):
        self.said = ""

    def write(self, text):
        self.said += text

    def flush(self):
        pass

    def isatty(self):
        return True


@pytest.mark.parametrize("patience, shown", [(0.0, True), (60.0, False)])
def test_a_bar_is_shown_only_after_a_while(monkeypatch, patience, shown):
    terminal = Terminal()
    monkeypatch.setattr("sys.stderr", terminal)
    monkeypatch.setattr("firstbounce.cli.progress.PATIENCE_S", patience)
    with Progress("Planning") as progress:
        progress._timer.join(0.5 if shown else 0.0)
        progress(0.5)
        progress(0.4)
        progress(1.0)
    assert ("Planning" in terminal.said) == shown and ("100%" in terminal.said) == shown


def test_no_bar_without_a_terminal(capsys):
    with Progress("Planning") as progress:
        progress(0.5)
    assert capsys.readouterr().err == ""


@pytest.mark.parametrize(
    "share, said", [(0.0, "0 in 100"), (0.043, "4 in 100"), (0.31, "3 in 10"), (0.98, "98 in 100")]
)
def test_chances_are_counts(share, said):
    assert out_of_ten(share) == said


def test_lengths_in_both_units():
    metres, yards = Lengths("metres"), Lengths("yards")
    assert (metres.long(9.144), yards.long(9.144)) == ("9.1 m", "10.0 yd")
    assert (metres.small(0.3048), yards.small(0.3048)) == ("0.3 m", "1.0 ft")
    assert metres.long(-0.01) == "0.0 m"


def test_columns_stand_in_line():
    assert table(("club", "run"), [("PW", "8.5"), ("sand", "12.0")]) == "club   run\nPW     8.5\nsand  12.0"
