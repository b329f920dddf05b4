"""Pictures of cloth for pages: swatches in colour and in grey, and whole photos."""

from fastapi import APIRouter
from starlette.responses import Response

from stashkeeper.actions import swatches as deeds
from stashkeeper.pictures.web_pictures import Tone
from stashkeeper.web.here import StashHere

router = APIRouter()


def swatch_address(code: str, look: str, tone: str, width: int) -> str:
    """Return the address of a swatch, for a template."""
    return f"/swatch/{code}/{look}/{tone}-{width}.webp"


def photo_address(checksum: str, width: int) -> str:
    """Return the address of a whole photo, for a template."""
    return f"/photo/{checksum}/{width}.webp"


@router.get("/swatch/{code}/{look}/{tone}-{width}.webp")
def swatch(stash: StashHere, code: str, look: str, tone: Tone, width: int) -> Response:
    """Serve a swatch."""
    return _served(deeds.swatch(stash, code, look, tone, width))


@router.get("/photo/{checksum}/{width}.webp")
def whole_photo(stash: StashHere, checksum: str, width: int) -> Response:
    """Serve a whole photo, made small."""
    return _served(deeds.whole_photo(stash, checksum, width))


def _served(picture: deeds.Picture) -> Response:
    kept = "private, max-age=31536000, immutable" if picture.lasting else "private, no-store"
    return Response(picture.content, media_type="image/webp", headers={"Cache-Control": kept})
