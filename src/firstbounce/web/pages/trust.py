"""How a phone trusts this laptop: the authority's certificate, the secured address and its QR code."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter, HTTPException, Request
from fastapi.responses import Response

from firstbounce.guides.code import code_picture
from firstbounce.web.reach import SettingsOf
from firstbounce.web.render import page

router = APIRouter(include_in_schema=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class TrustPage:
    """Everything trust.html may use."""

    secure_url: str  #: empty when the server is on its own machine only
    qr: str  #: SVG


@router.get("/trust")
def trust_page(request: Request, settings: SettingsOf) -> Response:
    """The page that explains it."""
    url = settings.secure_url
    qr = code_picture(url).svg if url else ""
    return page(request, "trust.html", TrustPage(secure_url=url, qr=qr))


@router.get("/trust/authority.crt")
def authority(settings: SettingsOf) -> Response:
    """The certificate that a phone installs."""
    if settings.authority is None:
        raise HTTPException(404, "This server has no certificate of its own: start it with --phone.")
    headers = {"content-disposition": 'attachment; filename="firstbounce-authority.crt"'}
    return Response(settings.authority, media_type="application/x-x509-ca-cert", headers=headers)
