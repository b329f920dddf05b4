"""Looking back at the whole stash, and taking back from any page."""

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from stashkeeper.actions import history as deeds
from stashkeeper.errors import StashkeeperError
from stashkeeper.web.forms import Form, SentForm
from stashkeeper.web.here import StashHere
from stashkeeper.web.piece_fields import whole_number
from stashkeeper.web.show import Nav, go, page

NAV = Nav("History", "/history", more=True)

router = APIRouter()


@router.get("/history")
def show_history(request: Request, stash: StashHere) -> Response:
    """Show what happened of late."""
    return _page(request, deeds.history(stash), Form())


@router.post("/undo")
def undo(request: Request, stash: StashHere, form: SentForm) -> Response:
    """Take back the deed of a number, or the last one; then go back to where that was wanted."""
    try:
        undone = deeds.undo(stash, whole_number(form.given("number"), "number of a deed"))
    except StashkeeperError as error:
        shown = deeds.history(stash)
        return _page(request, shown, form.with_trouble(error), error.http_status)
    return go(request, _own_path(form.text("back")), undone.sentences)


def _page(request: Request, told: deeds.History, form: Form, status: int = 200) -> Response:
    newest = tuple(reversed(told.deeds))
    back = _own_path(form.text("back"))
    return page(request, "history.html", status=status, deeds=newest, form=form, back=back)


def _own_path(sent: str) -> str:
    """Return a path of ours to go back to; the history where the one sent is none."""
    own = sent.startswith("/") and not sent.startswith("//") and sent.isascii()
    return sent if own and sent.isprintable() and "\\" not in sent else "/history"
