"""The same items judged by a coach's eye, without video: one tick an item for a set of swings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

from firstbounce.errors import ParameterError
from firstbounce.technique.marks import Item, Judge, Judged, judged, not_judged

WORDS: Final[Mapping[str, Item]] = {
    "arms together": Item.ARMS,
    "through matches back": Item.MATCH,
    "finish held": Item.HELD,
    "recoil": Item.RECOIL,
}
YES: Final = ("yes", "y")
NO: Final = ("no", "n")
HOLDS: Final = {"1": 1.0, "2": 2.0, "1 s": 1.0, "2 s": 2.0, "yes": 1.0, "y": 1.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class Ticks:
    """What a coach ticked for a set of swings; an item that is not in `ticked` was not looked at.

    ticked: item to whether it was good (for recoil: True when there was none). held_s: 1 or 2 when ticked so.
    """

    swings: int = 1
    ticked: Mapping[Item, bool] = field(default_factory=dict)
    held_s: float | None = None

    def __post_init__(self) -> None:
        if self.swings < 1:
            raise ParameterError(f"A set has at least 1 swing, got {self.swings}.")


def read_ticks(text: str, *, swings: int = 1) -> Ticks:
    """Ticks from words, for example "arms together yes, finish held 2, recoil no.

    Through matches back no".
    """
    ticked: dict[Item, bool] = {}
    held_s: float | None = None
    for part in filter(None, (piece.strip().lower().replace("=", " ") for piece in text.split(","))):
        word = next((w for w in WORDS if part.startswith(w)), None)
        answer = part[len(word) :].strip() if word else ""
        if word is None or not _known(word, answer):
            raise ParameterError(
                f'"{part}" is not a tick: write for example "arms together yes, through matches back no, '
                'finish held 2, recoil no"; finish held takes 1, 2 or no.'
            )
        item = WORDS[word]
        if item is Item.HELD:
            held_s = HOLDS.get(answer)
            ticked[item] = held_s is not None
        else:
            ticked[item] = (answer in YES) != (item is Item.RECOIL)
    return Ticks(swings=swings, ticked=ticked, held_s=held_s)


def _known(word: str, answer: str) -> bool:
    allowed = (*HOLDS, *NO) if WORDS[word] is Item.HELD else (*YES, *NO)
    return answer in allowed


def judge_ticks(ticks: Ticks) -> list[Judged]:
    """The verdicts of a coach's ticks, marked coach-judged.

    With the same faults and drills as measured ones.
    """
    out = []
    for item in WORDS.values():
        good = ticks.ticked.get(item)
        if good is None:
            out.append(not_judged(item, "not looked at", judge=Judge.COACH))
            continue
        out.append(judged(item, good, _words(item, good, ticks.held_s), judge=Judge.COACH))
    return out


def _words(item: Item, good: bool, held_s: float | None) -> str:
    if item is Item.HELD and good and held_s is not None:
        return f"held for {held_s:.0f} s, by eye"
    return "seen good by eye" if good else "seen wanting by eye"
