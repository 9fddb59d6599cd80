"""A drill set up for one player: the numbers, what they rest on, the words and the drawing.

    set_up(drill, player) -> SetUp

Lengths come from the player's own balls where there are some and from what is usual for the level otherwise;
each number says which. Everything is rounded to what paces, clubs, shoes and hands can show.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from firstbounce.errors import ParameterError
from firstbounce.fitting.result import Fit
from firstbounce.pictures.setup import SetUpPicture, set_up_view
from firstbounce.players.player import Hand, Player
from firstbounce.practice.drill import Drill, uses_length
from firstbounce.practice.landing import Interval, Landing, landing_of_fit, landing_of_player
from firstbounce.practice.lengths import ROPED, Laid, Yardsticks, fill
from firstbounce.practice.runs import HIGH_LOFT_DEG, LOW_LOFT_DEG, MIDDLE_LOFT_DEG, Runs, usual_runs
from firstbounce.practice.set_up_picture import sheet_of
from firstbounce.practice.stick import StickModel, stick_prior
from firstbounce.words import LieKind

MOST_RADIUS = 0.3  #: of the carry: a larger circle says nothing of where a ball was meant to land [choice]
STRIP_SUCCESS = 0.6  #: share of clean strikes that a strip of the ladder is made deep for [choice]
LEAST_STEP_PACES = 2.0  #: between rungs of the ladder
MOST_STEP = 0.25  #: of the carry, so that the ladder stays short


@dataclass(frozen=True, slots=True, kw_only=True)
class SetUpNumber:
    """One length of a set-up, with what it rests on."""

    name: str  #: of practice.lengths.NAMES
    what: str  #: in words
    length_m: float  #: as it is laid
    exact_m: float  #: before rounding
    low_m: float | None  #: 90 % interval of the exact one; None for what was chosen
    high_m: float | None
    words: str  #: "12 paces (10.8 m)"
    likely: str  #: the interval in words; empty for what was chosen
    rests_on: str
    n: int  #: balls behind it

    def to_dict(self) -> dict[str, Any]:
        """Its shape in JSON."""
        return {
            "name": self.name,
            "what": self.what,
            "length_m": round(self.length_m, 3),
            "exact_m": round(self.exact_m, 3),
            "low_m": None if self.low_m is None else round(self.low_m, 3),
            "high_m": None if self.high_m is None else round(self.high_m, 3),
            "words": self.words,
            "rests_on": self.rests_on,
            "balls": self.n,
        }


@dataclass(frozen=True, kw_only=True)
class SetUp:
    """A drill laid out for one player."""

    drill: Drill
    player: str
    hand: Hand
    numbers: tuple[SetUpNumber, ...]
    text: str  #: the set-up in words, lengths filled in
    score: str
    easier: str
    harder: str
    caution: str
    aimed: float | None  #: success the circle or strip was sized for, of clean strikes
    expected: float | None  #: success to expect of all balls, mishits included; None where it cannot be told
    remarks: tuple[str, ...]
    picture: SetUpPicture

    @property
    def carry_m(self) -> float:
        """The carry that was set up [m]."""
        return self.number("carry").length_m

    def number(self, name: str) -> SetUpNumber:
        """The number of that name. ParameterError when this drill has none."""
        for number in self.numbers:
            if number.name == name:
                return number
        raise ParameterError(f"{self.drill.name} has no length called {name!r}.")

    @cached_property
    def drawing(self) -> str:
        """The drawing as SVG text."""
        return set_up_view(self.picture)

    def to_dict(self) -> dict[str, Any]:
        """Its shape in JSON, without the drawing."""
        return {
            "number": self.drill.number,
            "drill": self.drill.name,
            "player": self.player,
            "hand": str(self.hand),
            "set_up": self.text,
            "numbers": [number.to_dict() for number in self.numbers],
            "score": self.score,
            "out_of": self.drill.out_of,
            "passes": self.drill.passes,
            "aimed_share": self.aimed,
            "expected_share": None if self.expected is None else round(self.expected, 3),
            "easier": self.easier,
            "harder": self.harder,
            "caution": self.caution,
            "remarks": list(self.remarks),
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class _Asked:
    """What a set-up is computed from."""

    drill: Drill
    landing: Landing
    sticks: StickModel
    runs: Runs
    yardsticks: Yardsticks
    success: float | None
    circle_m: float | None
    own_centre: bool
    lie: LieKind


def set_up(
    drill: Drill,
    player: Player,
    *,
    carry_m: float | None = None,
    fit: Fit | None = None,
    sticks: StickModel | None = None,
    runs: Runs | None = None,
    yardsticks: Yardsticks | None = None,
    success: float | None = None,
    circle_m: float | None = None,
    own_centre: bool = False,
    lie: LieKind = LieKind.FAIRWAY,
) -> SetUp:
    """The drill laid out for this player.

    Parameters
    ----------
    carry_m : wanted carry [m]; kept to what the drill is meant for, and said so. None: the
        geometric middle of its range.
    fit : what logged balls say; None: what is usual for the level.
    sticks : what logged (stick, carry) pairs say; None: what is usual.
    runs : how far balls run, from the player's chart; None: what is usual on a medium green.
    yardsticks : unit of the words, length of a pace, a club, a shoe and a hand.
    success : share of balls the circle or strip is sized for, in place of the drill's own.
    circle_m : radius of the circle [m], such as an adaptive rule asks for, in place of the computed one.
    own_centre : size the circle for consistency, about the player's own centre; else about the spot.
    lie : what the balls lie on; it widens the spread.
    """
    landing = landing_of_fit(fit) if fit else landing_of_player(player)
    asked = _Asked(
        drill=drill,
        landing=landing,
        sticks=sticks or stick_prior(),
        runs=runs or usual_runs(player.bag),
        yardsticks=yardsticks or Yardsticks(),
        success=success,
        circle_m=circle_m,
        own_centre=own_centre,
        lie=lie,
    )
    remarks: list[str] = []
    numbers = _numbers(asked, _carry(asked, carry_m, remarks))
    lengths = {number.name: number.length_m for number in numbers} | asked.yardsticks.body()
    aimed, expected = _chances(asked, lengths, remarks)
    texts = {key: fill(text, lengths, asked.yardsticks) for key, text in drill.texts().items()}
    return SetUp(
        drill=drill,
        player=player.name,
        hand=player.hand,
        numbers=numbers,
        text=texts["set_up"],
        score=texts["score"],
        easier=texts["easier"],
        harder=texts["harder"],
        caution=texts["caution"],
        aimed=aimed,
        expected=expected,
        remarks=tuple(remarks),
        picture=sheet_of(
            drill,
            lengths,
            asked.yardsticks,
            left_handed=player.hand is Hand.LEFT,
            note=_note(texts["set_up"], numbers, texts["caution"]),
        ),
    )


def _note(text: str, numbers: tuple[SetUpNumber, ...], caution: str) -> str:
    """Below the drawing: the set-up, what its numbers rest on, and the caution."""
    bases = dict.fromkeys(f"{n.what}: {n.rests_on}" for n in numbers if n.low_m is not None)
    basis = f" {'; '.join(bases)}." if bases else ""
    return f"{text}{basis[:1] + basis[1:2].upper() + basis[2:] if basis else ''} Caution: {caution}"


def _carry(asked: _Asked, carry_m: float | None, remarks: list[str]) -> Laid:
    """The carry as it is paced out, within what the drill is meant for."""
    low, high = asked.drill.carry_m
    wanted = math.sqrt(low * high) if carry_m is None else carry_m
    if not 0.5 <= wanted <= 60:
        raise ParameterError(f"A chip carries 0.5 to 60 m, got {wanted:g} m.")
    kept = min(max(wanted, low), high)
    laid = asked.yardsticks.laid(kept)
    if abs(kept - wanted) > 1e-9:
        said = asked.yardsticks.said
        remarks.append(
            f"{asked.drill.name} is meant for carries of {said(low)} to {said(high)}: "
            f"set up for {laid.words} instead of {said(wanted)}."
        )
    return laid


def _numbers(asked: _Asked, carry: Laid) -> tuple[SetUpNumber, ...]:
    """Carry first, then every other length that the drill uses."""
    made = [
        SetUpNumber(
            name="carry",
            what="carry",
            length_m=carry.length_m,
            exact_m=carry.length_m,
            low_m=None,
            high_m=None,
            words=carry.words,
            likely="",
            rests_on="chosen",
            n=0,
        )
    ]
    makers = {
        "circle": _circle,
        "stick": _stick,
        "distance": _distance,
        "low": _low,
        "step": _step,
        "strip": _strip,
    }
    made += [make(asked, carry.length_m) for name, make in makers.items() if uses_length(asked.drill, name)]
    return tuple(made)


def _made(
    asked: _Asked, name: str, what: str, size: Interval, rests_on: str, n: int, *, known: bool = True
) -> SetUpNumber:
    laid, said = asked.yardsticks.laid(size.value, roped=name in ROPED), asked.yardsticks.said
    return SetUpNumber(
        name=name,
        what=what,
        length_m=laid.length_m,
        exact_m=size.value,
        low_m=size.low if known else None,
        high_m=size.high if known else None,
        words=laid.words,
        likely=f"{said(size.low)} to {said(size.high)}" if known else "",
        rests_on=rests_on,
        n=n,
    )


def _circle(asked: _Asked, carry_m: float) -> SetUpNumber:
    landing, smallest = asked.landing, 3 * asked.yardsticks.hand_m
    if asked.circle_m is not None:
        if not 0.1 <= asked.circle_m <= 10:
            raise ParameterError(f"A circle's radius must be 0.1 to 10 m, got {asked.circle_m:g} m.")
        given = Interval(value=asked.circle_m, low=asked.circle_m, high=asked.circle_m)
        return _made(asked, "circle", "radius of the circle", given, "chosen", 0, known=False)
    share = landing.of_clean(_success(asked))
    size = landing.circle(share, carry_m, about_spot=not asked.own_centre, lie=asked.lie)
    most = max(MOST_RADIUS * carry_m, smallest)
    kept = Interval(value=min(max(size.value, smallest), most), low=size.low, high=size.high)
    about = "own centre" if asked.own_centre else "spot"
    return _made(
        asked, "circle", f"radius of the circle about the {about}", kept, landing.rests_on, landing.n
    )


def _success(asked: _Asked) -> float:
    """The success of all balls that is aimed at."""
    wanted = asked.success or asked.drill.circle_share or STRIP_SUCCESS
    if not 0.1 <= wanted <= 0.95:
        raise ParameterError(f"The wanted success must be 10 to 95 %, got {100 * wanted:g} %.")
    return wanted


def _stick(asked: _Asked, carry_m: float) -> SetUpNumber:
    place = asked.sticks.place(carry_m)
    size = Interval(value=place.distance_m, low=place.low_m, high=place.high_m)
    return _made(asked, "stick", "stick ahead of the ball", size, place.source, place.n)


def _distance_m(asked: _Asked, carry_m: float) -> float:
    loft = HIGH_LOFT_DEG if uses_length(asked.drill, "low") else MIDDLE_LOFT_DEG
    return asked.runs.nearest(loft).total_m(carry_m)


def _distance(asked: _Asked, carry_m: float) -> SetUpNumber:
    loft = HIGH_LOFT_DEG if uses_length(asked.drill, "low") else MIDDLE_LOFT_DEG
    law = asked.runs.nearest(loft)
    total = law.total_m(carry_m)
    size = Interval(value=total, low=total, high=total)
    return _made(
        asked,
        "distance",
        f"ball to hole, where a {law.club} stops",
        size,
        asked.runs.rests_on,
        asked.runs.n,
        known=False,
    )


def _low(asked: _Asked, carry_m: float) -> SetUpNumber:
    law = asked.runs.nearest(LOW_LOFT_DEG)
    carry = law.carry_for(_distance_m(asked, carry_m))
    size = Interval(value=carry, low=carry, high=carry)
    return _made(
        asked, "low", f"carry of the {law.club}", size, asked.runs.rests_on, asked.runs.n, known=False
    )


def _step(asked: _Asked, carry_m: float) -> SetUpNumber:
    """Rungs as far apart as a strip is deep, two paces at least, a quarter of the carry at most."""
    pace = asked.yardsticks.pace_m
    deep = asked.landing.strip(STRIP_SUCCESS, carry_m, asked.lie).value
    paces = round(min(max(deep, LEAST_STEP_PACES * pace), MOST_STEP * carry_m) / (pace / 2)) / 2
    size = max(paces, 1.0) * pace
    return _made(
        asked,
        "step",
        "rungs apart",
        Interval(value=size, low=size, high=size),
        asked.landing.rests_on,
        asked.landing.n,
        known=False,
    )


def _strip(asked: _Asked, carry_m: float) -> SetUpNumber:
    share = asked.landing.of_clean(_success(asked))
    deep = asked.landing.strip(share, carry_m, asked.lie)
    step = _step(asked, carry_m).length_m
    kept = Interval(value=min(deep.value, step), low=deep.low, high=deep.high)
    return _made(asked, "strip", "depth of a strip", kept, asked.landing.rests_on, asked.landing.n)


def _chances(
    asked: _Asked, lengths: dict[str, float], remarks: list[str]
) -> tuple[float | None, float | None]:
    """Success aimed at, and success to expect with what was laid."""
    landing, carry = asked.landing, lengths["carry"]
    if "circle" in lengths:
        expected = landing.chance_in_circle(lengths["circle"], carry, asked.lie)
    elif "strip" in lengths:
        expected = landing.chance_within(lengths["strip"] / 2, carry, asked.lie)
    else:
        return None, None
    aimed = None if asked.circle_m is not None else _success(asked)
    if aimed is not None and expected < aimed - 0.1:
        remarks.append(
            f"About {round(10 * expected)} in 10 is to be expected here, less than the "
            f"{round(10 * aimed)} in 10 wanted: mishits and the usual miss count against it."
        )
    return aimed, expected
