"""Clips on their way in: streamed to a file of our own naming beside the records, gone once watched."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path

from fastapi import Request
from fastapi.concurrency import run_in_threadpool

from firstbounce.errors import StoreError, VideoError
from firstbounce.services.pose_model import COMMAND, load_model, model_folder
from firstbounce.services.store import Store, new_id
from firstbounce.technique.landmarks import NEEDS_VIDEO

FOLDER = "incoming"
PACKAGES = ("av", "ai_edge_litert", "PIL")  #: of the extra for video
HEAD_BYTES = 12  #: of a file that say what it is
#: kinds of the first box of an mp4 or mov; a playlist or script that a player would follow begins otherwise
BOXES = (b"ftyp", b"moov", b"mdat", b"wide", b"free", b"skip", b"pnot")
MATROSKA = b"\x1aE\xdf\xa3"
NOT_A_CLIP = "This file is no clip that can be read: take one that a phone filmed (mp4 or mov)."


@dataclass(frozen=True, slots=True, kw_only=True)
class Missing:
    """What clips cannot be watched without, and the command that brings it."""

    sentence: str
    command: str


def missing() -> Missing | None:
    """What is not on this machine; None when clips can be watched."""
    if any(find_spec(name) is None for name in PACKAGES):
        return Missing(sentence=NEEDS_VIDEO, command='pip install "firstbounce[video]"')
    try:
        _look(str(model_folder()))
    except VideoError as error:
        return Missing(sentence=str(error), command=COMMAND)
    return None


@lru_cache(maxsize=4)
def _look(folder: str) -> None:
    """Read and check the files of this folder once; what was wrong is looked at again the next time."""
    load_model()


def looks_like_a_clip(head: bytes) -> bool:
    """Whether the first bytes are those of an mp4, mov or mkv."""
    return head[4:8] in BOXES or head.startswith(MATROSKA)


def clear(store: Store) -> None:
    """Remove what an earlier run left behind; nothing there is anybody's record."""
    shutil.rmtree(store.folder / FOLDER, ignore_errors=True)


async def received(request: Request, store: Store) -> Path:
    """The body on disk, chunk by chunk. It is removed again when anything goes wrong on the way."""
    folder = store.folder / FOLDER
    path = folder / new_id()
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        with path.open("wb") as out:
            head = b""
            async for chunk in request.stream():
                if len(head) < HEAD_BYTES:
                    head += chunk[:HEAD_BYTES]
                    if len(head) >= HEAD_BYTES and not looks_like_a_clip(head):
                        raise VideoError(NOT_A_CLIP)
                await run_in_threadpool(out.write, chunk)
        if not head:
            raise VideoError("The file is empty; copy it from the phone again.")
        if not looks_like_a_clip(head):
            raise VideoError(NOT_A_CLIP)
    except OSError as error:
        path.unlink(missing_ok=True)
        raise StoreError(
            f"The clip could not be taken ({error.strerror}): make room on the laptop."
        ) from None
    except BaseException:
        path.unlink(missing_ok=True)
        raise
    return path
