"""A coach's logo: SVG or PNG, checked before the typesetter sees it.

An SVG must be drawing and nothing else: no document type and so no entities, no script or foreign markup, no
reference that leaves the file, no reference to something that refers again. A PNG must be as large as it says
and no larger; what is kept of it are the parts that hold the picture.
"""

from __future__ import annotations

import re
import struct
import zlib
from dataclasses import dataclass
from typing import Literal
from xml.etree import ElementTree

from firstbounce.errors import ParameterError

LARGEST_BYTES = 500_000  #: of the file
MOST_ELEMENTS = 4_000  #: of an SVG
DEEPEST = 40  #: groups within groups
MOST_PIXELS = 4_000_000
LONGEST_SIDE = 4_000  #: [pixels]
PNG_SIGN = b"\x89PNG\r\n\x1a\n"
SHAPES = ("path", "rect", "circle", "ellipse", "line", "polyline", "polygon", "text", "tspan")
PARTS = ("svg", "g", "defs", "title", "desc", "metadata", "use", "symbol", "clipPath", "style")
PAINTS = ("linearGradient", "radialGradient", "stop")
DRAWING = frozenset((*SHAPES, *PARTS, *PAINTS))
REFERRING = ("href", "{http://www.w3.org/1999/xlink}href")
_URL = re.compile(r"url\(\s*['\"]?([^)'\"]*)", re.I)
_MARKUP = re.compile(rb"<!(?:DOCTYPE|ENTITY)|<\?xml-stylesheet", re.I)


@dataclass(frozen=True, slots=True)
class Logo:
    """A checked logo."""

    data: bytes
    format: Literal["svg", "png"]


def checked_logo(data: bytes, name: str = "the logo") -> Logo:
    """The logo, safe to print. ParameterError says what is wrong with it."""
    if len(data) > LARGEST_BYTES:
        raise ParameterError(
            f"{name} is {len(data) / 1000:,.0f} kB large; a logo may have {LARGEST_BYTES // 1000} kB."
        )
    if data.startswith(PNG_SIGN):
        return Logo(_checked_png(data, name), "png")
    head = data.lstrip(b"\xef\xbb\xbf \t\r\n")[:1]
    if head == b"<":
        return Logo(_checked_svg(data, name), "svg")
    raise ParameterError(f"{name} is neither SVG nor PNG; save it as one of them.")


def _checked_svg(data: bytes, name: str) -> bytes:
    """The SVG as it came, when it is drawing and nothing else."""
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise ParameterError(f"{name} is not an SVG in UTF-8; save it again.") from None
    if _MARKUP.search(text.encode()):
        raise ParameterError(
            f"{name} declares a document type, entities or a style sheet; save it as plain SVG."
        )
    root = _parsed(text, name)
    depths = _depths(root)
    if len(depths) > MOST_ELEMENTS:
        raise ParameterError(f"{name} has {len(depths):,} parts; a logo may have {MOST_ELEMENTS:,}.")
    if max(depths.values()) > DEEPEST:
        raise ParameterError(f"{name} nests {max(depths.values())} groups; a logo may nest {DEEPEST}.")
    for element in depths:
        _check_element(element, name)
    _check_uses(root, name)
    return text.encode()


def _parsed(text: str, name: str) -> ElementTree.Element:
    try:
        root = ElementTree.fromstring(text)
    except (ElementTree.ParseError, RecursionError):
        raise ParameterError(f"{name} is not well-formed SVG; save it again.") from None
    if _local(root) != "svg":
        raise ParameterError(f"{name} is XML but not SVG: it begins with <{_local(root)}>.")
    return root


def _depths(root: ElementTree.Element) -> dict[ElementTree.Element, int]:
    """How deep every element stands; no recursion, so that depth itself is no bomb."""
    depths, left = {root: 1}, [root]
    while left:
        element = left.pop()
        for child in element:
            depths[child] = depths[element] + 1
            left.append(child)
    return depths


def _check_element(element: ElementTree.Element, name: str) -> None:
    tag = _local(element)
    if tag not in DRAWING:
        if element.tag.startswith("{") and not element.tag.startswith("{http://www.w3.org/2000/svg}"):
            return  # notes of a drawing program: never drawn
        raise ParameterError(f"{name} holds <{tag}>, which is no plain drawing; save it as plain SVG.")
    if tag == "style" and re.search(r"[@\\]", element.text or ""):
        raise ParameterError(f"{name} has a style sheet that brings in more; save it as plain SVG.")
    for key, value in (*element.attrib.items(), ("", element.text or "")):
        if key.lower().startswith("on"):
            raise ParameterError(f"{name} holds a script ({key}); save it as plain SVG.")
        targets = [value] if key in REFERRING else _URL.findall(value)
        outside = next((target for target in targets if not target.strip().startswith("#")), None)
        if outside is not None:
            raise ParameterError(f"{name} points outside itself ({outside[:60]!r}); put everything into it.")


def _check_uses(root: ElementTree.Element, name: str) -> None:
    """What is used must not use again: a few lines could otherwise draw billions of parts."""
    by_id = {element.get("id"): element for element in root.iter() if element.get("id")}
    uses = [element for element in root.iter() if _local(element) == "use"]
    drawn = 0
    for use in uses:
        target = by_id.get(next((use.get(key, "") for key in REFERRING if use.get(key)), "").strip("# "))
        parts = list(target.iter()) if target is not None else []
        if any(_local(part) == "use" for part in parts):
            raise ParameterError(f"{name} uses parts that use parts again; save it as plain SVG.")
        drawn += len(parts)
    if drawn > MOST_ELEMENTS:
        raise ParameterError(f"{name} draws {drawn:,} parts; a logo may draw {MOST_ELEMENTS:,}.")


def _local(element: ElementTree.Element) -> str:
    return str(element.tag).rpartition("}")[2]


def _checked_png(data: bytes, name: str) -> bytes:
    """The parts of the PNG that hold its picture, when they hold what the head says."""
    chunks = _chunks(data, name)
    if not chunks or chunks[0][0] != b"IHDR" or len(chunks[0][1]) != 13:
        raise ParameterError(f"{name} is not a sound PNG; save it again.")
    width, height, depth, colour, _, _, interlaced = struct.unpack(">IIBBBBB", chunks[0][1])
    if not (0 < width <= LONGEST_SIDE and 0 < height <= LONGEST_SIDE and width * height <= MOST_PIXELS):
        raise ParameterError(
            f"{name} is {width} x {height} pixels; a logo may have {MOST_PIXELS // 1_000_000} million, "
            f"{LONGEST_SIDE} a side."
        )
    samples = {0: 1, 2: 3, 3: 1, 4: 2, 6: 4}.get(colour)
    if samples is None or depth not in (1, 2, 4, 8, 16):
        raise ParameterError(f"{name} is not a sound PNG; save it again.")
    if interlaced:
        raise ParameterError(f"{name} is an interlaced PNG; save it without interlacing.")
    size = height * (1 + (width * samples * depth + 7) // 8)
    packed = b"".join(part for kind, part in chunks if kind == b"IDAT")
    _check_unpacked(packed, size, name)
    kept = [(kind, part) for kind, part in chunks if kind in (b"IHDR", b"PLTE", b"tRNS", b"IDAT", b"IEND")]
    return PNG_SIGN + b"".join(_chunk(kind, part) for kind, part in kept)


def _chunks(data: bytes, name: str) -> list[tuple[bytes, bytes]]:
    found, at = [], len(PNG_SIGN)
    while at + 12 <= len(data):
        length, kind = struct.unpack(">I4s", data[at : at + 8])
        part = data[at + 8 : at + 8 + length]
        check = data[at + 8 + length : at + 12 + length]
        if len(part) != length or check != struct.pack(">I", zlib.crc32(kind + part)):
            raise ParameterError(f"{name} is a damaged PNG; save it again.")
        found.append((kind, part))
        at += 12 + length
    return found


def _check_unpacked(packed: bytes, size: int, name: str) -> None:
    """Unpack no more than the picture needs: a small file may unpack to gigabytes."""
    unpacker = zlib.decompressobj()
    try:
        unpacked = unpacker.decompress(packed, size + 1)
    except zlib.error:
        raise ParameterError(f"{name} is a damaged PNG; save it again.") from None
    if len(unpacked) != size:
        raise ParameterError(f"{name} holds more or less than its size says; save it again.")


def _chunk(kind: bytes, part: bytes) -> bytes:
    return struct.pack(">I", len(part)) + kind + part + struct.pack(">I", zlib.crc32(kind + part))
