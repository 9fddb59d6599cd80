"""Bytes of a file to text, with a plain fault when they are no text that we can use."""

from __future__ import annotations

from pathlib import Path

from firstbounce.errors import FileFault, FileFaults

MAX_BYTES = 200_000_000  #: larger files are refused before they are read [bytes]
UTF8_BOM = b"\xef\xbb\xbf"
UTF16_BOMS = (b"\xff\xfe", b"\xfe\xff")
SAVE_AS = "save it as text in UTF-8 (in a spreadsheet: CSV UTF-8)"


def read_text(path: Path) -> str:
    """Text of the file with `\\n` line ends; a byte-order mark is dropped. Raises FileFaults."""
    return decode(path, read_bytes(path))


def read_bytes(path: Path) -> bytes:
    """Bytes of the file. Raises FileFaults when it is not there, a folder, not ours to read or huge."""
    try:
        if path.stat().st_size > MAX_BYTES:
            raise whole_file(path, f"the file is larger than {MAX_BYTES // 1_000_000} MB; split it")
        return path.read_bytes()
    except FileNotFoundError:
        raise whole_file(path, "there is no such file; check the name and the folder") from None
    except IsADirectoryError:
        raise whole_file(path, "this is a folder; name the file in it") from None
    except PermissionError:
        raise whole_file(path, "the file may not be read by you; change its permissions") from None
    except (OSError, ValueError) as error:
        raise whole_file(path, f"the file cannot be read ({error})") from None


def decode(path: Path, data: bytes) -> str:
    """UTF-8 text of the bytes with `\\n` line ends. Raises FileFaults naming the first bad line."""
    if data.startswith(UTF16_BOMS):
        raise whole_file(path, f"the text is UTF-16; {SAVE_AS}")
    data = data.removeprefix(UTF8_BOM)
    if b"\0" in data:
        raise FileFaults(path, [_at(data, data.index(b"\0"), f"this is not a text file; {SAVE_AS}")])
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        seen = data[error.start : error.start + 1].decode("latin-1")
        problem = f"a letter is not UTF-8 (perhaps {seen!r} in an older Windows encoding); {SAVE_AS}"
        raise FileFaults(path, [_at(data, error.start, problem)]) from None
    return text.replace("\r\n", "\n").replace("\r", "\n")


def whole_file(path: object, problem: str) -> FileFaults:
    """A single fault of the whole file."""
    return FileFaults(path, [FileFault(line=None, column=None, problem=problem)])


def _at(data: bytes, position: int, problem: str) -> FileFault:
    return FileFault(line=data.count(b"\n", 0, position) + 1, column=None, problem=problem)
