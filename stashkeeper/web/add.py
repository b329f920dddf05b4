"""Adding pieces, with a phone at the shelf: photograph, size, place; then the next one."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated
from urllib.parse import urlencode

from fastapi import APIRouter, Depends, Query
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from stashkeeper.actions.add import Added, add
from stashkeeper.actions.piece_page import PiecePage, piece_page
from stashkeeper.actions.places import places
from stashkeeper.actions.stash import Stash
from stashkeeper.errors import StashkeeperError
from stashkeeper.web.forms import Form, SentForm
from stashkeeper.web.here import StashHere
from stashkeeper.web.once import Once
from stashkeeper.web.piece_fields import (
    ABOUT,
    KNOWN,
    PICKS,
    SELVEDGES,
    WAYS,
    new_words,
    size_of,
    whole_number,
)
from stashkeeper.web.show import Nav, go, page, wants_json, without_paths
from stashkeeper.web.swatches import swatch_address
from stashkeeper.web.uploads import photos_of

NAV = Nav("Add", "/add")
UPLOADS = ("/add",)
KEPT = ("at", "tags", "each")
"""Fields that the next piece takes over, beside the size."""

router = APIRouter()
_once = Once()


@dataclass(frozen=True, slots=True)
class Kept:
    """What the address of the page brings along from the piece before.

    Attributes:
        size, at, tags, each: as typed for that one.
        fabric: the code of a piece of the same fabric.
        added: the code of the piece that was just added.
    """

    size: Annotated[str, Query(max_length=200)] = ""
    at: Annotated[str, Query(max_length=2_000)] = ""
    tags: Annotated[str, Query(max_length=2_000)] = ""
    each: Annotated[str, Query(max_length=10)] = ""
    fabric: Annotated[str, Query(max_length=20)] = ""
    added: Annotated[str, Query(max_length=20)] = ""

    @property
    def form(self) -> Form:
        """The form, filled with it."""
        told = {"pick": self.size, "kept": self.size, "at": self.at, "tags": self.tags}
        return Form({**told, "each": self.each, "fabric": self.fabric})


@router.get("/add")
def show_add(request: Request, stash: StashHere, kept: Annotated[Kept, Depends()]) -> Response:
    """Show an empty form, less what is kept from the piece before."""
    return _form(request, stash, kept.form, kept.added)


@router.post("/add")
def add_pieces(request: Request, stash: StashHere, form: SentForm) -> Response:
    """Add a piece, or one for each photo."""
    try:
        added = _once.run(form.text("once"), lambda: _add(stash, form))
    except StashkeeperError as error:
        if wants_json(request):
            raise
        return _form(request, stash, form.with_trouble(error, ABOUT), status=error.http_status)
    if wants_json(request):
        return JSONResponse(_plain(stash, added), 201)
    return go(request, f"/add?{urlencode(_kept(form, added))}", added.sentences)


def _add(stash: Stash, form: Form) -> Added:
    with photos_of(stash, form) as photos:
        return add(
            stash,
            new_words(form),
            photos=photos,
            each=form.text("each") != "no",
            count=whole_number(form.given("count"), "count") or 1,
            fabric=form.given("fabric"),
            lightness=form.given("lightness"),
        )


def _kept(form: Form, added: Added) -> Mapping[str, str]:
    kept = {name: form.text(name) for name in KEPT if form.text(name)}
    return {"size": size_of(form) or "", **kept, "added": added.piece.code}


def _plain(stash: Stash, added: Added) -> Mapping[str, object]:
    """Return what a script is told of the pieces that were added."""
    pieces = [piece_page(stash, piece.code) for piece in added.pieces]
    return {
        "pieces": [
            {"code": one.piece.code, "name": one.piece.name, "swatch": _swatch(one)}
            for one in pieces
        ],
        "sentences": [without_paths(one) for one in added.sentences],
    }


def _swatch(shown: PiecePage) -> str | None:
    if shown.look is None:
        return None
    return swatch_address(shown.piece.code, shown.look, "colour", 160)


def _form(
    request: Request, stash: Stash, form: Form, added: str = "", status: int = 200
) -> Response:
    return page(
        request,
        "add.html",
        status=status,
        form=form,
        picks=_picks(stash, form),
        places=[place.path for place in places(stash).places],
        known=KNOWN,
        selvedges=SELVEDGES,
        ways=WAYS,
        fabric=_shown(stash, form.text("fabric")),
        added=_shown(stash, added),
        swatch_address=swatch_address,
    )


def _picks(stash: Stash, form: Form) -> tuple[str, ...]:
    """Return the sizes to choose from: the one kept is among them."""
    usual, kept = PICKS[stash.measure], form.text("kept")
    return usual if not kept or kept in usual else (kept, *usual)


def _shown(stash: Stash, code: str) -> PiecePage | None:
    """Return a piece to show beside the form; None where the address names none there is."""
    try:
        return piece_page(stash, code) if code else None
    except StashkeeperError:
        return None
