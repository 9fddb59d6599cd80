"""One shape for every failure: {"ok": false, "error": ..., "status": ...}; a page for people who browse."""

from __future__ import annotations

import logging
from http import HTTPStatus
from typing import Any, Literal

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse, Response
from pydantic import BaseModel, ValidationError
from starlette.exceptions import HTTPException

from firstbounce.errors import (
    Cancelled,
    CannotEstimate,
    CannotPlan,
    FirstbounceError,
    NotAllowed,
    NotThere,
    ParameterError,
    StoreBusy,
    StoreError,
)
from firstbounce.records.rows.base import said
from firstbounce.web.links import NoLink

log = logging.getLogger("firstbounce.web")

STATUS: tuple[tuple[type[Exception], int], ...] = (
    (CannotEstimate, 409),
    (CannotPlan, 409),
    (Cancelled, 409),
    (NoLink, 403),
    (NotAllowed, 403),
    (NotThere, 404),
    (StoreBusy, 503),
    (StoreError, 507),
    (ParameterError, 422),
    (FirstbounceError, 422),
)
SAID = {
    401: "Sign in first: your balls stay on this phone until then.",
    403: "This is not allowed here.",
    404: "There is no such page or record; it may have been erased.",
    405: "This cannot be done here.",
    413: "This is too large to take.",
}


class Failure(BaseModel):
    """The one error shape, for the description of the interface."""

    ok: Literal[False]
    error: str
    status: int


def shape(status: int, error: str) -> dict[str, Any]:
    """The one error shape."""
    return {"ok": False, "error": error, "status": status}


def failed(status: int, error: str | None = None, headers: dict[str, str] | None = None) -> JSONResponse:
    """An answer of that shape."""
    said = error or SAID.get(status) or f"{HTTPStatus(status).phrase}."
    return JSONResponse(shape(status, said), status_code=status, headers=headers)


def add_failures(app: FastAPI) -> None:
    """Turn every error into that shape, or into a page when a browser asked for one."""

    @app.exception_handler(HTTPException)
    async def http(request: Request, error: HTTPException) -> Response:
        detail = error.detail if error.detail != HTTPStatus(error.status_code).phrase else None
        return _answer(request, error.status_code, detail, dict(error.headers or {}))

    @app.exception_handler(RequestValidationError)
    async def invalid(request: Request, error: RequestValidationError) -> Response:
        return _answer(request, 422, problem_of(error))

    @app.exception_handler(ValidationError)
    async def unsound(request: Request, error: ValidationError) -> Response:
        return _answer(request, 422, said(error))

    @app.exception_handler(FirstbounceError)
    async def ours(request: Request, error: FirstbounceError) -> Response:
        return _answer(request, status_of(error), str(error))

    @app.exception_handler(Exception)
    async def unexpected(request: Request, error: Exception) -> Response:
        log.error("unexpected failure at %s", request.scope.get("route_path", request.method), exc_info=error)
        return _answer(request, 500, "Something unexpected went wrong in the program; nothing was lost.")


def status_of(error: FirstbounceError) -> int:
    """The HTTP status of one of our errors."""
    return next(status for kind, status in STATUS if isinstance(error, kind))


def problem_of(error: RequestValidationError) -> str:
    """The first fault of what was sent, as one sentence; what was sent is not repeated."""
    first = error.errors()[0]
    where = ".".join(str(part) for part in first["loc"] if part not in ("body", "query", "path"))
    said = str(first["msg"]).removeprefix("Value error, ")
    return f"{where}: {said}." if where else f"{said}."


def _answer(
    request: Request, status: int, error: str | None, headers: dict[str, str] | None = None
) -> Response:
    if wants_page(request):
        from firstbounce.web.pages.failed import failed_page

        return failed_page(request, status, error or SAID.get(status) or f"{HTTPStatus(status).phrase}.")
    return failed(status, error, headers)


def wants_page(request: Request) -> bool:
    """Whether a browser asked for a page."""
    return not request.url.path.startswith("/api/") and "text/html" in request.headers.get("accept", "")
