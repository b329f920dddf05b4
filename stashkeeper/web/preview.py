"""Preview: a quilt in its fabrics, what is weak in it, other fabrics beside; to be saved."""

from typing import Annotated, Literal
from urllib.parse import urlencode

from fastapi import APIRouter, Query
from starlette.requests import Request
from starlette.responses import Response

from stashkeeper.actions.layout_page import listed
from stashkeeper.actions.looks import looks_of
from stashkeeper.actions.preview_typed import (
    CHOICES,
    AskedQuilt,
    asked_anyway,
    asked_quilt,
    field_of_preview,
    names_a_quilt,
    read_typed,
)
from stashkeeper.actions.previews import Previewed
from stashkeeper.actions.project_list import list_all
from stashkeeper.actions.stash import Stash
from stashkeeper.errors import BadFileError, Mistake, StashkeeperError
from stashkeeper.web.downloads import saved
from stashkeeper.web.forms import Form, SentForm
from stashkeeper.web.here import StashHere
from stashkeeper.web.plans import SVG
from stashkeeper.web.show import go, page, wants_json
from stashkeeper.web.swatches import swatch_address
from stashkeeper.web.working import PreviewsHere, how_far

PATIENCE = 2.5
"""Seconds until a page is shown that says how far the drawing is."""

router = APIRouter()


@router.get("/preview")
def show_preview(request: Request, stash: StashHere) -> Response:
    """Show which quilt and which fabrics are to be seen, before they are drawn."""
    typed = read_typed(request.query_params)
    if not names_a_quilt(typed):
        return page(
            request, "preview_choice.html", projects=list_all(stash).projects, layouts=listed()
        )
    return _shown(request, stash, Form(typed))


@router.post("/preview")
def begin(request: Request, stash: StashHere, previews: PreviewsHere, form: SentForm) -> Response:
    """Begin to draw."""
    typed = read_typed(form.typed)
    try:
        number = previews.begin(typed)
    except StashkeeperError as error:
        about = {error.code: field_of_preview(error, typed)}
        troubled = Form(typed).with_trouble(error, about)
        return _shown(request, stash, troubled, status=error.http_status)
    return go(request, f"/preview/{number}")


@router.post("/preview/own")
def show_own(request: Request, stash: StashHere, form: SentForm) -> Response:
    """Show the same for a layout that was written or pasted."""
    typed = read_typed(form.typed)
    return _shown(request, stash, Form(typed)) if names_a_quilt(typed) else go(request, "/preview")


@router.get("/preview/{number}")
def look_at_preview(
    request: Request,
    stash: StashHere,
    previews: PreviewsHere,
    number: str,
    patience: Annotated[float, Query(ge=0, le=PATIENCE)] = PATIENCE,
) -> Response:
    """Show how far a drawing is, or the finished one."""
    previewed = previews.look(number, patience)
    if wants_json(request):
        return how_far(previewed.work)
    return _shown(request, stash, Form(dict(previewed.typed)), previewed)


@router.get("/preview/{number}/{scene}-{tone}.webp")
def picture(previews: PreviewsHere, number: str, scene: int, tone: str) -> Response:
    """Serve the picture of a choice of fabrics."""
    kept = {"Cache-Control": "private, max-age=86400, immutable"}
    content = previews.picture(number, scene, tone)
    return Response(content, media_type="image/webp", headers=kept)


@router.get("/preview/{number}/{scene}-{rule}.svg")
def value_rule(previews: PreviewsHere, number: str, scene: int, rule: str) -> Response:
    """Serve the value rule of a choice of fabrics."""
    content = previews.rule(number, scene, rule)
    return Response(content, media_type="image/svg+xml", headers=SVG)


@router.get("/preview/{number}/{what}/{kind}")
def save(
    previews: PreviewsHere,
    number: str,
    what: Literal["preview", "outline"],
    kind: Literal["pdf", "png", "svg"],
) -> Response:
    """Serve a preview or its outline as a file to save."""
    content = previews.saved(number, kind, outline=what == "outline")
    name = previews.look(number).name
    return saved(content, f"{name}{' outline' if what == 'outline' else ''}.{kind}")


def _shown(
    request: Request,
    stash: Stash,
    form: Form,
    previewed: Previewed | None = None,
    *,
    status: int = 200,
) -> Response:
    asked: AskedQuilt | None = None
    mistakes: tuple[Mistake, ...] = ()
    try:
        asked = asked_quilt(stash, form.typed)
    except StashkeeperError as error:
        mistakes = error.mistakes if isinstance(error, BadFileError) else ()
        if not form.trouble:
            form = form.with_trouble(error, {error.code: field_of_preview(error, form.typed)})
            status = error.http_status if previewed is None else status
        asked = asked_anyway(stash, form.typed)
    scenes = previewed.scenes if previewed else ()
    codes = [fabric[0] for scene in scenes for fabric in scene.fabrics]
    return page(
        request,
        "preview.html",
        status=status,
        form=form,
        asked=asked,
        previewed=previewed,
        mistakes=mistakes,
        choices=CHOICES,
        looks=looks_of(stash, codes),
        swatch_address=swatch_address,
        address=_address(form),
    )


def _address(form: Form) -> str:
    """Return where the same can be asked for again; empty where a pasted text is too long."""
    address = f"/preview?{urlencode(form.typed)}"
    return address if len(address) <= 2_000 else ""
