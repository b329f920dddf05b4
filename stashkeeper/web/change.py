"""Changing all that is written down of a piece and its fabric."""

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from stashkeeper.actions.piece_page import piece_page
from stashkeeper.actions.pieces import change
from stashkeeper.actions.stash import Stash
from stashkeeper.errors import StashkeeperError
from stashkeeper.lengths.basis import Basis
from stashkeeper.web.forms import Form, SentForm
from stashkeeper.web.here import StashHere
from stashkeeper.web.piece_fields import ABOUT, SELVEDGES, WAYS, changed_words
from stashkeeper.web.show import go, page

KNOWN = {Basis.MEASURED: "measured", Basis.NOMINAL: "as bought", Basis.ABOUT: "a guess"}
"""How a size is known, to choose from."""

router = APIRouter()


@router.get("/piece/{code}/change")
def show_change(request: Request, stash: StashHere, code: str) -> Response:
    """Show the form with what is written down."""
    return _form(request, stash, code, Form())


@router.post("/piece/{code}/change")
def change_piece(request: Request, stash: StashHere, form: SentForm, code: str) -> Response:
    """Change what was typed another way."""
    try:
        done = change(stash, code, changed_words(form), form.version())
    except StashkeeperError as error:
        return _form(request, stash, code, form.with_trouble(error, ABOUT), error.http_status)
    return go(request, f"/piece/{done.piece.code}", done.sentences[:1])


def _form(request: Request, stash: Stash, code: str, form: Form, status: int = 200) -> Response:
    shown = piece_page(stash, code)
    return page(
        request,
        "change.html",
        status=status,
        shown=shown,
        piece=shown.piece,
        form=form,
        known=[("", f"{KNOWN[shown.piece.basis]}, as it is"), *KNOWN.items()],
        selvedges=SELVEDGES[1:],
        ways=WAYS,
    )
