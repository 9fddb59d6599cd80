"""`firstbounce plan`: which club, which landing spot."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from firstbounce.cli.options import (
    FILE,
    balls_option,
    json_option,
    level_option,
    lie_option,
    pictures_option,
    station_option,
    units_option,
)
from firstbounce.cli.progress import Progress
from firstbounce.cli.words import echo_json, table
from firstbounce.units import Lengths, LengthUnit, balls, out_of_ten
from firstbounce.words import Level, Lie, LieKind

if TYPE_CHECKING:
    from firstbounce.planning.result import Choice, Plan
    from firstbounce.planning.rough import RoughChoice, RoughPlan

SURE = {"sure": "This is sure", "likely": "This is likely", "hunch": "This is a hunch"}
SLOPES = ("uphill", "level", "downhill")


@click.command("plan", short_help="Choose club and landing spot, ranked by expected strokes.")
@click.argument("green", type=FILE, required=False)
@station_option
@balls_option
@level_option
@lie_option
@click.option("--wet", is_flag=True, help="Wet grass behind the ball.")
@click.option("--to-edge", type=float, help="Paces from the ball to the edge of the green.")
@click.option("--edge-to-hole", type=float, help="Paces from that edge to the hole.")
@click.option("--slope", type=click.Choice(SLOPES), help="How the green lies from ball to hole.")
@click.option("--pace", type=float, default=0.9, show_default=True, help="Length of one pace, metres.")
@json_option
@units_option
@pictures_option
def command(
    green: Path | None,
    station: str | None,
    balls: Path | None,
    as_json: bool,
    units: str,
    pictures: Path | None,
    **asked: Any,
) -> None:
    """Rank every club and its best landing spot by the strokes it takes to hole out.

    Without a green file, with nothing measured: say the level, the lie, two paced distances and whether it
    goes uphill, and get the choice that holds up over all likely greens.

    Example:  firstbounce plan green.toml --balls balls.csv --station Gate

    Example:  firstbounce plan --level "10 to 18" --to-edge 3 --edge-to-hole 12 --slope uphill
    """
    _check_use(green, station, balls, pictures, asked)
    if green is None:
        _plan_paced(as_json, pictures, **asked)
        return
    from firstbounce.services.day import load_balls, load_day
    from firstbounce.services.fit import fit_day
    from firstbounce.services.pictures import plan_pictures, save_pictures
    from firstbounce.services.plan import plan_stations

    unit = LengthUnit(units)
    day = load_day(green)
    names = [station] if station else []
    logged = load_balls(balls, day) if balls else None
    with Progress("Planning") as progress:
        fitted = fit_day(day, logged) if logged else None
        plans = plan_stations(day, names, fit=fitted, unit=unit, progress=progress)
    if as_json:
        echo_json({"plans": [plan.to_dict() for plan in plans]})
    else:
        remarks = [" ".join(fitted.remarks)] if fitted and fitted.remarks else []
        click.echo("\n\n".join([*remarks, *(told(plan, Lengths(unit)) for plan in plans)]))
    if pictures:
        for plan in plans:
            for path in save_pictures(pictures, plan_pictures(day, plan, unit)):
                click.echo(f"wrote {path}", err=as_json)


def _check_use(
    green: Path | None, station: str | None, balls: Path | None, pictures: Path | None, asked: dict[str, Any]
) -> None:
    """Either a file, or what was paced: never half of each."""
    paced = [name for name in ("level", "lie", "to_edge", "edge_to_hole", "slope") if asked[name] is not None]
    if green is not None and (paced or asked["wet"]):
        told = f"--{(paced or ['wet'])[0].replace('_', '-')}"
        raise click.UsageError(f"{told} is for a plan without a green file; the file says it.")
    if green is not None:
        return
    if station or balls:
        raise click.UsageError("--station and --balls need a green file.")
    missing = [name for name in ("level", "to_edge", "edge_to_hole") if asked[name] is None]
    if missing:
        wanted = ", ".join(f"--{name.replace('_', '-')}" for name in missing)
        raise click.UsageError(f"Name a green file such as green.toml, or say what you paced: add {wanted}.")


def _plan_paced(as_json: bool, pictures: Path | None, **asked: Any) -> None:
    """The plan with nothing measured."""
    from firstbounce.ground.slopes import SlopeWord
    from firstbounce.services.plan import asked_paced, plan_paced

    said = {
        "level": Level(asked["level"]),
        "lie": Lie(kind=LieKind(asked["lie"] or LieKind.FAIRWAY), wet=asked["wet"]),
        "to_edge_paces": asked["to_edge"],
        "edge_to_hole_paces": asked["edge_to_hole"],
        "slope": SlopeWord(asked["slope"]) if asked["slope"] else None,
        "pace_m": asked["pace"],
    }
    with Progress("Planning") as progress:
        plan = plan_paced(progress=progress, **said)
    if as_json:
        echo_json(plan.to_dict())
    else:
        click.echo(paced_told(plan))
    if pictures:
        from firstbounce.services.pictures import save_pictures
        from firstbounce.services.rough_pictures import rough_pictures

        for path in save_pictures(pictures, rough_pictures(asked_paced(**said), plan)):
            click.echo(f"wrote {path}", err=as_json)


def paced_told(plan: RoughPlan) -> str:
    """A plan with nothing measured, in paces."""
    lines = [plan.answer, *([plan.plan.warning] if plan.plan.warning else []), ""]
    head = ("club", "carry, paces", "run, paces", "strokes", "on a bad day", "up and down", "")
    lines.append(table(head, [_paced_row(one, k) for k, one in enumerate(plan.choices)]))
    lines += ["", plan.reading_advice, plan.test_advice]
    lines.append(f"{SURE[plan.plan.certainty]}; nothing was measured, a pace is {plan.pace_m:g} m.")
    return "\n".join(lines)


def _paced_row(one: RoughChoice, place: int) -> tuple[str, ...]:
    choice = one.choice
    mark = "best" if place == 0 else "equal" if choice.equal else f"+{choice.behind:.2f}"
    carry, run = (f"{low} to {high}" for low, high in (one.carry_paces, one.run_paces))
    return (
        choice.club,
        "-" if choice.is_putt else carry,
        run,
        f"{choice.strokes.value:.2f}",
        f"{one.bad_day_strokes:.2f}",
        out_of_ten(choice.up_and_down),
        mark,
    )


def told(plan: Plan, lengths: Lengths) -> str:
    """A plan in words: the sentence, then the choices in a table."""
    station = plan.station
    far = ((station.hole[0] - station.start[0]) ** 2 + (station.hole[1] - station.start[1]) ** 2) ** 0.5
    lines = [f"{station.name} ({station.lie.kind}, {lengths.long(far)} to the hole)", f"  {plan.reason}"]
    if plan.warning:
        lines.append(f"  {plan.warning}")
    lines += [f"  {said}" for said in (plan.first.advice, plan.habit) if said]
    known = (
        f"learned from {balls(plan.learned_from)}" if plan.learned_from else "typical for the level, no balls"
    )
    lines += [f"  {SURE[plan.certainty]}; {known}.", ""]
    head = ("  club", "carry", "run (9 of 10 balls)", "circle", "strokes", "give or take", "up and down", "")
    lines.append(table(head, [_row(choice, k, lengths) for k, choice in enumerate(plan.choices)]))
    lines += [f"  Not used: {left}." for left in plan.left_out]
    return "\n".join(lines)


def _row(choice: Choice, place: int, lengths: Lengths) -> tuple[str, ...]:
    run = choice.run_m
    give = (choice.strokes.high - choice.strokes.low) / 2
    mark = "best" if place == 0 else "equal" if choice.equal else f"+{choice.behind:.2f}"
    return (
        f"  {choice.club}",
        "-" if choice.is_putt else lengths.number(choice.carry_m.value),
        f"{lengths.number(run.value)} ({lengths.number(run.low)} to {lengths.number(run.high)})",
        "-" if choice.circle is None else lengths.small(choice.circle.radius_m),
        f"{choice.strokes.value:.2f}",
        f"{give:.2f}",
        out_of_ten(choice.up_and_down),
        mark,
    )
