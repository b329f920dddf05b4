"""A label read: by a photo of it, or by the code typed as it is printed."""

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from stashkeeper.actions.label_reading import read_label
from stashkeeper.actions.pieces import show
from stashkeeper.errors import BadRequestError, StashkeeperError
from stashkeeper.web.forms import Form, SentForm
from stashkeeper.web.here import StashHere
from stashkeeper.web.show import Nav, go, page
from stashkeeper.web.uploads import photos_of

NAV = Nav("Read a label", "/read-label", more=True)
UPLOADS = ("/read-label",)

router = APIRouter()


@router.get("/read-label")
def show_reading(request: Request) -> Response:
    """Show where a photo is taken or a code typed."""
    return page(request, "label_reading.html", form=Form(), read=None)


@router.post("/read-label")
def read(request: Request, stash: StashHere, form: SentForm) -> Response:
    """Open the piece of a label; show all of them where a photo shows several."""
    try:
        if form.given("code"):
            return go(request, f"/piece/{show(stash, form.text('code')).code}")
        with photos_of(stash, form) as photos:
            if not photos:
                raise BadRequestError("There is no photo and no code.", "Take a photo of a label.")
            found = read_label(stash, photos[0])
    except StashkeeperError as error:
        about = {"bad-photo": "photo", "not-found": "code" if form.given("code") else "photo"}
        again = form.with_trouble(error, about)
        return page(request, "label_reading.html", status=error.http_status, form=again, read=None)
    if len(found.pieces) == 1:
        return go(request, f"/piece/{found.pieces[0].code}")
    return page(request, "label_reading.html", form=Form(), read=found)
