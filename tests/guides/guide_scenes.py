"""Invented contents for guides: fixed numbers, so that a page never changes with the plan or the fit."""

from __future__ import annotations

import datetime
from dataclasses import replace

import numpy as np

from firstbounce.guides.basis import Basis
from firstbounce.guides.blocks import Kind, Paper
from firstbounce.guides.coach import Coach
from firstbounce.guides.content import Charted, Content, Drawn, Lesson, Shot
from firstbounce.guides.lengths import Lengths
from firstbounce.pictures.green import BallPath, GreenPicture, LandingCircle, green_view
from firstbounce.planning.chart import Chart, ChartRow
from firstbounce.planning.result import Choice, Cloud, Misses, Plan, Span
from firstbounce.players.player import Hand, player_of_level
from firstbounce.practice.drill import Drill, Place, SetUpMark, Stage
from firstbounce.practice.lengths import Yardsticks
from firstbounce.practice.set_up import set_up
from firstbounce.services.guide import Ask, charted_of, content_of
from firstbounce.services.pictures import measure_of
from firstbounce.services.practice import shipped_drills
from firstbounce.units import LengthUnit
from firstbounce.words import Circle, Fault, Level, Lie, LieKind, Point, Source, Station

DAY = datetime.date(2026, 5, 14)
CARRIES = (4.0, 7.0, 10.0, 14.0)
LOFTS = {"7i": 34.0, "9i": 42.0, "PW": 46.0, "GW": 50.0, "SW": 56.0, "LW": 60.0}
STATION = Station(name="Gate", start=Point(0.0, 0.0), hole=Point(0.0, 17.0), lie=Lie(kind=LieKind.FAIRWAY))
LOGO = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 120 60"><circle cx="30" cy="30" r="26" fill="none" '
    'stroke="#20252B" stroke-width="4"/><path d="M14 40 Q30 8 46 30 L110 30" fill="none" stroke="#20252B" '
    'stroke-width="4"/></svg>'
)
LONG = "Bartholomew Featherstonehaugh-Cholmondeley de la Quilletrie"  # 59 letters of 60
NAMES = {
    "Greek": "Ελευθερία Παπαδημητρίου",
    "Cyrillic": "Жанна Щербакова",
    "Arabic": "ليلى بنت عبد الرحمن",
    "CJK": "山田さくら 김하늘 王晓明",
    "long": LONG,
    "one word": "W" * 60,
}


def span(value: float, half: float) -> Span:
    return Span(value=value, low=value - half, high=value + half)


def run_m(loft_deg: float, carry_m: float) -> float:
    """An invented law: less loft, more run."""
    return (64.0 - loft_deg) * carry_m**0.4 / 5


def chart_rows(balls: int, known: float) -> tuple[ChartRow, ...]:
    rows = []
    for club, loft in LOFTS.items():
        for carry in CARRIES:
            run = run_m(loft, carry)
            rows.append(
                ChartRow(
                    club=club,
                    loft_deg=loft,
                    carry_m=carry,
                    run_m=span(run, known * run),
                    ball_run_m=span(run, 0.3 * run),
                    balls=balls // 6,
                )
            )
    return tuple(rows)


def chart_of(balls: int) -> Chart:
    known = {0: 0.45, 30: 0.15, 2000: 0.03}[balls]
    stimp = span(9.2, 0.4)
    return Chart(
        player="R. T.",
        rows=chart_rows(balls, known),
        stimp_ft=stimp,
        firmness=span(1.0, 0.2),
        learned_from=balls,
    )


def choice(unit: LengthUnit) -> Choice:
    return Choice(
        club="SW",
        is_putt=False,
        spot=Point(0.0, 13.0),
        circle=Circle(centre=Point(0.0, 13.0), radius_m=1.6),
        carry_m=span(13.0, 2.0),
        run_m=span(3.4, 1.4),
        mean_run_m=span(3.4, 0.9),
        putt_length_m=None,
        strokes=span(2.8, 0.05),
        behind=0.0,
        behind_error=0.0,
        beaten=0.0,
        equal=True,
        up_and_down=0.4,
        holed=0.05,
        on_green=0.9,
        leave_m=2.0,
        mishit_share=0.1,
        misses=Misses(short=0.2, long=0.05, left=0.1, right=0.1, mishit=0.8),
        advice="Miss long rather than short.",
        cloud=Cloud(landed=(), finished=(), mishit=()),
        path=(),
        draws=512,
    )


def plan_of(balls: int, unit: LengthUnit) -> Plan:
    land = "14 yards" if unit is LengthUnit.YARDS else "13 m"
    run = "3.5 yards" if unit is LengthUnit.YARDS else "3.5 m"
    return Plan(
        station=STATION,
        player="R. T.",
        choices=(choice(unit),),
        reason=f"Take the sand wedge, land it {land} away and let it run about {run}: easier putts.",
        certainty="likely",
        stops_on_green=True,
        warning="",
        learned_from=balls,
        seed=1,
    )


def shot_of(balls: int, unit: LengthUnit) -> Shot:
    turn = np.linspace(0, 2 * np.pi, 40, endpoint=False)
    picture = GreenPicture(
        title="Gate: sand wedge",
        start=(0.0, 0.0),
        hole=(0.0, 17.0),
        outline=np.column_stack([8 * np.sin(turn), 14 + 7 * np.cos(turn)]),
        circle=LandingCircle(centre=(0.0, 13.0), radius_m=1.6, words="land it here"),
        path=BallPath(flight=[(0, 0), (0, 13)], run=[(0, 13), (0.2, 16.4)]),
        measure=measure_of(unit),
        key="shot",
    )
    return Shot(
        plan=plan_of(balls, unit), picture=Drawn(svg=green_view(picture), alt="The green from above.")
    )


def drill_sets(count: int, unit: LengthUnit, hand: Hand = Hand.RIGHT, level: Level = Level.TEN_TO_EIGHTEEN):
    """Set-ups of the first drills of the catalogue for a usual player."""
    player = player_of_level(level, hand=hand)
    yardsticks = Yardsticks(unit=unit)
    made = [set_up(one, player, carry_m=12.0, yardsticks=yardsticks) for one in shipped_drills()[:count]]
    return tuple(replace(one, picture=replace(one.picture, note="")) for one in made)


FIXED_DRILLS = (
    Drill(
        number=1,
        name="Rope on the green",
        purpose="Land the ball where it was meant to land.",
        faults=(Fault.DISTANCE,),
        stages=(Stage.GROOVING,),
        equipment=("club", "ball", "rope"),
        places=(Place.GREEN,),
        set_up="A rope circle of radius {circle}, its middle {carry} from the ball.",
        carry_m=(5.0, 20.0),
        balls=20,
        minutes=10,
        score="the ball landed inside the rope",
        out_of=20,
        passes=14,
        easier="A radius a hand longer.",
        harder="A radius a hand shorter.",
        caution="The rope lies flat; nobody stands ahead.",
        marks=(
            SetUpMark(kind="ball"),
            SetUpMark(kind="circle", y="carry", size="circle", words="land inside"),
        ),
        circle_share=0.7,
    ),
    Drill(
        number=2,
        name="Stick ahead",
        purpose="The follow-through is as long as the backswing.",
        faults=(Fault.JAB,),
        stages=(Stage.NEW,),
        equipment=("club", "ball", "marker stick"),
        places=(Place.GRASS,),
        set_up="Lay the stick {stick} ahead of the ball. Chip to {carry}.",
        carry_m=(5.0, 15.0),
        balls=15,
        minutes=8,
        score="the club head stopped at the stick",
        out_of=10,
        passes=8,
        easier="Without a ball.",
        harder="Another carry each time.",
        caution="The stick lies flat: never upright in front of a swing.",
        marks=(SetUpMark(kind="ball"), SetUpMark(kind="stick", y="stick"), SetUpMark(kind="spot", y="carry")),
    ),
)


def fixed_sets(unit: LengthUnit, level: Level = Level.TEN_TO_EIGHTEEN):
    """Set-ups of two drills that no catalogue changes."""
    player, yardsticks = player_of_level(level), Yardsticks(unit=unit)
    made = [set_up(one, player, carry_m=12.0, yardsticks=yardsticks) for one in FIXED_DRILLS]
    return tuple(replace(one, picture=replace(one.picture, note="")) for one in made)


def fixed_content(kind: Kind, paper: Paper) -> Content:
    """Content for snapshots: fixed numbers and drills; the general guide in yards."""
    unit = LengthUnit.YARDS if kind is Kind.GENERAL else LengthUnit.METRES
    content = replace(player_content(drills=0, unit=unit), drills=fixed_sets(unit), paper=paper)
    if kind is not Kind.GENERAL:
        return content
    return replace(
        content,
        theme="Landing the ball where you look",
        lesson=Lesson(saw=("A chip is planned where it lands.",)),
        by_level=tuple((level, fixed_sets(unit, level)) for level in Level),
        basis=replace(content.basis, day=None, balls=0, anyone=True),
    )


def player_content(
    *,
    balls: int = 30,
    drills: int = 2,
    unit: LengthUnit = LengthUnit.METRES,
    hand: Hand = Hand.RIGHT,
    player: str = "R. T.",
    coach: Coach | None = None,
    link: str = "",
) -> Content:
    """All that a player guide, a log sheet or a card may tell."""
    charted: Charted = charted_of(chart_of(balls), unit)
    return Content(
        coach=coach or Coach(name="Mara Quill", contact="mara@quillet.example, 0555 010 010"),
        lengths=Lengths(unit=unit),
        player=player,
        level=Level.TEN_TO_EIGHTEEN,
        basis=basis(balls),
        lesson=Lesson(
            saw=("Your strike is clean.", "Balls that land on your spot stop short of the hole."),
            aim="Land it three steps further on.",
            goal="Seven of ten balls in the circle by the end of June.",
        ),
        station=STATION,
        shot=shot_of(balls, unit),
        charted=charted,
        drills=drill_sets(drills, unit, hand),
        link=link,
    )


def basis(balls: int) -> Basis:
    source = Source.FITTED if balls else Source.PRIOR
    return Basis(
        balls=balls,
        day=DAY,
        stimp_ft=9.2,
        stimp_source=source,
        firmness=1.0,
        firmness_source=source,
        wet=False,
        level=Level.TEN_TO_EIGHTEEN,
    )


def general_content(
    *, drills: int = 2, unit: LengthUnit = LengthUnit.METRES, theme: str = "Landing the ball where you look"
) -> Content:
    """All that a general guide tells; the drills are the first of the catalogue."""
    names = tuple(one.name for one in shipped_drills()[:drills])
    ask = Ask(
        kind=Kind.GENERAL,
        theme=theme,
        drills=names,
        unit=unit,
        coach=Coach(name="Mara Quill", contact="mara@quillet.example"),
        lesson=Lesson(saw=("A chip is planned where it lands.",)),
    )
    return content_of(ask, None, None)


def content_for(kind: Kind, **more) -> Content:
    """The content that a kind of guide is made from."""
    paper = more.pop("paper", Paper.A4)
    return replace(_content_for(kind, **more), paper=paper)


def _content_for(kind: Kind, **more) -> Content:
    if kind is Kind.GENERAL:
        return general_content(**{key: value for key, value in more.items() if key in ("drills", "unit")})
    return player_content(**more)
