"""A sitting: the photos of one go set right by one photo of something known. An experiment."""

from urllib.parse import urlencode

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from stashkeeper.actions import sitting as deeds
from stashkeeper.actions.at_hand import AtHand, at_hand, lay_ready
from stashkeeper.actions.stash import Stash
from stashkeeper.errors import StashkeeperError
from stashkeeper.web.at_hand import at_hand_address, crop_of_fields
from stashkeeper.web.forms import Form, SentForm
from stashkeeper.web.here import StashHere
from stashkeeper.web.show import go, page
from stashkeeper.web.uploads import photos_of

UPLOADS = ("/sitting/photo",)
EDGES = ("left", "top", "right", "bottom")
ABOUT = {"bad-photo": "photo", "too-large": "photo", "bad-lightness": "lightness"}

router = APIRouter()


@router.get("/sitting")
def show_sitting(request: Request, stash: StashHere) -> Response:
    """Show where the known photo is chosen; or what it makes of its sitting."""
    return _shown(request, stash, Form(dict(request.query_params)))


@router.post("/sitting/photo")
def choose_photo(request: Request, stash: StashHere, form: SentForm) -> Response:
    """Take the photo that sets the scale."""
    try:
        with photos_of(stash, form) as photos:
            ready = lay_ready(stash, photos)
    except StashkeeperError as error:
        return _shown(request, stash, form.with_trouble(error, ABOUT), error.http_status)
    asked = {"photo": ready.key, "lightness": form.text("lightness")}
    return go(request, f"/sitting?{urlencode(asked)}")


@router.post("/sitting")
def keep_sitting(request: Request, stash: StashHere, form: SentForm) -> Response:
    """Keep what the sitting says of its fabrics."""
    try:
        seen = deeds.keep_sitting(stash, _look(stash, at_hand(stash, form.text("photo")), form))
    except StashkeeperError as error:
        return _shown(request, stash, form.with_trouble(error, ABOUT), error.http_status)
    return go(request, "/history", seen.sentences)


def _look(stash: Stash, ready: AtHand, form: Form) -> deeds.Sitting:
    return deeds.look_at_sitting(
        stash,
        ready.file,
        crop=crop_of_fields(form.typed, EDGES),
        lightness=form.given("lightness"),
    )


def _shown(request: Request, stash: Stash, form: Form, status: int = 200) -> Response:
    ready, seen = None, None
    try:
        if form.given("photo"):
            ready = at_hand(stash, form.text("photo"))
            seen = _look(stash, ready, form)
    except StashkeeperError as error:
        form, status = form.with_trouble(error, ABOUT), error.http_status
    return page(
        request,
        "sitting.html",
        status=status,
        form=form,
        ready=ready,
        seen=seen,
        at_hand_address=at_hand_address,
    )
