"""What phones send: rows made on the device, each kept once. The work is in `services.outbox`."""

from __future__ import annotations

from fastapi import APIRouter

from firstbounce.services import outbox
from firstbounce.services.outbox import Outbox, Settled
from firstbounce.web.reach import Records

router = APIRouter(prefix="/api", tags=["outbox"])


@router.post("/outbox")
def take(body: Outbox, store: Records) -> Settled:
    """Keep every row that is new; name those that are on disk."""
    return outbox.take(store, body)
