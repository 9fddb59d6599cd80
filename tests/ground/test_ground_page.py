"""The page about the ground agrees with the ground."""

import math
import re
from pathlib import Path
from xml.etree import ElementTree

from firstbounce.ground.turf import TURFS

DOCS = Path(__file__).parents[2] / "docs"
PAGE = (DOCS / "ground.md").read_text()


def test_the_turf_table_is_that_of_the_code():
    for turf in TURFS.values():
        plugs = "never" if math.isinf(turf.plug_speed) else f"{turf.plug_speed:g}"
        numbers = (
            turf.stimp_ratio,
            turf.restitution_scale,
            turf.tilt_scale,
            turf.friction,
            turf.sliding_friction,
        )
        cells = [str(turf.kind), *(f"{number:g}" for number in numbers), plugs, turf.source]
        assert f"| {' | '.join(cells)} |" in PAGE


def test_the_example_runs():
    examples = re.findall(r"^```python\n(.*?)^```", PAGE, re.M | re.S)
    assert examples
    for example in examples:
        exec(example, {})


def test_every_function_the_page_names_exists():
    source = "\n".join(path.read_text() for path in (DOCS.parent / "src/firstbounce/ground").glob("*.py"))
    for name in re.findall(r"`([a-z_]+_[a-z_]+)`", PAGE):
        assert re.search(rf"\b(def )?{name}\b", source), name


def test_the_drawing_is_well_formed_and_has_words():
    root = ElementTree.parse(DOCS / "ground.svg").getroot()
    assert [child.tag.split("}")[1] for child in root][:2] == ["title", "desc"]
