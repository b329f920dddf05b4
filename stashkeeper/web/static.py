"""Style, script and type, served with their content's mark in the address and kept for a year."""

import hashlib
from functools import cache
from importlib.resources import files
from typing import Final

from fastapi import APIRouter
from starlette.exceptions import HTTPException
from starlette.responses import Response

from stashkeeper.web.fonts import SUBSETS, font_file

KEPT: Final = {"Cache-Control": "public, max-age=31536000, immutable"}
"""A file whose address changes with its content never has to be asked for again."""

TYPES: Final = {".css": "text/css", ".js": "text/javascript", ".svg": "image/svg+xml"}
"""The files that are served, by the end of their names; anything else is not."""

router = APIRouter()


def static_address(name: str) -> str:
    """Return the address of a static file, such as `base.css`, for a template.

    Raises:
        KeyError: there is no such file.
    """
    content = _contents()[name]
    return f"/static/{name}?{hashlib.sha256(content).hexdigest()[:10]}"


@router.get("/static/{name}")
def static(name: str) -> Response:
    """Serve a file of style or script."""
    content = _contents().get(name)
    if content is None:
        raise HTTPException(404)
    ending = name[name.rindex(".") :]
    return Response(content, media_type=TYPES[ending], headers=KEPT)


@router.get("/static/type/{name}.woff")
def typeface(name: str) -> Response:
    """Serve a cut of the typeface: one of `fonts.SUBSETS`."""
    if name not in SUBSETS:
        raise HTTPException(404)
    return Response(font_file(name), media_type="font/woff", headers=KEPT)


@cache
def _contents() -> dict[str, bytes]:
    """Return every static file by its name; they are few and small."""
    folder = files("stashkeeper.web") / "static"
    return {
        file.name: file.read_bytes()
        for file in folder.iterdir()
        if file.name[file.name.rfind(".") :] in TYPES
    }
