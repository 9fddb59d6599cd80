"""Static files, the service worker, the manifest."""

from __future__ import annotations

from pathlib import PurePosixPath

from fastapi import APIRouter, HTTPException
from fastapi.responses import JSONResponse, Response

from firstbounce.web import assets

router = APIRouter(include_in_schema=False)
FOREVER = "public, max-age=31536000, immutable"


@router.get("/static/{build}/{name}")
def static_file(build: str, name: str) -> Response:
    """A static file. An old page gets today's file, which no cache keeps under the old name."""
    content = assets.files().get(name)
    if content is None:
        raise HTTPException(404)
    kept = FOREVER if build == assets.build() else "no-store"
    kind = assets.KINDS[PurePosixPath(name).suffix]
    return Response(content, media_type=kind, headers={"cache-control": kept})


@router.get("/sw.js")
def service_worker() -> Response:
    """The service worker, at the top so that it may keep every page."""
    return Response(
        assets.service_worker(), media_type="text/javascript", headers={"cache-control": "no-cache"}
    )


@router.get("/manifest.webmanifest")
def manifest() -> Response:
    """What a phone needs to put the notebook on its home screen."""
    return JSONResponse(assets.manifest(), media_type="application/manifest+json")
