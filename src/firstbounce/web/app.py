"""The application: pages, scripts and the JSON interface over one store."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from fastapi import FastAPI

from firstbounce import __version__
from firstbounce.services.store import Store
from firstbounce.web import routes, uploads
from firstbounce.web.failures import Failure, add_failures
from firstbounce.web.jobs import Jobs
from firstbounce.web.passphrase import Tries
from firstbounce.web.security import Door
from firstbounce.web.settings import Settings
from firstbounce.web.visitors import Cookies

ABOUT = """\
Everything that the pages do. Lengths are metres, moments carry the offset of their place, ids are 32
hexadecimal digits made by whoever makes the record. Every failure has one shape:
{"ok": false, "error": "...", "status": 422}.
"""


def create_app(store: Store, settings: Settings) -> FastAPI:
    """The application over these records. It opens nothing by itself and starts no server."""
    jobs = Jobs()

    @asynccontextmanager
    async def lifespan(app: FastAPI) -> AsyncIterator[None]:
        uploads.clear(store)
        yield
        jobs.close()

    app = FastAPI(
        title="Firstbounce",
        version=__version__,
        description=ABOUT,
        openapi_url="/api/openapi.json",
        docs_url=None,
        redoc_url=None,
        responses={"default": {"model": Failure, "description": "It was not done, and why."}},
        lifespan=lifespan,
    )
    cookies = Cookies(settings)
    app.state.store, app.state.settings, app.state.jobs = store, settings, jobs
    app.state.cookies, app.state.tries = cookies, Tries()
    add_failures(app)
    for router in routes.all_routers():
        app.include_router(router)
    app.add_middleware(Door, settings=settings, cookies=cookies)
    return app
