"""A phone's tone curve, learnt from photos of one plain cloth. An experiment."""

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from stashkeeper.actions import phone as deeds
from stashkeeper.actions.stash import Stash
from stashkeeper.errors import StashkeeperError
from stashkeeper.web.forms import Form, SentForm
from stashkeeper.web.here import StashHere
from stashkeeper.web.show import go, page
from stashkeeper.web.uploads import photos_of

UPLOADS = ("/phone",)

router = APIRouter()


@router.get("/phone")
def show_phones(request: Request, stash: StashHere) -> Response:
    """Show the phones that are known, and how to teach one."""
    return _shown(request, stash, Form())


@router.post("/phone")
def learn_phone(request: Request, stash: StashHere, form: SentForm) -> Response:
    """Learn how a phone bends tones."""
    try:
        with photos_of(stash, form) as photos:
            learnt = deeds.keep_phone(stash, deeds.look_at_bracket(photos))
    except StashkeeperError as error:
        return _shown(request, stash, form.with_trouble(error), error.http_status)
    return go(request, "/phone", learnt.sentences)


def _shown(request: Request, stash: Stash, form: Form, status: int = 200) -> Response:
    known = deeds.phones(stash)
    return page(request, "phone.html", status=status, form=form, cameras=known.cameras)
