"""A piece and its fabric: what is known of it, where it was measured, and the deeds on it."""

import uuid
from collections.abc import Callable

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from stashkeeper.actions import pieces, values
from stashkeeper.actions.photos import photo
from stashkeeper.actions.piece_page import ENDS, box_of, mark_of, piece_page
from stashkeeper.actions.piece_words import PieceWords
from stashkeeper.actions.pieces import Done
from stashkeeper.actions.reading_view import METHOD_WORDS, doubt_sentences
from stashkeeper.actions.region import region
from stashkeeper.actions.stash import Stash
from stashkeeper.errors import StashkeeperError
from stashkeeper.web.forms import Form, SentForm
from stashkeeper.web.here import StashHere
from stashkeeper.web.piece_fields import ABOUT
from stashkeeper.web.searches import search_address
from stashkeeper.web.show import go, page
from stashkeeper.web.swatches import photo_address, swatch_address
from stashkeeper.web.uploads import photos_of

UPLOADS = ("/piece/{code}/photo",)
EDGES = ("left", "top", "right", "bottom")
"""The fields of a region: its edges, in percent of the upright photo."""

router = APIRouter()


@router.get("/piece/{code}")
def show_piece(request: Request, stash: StashHere, code: str) -> Response:
    """Show a piece."""
    return _page(request, stash, code, Form())


@router.post("/piece/{code}/move")
def move(request: Request, stash: StashHere, form: SentForm, code: str) -> Response:
    """Put a piece somewhere else."""
    words = PieceWords(at=form.text("at"))
    return _do(
        request, stash, code, form, "move", lambda: _first(stash, code, words, form.version())
    )


@router.post("/piece/{code}/end")
def end(request: Request, stash: StashHere, form: SentForm, code: str) -> Response:
    """Take a piece off the shelf."""
    return _do(
        request,
        stash,
        code,
        form,
        "end",
        lambda: pieces.end(stash, code, form.text("how"), form.version()),
    )


@router.post("/piece/{code}/lightness")
def lightness(request: Request, stash: StashHere, form: SentForm, code: str) -> Response:
    """Put a typed lightness on record."""
    typed = form.text("lightness")
    return _do(
        request, stash, code, form, "lightness", lambda: values.lightness(stash, code, typed)
    )


@router.post("/piece/{code}/photo")
def add_photo(request: Request, stash: StashHere, form: SentForm, code: str) -> Response:
    """Measure more photos of it."""

    def deed() -> Done:
        with photos_of(stash, form) as photos:
            return photo(stash, code, photos, back=form.flag("back"))

    return _do(request, stash, code, form, "photo", deed)


@router.post("/piece/{code}/region/{region_id}")
def change_region(
    request: Request, stash: StashHere, form: SentForm, code: str, region_id: uuid.UUID
) -> Response:
    """Measure another part of a photo."""
    crop = ",".join(_fraction(form.text(edge)) for edge in EDGES)
    return _do(
        request,
        stash,
        code,
        form,
        f"region-{region_id}",
        lambda: region(stash, code, crop, region_id=region_id),
    )


def _first(stash: Stash, code: str, words: PieceWords, version: tuple[int, int] | None) -> Done:
    """Change a piece, and tell only that: its page shows the rest."""
    done = pieces.change(stash, code, words, version)
    return Done(done.piece, done.sentences[:1])


def _fraction(percent: str) -> str:
    """Return a field in percent as a fraction; what is no number stays as it was typed."""
    try:
        return f"{float(percent.replace(',', '.')) / 100:.6g}"
    except ValueError:
        return percent


def _do(
    request: Request, stash: Stash, code: str, form: Form, doing: str, deed: Callable[[], Done]
) -> Response:
    """Do a deed and go on to the piece; show its page again where the deed could not be done."""
    try:
        done = deed()
    except StashkeeperError as error:
        troubled = form.with_trouble(error, {**ABOUT, "bad-name": "at"})
        return _page(request, stash, code, troubled, doing, error.http_status)
    return go(request, f"/piece/{done.piece.code}", done.sentences)


def _page(
    request: Request, stash: Stash, code: str, form: Form, doing: str = "", status: int = 200
) -> Response:
    shown = piece_page(stash, code)
    return page(
        request,
        "piece.html",
        status=status,
        shown=shown,
        piece=shown.piece,
        form=form,
        doing=doing,
        ends=ENDS,
        box_of=box_of,
        mark_of=mark_of,
        method_words=METHOD_WORDS,
        doubt_sentences=doubt_sentences,
        search_address=search_address,
        swatch_address=swatch_address,
        photo_address=photo_address,
    )
