"""Confirming that a piece of a plan is cut, as planned or as it really came out."""

import re
from collections.abc import Mapping

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from stashkeeper.actions import pieces
from stashkeeper.actions.confirming import cut
from stashkeeper.actions.looks import looks_of
from stashkeeper.actions.piece_words import PieceWords
from stashkeeper.actions.plan_page import plan_page
from stashkeeper.actions.plans import load_plan
from stashkeeper.actions.stash import Stash
from stashkeeper.errors import BadRequestError, StashkeeperError, quoted
from stashkeeper.web.forms import Form, SentForm
from stashkeeper.web.here import StashHere
from stashkeeper.web.piece_fields import changed_text
from stashkeeper.web.show import go, page
from stashkeeper.web.swatches import swatch_address

ABOUT = {"bad-size": "off_cuts"}
_PARTED = re.compile(r"[\n;]|,(?=\s)")

router = APIRouter()


@router.get("/plan/{number}/cut/{code}")
def show_confirming(request: Request, stash: StashHere, number: int, code: str) -> Response:
    """Ask how a piece came out."""
    return _page(request, stash, number, code, Form())


@router.post("/plan/{number}/cut/{code}")
def confirm(request: Request, stash: StashHere, form: SentForm, number: int, code: str) -> Response:
    """Put on record that a piece is cut; its off-cuts go back on the shelf."""
    try:
        done = cut(stash, number, code, only=_only(form), off_cuts=_off_cuts(form))
    except StashkeeperError as error:
        troubled = form.with_trouble(error, ABOUT)
        return _page(request, stash, number, code, troubled, error.http_status)
    return go(request, f"/plan/{number}#{done.code}", done.sentences)


@router.post("/plan/{number}/measure/{code}")
def measure(request: Request, stash: StashHere, form: SentForm, number: int, code: str) -> Response:
    """Type in what a piece measures, or that it measures what is on record."""
    size = form.given("size")
    words = PieceWords(size=size, measured=size is None and form.flag("right"))
    try:
        done = pieces.change(stash, code, words)
    except StashkeeperError as error:
        troubled = form.with_trouble(error, {"bad-size": "size"})
        return _page(request, stash, number, code, troubled, error.http_status)
    return go(request, f"/plan/{number}#{done.piece.code}", done.sentences[:1])


def _only(form: Form) -> str | None:
    """Return what came out, in the words of the action; None for all of it.

    Raises:
        BadRequestError: something was typed beside a choice that does not look at it.
    """
    typed = {"first": form.given("first"), "other": changed_text(form, "only")}
    chosen = form.text("how")
    _must_be_chosen(chosen, typed)
    return {"first": form.text("first"), "other": form.text("only")}.get(chosen)


def _off_cuts(form: Form) -> list[str]:
    """Return what was left over as typed; nothing where it is as planned.

    Raises:
        BadRequestError: as `_only`.
    """
    chosen = form.text("left")
    _must_be_chosen(chosen, {"other": form.given("off_cuts")})
    parts = [part.strip() for part in _PARTED.split(form.text("off_cuts")) if part.strip()]
    return {"none": ["none"], "other": parts}.get(chosen, [])


def _must_be_chosen(chosen: str, typed: Mapping[str, str | None]) -> None:
    """Refuse a choice that would pass over what was typed beside another."""
    for choice, text in typed.items():
        if text and choice != chosen:
            raise BadRequestError(
                f"{quoted(text)} was typed, and something else was chosen.",
                "Choose what was typed, or empty the field.",
            )


def _page(
    request: Request, stash: Stash, number: int, code: str, form: Form, status: int = 200
) -> Response:
    with stash.reading() as session:
        planned = load_plan(stash, session, number).piece(code)
    shown = plan_page(stash, number)
    return page(
        request,
        "confirming.html",
        status=status,
        form=form,
        shown=shown,
        piece=shown.piece(planned.cloth.code),
        looks=looks_of(stash, [planned.cloth.code]),
        swatch_address=swatch_address,
    )
