"""The page of a failure."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import Request
from fastapi.responses import Response

from firstbounce.web.render import page


@dataclass(frozen=True, slots=True, kw_only=True)
class FailedPage:
    """Everything failed.html may use."""

    status: int
    error: str


def failed_page(request: Request, status: int, error: str) -> Response:
    """A failure, for people who browse."""
    return page(request, "failed.html", FailedPage(status=status, error=error), status=status)
