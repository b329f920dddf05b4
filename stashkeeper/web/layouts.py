"""Layouts: the traditional ones drawn, at any size, turned and mirrored; and a pasted text."""

from collections.abc import Mapping
from urllib.parse import urlencode

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from stashkeeper.actions.layout_page import (
    field_of_layout,
    known_name,
    layout_page,
    listed,
    shown_mistakes,
    typed_words,
)
from stashkeeper.errors import BadFileError, BadRequestError, StashkeeperError
from stashkeeper.quilts.layout_library import layout_text
from stashkeeper.web.downloads import saved
from stashkeeper.web.forms import Form, SentForm
from stashkeeper.web.show import Nav, page

NAV = Nav("Layouts", "/layouts", more=True, within=("/layouts/", "/preview"))

FIELDS = ("columns", "rows", "turn", "mirror", "exchange")
"""What can be changed of a layout."""

LONGEST = 200
"""So much of what is typed into a field is read."""

TURNS = (("0", "as it is"), ("1", "a quarter turn"), ("2", "half a turn"), ("3", "three quarters"))

router = APIRouter()


@router.get("/layouts")
def show_layouts(request: Request) -> Response:
    """Show the traditional layouts."""
    return page(request, "layouts.html", layouts=listed())


@router.get("/layouts/own")
def show_own(request: Request, start: str = "") -> Response:
    """Show where a text is pasted; that of a traditional layout where one is named."""
    text = layout_text(start) if start.strip() else ""
    return _own(request, Form({"text": text}))


@router.post("/layouts/own")
def look_at_own(request: Request, form: SentForm) -> Response:
    """Show a pasted layout drawn, or all its mistakes."""
    text = form.typed.get("text", "").replace("\r\n", "\n")
    form = Form({**form.typed, "text": text})
    try:
        if not text.strip():
            raise BadRequestError("There is no text yet.", "Paste or write a layout.")
        shown = layout_page(text, typed_words(form.typed))
    except BadFileError as error:
        troubled = form.with_trouble(error, {error.code: "text"})
        return _own(request, troubled, mistakes=shown_mistakes(text, error), status=400)
    except StashkeeperError as error:
        about = field_of_layout(error, form.typed) or ("text" if not text.strip() else "")
        troubled = form.with_trouble(error, {error.code: about})
        return _own(request, troubled, status=error.http_status)
    return _own(request, form, shown=shown)


@router.get("/layouts/{name}")
def show_layout(request: Request, name: str) -> Response:
    """Show a traditional layout, changed as wished."""
    form, known = _asked(request), known_name(name)
    try:
        shown, status = layout_page(layout_text(known), typed_words(form.typed)), 200
    except StashkeeperError as error:
        form = form.with_trouble(error, {error.code: field_of_layout(error, form.typed)})
        status = error.http_status
        shown = layout_page(layout_text(known), typed_words({}))
    return page(
        request,
        "layout.html",
        status=status,
        name=known,
        form=form,
        shown=shown,
        turns=TURNS,
        query=query_of(form.typed),
    )


@router.get("/layouts/{name}/layout.txt")
def save_layout(request: Request, name: str) -> Response:
    """Serve the text of a layout, changed as wished, to save."""
    known = known_name(name)
    shown = layout_page(layout_text(known), typed_words(_asked(request).typed))
    if not shown.text:
        raise BadRequestError(
            "A layout of so many units has no text on a page.", "Give fewer columns and rows."
        )
    return saved(shown.text.encode(), f"{known}.txt")


def query_of(typed: Mapping[str, str]) -> str:
    """Return what was changed of a layout as an address says it, from the question mark on."""
    kept = {name: typed[name] for name in FIELDS if typed.get(name) not in {None, "", "0"}}
    return f"?{urlencode(kept)}" if kept else ""


def _asked(request: Request) -> Form:
    query = request.query_params
    return Form({name: query[name][:LONGEST] for name in FIELDS if name in query})


def _own(request: Request, form: Form, *, status: int = 200, **shown: object) -> Response:
    return page(
        request,
        "layout_own.html",
        status=status,
        form=form,
        shown=shown.get("shown"),
        mistakes=shown.get("mistakes", ()),
        turns=TURNS,
    )
