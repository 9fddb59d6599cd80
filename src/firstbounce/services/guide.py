"""Make a guide: from a day, its balls, the drills and the coach's words to a PDF and a page for phones."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from firstbounce.errors import Cancelled, ParameterError
from firstbounce.files.balls import LoggedBalls
from firstbounce.files.reading import read_text
from firstbounce.fitting.fit import prior_fit
from firstbounce.fitting.result import Fit
from firstbounce.ground.conditions import GreenToday
from firstbounce.guides.basis import Basis
from firstbounce.guides.blocks import Guide, Kind, Paper
from firstbounce.guides.coach import Coach
from firstbounce.guides.content import Charted, Content, Drawn, Lesson, Shot
from firstbounce.guides.lengths import Lengths
from firstbounce.guides.make import make_guide
from firstbounce.guides.page import page_of
from firstbounce.guides.parts import run_cell
from firstbounce.guides.template import Template, template_of_text
from firstbounce.guides.typeset import pdf_of
from firstbounce.pictures.chart import ChartPicture, chart_view
from firstbounce.pictures.green import green_view
from firstbounce.planning.chart import CARRIES_M, Chart, chart
from firstbounce.planning.result import Plan
from firstbounce.planning.sentences import club_text
from firstbounce.players.player import Hand, Player, player_of_level
from firstbounce.practice.drill import Drill
from firstbounce.practice.lengths import Yardsticks
from firstbounce.practice.runs import Runs, runs_of_chart, usual_runs
from firstbounce.practice.set_up import SetUp, set_up
from firstbounce.services.chart import carries_that_matter
from firstbounce.services.day import USUAL_LEVEL, Day, load_balls, load_day
from firstbounce.services.once import fit_once, plan_once
from firstbounce.services.pictures import bar_of, file_name, measure_of, plan_green
from firstbounce.services.plan import first_station
from firstbounce.services.practice import CHART_CARRIES_M, all_drills, find_drill
from firstbounce.services.usual_green import usual_day, usual_words
from firstbounce.units import LengthUnit
from firstbounce.words import Fault, Level, Station

Progress = Callable[[float], None]
Cancel = Callable[[], bool]
USUAL_FAULTS = (Fault.DISTANCE,)  #: what is practised when nobody names a fault
FEW_DRILLS = 3  #: chosen when the coach names none


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """What one guide is to be. Plain values only, so that it can be sent to another process."""

    kind: Kind = Kind.PLAYER
    name: str = ""  #: of the files that are written; made from kind and player when empty
    green: Path | None = None
    balls: Path | None = None
    own_drills: Path | None = None
    template: Path | None = None
    fonts: Path | None = None  #: folder with more fonts
    coach: Coach = field(default_factory=Coach)
    player: str = ""
    level: Level | None = None
    hand: Hand | None = None
    station: str = ""
    drills: tuple[str, ...] = ()
    faults: tuple[Fault, ...] = ()
    carry_m: float | None = None  #: of the drills; the plan's when left out
    carries_m: tuple[float, ...] = ()  #: of the chart
    lesson: Lesson = field(default_factory=Lesson)
    theme: str = ""
    link: str = ""
    unit: LengthUnit = LengthUnit.METRES
    paper: Paper = Paper.A4


@dataclass(frozen=True, kw_only=True)
class Made:
    """A finished guide, its PDF and its page for phones."""

    guide: Guide
    pdf: bytes
    page: str


def make(ask: Ask, *, progress: Progress = lambda share: None) -> Made:
    """The guide that was asked for, from files. Raises what is wrong with them, one sentence each."""
    day = load_day(ask.green) if ask.green else None
    logged = load_balls(ask.balls, day) if ask.balls and day else None
    if ask.balls and not day:
        raise ParameterError("Balls need the green they were hit on: name its file too (--green green.toml).")
    progress(0.1)
    return printed(ask, content_of(ask, day, logged, progress=lambda share: progress(0.1 + 0.7 * share)))


def printed(ask: Ask, content: Content) -> Made:
    """PDF and page of a content: the last step, the same wherever the content comes from."""
    guide = make_guide(ask.kind, content, template=_template(ask))
    return Made(
        guide=guide,
        pdf=pdf_of(guide, content.coach, folder=ask.fonts),
        page=page_of(guide, content.coach),
    )


def content_of(
    ask: Ask,
    day: Day | None,
    logged: LoggedBalls | None,
    *,
    known_player: Player | None = None,
    progress: Progress = lambda share: None,
    cancelled: Cancel = lambda: False,
) -> Content:
    """Everything that the guide may tell: plan, chart, what was seen, drills set up for this player.

    known_player: whose clubs and numbers to take when there is no day. Cancelled when `cancelled` says so.
    """
    if ask.kind is Kind.GENERAL:
        return _for_anyone(ask)
    player = _player(ask, day, known_player)
    mine = None if day is None else _for_player(day, player)
    fit = fit_once(mine, logged, cancelled) if mine and logged else None
    _go_on(progress, 0.4, cancelled)
    today = mine.today if mine else GreenToday.of_words()
    content = Content(
        coach=ask.coach,
        lengths=Lengths(unit=ask.unit, pace_m=ask.coach.pace_m),
        player=ask.player or ("" if day is None else player.name),
        level=player.level,
        basis=_basis(fit or prior_fit(player, today), day, player),
        lesson=ask.lesson,
        station=_station(ask, mine),
        link=ask.link,
        paper=ask.paper,
    )
    with ThreadPoolExecutor(1) as beside:  # the chart and the review while the station is planned
        charted = beside.submit(_charted, ask, mine, player, today, fit)
        lesson = beside.submit(_reviewed, ask, mine, logged, fit)
        runs = beside.submit(_runs, ask, player, today, fit)
        content = replace(content, **_planned(ask, mine, player, fit, cancelled))
        content = replace(content, charted=charted.result(), lesson=lesson.result())
    _go_on(progress, 0.9, cancelled)
    if ask.kind is Kind.PLAYER:
        content = with_usual_words(replace(content, drills=_drills(ask, player, content, fit, runs.result())))
    progress(1.0)
    return content


def write_guide(made: Made, folder: Path, name: str) -> tuple[Path, Path]:
    """The PDF and the page for phones on disk; returns their paths."""
    folder.mkdir(parents=True, exist_ok=True)
    pdf, page = folder / f"{name}.pdf", folder / f"{name}.html"
    for path, data in ((pdf, made.pdf), (page, made.page.encode())):
        part = path.with_name(f"{path.name}.part")  # stopped on the way, a file of that name is never half
        part.write_bytes(data)
        part.replace(path)
    return pdf, page


def name_of(ask: Ask, player: str = "") -> str:
    """The name of a guide's files."""
    return file_name(
        ask.name or " ".join(part for part in (ask.kind, ask.player or player, ask.station) if part)
    )


def _go_on(progress: Progress, share: float, cancelled: Cancel) -> None:
    """Tell how far it is; Cancelled when it is to stop."""
    progress(share)
    if cancelled():
        raise Cancelled("Stopped; no guide was made.")


def _player(ask: Ask, day: Day | None, known_player: Player | None) -> Player:
    """The player of the day or the known one, or the usual one of a level; what the guide names wins."""
    if day is None and known_player is not None:
        player = known_player
    elif day is None:
        player = player_of_level(ask.level or USUAL_LEVEL)
    elif ask.level is not None and ask.level is not day.player.level:
        player = player_of_level(ask.level, name=day.player.name, hand=day.player.hand, bag=day.player.bag)
    else:
        player = day.player
    return player if ask.hand in (None, player.hand) else replace(player, hand=ask.hand)


def _for_player(day: Day, player: Player) -> Day:
    return day if day.player is player else replace(day, player=player)


def _station(ask: Ask, day: Day | None) -> Station | None:
    if day is None:
        if ask.station:
            raise ParameterError(
                "A station needs the green it is on: name its file too (--green green.toml)."
            )
        return None
    if ask.station:
        return day.station(ask.station)
    return first_station(day) if day.stations else None


def _basis(known: Fit, day: Day | None, player: Player) -> Basis:
    return Basis(
        balls=known.n_balls,
        day=day.file.today.date if day else None,
        stimp_ft=known.stimp_ft.value,
        stimp_source=known.stimp_ft.source,
        firmness=known.firmness.value,
        firmness_source=known.firmness.source,
        wet=known.wet,
        level=player.level,
    )


def _planned(ask: Ask, day: Day | None, player: Player, fit: Fit | None, cancelled: Cancel) -> dict[str, Any]:
    """The station and the shot of a content. Without a green a player's shot is planned on a usual one."""
    if ask.kind not in (Kind.PLAYER, Kind.LOG_SHEET) or (day is not None and not day.stations):
        return {}
    note = ""
    if day is None:
        if ask.kind is Kind.LOG_SHEET:
            return {}
        day = replace(usual_day(), player=player)
        note = usual_words(Lengths(unit=ask.unit, pace_m=ask.coach.pace_m))
    station = _station(ask, day)
    assert station is not None
    plan = plan_once(day, station, fit=fit, unit=ask.unit, cancelled=cancelled)
    return {"station": station, "shot": Shot(plan=plan, picture=shot_drawn(day, plan, ask.unit), note=note)}


def shot_drawn(day: Day, plan: Plan, unit: LengthUnit) -> Drawn:
    """The first choice from above: landing circle and the usual ball, nothing else."""
    choice = plan.first
    drawn = plan_green(day, plan, choice, unit)
    if drawn.circle is not None:
        drawn = replace(drawn, circle=replace(drawn.circle, words="land it here"))
    drawn = replace(drawn, landings=None, finishes=None, holed=None, note="")
    where = "" if choice.circle is None else ", the landing circle"
    alt = f"The green from above: start, hole{where} and the way of the usual {club_text(choice.club)} ball."
    return Drawn(svg=green_view(drawn), alt=alt)


def charted_of(made: Chart, unit: LengthUnit) -> Charted:
    """The chart with the bars of its middle carry."""
    carries = sorted({row.carry_m for row in made.rows})
    middle = carries[len(carries) // 2]
    rows = [row for row in made.rows if row.carry_m == middle]
    lengths = Lengths(unit=unit)
    title = f"Carry {lengths.far(middle)}: where each club's ball lands and stops"
    picture = ChartPicture(
        title=title,
        rows=tuple(bar_of(row.club, row.carry_m, row.run_m) for row in rows),
        measure=measure_of(unit),
        interval_words="what the average run likely lies between",
    )
    told = "; ".join(f"{club_text(row.club)} runs {run_cell(row, lengths)[0]}" for row in rows)
    return Charted(
        chart=made, picture=Drawn(svg=chart_view(picture), alt=f"{title}: {told}."), bars_carry_m=middle
    )


def _charted(ask: Ask, day: Day | None, player: Player, today: GreenToday, fit: Fit | None) -> Charted | None:
    """The chart, where the kind of guide shows one."""
    if ask.kind not in (Kind.PLAYER, Kind.CARD):
        return None
    carries = ask.carries_m or (carries_that_matter(day) if day else CARRIES_M)
    return charted_of(chart(player, today, fit=fit, carries_m=carries), ask.unit)


def _runs(ask: Ask, player: Player, today: GreenToday, fit: Fit | None) -> Runs | None:
    """How far this player's balls run, for drills."""
    if ask.kind is not Kind.PLAYER:
        return None
    return runs_of_chart(chart(player, today, fit=fit, carries_m=CHART_CARRIES_M))


def _reviewed(ask: Ask, day: Day | None, logged: LoggedBalls | None, fit: Fit | None) -> Lesson:
    """What the coach did not write, the balls say: what we saw, and the aim."""
    said = ask.lesson
    if ask.kind is not Kind.PLAYER or day is None or logged is None or not logged.balls:
        return said
    if said.saw and said.aim:
        return said
    from firstbounce.services.review import review_day

    verdict = review_day(day, logged, now=fit, unit=ask.unit).verdict
    return replace(said, saw=said.saw or (verdict.reason,), aim=said.aim or verdict.sentence)


def with_usual_words(content: Content) -> Content:
    """What nobody said yet: that there are no balls, to land it on the spot, to pass the first drill."""
    said, shot = content.lesson, content.shot
    no_balls = "We have logged no balls of yours yet: all numbers here are typical for your level."
    aim, goal = "Land the ball on your spot.", ""
    if shot and not shot.plan.first.is_putt:
        aim = f"Land the ball on your spot, {content.lengths.paces(shot.plan.first.carry_m.value)} away."
    if content.drills:
        first = content.drills[0].drill
        goal = f"{first.passes} of {first.out_of} in {first.name}, on two days of the same week."
    usual = Lesson(
        saw=said.saw or (() if content.basis.balls else (no_balls,)),
        aim=said.aim or aim,
        goal=said.goal or goal,
    )
    return replace(content, lesson=usual)


def _drills(
    ask: Ask, player: Player, content: Content, fit: Fit | None, runs: Runs | None
) -> tuple[SetUp, ...]:
    """The drills asked for, set up for this player and what is planned."""
    carry = ask.carry_m
    if carry is None and content.shot and not content.shot.plan.first.is_putt:
        carry = content.shot.plan.first.carry_m.value
    return tuple(_set_up(drill, ask, player, carry, fit, runs) for drill in chosen_drills(ask))


def chosen_drills(ask: Ask) -> tuple[Drill, ...]:
    """Drills by name, or the first few for the faults."""
    drills = all_drills(ask.own_drills)
    if ask.drills:
        return tuple(find_drill(drills, name) for name in ask.drills)
    faults = set(ask.faults or USUAL_FAULTS)
    return tuple(drill for drill in drills if faults & set(drill.faults))[:FEW_DRILLS]


def _set_up(
    drill: Drill, ask: Ask, player: Player, carry_m: float | None, fit: Fit | None, runs: Runs | None
) -> SetUp:
    yardsticks = Yardsticks(unit=ask.unit, pace_m=ask.coach.pace_m)
    made = set_up(drill, player, carry_m=carry_m, fit=fit, runs=runs, yardsticks=yardsticks)
    return replace(made, picture=replace(made.picture, note=""))


def _for_anyone(ask: Ask) -> Content:
    """A theme and drills with numbers by level; nobody's own balls."""
    level, today = ask.level or USUAL_LEVEL, GreenToday.of_words()
    player = player_of_level(level, hand=ask.hand or Hand.RIGHT)
    usual = chart(player, today, carries_m=ask.carries_m or CARRIES_M)
    drills = chosen_drills(ask)
    known = prior_fit(player, today)
    return Content(
        coach=ask.coach,
        lengths=Lengths(unit=ask.unit, pace_m=ask.coach.pace_m),
        level=level,
        basis=replace(_basis(known, None, player), anyone=True),
        lesson=ask.lesson,
        theme=ask.theme,
        charted=charted_of(usual, ask.unit),
        drills=_usual_set_ups(drills, ask, player),
        by_level=tuple(
            (one, _usual_set_ups(drills, ask, player_of_level(one, hand=player.hand))) for one in Level
        ),
        link=ask.link,
        paper=ask.paper,
    )


def _usual_set_ups(drills: tuple[Drill, ...], ask: Ask, player: Player) -> tuple[SetUp, ...]:
    runs = usual_runs(player.bag)
    return tuple(_set_up(drill, ask, player, ask.carry_m, None, runs) for drill in drills)


def _template(ask: Ask) -> Template | None:
    return template_of_text(str(ask.template), read_text(ask.template)) if ask.template else None
