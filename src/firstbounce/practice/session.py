"""A practice session: blocks with set-ups, in an order, with rest, sheets, cautions and the reason for each.

build(drills, asked, player, rng) -> Session
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from firstbounce.fitting.result import Fit
from firstbounce.players.player import Player
from firstbounce.practice.asked import STAGE_RULES, Asked, Order, StageRule
from firstbounce.practice.choose import (
    BURST,
    MOST_WITHOUT_REST,
    REST_MINUTES,
    LeftOut,
    Slot,
    choose,
    most_balls,
)
from firstbounce.practice.drill import Drill, Stage
from firstbounce.practice.group import Group, group_of, supervise
from firstbounce.practice.lengths import Yardsticks
from firstbounce.practice.runs import Runs
from firstbounce.practice.set_up import SetUp, set_up
from firstbounce.practice.sheet import Sheet, sheet_of
from firstbounce.practice.stick import StickModel

SPOTS = (0.75, 1.0, 1.25)  #: carries of a serial or random block over the usual one
IN_TURN = 3  #: balls of each spot in a serial block

WARM_UP = "Half swings without a ball, shoulders and hips, then longer ones; no ball is hit yet."
SAFETY = (
    "Swing room of {4 pace} all round; nobody ahead of the ball or in line with it.",
    "Agree a word that stops everything; collect balls only on the call that all is clear.",
    "Lightning within 30 s of the thunder, or any thunder: shelter, and 30 minutes more.",
    "Heat: shade, water, shorter bursts; stop when anybody feels unwell.",
    "Ask first about back, shoulder, wrist, elbow, balance, heart and pregnancy; stop with pain.",
    "Local rules, the club's policy and medical advice come first. On a practice green: its posted rules, "
    "repair every pitch mark, keep away from holes where others putt.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """One drill of a session, laid out."""

    slot: Slot
    order: Order
    order_words: str
    set_ups: tuple[SetUp, ...]  #: one for each spot
    sequence: tuple[int, ...]  #: which of the set-ups each ball is for, from 0
    sheet: Sheet
    stand_ins: tuple[str, ...]  #: what stands in for something that is not there
    starts: int = 0  #: minutes from the start of the session

    @property
    def drill(self) -> Drill:
        """Its drill."""
        return self.slot.drill

    def to_dict(self) -> dict[str, Any]:
        """Its shape in JSON."""
        return {
            "drill": self.drill.name,
            "number": self.drill.number,
            "fault": str(self.slot.fault),
            "why": self.slot.why,
            "starts_minute": self.starts,
            "minutes": self.slot.minutes,
            "balls": self.slot.balls,
            "bursts": list(self.slot.bursts),
            "order": str(self.order),
            "order_words": self.order_words,
            "set_ups": [one.to_dict() for one in self.set_ups],
            "sequence": [index + 1 for index in self.sequence],
            "sheet": list(self.sheet.lines()),
            "stand_ins": list(self.stand_ins),
            "caution": self.set_ups[0].caution,
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class Session:
    """A session from warm-up to the last ball."""

    asked: Asked
    warm_up_minutes: int
    blocks: tuple[Block, ...]
    group: Group | None
    left_out: tuple[LeftOut, ...]
    feedback: str
    focus: str
    cautions: tuple[str, ...]
    remarks: tuple[str, ...]

    @property
    def minutes(self) -> int:
        """From the first swing to the end."""
        if self.group:
            return self.group.turns[-1].ends
        last = self.blocks[-1]
        return last.starts + last.slot.minutes

    @property
    def balls(self) -> int:
        """Of each player."""
        return sum(block.slot.balls for block in self.blocks)

    def to_dict(self) -> dict[str, Any]:
        """Its shape in JSON."""
        return {
            "minutes": self.minutes,
            "balls": self.balls,
            "stage": str(self.asked.stage),
            "warm_up_minutes": self.warm_up_minutes,
            "warm_up": WARM_UP,
            "rest_minutes": REST_MINUTES,
            "feedback": self.feedback,
            "focus": self.focus,
            "blocks": [block.to_dict() for block in self.blocks],
            "group": None if self.group is None else group_shape(self.group),
            "left_out": [{"fault": str(one.fault), "reason": one.reason} for one in self.left_out],
            "cautions": list(self.cautions),
            "remarks": list(self.remarks),
        }


def group_shape(group: Group) -> dict[str, Any]:
    """A group in JSON."""
    return {
        "players": group.players,
        "spacing_m": round(group.spacing_m, 2),
        "behind_m": round(group.behind_m, 2),
        "width_m": round(group.width_m, 2),
        "adults_needed": group.supervision.needed,
        "supervision": group.supervision.words,
        "turn_minutes": group.turn_minutes,
        "turns": [
            {
                "starts_minute": turn.starts,
                "ends_minute": turn.ends,
                "at_station": [list(p) for p in turn.at_station],
            }
            for turn in group.turns
        ],
        "rules": list(group.rules),
    }


def build(
    drills: Sequence[Drill],
    asked: Asked,
    player: Player,
    rng: np.random.Generator,
    *,
    fit: Fit | None = None,
    sticks: StickModel | None = None,
    runs: Runs | None = None,
    yardsticks: Yardsticks | None = None,
) -> Session:
    """A session for what was asked.

    `rng` draws the order of random blocks; the other arguments are those of `set_up`. CannotPlan when no
    fault can be worked on with what is there; ParameterError when too few adults are there to start.
    """
    measured = yardsticks or Yardsticks()
    supervise(asked.players, asked.adults, asked.youngest)
    chosen = choose(drills, asked)
    group = group_of(chosen, asked, measured.pace_m) if asked.players > 1 else None
    slots = [station.slot for station in group.stations] if group else list(chosen.slots)
    rule = STAGE_RULES[asked.stage]

    def lay_out(slot: Slot, carry_m: float | None) -> SetUp:
        return set_up(
            slot.drill,
            player,
            carry_m=carry_m,
            fit=fit,
            sticks=sticks,
            runs=runs,
            yardsticks=measured,
            success=rule.success if slot.drill.has_circle or slot.drill.has_strips else None,
            own_centre=rule.own_centre,
        )

    blocks = [_block(slot, place, len(slots), asked, rng, lay_out) for place, slot in enumerate(slots)]
    return Session(
        asked=asked,
        warm_up_minutes=chosen.warm_up_minutes,
        blocks=_timed(blocks, chosen.warm_up_minutes, group),
        group=group,
        left_out=(*chosen.left_out, *_no_station(slots, chosen.left_out, asked)),
        feedback=rule.feedback,
        focus=rule.focus,
        cautions=_cautions(measured, asked),
        remarks=_remarks(asked, blocks),
    )


def order_of(rule: StageRule, stage: Stage, place: int, of: int, drill: Drill) -> Order:
    """Blocked, serial or random: by the stage, and from one to the next through the session."""
    if stage is Stage.GROOVING and of > 2 and place == of - 1:
        return Order.RANDOM
    return rule.orders[min(place, len(rule.orders) - 1)]


def _block(slot: Slot, place: int, of: int, asked: Asked, rng: np.random.Generator, lay_out: Any) -> Block:
    order = order_of(STAGE_RULES[asked.stage], asked.stage, place, of, slot.drill)
    set_ups = _spots(slot, order, asked, lay_out)
    sequence = _sequence(order, len(set_ups), slot.balls, rng)
    targets = (
        tuple(set_ups[i].number("carry").words.split(" (")[0] for i in sequence) if len(set_ups) > 1 else ()
    )
    stand_ins = [(thing, asked.stand_in(thing)) for thing in slot.drill.needs]
    return Block(
        slot=slot,
        order=order,
        order_words=_order_words(order, slot.drill, set_ups),
        set_ups=set_ups,
        sequence=sequence,
        sheet=sheet_of(slot.drill, set_ups[0].score, slot.balls, targets),
        stand_ins=tuple(f"{words} for the {thing}" for thing, words in stand_ins if words),
    )


def _spots(slot: Slot, order: Order, asked: Asked, lay_out: Any) -> tuple[SetUp, ...]:
    """One set-up for a blocked block, up to three for others; drills with targets of their own keep them."""
    middle = lay_out(slot, asked.carry_m)
    if order is Order.BLOCKED or own_order(slot.drill):
        return (middle,)
    low, high = slot.drill.carry_m
    carries = [min(max(share * middle.carry_m, low), high) for share in SPOTS]
    made: dict[str, SetUp] = {}
    for carry in carries:
        one = lay_out(slot, carry)
        made.setdefault(one.number("carry").words, replace(one, remarks=()))
    return tuple(made.values())


def own_order(drill: Drill) -> bool:
    """Whether the drill itself says where each ball goes."""
    kinds = [mark.kind for mark in drill.marks]
    targets = [kind for kind in kinds if kind in ("strip", "station", "circle", "patch", "tee")]
    many = len(targets) > 2 or kinds.count("circle") > 1
    return many and (
        drill.has_strips or "station" in kinds or kinds.count("circle") > 1 or kinds.count("tee") > 3
    )


def _sequence(order: Order, spots: int, balls: int, rng: np.random.Generator) -> tuple[int, ...]:
    if spots == 1:
        return (0,) * balls
    if order is Order.SERIAL:
        return tuple(k // IN_TURN % spots for k in range(balls))
    drawn: list[int] = []
    for _ in range(balls):  # another spot each ball, each as likely as the others
        free = [i for i in range(spots) if not drawn or i != drawn[-1]]
        drawn.append(free[int(rng.integers(len(free)))])
    return tuple(drawn)


def _order_words(order: Order, drill: Drill, set_ups: Sequence[SetUp]) -> str:
    if own_order(drill):
        return "in the drill's own order"
    if order is Order.BLOCKED or len(set_ups) == 1:
        return f"the same ball again, {BURST} in a row, then stand up and stretch"
    spots = ", ".join(one.number("carry").words for one in set_ups)
    if order is Order.SERIAL:
        return f"{IN_TURN} balls to each in turn: {spots}"
    return f"another one each ball, by lot (the order is on the sheet): {spots}"


def _timed(blocks: Sequence[Block], start: int, group: Group | None) -> tuple[Block, ...]:
    if group:
        return tuple(replace(block, starts=group.turns[0].starts) for block in blocks)
    timed = []
    for block in blocks:
        timed.append(replace(block, starts=start))
        start += block.slot.minutes + REST_MINUTES
    return tuple(timed)


def _no_station(slots: Sequence[Slot], known: Sequence[LeftOut], asked: Asked) -> list[LeftOut]:
    """Faults that lost their drill because the group has no station for it."""
    worked = {fault for slot in slots for fault in slot.drill.faults} | {one.fault for one in known}
    return [
        LeftOut(fault=fault, reason=f"No station is left for {fault}: too little room, time or balls.")
        for fault in asked.faults
        if fault not in worked
    ]


def _cautions(yardsticks: Yardsticks, asked: Asked) -> tuple[str, ...]:
    from firstbounce.practice.lengths import fill

    volume = (
        f"At most {most_balls(asked)} balls for each player today: stand up straight after every {BURST}, "
        f"pause {REST_MINUTES} minutes after {MOST_WITHOUT_REST}."
    )
    return (*(fill(text, yardsticks.body(), yardsticks) for text in SAFETY), volume)


def _remarks(asked: Asked, blocks: Sequence[Block]) -> tuple[str, ...]:
    said = [remark for block in blocks for one in block.set_ups for remark in one.remarks]
    if asked.balls > most_balls(asked):
        said.append(
            f"{asked.balls} balls were asked for; {most_balls(asked)} is the most of one session, "
            "for the body's sake."
        )
    return tuple(dict.fromkeys(said))
