"""What routes reach for: the store, the settings, the queue, and who is asking."""

from __future__ import annotations

import datetime
from typing import Annotated, cast

from fastapi import Depends, Request

from firstbounce.services.store import Store
from firstbounce.web.jobs import Jobs
from firstbounce.web.settings import Settings
from firstbounce.web.visitors import Visitor


def settings_of(request: Request) -> Settings:
    """The settings of the server that answers."""
    return cast(Settings, request.app.state.settings)


def jobs_of(request: Request) -> Jobs:
    """The queue of the server that answers."""
    return cast(Jobs, request.app.state.jobs)


def store_of(request: Request) -> Store:
    """The records."""
    return cast(Store, request.app.state.store)


def visitor_of(request: Request) -> Visitor:
    """Who is asking, as the door noted."""
    return cast(Visitor, request.state.visitor)


def address_of(request: Request) -> str:
    """Where others find this server: on the network if it is on one, else where it was asked just now."""
    return settings_of(request).phone_url or f"{request.url.scheme}://{request.headers['host']}"


def now() -> datetime.datetime:
    """This moment, with the offset of the place."""
    return datetime.datetime.now().astimezone()


Records = Annotated[Store, Depends(store_of)]
Queue = Annotated[Jobs, Depends(jobs_of)]
SettingsOf = Annotated[Settings, Depends(settings_of)]
VisitorOf = Annotated[Visitor, Depends(visitor_of)]
