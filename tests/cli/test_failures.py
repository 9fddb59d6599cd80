"""What a person meets when something is wrong: a sentence and an exit code, never a traceback."""

import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from firstbounce.errors import Cancelled, CannotEstimate, CannotPlan, FileFault, FileFaults, OutOfRange
from firstbounce.files.balls import FIRST_LINE


def no_traceback(result):
    assert "Traceback" not in result.output + result.stderr
    assert result.stderr.strip()
    return result.stderr


@pytest.mark.parametrize(
    "words, code, said",
    [
        (("fly",), 2, "No such command 'fly'"),
        (("plan",), 2, "green"),
        (("play", "GREEN"), 2, "Missing option '--club'"),
        (("play", "GREEN", "--club", "PW", "--carry", "far"), 2, "'far' is not a valid float"),
        (("play", "GREEN", "--club", "3w", "--carry", "5"), 2, "No club called '3w' in the bag; it holds 7i"),
        (("play", "GREEN", "--club", "PW", "--carry", "500"), 2, "500 m is outside 0.3 to 70 m"),
        (("plan", "GREEN", "--station", "Moon"), 2, "has no station 'Moon'; there: Gate, Bench, Brook"),
        (("plan", "GREEN", "--units", "miles"), 2, "'miles' is not one of 'metres', 'yards'"),
        (("chart", "GREEN", "--carries", "4,x"), 2, "'4,x' is not a list of metres like 4,8,12"),
        (("chart", "GREEN", "--carries", "400"), 1, "carries of 0.5 to 50 m"),
        (("plan", "none.toml"), 3, "none.toml: 1 fault, nothing was read.\n  there is no such file"),
        (("fit", "GREEN", "none.csv"), 3, "none.csv: 1 fault, nothing was read."),
        (("plan", "."), 3, "this is a folder"),
    ],
)
def test_each_kind_of_failure_has_its_sentence_and_code(run, green, words, code, said):
    result = run(*(green if word == "GREEN" else word for word in words), code=code)
    assert said in no_traceback(result)


def test_balls_that_say_nothing_have_their_own_code(run, green, tmp_path):
    rows = "id,club,station,landed_x_m,landed_y_m,strike"
    (tmp_path / "b.csv").write_text(f"{FIRST_LINE}\n{rows}\n1,putter,Gate,11,5,clean\n")
    assert "Error: None of the 1 balls can be used" in no_traceback(
        run("fit", green, tmp_path / "b.csv", code=4)
    )


def test_faults_name_line_and_column_and_stop_at_fifty(run, green, tmp_path):
    rows = "".join(f"{i},PW,Gate,far\n" for i in range(60))
    (tmp_path / "b.csv").write_text(f"{FIRST_LINE}\nid,club,station,carry_m\n{rows}")
    said = no_traceback(run("fit", green, tmp_path / "b.csv", code=3)).splitlines()
    assert said[0].endswith("b.csv: 60 faults, nothing was read.")
    assert said[1] == "  line 3, column carry_m: must be a number, got 'far'"
    assert said[-1] == "  and 10 more; mend these first" and len(said) == 52


def test_faults_of_a_station_come_from_the_ground_too(run, tmp_path, day_folder):
    text = (day_folder / "green.toml").read_text().replace('file = "heights.csv"', 'file = "h.csv"')
    (tmp_path / "h.csv").write_text("0,0,0,0\n" * 4)
    (tmp_path / "green.toml").write_text(text)
    said = no_traceback(run("plan", tmp_path / "green.toml", code=3))
    assert "The outline of the green reaches beyond the map" in said


def test_a_station_in_the_water_is_named_with_its_line(run, tmp_path, day_folder):
    text = (day_folder / "green.toml").read_text().replace('kind = "bunker"', 'kind = "water"')
    text = text.replace("start = [14.0, -11.0]", "start = [-2.0, 10.0]")
    (tmp_path / "green.toml").write_text(text)
    (tmp_path / "heights.csv").write_bytes((day_folder / "heights.csv").read_bytes())
    said = no_traceback(run("plan", tmp_path / "green.toml", code=3))
    line = text[: text.index("start = [-2.0, 10.0]")].count("\n") + 1
    assert f"line {line}, column station[3].start: The start at x -2, y 10 m lies in water" in said


@pytest.mark.parametrize(
    "error, code",
    [
        (FileFaults("f", [FileFault(line=1, column="c", problem="p")]), 3),
        (CannotEstimate("Not enough."), 4),
        (CannotPlan("No plan."), 1),
        (OutOfRange("Too far."), 2),
        (Cancelled("Stopped."), 130),
        (KeyboardInterrupt(), 130),
        (PermissionError(13, "Permission denied", "pictures"), 2),
        (ZeroDivisionError("division by zero"), 70),
        (RecursionError("deep"), 70),
    ],
)
def test_every_error_becomes_a_sentence(run, green, monkeypatch, error, code):
    def fail(path):
        raise error

    monkeypatch.setattr("firstbounce.services.day.load_day", fail)
    said = no_traceback(run("plan", green, code=code))
    assert len(said.splitlines()) <= 2


def test_the_unexpected_leaves_a_report(run, green, monkeypatch, tmp_path):
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    monkeypatch.setattr("firstbounce.services.day.load_day", lambda path: 1 / 0)
    said = run("plan", green, code=70).stderr
    report = Path(re.search(r"a report is in (\S+\.txt)", said)[1])
    assert "ZeroDivisionError" in report.read_text() and report.parent == tmp_path


def test_debug_shows_everything(run, green, monkeypatch):
    monkeypatch.setattr("firstbounce.services.day.load_day", lambda path: 1 / 0)
    assert isinstance(run("--debug", "plan", green, code=1).exception, ZeroDivisionError)


@given(data=st.binary(max_size=120))
@settings(max_examples=40, deadline=None)
def test_no_file_causes_a_traceback(run, green, tmp_path_factory, data):
    path = tmp_path_factory.mktemp("fuzz") / "any"
    path.write_bytes(data)
    for words in (("plan", path), ("fit", green, path)):
        no_traceback(run(*words, code=3))


def test_a_person_can_stop_it():
    script = (
        "import sys, time\n"
        "import firstbounce.services.day as day\n"
        "def slow(path):\n    print('begun', flush=True)\n    time.sleep(30)\n"
        "day.load_day = slow\n"
        "sys.argv = ['firstbounce', 'plan', 'green.toml']\n"
        "from firstbounce.cli import main\n"
        "main()\n"
    )
    process = subprocess.Popen(
        [sys.executable, "-c", script],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),  # noqa: PLW1509 (a runner may ignore it)
    )
    assert process.stdout.readline() == "begun\n"
    time.sleep(0.1)
    process.send_signal(signal.SIGINT)
    out, err = process.communicate(timeout=20)
    assert process.returncode == 130
    assert err.strip() == "Stopped." and not out


def test_a_reader_that_leaves_is_no_failure():
    script = (
        "import sys, firstbounce.checks.run as run\n"
        "from firstbounce.checks.case import CheckResult, Seen\n"
        "one = CheckResult(field='f', what='w' * 100, unit='', published_low=1.0, published_high=1.0,"
        " tolerance=0.1, ours=1.0, source='s', tag=Seen.READ, passed=True)\n"
        "run.run_all = lambda progress: [one] * 5000\n"
        "sys.argv = ['firstbounce', 'check']\n"
        "from firstbounce.cli import main\n"
        "main()\n"
    )
    process = subprocess.Popen([sys.executable, "-c", script], stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    process.stdout.read(10)
    process.stdout.close()
    assert process.stderr.read() == b""
    process.stderr.close()
    assert process.wait(timeout=20) == 0
