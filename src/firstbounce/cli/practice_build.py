"""`firstbounce practice build`: a session from minutes, balls, faults, stage, equipment and place."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from firstbounce.cli.practice_options import (
    PLACES,
    STAGES,
    fault_option,
    ground_of,
    kit_of,
    set_up_options,
    yardsticks_of,
)
from firstbounce.cli.words import echo_json
from firstbounce.words import Fault, Level

if TYPE_CHECKING:
    from firstbounce.practice.group import Group
    from firstbounce.practice.session import Block, Session


@click.command("build", short_help="A session, for one player or a small group.")
@click.option("--minutes", type=int, default=45, show_default=True, help="Minutes there are, 10 to 180.")
@click.option("--ball-count", type=int, default=60, show_default=True, help="Balls each player hits at most.")
@fault_option
@click.option(
    "--swing-fault",
    "swing",
    multiple=True,
    type=click.Choice([str(fault) for fault in Fault]),
    help="Fault that a watched swing showed.",
)
@click.option(
    "--stage", type=click.Choice(STAGES), default="grooving", show_default=True, help="How far the player is."
)
@click.option(
    "--with",
    "kit",
    help="Equipment at hand, commas between; all when left out, none for nothing but club and ball.",
)
@click.option("--place", type=click.Choice(PLACES), default="green", show_default=True, help="Where it is.")
@click.option("--ground", help="Ground there is, commas between: slope, rough, bare lie, sand edge.")
@click.option("--carry", type=float, help="Carry to practise, metres.")
@click.option("--players", type=int, default=1, show_default=True, help="How many players, up to 18.")
@click.option(
    "--adults", type=int, default=1, show_default=True, help="Adults who watch, the coach among them."
)
@click.option("--youngest", type=int, help="Age of the youngest player; left out: all are adults.")
@click.option("--room", type=float, help="Paces of width to stand along.")
@click.option(
    "--seed", type=int, default=20260514, show_default=True, help="Another number, another order by lot."
)
@set_up_options
def build_command(
    faults: tuple[str, ...],
    swing: tuple[str, ...],
    green: Path | None,
    balls: Path | None,
    own: Path | None,
    pictures: Path | None,
    as_json: bool,
    **given: Any,
) -> None:
    """Build a session: drills for the faults, set up for this player, in order, with rest and score sheets.

    With --green and --balls the review of those balls names faults too.

    Example:  firstbounce practice build --minutes 45 --ball-count 80 --fault heavy --with towel,rope
    """
    from firstbounce.players.player import Hand
    from firstbounce.practice.asked import Asked
    from firstbounce.practice.drill import Place, Stage
    from firstbounce.services.pictures import save_pictures
    from firstbounce.services.practice import all_drills, player_now
    from firstbounce.services.practice_session import session_drawings, session_now, wishes

    asked = Asked(
        minutes=given["minutes"],
        balls=given["ball_count"],
        wishes=wishes(faults, swing, green=green, balls=balls),
        stage=Stage(given["stage"]),
        equipment=kit_of(given["kit"]),
        place=Place(given["place"]),
        ground=ground_of(given["ground"]),
        carry_m=given["carry"],
        players=given["players"],
        adults=given["adults"],
        youngest=given["youngest"],
        room_paces=given["room"],
    )
    now = player_now(
        green=green,
        balls=balls,
        level=Level(given["level"]) if given["level"] else None,
        hand=Hand(given["hand"]) if given["hand"] else None,
    )
    yardsticks = yardsticks_of(given["units"], given["pace"], given["shoe"])
    session = session_now(all_drills(own), asked, now, yardsticks=yardsticks, seed=given["seed"])
    if as_json:
        echo_json(session.to_dict())
    else:
        click.echo(told(session))
    if pictures:
        for path in save_pictures(pictures, session_drawings(session, yardsticks)):
            click.echo(f"Drawn: {path}", err=True)


def told(session: Session) -> str:
    """A session in full."""
    asked = session.asked
    lines = [
        f"{session.minutes} minutes, {session.balls} balls, {asked.stage}.",
        f"Feedback: {session.feedback}. Think of: {session.focus}.",
        "",
        f"Minute 0: warm up, {session.warm_up_minutes} minutes. {_warm_up()}",
    ]
    for place, block in enumerate(session.blocks, 1):
        lines += ["", *_block(place, block, grouped=session.group is not None)]
    if session.group:
        lines += ["", *_group(session.group)]
    if session.left_out:
        lines += ["", "Not today:", *(f"  {one.fault}: {one.reason}" for one in session.left_out)]
    lines += ["", "Cautions:", *(f"  {caution}" for caution in session.cautions)]
    return "\n".join([*lines, *(f"  {remark}" for remark in session.remarks)])


def _warm_up() -> str:
    from firstbounce.practice.session import WARM_UP

    return WARM_UP


def _block(place: int, block: Block, *, grouped: bool) -> list[str]:
    first = block.set_ups[0]
    when = f"Station {place}" if grouped else f"Minute {block.starts}"
    lines = [
        f"{when}: {block.drill.number}. {block.drill.name}, "
        f"{block.slot.minutes} minutes, {block.slot.balls} balls",
        f"  Why: {block.slot.why}",
        f"  Set-up: {first.text}",
    ]
    lines += [f"    or: {one.text}" for one in block.set_ups[1:]]
    lines += [f"  {words.capitalize()}." for words in block.stand_ins]
    lines.append(f"  Order: {block.order}, {block.order_words}.")
    if first.expected is not None:
        lines.append(f"  To expect: about {round(10 * first.expected)} in 10 of all balls.")
    lines += [f"  {line}" for line in block.sheet.lines()]
    return [*lines, f"  Caution: {first.caution}"]


def _group(group: Group) -> list[str]:
    watch = group.supervision
    lines = [f"Adults: {watch.needed} needed ({watch.words}), {watch.there} there."]
    for turn in group.turns:
        who = "; ".join(
            f"station {k}: {', '.join(map(str, players)) or 'nobody'}"
            for k, players in enumerate(turn.at_station, 1)
        )
        lines.append(f"Minute {turn.starts} to {turn.ends}: players at {who}")
    return [*lines, *(f"  {rule}" for rule in group.rules)]
