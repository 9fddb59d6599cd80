"""Write the drawing of every drill and the stations of a group: python docs/gallery/practice.py [folder]"""

from __future__ import annotations

import sys
from pathlib import Path

from firstbounce.players.player import player_of_level
from firstbounce.practice.asked import Asked, Wish
from firstbounce.practice.lengths import Yardsticks
from firstbounce.practice.set_up import set_up
from firstbounce.services.pictures import file_name
from firstbounce.services.practice import PlayerNow, shipped_drills
from firstbounce.services.practice_session import session_drawings, session_now
from firstbounce.words import Fault, Level

PLAYER = player_of_level(Level.TEN_TO_EIGHTEEN)


def drawings() -> dict[str, str]:
    """Every drawing as SVG, by name."""
    drawn = {drill.name: set_up(drill, PLAYER).drawing for drill in shipped_drills()}
    asked = Asked(
        minutes=60,
        balls=60,
        wishes=(Wish(fault=Fault.HEAVY), Wish(fault=Fault.DISTANCE)),
        players=6,
        adults=2,
        youngest=12,
    )
    session = session_now(shipped_drills(), asked, PlayerNow(player=PLAYER))
    return drawn | {"stations": session_drawings(session, Yardsticks())["stations"]}


def main(folder: Path) -> None:
    """Write them all."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, svg in drawings().items():
        (folder / f"{file_name(name)}.svg").write_text(svg, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main(Path(sys.argv[1] if len(sys.argv) > 1 else "gallery"))
