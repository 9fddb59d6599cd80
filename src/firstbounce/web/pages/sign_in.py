"""The page of the passphrase."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from firstbounce.web.reach import SettingsOf
from firstbounce.web.render import page

router = APIRouter(include_in_schema=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class SignInPage:
    """Everything sign_in.html may use."""

    tls: bool


@router.get("/sign-in")
def sign_in_page(request: Request, settings: SettingsOf) -> Response:
    """Ask for the passphrase."""
    return page(request, "sign_in.html", SignInPage(tls=settings.tls))
