"""The commands review and progress on the shipped files."""

import json
from importlib import resources

import pytest
from click.testing import CliRunner

from firstbounce.cli.app import app
from firstbounce.errors import ParameterError


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    folder = tmp_path_factory.mktemp("demo")
    for name in ("green.toml", "balls.csv", "heights.csv"):
        (folder / name).write_bytes((resources.files("firstbounce") / "files" / "demo" / name).read_bytes())
    return folder


def ran(*words):
    return CliRunner().invoke(app, [str(word) for word in words], catch_exceptions=True)


def test_review_says_verdict_reason_balls_and_the_coachs_own(demo):
    files = (demo / "green.toml", demo / "balls.csv")
    seen = ran("review", *files, "--ticks", "recoil yes", "--call", "keep plan and strike", "--note", "tired")
    assert seen.exit_code == 0
    assert (
        "How sure:" in seen.stdout and "The coach's own verdict: keep plan and strike (tired)." in seen.stdout
    )
    assert "no recoil: seen wanting by eye, coach-judged." in seen.stdout


def test_review_json_keeps_both_verdicts_and_writes_pictures(demo, tmp_path):
    seen = ran(
        "review", demo / "green.toml", demo / "balls.csv", "--call", "keep plan and strike", "--json",
        "--pictures", tmp_path / "drawn",
    )  # fmt: skip
    verdict = json.loads(seen.stdout)["verdict"]
    assert verdict["by_coach"] == "keep plan and strike" and verdict["call"] != ""
    assert {p.name for p in (tmp_path / "drawn").glob("*.svg")} == {
        "landings.svg", "finishes.svg", "parts-of-the-set.svg", "parts-of-one-ball.svg",
    }  # fmt: skip


def test_a_tick_that_is_none_is_refused_in_one_sentence(demo):
    seen = ran("review", demo / "green.toml", demo / "balls.csv", "--ticks", "head still yes")
    assert seen.exit_code == 2 and "is not a tick" in seen.stderr and "Traceback" not in seen.stderr


def test_progress_of_one_day_says_that_two_sessions_are_needed(demo):
    seen = ran("progress", demo / "green.toml", demo / "balls.csv")
    assert seen.exit_code == 0 and "two sessions are needed" in seen.stdout
    shape = json.loads(ran("progress", demo / "green.toml", demo / "balls.csv", "--json").stdout)
    assert [one["measure"] for one in shape["measures"]] == ["landing", "finish", "contact"]


def test_progress_wants_its_files_in_pairs(demo):
    seen = ran("progress", demo / "green.toml")
    assert seen.exit_code == 2 and "two files" in seen.stderr
    assert not isinstance(seen.exception, ParameterError)
