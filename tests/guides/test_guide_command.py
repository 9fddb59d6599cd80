"""`firstbounce guide` and many guides at once: a failing one is reported and the rest are made."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from firstbounce import files
from firstbounce.cli.app import app
from firstbounce.guides.blocks import Kind
from firstbounce.services.clinic import distinct, make_all, written
from firstbounce.services.guide import Ask, chosen_drills, name_of
from firstbounce.words import Fault

DEMO = Path(files.__file__).parent / "demo"


def run(*words: str):
    return CliRunner().invoke(app, ["guide", *words], prog_name="firstbounce")


def test_one_guide_is_written_as_pdf_and_as_page(tmp_path):
    ran = run(
        "--kind", "general guide", "--theme", "Less wrist", "--drill", "Line brush", "--folder", str(tmp_path)
    )
    assert ran.exit_code == 0, ran.output
    assert (tmp_path / "general-guide.pdf").read_bytes().startswith(b"%PDF")
    assert "Less wrist" in (tmp_path / "general-guide.html").read_text(encoding="utf-8")
    assert "wrote" in ran.output


def test_json_has_nothing_but_json_on_standard_output(tmp_path):
    ran = run("--kind", "log sheet", "--green", str(DEMO / "green.toml"), "--station", "Gate", "--json",
              "--folder", str(tmp_path))  # fmt: skip
    (made,) = json.loads(ran.stdout)["guides"]
    assert made["kind"] == "log sheet" and made["problem"] == "" and Path(made["pdf"]).exists()


@pytest.mark.parametrize(
    "words, said, code",
    [
        (("--kind", "log sheet"), "A log sheet is for one station", 1),
        (("--balls", "balls.csv"), "Balls need the green", 1),
        (("--drill", "Juggling"), "No drill called 'Juggling'", 1),
        (("--link", "javascript:alert(1)"), "web address", 1),
        (("--coach", "none.toml"), "no such file", 3),
        (("none.toml",), "no such file", 3),
        (("--kind", "poster"), "poster", 2),
    ],
)
def test_what_goes_wrong_is_one_sentence_and_an_exit_code(tmp_path, words, said, code):
    ran = run(*words, "--folder", str(tmp_path))
    assert ran.exit_code == code, ran.output
    assert said in ran.output.replace("\n", " ") and "Traceback" not in ran.output


def asks(count: int) -> list[Ask]:
    general = [
        Ask(kind=Kind.GENERAL, name=f"sheet {k}", theme=f"Theme {k}", drills=("Line brush",))
        for k in range(count)
    ]
    general[1] = Ask(kind=Kind.GENERAL, name="sheet 1", theme="x", drills=("Juggling",))
    return general


def test_two_processes_make_all_but_the_failing_one(tmp_path):
    shares: list[float] = []
    made = make_all(asks(4), tmp_path, progress=shares.append, processes=2)
    assert [one.name for one in made] == [f"sheet-{k}" for k in range(4)]
    assert [bool(one.problem) for one in made] == [False, True, False, False]
    assert "Juggling" in made[1].problem
    assert sorted(path.stem for path in tmp_path.glob("*.pdf")) == ["sheet-0", "sheet-2", "sheet-3"]
    assert shares[-1] == 1.0 and shares == sorted(shares)


@pytest.mark.slow
def test_a_hundred_guides_for_a_clinic(tmp_path):
    made = make_all(asks(100), tmp_path)
    assert sum(not one.problem for one in made) == 99
    assert len(list(tmp_path.glob("*.pdf"))) == len(list(tmp_path.glob("*.html"))) == 99


def test_a_folder_that_cannot_be_written_is_said(tmp_path):
    (tmp_path / "file").write_text("x")
    made = written(Ask(kind=Kind.GENERAL, drills=("Line brush",)), tmp_path / "file", "x")
    assert made.problem and not made.pdf


def test_names_of_files_never_clash():
    assert distinct(["a", "b", "a", "a-2", "a"]) == ["a", "b", "a-2", "a-2-2", "a-3"]
    assert name_of(Ask(player="Łukasz Ω")) == "player-guide-ukasz" and name_of(Ask(name="../../x")) == "x"


def test_drills_follow_the_fault_when_none_is_named():
    chosen = chosen_drills(Ask(faults=(Fault.HEAVY,)))
    assert 1 <= len(chosen) <= 3 and all(Fault.HEAVY in drill.faults for drill in chosen)
    assert [drill.name for drill in chosen_drills(Ask(drills=("3",)))] == ["Line brush"]
