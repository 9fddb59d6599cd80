"""docs/cli.md from the commands themselves; `make docs` writes it and a test holds the page to it."""

from __future__ import annotations

import json
import os
import sys
import tempfile
from pathlib import Path
from typing import Any

import click
from click.testing import CliRunner

from firstbounce.checks.case import CheckResult, Seen
from firstbounce.cli.app import COMMANDS, app
from firstbounce.cli.check import shape as check_shape

ROOT = Path(__file__).parents[1]
DEMO = ROOT / "src/firstbounce/files/demo"
HEAD = """\
# Commands

Written by `make docs` from the commands themselves; a test holds this page to them.

Lengths in words and pictures are metres, or yards and feet with `--units yards`. JSON always has metres,
seconds and degrees, with the unit at the end of the key. Positions are `[x, y]` in the green's own frame.
With `--json`, nothing but JSON is on standard output; the names of written pictures go to standard error.
"""
#: How each shape is shown: the words after `firstbounce`, with the demo's files.
RUNS = {
    "plan": ("plan", "green.toml", "--balls", "balls.csv", "--station", "Gate", "--json"),
    "plan with nothing measured": (
        "plan",
        "--level",
        "10 to 18",
        "--to-edge",
        "3",
        "--edge-to-hole",
        "12",
        "--json",
    ),
    "chart": ("chart", "green.toml", "--balls", "balls.csv", "--carries", "4,8", "--json"),
    "fit": ("fit", "green.toml", "balls.csv", "--json"),
    "review": ("review", "green.toml", "balls.csv", "--ticks", "arms together no", "--json"),
    "progress": ("progress", "green.toml", "balls.csv", "--json"),
    "practice list": ("practice", "list", "--fault", "heavy", "--json"),
    "practice show": ("practice", "show", "Landing circle", "--json"),
    "practice build": (
        "practice",
        "build",
        "--fault",
        "heavy",
        "--minutes",
        "60",
        "--players",
        "4",
        "--json",
    ),
    "practice score": (
        "practice",
        "score",
        "Landing circle",
        "--marks",
        "xxoxxoxxxxox",
        "--radius",
        "2",
        "--json",
    ),
    "practice games": ("practice", "games", "up-and-down nine", *"232243232", "--json"),
    "guide": ("guide", "--kind", "general guide", "--drill", "Landing circle", "--json"),
    "backup": ("backup", "b.zip", "--data", "records", "--json"),
    "restore": ("restore", "b.zip", "--data", "records", "--yes", "--json"),
    "export": ("export", "e.zip", "--data", "records", "--json"),
    "import": ("import", "e.zip", "--data", "records", "--json"),
    "play": ("play", "green.toml", "--club", "PW", "--carry", "8", "--json"),
    "watch": ("watch", "swing.csv", "--json"),
    "watch by eye": ("watch", "--by-eye", "arms together no", "--json"),
}
BY_NAME = ("balls_by_club", "landed", "finished", "rows")  #: keys whose own keys are clubs, tables or words
Shape = dict[str, set[str]]
#: What a run may leave empty.
SOMETIMES: dict[str, Shape] = {
    "plan": {"plans[].left_out": {"list of text"}, "plans[].choices[].circle": {"null"}},
    "plan with nothing measured": {"choices[].circle": {"null"}},
    "restore": {"erased_again": {"list of text"}},
    "export": {"missing_files": {"list of text"}},
    "import": {
        "rows.<name>": {"number"},
        "left_out": {"list of text"},
        "missing_files": {"list of text"},
    },
    "practice list": {"drills[].ground": {"list of text"}},
    "practice show": {"remarks": {"list of text"}},
    "practice build": {
        "remarks": {"list of text"},
        "left_out[].fault": {"text"},
        "left_out[].reason": {"text"},
        "blocks[].stand_ins": {"list of text"},
        "blocks[].set_ups[].remarks": {"list of text"},
        "group": {"null"},
    },
    "fit": {
        "perhaps_mishit[].id": {"text"},
        "perhaps_mishit[].chance": {"number"},
        "set_aside[].id": {"text"},
        "set_aside[].reason": {"text"},
        "remarks": {"list of text"},
    },
    "review": {
        "probably_mishit": {"list of text"},
        "left_out[].id": {"text"},
        "left_out[].reason": {"text"},
        "verdict.more_balls": {"number", "null"},
        "verdict.by_coach": {"text", "null"},
        "questions[].low": {"null"},
        "questions[].high": {"null"},
        "by_eye[].fault": {"null"},
    },
    "progress": {"measures[].change.low": {"number"}, "measures[].change.high": {"number"}},
}
AS_ELSEWHERE: dict[str, Shape] = {
    "import of what waits on a phone": {
        "stored": {"list of text"},
        "refused[].id": {"text"},
        "refused[].error": {"text"},
        "refused[].again": {"true or false"},
    },
    "erase": {
        "player": {"text"},
        "erased": {"true or false"},
        "rows.<name>": {"number"},
        "files": {"list of text"},
        "backups": {"list of text"},
        "backups_cleaned": {"true or false"},
        "backups_not_read": {"list of text"},
        "named_in": {"list of text"},
        "out_of_reach": {"list of text"},
    },
    "demo": {
        "folder": {"text"},
        "fit": {"as of the command fit"},
        "plans[]": {"as of the command plan"},
        "pictures": {"list of text"},
    },
}
ONE_CHECK = CheckResult(
    field="Roll",
    what="any",
    unit="m",
    published_low=1.0,
    published_high=1.0,
    tolerance=0.1,
    ours=1.0,
    source="any",
    tag=Seen.READ,
    passed=True,
)


def page(shapes: dict[str, Shape]) -> str:
    """The whole page."""
    parts = [HEAD, "```text", help_of().rstrip(), "```", ""]
    for name in COMMANDS:
        parts += [f"## {name}", "", "```text", help_of(name).rstrip(), "```", ""]
        for verb in verbs_of(name):
            parts += [f"### {name} {verb}", "", "```text", help_of(name, verb).rstrip(), "```", ""]
        for title, shape in shapes.items():
            if title.split()[0] == name:
                parts += [f"JSON of `{title}`:", "", "| key | value |", "|---|---|"]
                parts += [f"| `{key}` | {' or '.join(sorted(kinds))} |" for key, kinds in shape.items()]
                parts.append("")
    return "\n".join(parts)


def verbs_of(name: str) -> list[str]:
    """The verbs of a command that has some."""
    command = app.get_command(click.Context(app), name)
    return command.list_commands(click.Context(command)) if isinstance(command, click.Group) else []


def help_of(*words: str) -> str:
    """The help of one command."""
    result = CliRunner().invoke(app, [*words, "--help"], prog_name="firstbounce", terminal_width=100)
    return "\n".join(line.rstrip() for line in result.stdout.splitlines())


def shape_of(value: Any, key: str = "", found: Shape | None = None) -> Shape:
    """Every key of a JSON value with the kinds of value it holds; `[]` stands for the items of a list.

    An empty list says nothing: what it may hold stands in SOMETIMES.
    """
    found = {} if found is None else found
    if isinstance(value, dict):
        by_name = key.rsplit(".", maxsplit=1)[-1] in BY_NAME
        for name, inner in value.items():
            part = "<name>" if by_name else name
            shape_of(inner, f"{key}.{part}" if key else part, found)
    elif isinstance(value, list) and value and not isinstance(value[0], (dict, list)):
        found.setdefault(key, set()).add(f"list of {kind_of(value[0])}")
    elif isinstance(value, list):
        for inner in value:
            shape_of(inner, f"{key}[]", found)
    else:
        found.setdefault(key, set()).add(kind_of(value))
    return found


def kind_of(value: Any) -> str:
    """What a JSON value is, in a word."""
    kinds = {bool: "true or false", int: "number", float: "number", str: "text", type(None): "null"}
    return kinds[type(value)]


def with_sometimes(name: str, shape: Shape) -> Shape:
    """The shape with what a run may leave empty."""
    merged = {key: set(kinds) for key, kinds in shape.items()}
    for key, kinds in SOMETIMES.get(name, {}).items():
        merged.setdefault(key, set()).update(kinds)
    return merged


def a_swing() -> str:
    """Landmarks of one swing of the written-down player that the tests use."""
    sys.path.insert(0, str(ROOT / "tests/technique"))
    from people import chain_of
    from render.swing import Swing

    from firstbounce.technique.landmark_files import landmarks_to_csv

    return landmarks_to_csv(chain_of([Swing()]))


def shapes_of_runs() -> dict[str, Shape]:
    """The shapes of real runs on the demo's files, and of one check."""
    shapes = AS_ELSEWHERE | {"check": shape_of({"checks": [check_shape(ONE_CHECK)]})}
    before = Path.cwd()
    with tempfile.TemporaryDirectory() as folder:
        for path in DEMO.iterdir():
            (Path(folder) / path.name).write_bytes(path.read_bytes())
        (Path(folder) / "swing.csv").write_text(a_swing(), encoding="utf-8")
        os.chdir(folder)
        try:
            for name, words in RUNS.items():
                result = CliRunner().invoke(app, list(words), prog_name="firstbounce")
                shapes[name] = with_sometimes(name, shape_of(json.loads(result.stdout)))
        finally:
            os.chdir(before)
    return shapes


def cli_page() -> str:
    """The page as it should be."""
    return page(shapes_of_runs())
