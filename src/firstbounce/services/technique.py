"""Technique results and the rest: consent before filming, keeping a result, the drills for what failed."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any, Final

from firstbounce import __version__
from firstbounce.errors import NotAllowed
from firstbounce.practice.drill import Drill
from firstbounce.records.queries import new_id
from firstbounce.records.rows.kept import SeenBy, TechniqueRow
from firstbounce.records.rows.people import ConsentKind
from firstbounce.records.store import Store
from firstbounce.services.kept import keep, techniques
from firstbounce.services.players import may, player
from firstbounce.services.watch import WatchedClip
from firstbounce.technique.by_eye import Ticks, judge_ticks
from firstbounce.technique.marks import Judged, Verdict
from firstbounce.technique.report import ticks_tree, watched_tree

VERSION: Final = f"technique of {__version__}"
MOST_DRILLS: Final = 3


def filming_consent(store: Store, player_id: str) -> Callable[[], None]:
    """For `watch(consent=...)`: raises NotAllowed when this player may not be filmed; looks when called.

    A junior needs a guardian's consent to filming; an adult's own clip needs none until it is asked for.
    """

    def check() -> None:
        if player(store, player_id).junior and not may(store, player_id, ConsentKind.FILMING):
            raise NotAllowed(
                "This junior may not be filmed yet: enter the guardian's consent to filming, or tick by eye."
            )

    return check


def keep_watched(
    store: Store,
    clip: WatchedClip,
    player_id: str,
    *,
    session_id: str | None = None,
    more: Mapping[str, Any] | None = None,
) -> str:
    """Keep the numbers of a clip, never its pictures; returns the id. The consent is looked at again.

    more: what else the result is to say, beside the keys of `watched_tree`.
    """
    filming_consent(store, player_id)()
    tree = {**watched_tree(clip.watched), **(more or {})}
    return _kept(store, player_id, SeenBy.VIDEO, tree, session_id)


def keep_ticks(
    store: Store,
    ticks: Ticks,
    player_id: str,
    *,
    session_id: str | None = None,
    row_id: str | None = None,
    made: datetime.datetime | None = None,
) -> str:
    """Keep a coach's ticks, once by id; returns the id. made: by the phone's clock, now when left out."""
    tree = ticks_tree(judge_ticks(ticks), ticks.swings)
    return _kept(store, player_id, SeenBy.EYE, tree, session_id, row_id, made)


def results(store: Store, player_id: str, limit: int = 20) -> tuple[TechniqueRow, ...]:
    """Results that stand, newest first: one that was corrected gives way to the one that corrects it."""
    every = techniques(store, player_id, 3 * limit)
    gone = {row.result.get("corrects") for row in every}
    return tuple(row for row in every if row.id not in gone)[:limit]


def drills_for(judged: Iterable[Judged], drills: Sequence[Drill]) -> dict[str, tuple[Drill, ...]]:
    """For each item that failed, the drills for its fault: those named with it first, three at most."""
    out = {}
    for one in judged:
        if one.verdict is not Verdict.FAILED or one.fault is None:
            continue
        fits = [drill for drill in drills if one.fault in drill.faults]
        fits.sort(
            key=lambda drill: one.drills.index(drill.name) if drill.name in one.drills else len(one.drills)
        )
        out[str(one.item)] = tuple(fits[:MOST_DRILLS])
    return out


def _kept(
    store: Store,
    player_id: str,
    seen_by: SeenBy,
    tree: dict[str, Any],
    session_id: str | None,
    row_id: str | None = None,
    made: datetime.datetime | None = None,
) -> str:
    row = TechniqueRow(
        id=row_id or new_id(),
        player_id=player_id,
        made=made or store.clock(),
        seen_by=seen_by,
        model_version=VERSION,
        result=tree,
        session_id=session_id,
    )
    keep(store, row)
    return row.id
