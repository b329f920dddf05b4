"""A plan: its pieces with their diagrams, what to measure first, the pages to print."""

from typing import Annotated

from fastapi import APIRouter, Query
from starlette.requests import Request
from starlette.responses import Response

from stashkeeper.actions import plan_pictures
from stashkeeper.actions.looks import looks_of
from stashkeeper.actions.plan_page import plan_page
from stashkeeper.actions.steps_page import steps_page
from stashkeeper.web.downloads import saved
from stashkeeper.web.forms import Form
from stashkeeper.web.here import StashHere
from stashkeeper.web.show import page
from stashkeeper.web.swatches import swatch_address

SVG = {
    "Content-Security-Policy": "default-src 'none'; img-src data:; style-src 'unsafe-inline'",
    "Cache-Control": "private, no-cache",
}
"""A diagram is a picture with the photo inside, and nothing else."""

router = APIRouter()


@router.get("/plan/{number}")
def show_plan(request: Request, stash: StashHere, number: int) -> Response:
    """Show a plan with its pieces as they stand."""
    shown = plan_page(stash, number)
    return page(
        request,
        "plan.html",
        form=Form(),
        shown=shown,
        looks=looks_of(stash, [one.view.code for one in shown.pieces]),
        swatch_address=swatch_address,
    )


@router.get("/plan/{number}/pages.pdf")
def save_pages(
    stash: StashHere, number: int, paper: Annotated[str, Query(max_length=20)] = ""
) -> Response:
    """Serve the cutting pages as a PDF to save."""
    return saved(plan_pictures.plan_pdf(stash, number, paper or None), f"plan-{number}.pdf")


@router.get("/plan/{number}/{code}.svg")
def diagram(
    stash: StashHere,
    number: int,
    code: str,
    part: Annotated[str, Query(max_length=40)] = "",
    step: Annotated[int, Query(ge=0, le=100_000)] = 0,
) -> Response:
    """Serve the diagram of a piece; the cuts of a step stand out."""
    now = steps_page(stash, number).part(part).step(step).lines if part and step else ()
    content = plan_pictures.piece_svg(stash, number, code, now)
    return Response(content, media_type="image/svg+xml", headers=SVG)
