"""Which drills a session has, how many balls and minutes each gets, and why each is there."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from firstbounce.errors import CannotPlan
from firstbounce.practice.asked import Asked, Source
from firstbounce.practice.drill import Drill, Stage
from firstbounce.words import Fault

MOST_BLOCKS = 5
MOST_FAULTS = 3  #: worked on in one session: more is too much to keep in mind [choice]
LEAST_BALLS = 6  #: fewer teach and tell nothing [choice]
BURST = 10  #: balls, then stand up straight, common practice
MOST_WITHOUT_REST = 30  #: balls, then a pause, common practice: 30 to 40
REST_MINUTES = 2
MOST_IN_BLOCK = 40
MOST_OF_ADULT, MOST_OF_CHILD = 120, 60  #: balls of one player and session [choice]
CHILD_AGE = 13  #: younger players get the smaller number
WARM_UP_SHARE, WARM_UP_LEAST, WARM_UP_MOST = 0.1, 2, 8  #: of the minutes


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot:
    """One drill of a session with its share of it."""

    drill: Drill
    fault: Fault  #: the one it is there for
    why: str
    balls: int = 0  #: of each player
    set_up_minutes: int = 1
    hit_minutes: int = 0
    rest_minutes: int = 0  #: pauses within it
    extra: bool = False  #: goes first when time or balls are short

    @property
    def minutes(self) -> int:
        """All of it."""
        return self.set_up_minutes + self.hit_minutes + self.rest_minutes

    @property
    def bursts(self) -> tuple[int, ...]:
        """Balls of each burst, a stretch after each."""
        whole, rest = divmod(self.balls, BURST)
        return (BURST,) * whole + ((rest,) if rest else ())


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """A fault that this session does not work on, and what would change that."""

    fault: Fault
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """The drills of a session in their order, with warm-up and pauses between."""

    warm_up_minutes: int
    slots: tuple[Slot, ...]
    left_out: tuple[LeftOut, ...]

    @property
    def minutes(self) -> int:
        """From the first swing to the end."""
        between = REST_MINUTES * max(len(self.slots) - 1, 0)
        return self.warm_up_minutes + between + sum(slot.minutes for slot in self.slots)

    @property
    def balls(self) -> int:
        """Of each player."""
        return sum(slot.balls for slot in self.slots)


def warm_up_minutes(minutes: int) -> int:
    """A tenth of the time, 2 to 8 minutes."""
    return min(max(round(WARM_UP_SHARE * minutes), WARM_UP_LEAST), WARM_UP_MOST)


def most_balls(asked: Asked) -> int:
    """The balls of one player: what was asked for, or the limit of volume."""
    child = asked.youngest is not None and asked.youngest < CHILD_AGE
    return min(asked.balls, MOST_OF_CHILD if child else MOST_OF_ADULT)


def choose(drills: Sequence[Drill], asked: Asked) -> Chosen:
    """Drills for the faults asked for, within minutes, balls, equipment, place and volume.

    CannotPlan when no fault can be worked on, with what is missing.
    """
    at_hand = [drill for drill in drills if not asked.lacks(drill) and _suits_group(drill, asked)]
    usable = [drill for drill in at_hand if _fits_alone(drill, asked)]
    slots, left_out = _wanted(drills, usable, asked)
    if not slots:
        raise CannotPlan(" ".join(one.reason for one in left_out))
    slots += _extras(usable, slots, asked)
    warm = warm_up_minutes(asked.minutes)
    while (shared := share_out(slots, asked.minutes - warm, most_balls(asked))) is None:
        gone = _drop(slots)  # ends: each of them fits alone
        if not gone.extra:
            left_out += _uncovered(gone, slots, asked, usable)
    return Chosen(warm_up_minutes=warm, slots=tuple(shared), left_out=tuple(left_out))


def _fits_alone(drill: Drill, asked: Asked) -> bool:
    """Whether time and balls would do if the session were this drill only."""
    slot = _slot(drill, drill.faults[0], "")
    return share_out([slot], asked.minutes - warm_up_minutes(asked.minutes), most_balls(asked)) is not None


def _suits_group(drill: Drill, asked: Asked) -> bool:
    """In a group nobody walks ahead of others who hit."""
    return asked.players == 1 or drill.stroke != "chip and putt"


def _wanted(drills: Sequence[Drill], usable: list[Drill], asked: Asked) -> tuple[list[Slot], list[LeftOut]]:
    """One drill for each fault; one that is covered already by a drill for another needs none of its own."""
    slots: list[Slot] = []
    left_out: list[LeftOut] = []
    for fault in asked.faults:
        if any(fault in slot.drill.faults for slot in slots):
            continue
        taken = [slot.drill for slot in slots]
        found = _best(fault, [drill for drill in usable if drill not in taken], asked)
        if found is None:
            left_out.append(LeftOut(fault=fault, reason=_missing(fault, drills, asked)))
        elif len(slots) == MOST_FAULTS:
            left_out.append(
                LeftOut(
                    fault=fault,
                    reason=f"{MOST_FAULTS} faults are enough for one session: {fault} another day.",
                )
            )
        else:
            slots.append(_slot(found, fault, _reason(found, fault, asked)))
    return slots, left_out


def _best(fault: Fault, drills: Sequence[Drill], asked: Asked) -> Drill | None:
    """For this stage first, then by how much the drill is for the fault, then by the others it covers."""
    fitting = [drill for drill in drills if fault in drill.faults]
    wanted = set(asked.faults)
    return min(
        fitting,
        key=lambda drill: (
            asked.stage not in drill.stages,
            drill.faults.index(fault),
            -len(wanted & set(drill.faults)),
            len(drill.needs),
            drill.number,
        ),
        default=None,
    )


_SOURCE_WORDS = {
    Source.REVIEW: "the review of your balls points to it",
    Source.TECHNIQUE: "your swing showed it",
    Source.COACH: "your coach chose it",
}


def _slot(drill: Drill, fault: Fault, why: str) -> Slot:
    return Slot(drill=drill, fault=fault, why=why, set_up_minutes=1 if len(drill.needs) < 2 else 2)


def _reason(drill: Drill, fault: Fault, asked: Asked) -> str:
    others = [other for other in asked.faults if other in drill.faults and other is not fault]
    also = f", and for {' and '.join(others)} too" if others else ""
    stage = (
        "" if asked.stage in drill.stages else f" It is not made for {asked.stage}, but none that fits is."
    )
    return f"For {fault}: {_SOURCE_WORDS[asked.source_of(fault)]}{also}.{stage}"


def _extras(usable: list[Drill], slots: list[Slot], asked: Asked) -> list[Slot]:
    """A second drill for the first fault, and one that mixes it all at the end."""
    first = slots[0].fault
    taken = [slot.drill for slot in slots]
    again = _best(
        first, [drill for drill in usable if drill not in taken and asked.stage in drill.stages], asked
    )
    made = []
    if again:
        made.append(replace(_slot(again, first, f"For {first}, another way."), extra=True))
        taken.append(again)
    mixing = _mixing(usable, taken, asked)
    if mixing:
        fault = next((f for f in asked.faults if f in mixing.faults), mixing.faults[0])
        why = "To end with: every ball another one, as on the course."
        made.append(replace(_slot(mixing, fault, why), extra=True))
    return made[: MOST_BLOCKS - len(slots)]


_MIXED_BY = {
    Stage.NEW: (),
    Stage.GROOVING: (Stage.TESTING,),
    Stage.TESTING: (Stage.TESTING, Stage.PRESSURE),
    Stage.PRESSURE: (Stage.PRESSURE,),
}


def _mixing(usable: list[Drill], taken: list[Drill], asked: Asked) -> Drill | None:
    """A drill that tests: for one of the faults if there is one, else for distance."""
    stages = _MIXED_BY[asked.stage]
    fitting = [d for d in usable if d not in taken and set(stages) & set(d.stages)]
    wanted = set(asked.faults) | {Fault.DISTANCE}
    fitting = [drill for drill in fitting if wanted & set(drill.faults)]
    return min(
        fitting,
        key=lambda d: (not set(asked.faults) & set(d.faults), not (d.has_circle or d.has_strips), d.number),
        default=None,
    )


def share_out(slots: Sequence[Slot], minutes: int, balls: int) -> list[Slot] | None:
    """Equal shares of minutes and balls; None when a drill would get less than it needs."""
    n = len(slots)
    spare = minutes - REST_MINUTES * (n - 1) - sum(slot.set_up_minutes for slot in slots)
    if spare < n:
        return None
    shared = [with_share(slot, spare // n, balls // n) for slot in slots]
    return None if any(slot is None for slot in shared) else [slot for slot in shared if slot]


def with_share(slot: Slot, minutes: int, balls: int, turns: int = 1) -> Slot | None:
    """The slot with as many balls as its share allows; `turns`: players who hit one after another there."""
    drill = slot.drill
    each = drill.minutes / drill.balls * turns
    if drill.stroke == "chip and putt":
        fits = drill.balls <= balls and drill.minutes * turns <= minutes
        return (
            replace(slot, balls=drill.balls, hit_minutes=math.ceil(drill.minutes * turns)) if fits else None
        )
    count = min(int(minutes / each), balls, MOST_IN_BLOCK)
    rest = 0
    if count > MOST_WITHOUT_REST:
        count = min(max(int((minutes - REST_MINUTES) / each), MOST_WITHOUT_REST), count)
        rest = REST_MINUTES if count > MOST_WITHOUT_REST else 0
    if count < LEAST_BALLS:
        return None
    return replace(slot, balls=count, hit_minutes=math.ceil(count * each - 1e-9), rest_minutes=rest)


def _drop(slots: list[Slot]) -> Slot:
    """Take away what matters least: the last extra, else the last fault."""
    extras = [slot for slot in slots if slot.extra]
    gone = extras[-1] if extras else slots[-1]
    slots.remove(gone)
    return gone


def _uncovered(gone: Slot, slots: list[Slot], asked: Asked, usable: list[Drill]) -> list[LeftOut]:
    """Faults that no drill is left for."""
    reason = f"Not enough minutes or balls for {{}} as well: {asked.minutes} minutes, {asked.balls} balls."
    lost = [fault for fault in asked.faults if fault in gone.drill.faults]
    kept = [slot.drill for slot in slots]
    return [
        LeftOut(fault=fault, reason=reason.format(fault))
        for fault in lost
        if not any(fault in drill.faults for drill in kept) and any(fault in drill.faults for drill in usable)
    ]


def _missing(fault: Fault, drills: Sequence[Drill], asked: Asked) -> str:
    """What would make a drill for this fault possible: the least that is lacking."""
    lacking = [asked.lacks(drill) for drill in drills if fault in drill.faults and _suits_group(drill, asked)]
    if not lacking:
        return f"No drill is for {fault}."
    if () in lacking:
        return f"{asked.minutes} minutes and {asked.balls} balls are too few for a drill for {fault}."
    least = min(map(len, lacking))
    ways = dict.fromkeys(" and ".join(lack) for lack in lacking if len(lack) == least)
    return f"No drill for {fault} with what is at hand; it takes {' or '.join(ways)}."
