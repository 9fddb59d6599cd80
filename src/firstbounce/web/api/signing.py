"""Signing in and out."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, HTTPException, Request, Response
from pydantic import Field

from firstbounce.web.api.shapes import Done, Shape
from firstbounce.web.passphrase import LONGEST, Tries, matches
from firstbounce.web.reach import SettingsOf
from firstbounce.web.visitors import COACH, Cookies

router = APIRouter(prefix="/api", tags=["signing in"])


class SignIn(Shape):
    """The passphrase chosen on the laptop."""

    passphrase: Annotated[str, Field(min_length=1, max_length=LONGEST)]


@router.post("/sign-in")
def sign_in(body: SignIn, request: Request, response: Response, settings: SettingsOf) -> Done:
    """Let the coach in. Wrong passphrases are counted by address and together; too many must wait."""
    tries: Tries = request.app.state.tries
    cookies: Cookies = request.app.state.cookies
    address = request.client.host if request.client else ""
    wait = tries.take(address, settings.clock())
    if wait > 0:
        raise HTTPException(
            429, f"Too many wrong passphrases: wait {wait:.0f} s.", {"retry-after": f"{wait:.0f}"}
        )
    if not settings.passphrase_hash or not matches(settings.passphrase_hash, body.passphrase):
        raise HTTPException(403, "That is not the passphrase.")
    tries.right(address)
    cookies.set(response, COACH)
    return Done()


@router.post("/sign-out")
def sign_out(request: Request, response: Response) -> Done:
    """Forget this visitor."""
    request.app.state.cookies.clear(response)
    return Done()
