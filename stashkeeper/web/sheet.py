"""The sheet: what is wanted on it, how far its drawing is, the finished one to save."""

from dataclasses import asdict
from typing import Annotated

from fastapi import APIRouter, Depends, Query
from starlette.requests import Request
from starlette.responses import Response

from stashkeeper.actions.drawings import Drawing, SheetWords
from stashkeeper.errors import StashkeeperError
from stashkeeper.web.downloads import saved
from stashkeeper.web.forms import Form, SentForm
from stashkeeper.web.here import StashHere
from stashkeeper.web.show import Nav, go, page, wants_json
from stashkeeper.web.working import DrawingsHere, how_far

NAV = Nav("Sheet", "/sheet", more=True)

PATIENCE = 1.5
"""Seconds until a page is shown that says how far the drawing is."""

FIELDS = ("q", "by", "title", "paper", "light", "medium", "dark")

router = APIRouter()


@router.get("/sheet")
def show_sheet(
    request: Request, stash: StashHere, asked: Annotated[SheetWords, Depends()]
) -> Response:
    """Show what is wanted on a sheet, before it is drawn."""
    usual = {"paper": asked.paper or stash.settings.paper.value}
    return _shown(request, Form(asdict(asked) | usual))


@router.post("/sheet")
def draw(request: Request, drawings: DrawingsHere, form: SentForm) -> Response:
    """Begin to draw."""
    try:
        number = drawings.begin(_words(form))
    except StashkeeperError as error:
        searched = _words(form).groups is None
        about = {"bad-search": "q", "bad-size": "q", "not-found": "q"} if searched else {}
        return _shown(request, form.with_trouble(error, about), status=error.http_status)
    return go(request, f"/sheet/{number}")


@router.get("/sheet/{number}")
def look_at_sheet(
    request: Request,
    drawings: DrawingsHere,
    number: str,
    patience: Annotated[float, Query(ge=0, le=PATIENCE)] = PATIENCE,
) -> Response:
    """Show how far a drawing is, or the finished one."""
    drawing = drawings.look(number, patience)
    if wants_json(request):
        return how_far(drawing.work)
    return _shown(request, Form(asdict(drawing.words)), drawing)


@router.get("/sheet/{number}/sheet.pdf")
def save_pdf(drawings: DrawingsHere, number: str) -> Response:
    """Serve a sheet as a PDF to save."""
    return saved(drawings.pdf(number), f"{drawings.look(number).name}.pdf")


@router.get("/sheet/{number}/{one}.png")
def save_png(drawings: DrawingsHere, number: str, one: int) -> Response:
    """Serve a page of a sheet as a PNG to save."""
    drawing = drawings.look(number)
    name = drawing.name if drawing.pages == 1 else f"{drawing.name}-{one}"
    return saved(drawings.png(number, one), f"{name}.png")


@router.get("/sheet/{number}/first.webp")
def look_at_first_page(drawings: DrawingsHere, number: str) -> Response:
    """Serve a picture of the first page."""
    kept = {"Cache-Control": "private, max-age=86400, immutable"}
    return Response(drawings.first_page(number), media_type="image/webp", headers=kept)


def _words(form: Form) -> SheetWords:
    return SheetWords(**{name: form.text(name) for name in FIELDS if form.given(name)})


def _shown(
    request: Request, form: Form, drawing: Drawing | None = None, status: int = 200
) -> Response:
    words = _words(form)
    whole = Form(asdict(words), form.trouble)
    return page(
        request, "sheet.html", status=status, form=whole, drawing=drawing, groups=words.groups
    )
