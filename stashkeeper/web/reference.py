"""A fabric measured beside the card, a chart or paper: a photo looked at, then kept."""

from collections.abc import Mapping
from urllib.parse import urlencode

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from stashkeeper.actions import reference as deeds
from stashkeeper.actions.at_hand import AtHand, at_hand, lay_ready
from stashkeeper.actions.beside import Beside
from stashkeeper.actions.piece_page import piece_page
from stashkeeper.actions.stash import Stash
from stashkeeper.errors import StashkeeperError
from stashkeeper.web.at_hand import at_hand_address, corners_of_fields, crop_of_fields, percent
from stashkeeper.web.forms import Form, SentForm
from stashkeeper.web.here import StashHere
from stashkeeper.web.show import go, page
from stashkeeper.web.swatches import photo_address
from stashkeeper.web.uploads import photos_of

UPLOADS = ("/piece/{code}/reference/photo",)
EDGES = ("left", "top", "right", "bottom")
PAPER_EDGES = ("paper-left", "paper-top", "paper-right", "paper-bottom")
KINDS = (
    ("card", "the reference card"),
    ("chart", "a chart of 24 patches"),
    ("paper", "white paper or a grey card (weak)"),
)
"""What may lie beside the cloth: the word in the address, and how it is called."""

router = APIRouter()


@router.get("/piece/{code}/reference")
def show_reference(request: Request, stash: StashHere, code: str) -> Response:
    """Show where a photo is chosen; or a photo with what it says."""
    form = Form(dict(request.query_params))
    return _shown(request, stash, code, form)


@router.post("/piece/{code}/reference/photo")
def choose_photo(request: Request, stash: StashHere, form: SentForm, code: str) -> Response:
    """Take the photo that is to be looked at."""
    try:
        with photos_of(stash, form) as photos:
            ready = lay_ready(stash, photos, form.text("chosen"))
    except StashkeeperError as error:
        again = form.with_trouble(error, {"bad-photo": "photo", "too-large": "photo"})
        return _shown(request, stash, code, again, error.http_status)
    asked = {"photo": ready.key, "beside": form.text("beside")}
    return go(request, f"/piece/{code}/reference?{urlencode(asked)}")


@router.post("/piece/{code}/reference")
def keep_reference(request: Request, stash: StashHere, form: SentForm, code: str) -> Response:
    """Keep what the photo says: the lightness, and the size where that was agreed to."""
    try:
        seen = _look(stash, at_hand(stash, form.text("photo")), form)
        done = deeds.keep_beside(stash, code, seen, keep_size=form.flag("keep_size"))
    except StashkeeperError as error:
        return _shown(request, stash, code, form.with_trouble(error), error.http_status)
    return go(request, f"/piece/{done.piece.code}", done.sentences)


def _look(stash: Stash, ready: AtHand, form: Form) -> Beside:
    """Return what a photo says of what was marked in it."""
    beside = form.text("beside")
    return deeds.look_beside(
        stash,
        ready.file,
        crop=crop_of_fields(form.typed, EDGES),
        cloth=corners_of_fields(form.typed, "cloth"),
        chart=corners_of_fields(form.typed, "chart") if beside == "chart" else None,
        paper=crop_of_fields(form.typed, PAPER_EDGES) if beside == "paper" else None,
        lightness=form.given("lightness") if beside == "paper" else None,
    )


def _to_be_marked(form: Form) -> bool:
    """Tell whether chart or paper must be marked before anything can be seen."""
    return {
        "chart": corners_of_fields(form.typed, "chart") is None,
        "paper": crop_of_fields(form.typed, PAPER_EDGES) is None,
    }.get(form.text("beside"), False)


def _shown(request: Request, stash: Stash, code: str, form: Form, status: int = 200) -> Response:
    shown = piece_page(stash, code)
    ready, seen = None, None
    marking = _to_be_marked(form)
    try:
        if form.given("photo"):
            ready = at_hand(stash, form.text("photo"))
        if ready and not marking:
            seen = _look(stash, ready, form)
    except StashkeeperError as error:
        # What went wrong with keeping is told before what goes wrong with looking.
        form, status = (
            (form, status) if form.trouble else (form.with_trouble(error), error.http_status)
        )
    return page(
        request,
        "reference.html",
        status=status,
        piece=shown.piece,
        form=Form({**form.typed, **_fields(form, seen)}, form.trouble),
        ready=ready,
        seen=seen,
        marking=marking,
        words=deeds.seen_words(stash, seen) if seen else (),
        size=deeds.offered_size(stash, seen) if seen else "",
        kinds=KINDS,
        at_hand_address=at_hand_address,
        photo_address=photo_address,
    )


def _fields(form: Form, seen: Beside | None) -> Mapping[str, str]:
    """Return the fields of the corners that were found in a photo, in percent."""
    if seen is None:
        return {}
    found = {"chart": seen.reference, "paper": ()}.get(form.text("beside"), seen.cloth)
    name = "chart" if form.text("beside") == "chart" else "cloth"
    return {
        f"{name}-{axis}{number}": percent(part)
        for number, corner in enumerate(found, 1)
        for axis, part in zip("xy", corner, strict=True)
    }
