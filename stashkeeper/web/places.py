"""Places: what lies where, inside what; make, rename and move them."""

from typing import Annotated

from fastapi import APIRouter, Query
from starlette.requests import Request
from starlette.responses import Response

from stashkeeper.actions import places as deeds
from stashkeeper.actions.stash import Stash
from stashkeeper.errors import StashkeeperError
from stashkeeper.web.forms import Form, SentForm
from stashkeeper.web.here import StashHere
from stashkeeper.web.piece_fields import changed_text
from stashkeeper.web.searches import search_address
from stashkeeper.web.show import Nav, go, page

NAV = Nav("Places", "/places", more=True)

router = APIRouter()


@router.get("/places")
def show_places(request: Request, stash: StashHere) -> Response:
    """Show all places."""
    return _page(request, stash, Form())


@router.post("/places")
def make(request: Request, stash: StashHere, form: SentForm) -> Response:
    """Make a place."""
    try:
        made = deeds.places(stash, form.text("place"), make=True)
    except StashkeeperError as error:
        troubled = form.with_trouble(error, {error.code: "place"})
        return _page(request, stash, troubled, error.http_status)
    return go(request, "/places", made.told)


@router.get("/places/change")
def show_one(request: Request, stash: StashHere, place: Annotated[str, Query()] = "") -> Response:
    """Show one place, to be renamed or moved."""
    return _one(request, stash, place, Form())


@router.post("/places/change")
def change(request: Request, stash: StashHere, form: SentForm) -> Response:
    """Rename a place, move it, or both: what was typed another way."""
    place = form.text("place")
    rename, into = changed_text(form, "rename"), changed_text(form, "into")
    try:
        changed = deeds.places(stash, place, rename=rename, into=into)
    except StashkeeperError as error:
        about = {error.code: "into" if rename is None else "rename"}
        return _one(request, stash, place, form.with_trouble(error, about), error.http_status)
    return go(request, "/places", changed.told)


def _page(request: Request, stash: Stash, form: Form, status: int = 200) -> Response:
    return page(
        request,
        "places.html",
        status=status,
        tree=deeds.places(stash).tree,
        form=form,
        search_address=search_address,
    )


def _one(request: Request, stash: Stash, place: str, form: Form, status: int = 200) -> Response:
    shown = deeds.places(stash, place).places[0]
    others = [other.path for other in deeds.places(stash).places if not shown.holds(other)]
    return page(
        request,
        "place.html",
        status=status,
        shown=shown,
        places=others,
        form=form,
        search_address=search_address,
    )
