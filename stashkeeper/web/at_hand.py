"""Photos that a page looks at before anything is on record: their pictures and their fields."""

from collections.abc import Mapping, Sequence

from fastapi import APIRouter
from starlette.responses import Response

from stashkeeper.actions.at_hand import picture_at_hand
from stashkeeper.web.here import StashHere

router = APIRouter()


def at_hand_address(key: str, width: int) -> str:
    """Return the address of a photo at hand, for a template."""
    return f"/at-hand/{key}/{width}.webp"


@router.get("/at-hand/{key}/{width}.webp")
def at_hand_picture(stash: StashHere, key: str, width: int) -> Response:
    """Serve a photo at hand, made small."""
    picture = picture_at_hand(stash, key, width)
    kept = {"Cache-Control": "private, max-age=86400"}
    return Response(picture.content, media_type="image/webp", headers=kept)


def fraction(percent: str) -> str:
    """Return a field in percent as a fraction; what is no number stays as it was typed."""
    try:
        return f"{float(percent.replace(',', '.')) / 100:.6g}"
    except ValueError:
        return percent.replace(" ", "") or "-"


def percent(part: float) -> str:
    """Return a fraction as a field shows it, in percent."""
    return f"{100 * part:.2f}".rstrip("0").rstrip(".")


def crop_of_fields(typed: Mapping[str, str], names: Sequence[str]) -> str | None:
    """Return the four edges that fields give in percent, as a crop is typed; None where empty."""
    edges = [typed.get(name, "").strip() for name in names]
    return ",".join(map(fraction, edges)) if any(edges) else None


def corners_of_fields(typed: Mapping[str, str], name: str) -> str | None:
    """Return four corners that fields give in percent, as they are typed; None where empty.

    The fields are `<name>-x1`, `<name>-y1` and so on to 4.
    """
    pairs = [
        (typed.get(f"{name}-x{corner}", "").strip(), typed.get(f"{name}-y{corner}", "").strip())
        for corner in range(1, 5)
    ]
    if not any(x or y for x, y in pairs):
        return None
    return " ".join(f"{fraction(x)},{fraction(y)}" for x, y in pairs)
