"""`green.toml`: read, check and write. A file with any fault gives nothing but the list of its faults."""

from __future__ import annotations

import re
from collections.abc import Mapping
from difflib import get_close_matches
from pathlib import Path
from typing import Any, TypeVar

import tomli_w
from pydantic import BaseModel, ValidationError

from firstbounce.errors import FileFault, FileFaults
from firstbounce.files import toml_lines
from firstbounce.files.green_checks import Parts, faults_of, height_faults
from firstbounce.files.green_shape import Area, Green, GreenFile, Heights, StationGiven, Surface, Today
from firstbounce.files.heights import read_heights
from firstbounce.files.reading import read_text, whole_file
from firstbounce.files.toml import key_fault, open_toml

FORMAT = 1
NUMBERS_IN_A_LIST = re.compile(r"\[((?:\n +[-+.\deE]+,)+)\n *\]")  #: strings never hold a line end
KeyPath = toml_lines.Path  #: keys and list positions (from 0)
Shape = TypeVar("Shape", bound=BaseModel)


def read_green(path: Path) -> GreenFile:
    """The file's contents, heights of a grid file included. Raises FileFaults with every fault found."""
    return parse_green(path, read_text(path))


def parse_green(path: Path, text: str) -> GreenFile:
    """As `read_green`, from text; `path` names the file in faults and tells where a grid file lies."""
    raw, lines = _load(path, text)
    if raw.get("format", FORMAT) != FORMAT or isinstance(raw.get("format"), (bool, float)):
        fault = key_fault(lines, ("format",), f"this version reads format {FORMAT}, got {raw['format']!r}")
        raise FileFaults(path, [fault])
    found = [*_shape_faults(raw), *faults_of(_parts(raw))]
    if found:
        said = [key_fault(lines, place, problem) for place, problem in found]
        raise FileFaults(path, sorted(said, key=_by_line))
    return _with_heights(path, GreenFile.model_validate(raw))


def write_green(path: Path, green: GreenFile) -> None:
    """Write the file; reading it back gives an equal object."""
    path.write_text(format_green(green), encoding="utf-8", newline="\n")


def format_green(green: GreenFile) -> str:
    """The text of a `green.toml` with these contents; keys at their usual value are left out."""
    plain = green.model_dump(mode="python", exclude_defaults=True, exclude_none=True)
    return NUMBERS_IN_A_LIST.sub(_on_one_line, tomli_w.dumps({"format": FORMAT, **_plain(plain)}))


def _on_one_line(found: re.Match[str]) -> str:
    return "[" + ", ".join(found[1].replace(",", " ").split()) + "]"


def checked_green(raw: dict[str, Any], name: str) -> GreenFile:
    """As `parse_green`, from plain values that stand in no file. FileFaults lists every fault."""
    raw = _tuples(raw)
    found = [*_shape_faults(raw), *faults_of(_parts(raw))]
    if found:
        raise FileFaults(name, [key_fault({}, place, problem) for place, problem in found])
    return GreenFile.model_validate(raw)


def fault_at(path: Path, place: KeyPath | None, problem: str) -> FileFault:
    """A fault found later, at a key of a file that could be read; None is the file as a whole."""
    if place is None:
        return FileFault(line=None, column=None, problem=problem)
    return key_fault(toml_lines.key_lines(read_text(path)), place, problem)


def _load(path: Path, text: str) -> tuple[dict[str, Any], dict[KeyPath, int]]:
    raw, lines = open_toml(path, text, shaped=_tuples)
    if not raw:
        raise whole_file(path, f'the file is empty; it starts with "format = {FORMAT}", see docs/files.md')
    return raw, lines


def _shape_faults(raw: dict[str, Any]) -> list[tuple[toml_lines.Path, str]]:
    try:
        GreenFile.model_validate(raw)
    except ValidationError as error:
        return [(one["loc"], _problem(one)) for one in error.errors(include_url=False)]
    return []


def _parts(raw: dict[str, Any]) -> Parts:
    """Each part read by itself, so that one fault does not hide those of the others."""
    areas, stations = (raw.get(key, ()) for key in ("area", "station"))
    return Parts(
        green=_part(Green, raw.get("green")),
        surface=_part(Surface, raw.get("surface")),
        today=_part(Today, raw.get("today")),
        area=tuple(_part(Area, one) for one in areas) if isinstance(areas, tuple) else (),
        station=tuple(_part(StationGiven, one) for one in stations) if isinstance(stations, tuple) else (),
    )


def _part(shape: type[Shape], raw: object) -> Shape | None:
    try:
        return shape.model_validate(raw)
    except ValidationError:
        return None


def _tuples(value: Any) -> Any:
    """Lists to tuples all the way down, because the shapes are frozen."""
    if isinstance(value, list):
        return tuple(_tuples(item) for item in value)
    if isinstance(value, dict):
        return {key: _tuples(item) for key, item in value.items()}
    return value


def _plain(value: Any) -> Any:
    """Tuples to lists and words to text, as TOML writes them."""
    if isinstance(value, (list, tuple)):
        return [_plain(item) for item in value]
    if isinstance(value, dict):
        return {key: _plain(item) for key, item in value.items()}
    return str(value) if isinstance(value, str) else value


def _with_heights(path: Path, green: GreenFile) -> GreenFile:
    heights = green.surface.heights
    if heights is None or heights.file is None:
        return green
    grid_path = path.parent / heights.file
    rows = read_heights(grid_path)
    for _, problem in height_faults(rows, heights.cell_m):
        raise whole_file(grid_path, problem)
    grid = Heights(x0_m=heights.x0_m, y0_m=heights.y0_m, cell_m=heights.cell_m, rows=rows)
    surface = green.surface.model_copy(update={"heights": grid})
    return green.model_copy(update={"surface": surface})


def _by_line(fault: FileFault) -> int:
    return fault.line or 0


def _problem(error: Any) -> str:
    """One sentence: what is wrong and what is allowed."""
    kind, given, ctx = error["type"], error["input"], error.get("ctx", {})
    if kind == "said":
        return str(error["msg"])
    if kind == "missing":
        return f"is missing; {_meaning(error['loc'])}"
    if kind == "extra_forbidden":
        return _unknown_key(error["loc"])
    if kind == "enum":
        return f"{given!r} is not known; one of: {str(ctx['expected']).replace(' or ', ', ')}"
    if kind.startswith(("float", "int", "finite")):
        return _not_a_number(given)
    sayings = {
        "bool_type": f"must be true or false, got {given!r}",
        "string_type": f"must be text in quotes, got {given!r}",
        "string_too_short": "must not be empty",
        "string_too_long": f"must be at most {ctx.get('max_length')} letters",
        "tuple_type": f"must be a list in square brackets, got {given!r}",
        "dict_type": f"must be a table of names and values, got {given!r}",
        "model_type": f"must be a table of keys and values, got {given!r}",
        "date_type": f"must be a day like 2026-05-14 without quotes, got {given!r}",
        "too_short": f"needs at least {ctx.get('min_length')}, got {ctx.get('actual_length')}",
        "too_long": f"has too many: {_many(given, ctx)}; at most {ctx.get('max_length')}",
        "greater_than_equal": f"{given} is too low; at least {ctx.get('ge')}",
        "less_than_equal": f"{given} is too high; at most {ctx.get('le')}",
    }
    return sayings.get(kind, f"{error['msg']}, got {given!r}")[:400]


def _many(given: object, ctx: Mapping[str, Any]) -> object:
    return ctx.get("actual_length") or (len(given) if isinstance(given, (tuple, list)) else given)


def _not_a_number(given: object) -> str:
    if isinstance(given, str):
        comma = "; write a decimal point, not a comma" if "," in given else ""
        return f"must be a number without quotes, got text {given[:80]!r}{comma}"
    return f"must be a number, got {given!r}"[:200]


def _model_at(place: tuple[int | str, ...]) -> type[BaseModel] | None:
    """The table that stands at this place of the file, if any."""
    model: Any = GreenFile
    for part in place:
        if isinstance(part, int):
            continue
        field = model.model_fields.get(part)
        model = field and next(_models_in(field.annotation), None)
        if model is None:
            return None
    return model


def _models_in(annotation: Any) -> Any:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for inner in getattr(annotation, "__args__", ()):
        yield from _models_in(inner)


def _meaning(place: tuple[int | str, ...]) -> str:
    above = _model_at(place[:-1])
    field = above.model_fields.get(str(place[-1])) if above else None
    inner = _model_at(place)
    if field is not None and field.description:
        return field.description
    if inner is not None and inner.__doc__:
        return inner.__doc__.splitlines()[0].rstrip(".")
    return "see docs/files.md"


def _unknown_key(place: tuple[int | str, ...]) -> str:
    above = _model_at(place[:-1])
    known = sorted(above.model_fields) if above else []
    close = get_close_matches(str(place[-1]), known, n=1)
    meant = f"did you mean {close[0]}? " if close else ""
    return f"this key is not known here; {meant}allowed: {', '.join(known)}"
