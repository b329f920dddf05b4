"""Sums: quilt arithmetic; what was asked stands in the address, to be kept or sent."""

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from stashkeeper.actions.sum_page import GROUPS, MEASURE, sum_page
from stashkeeper.lengths.length import Measure
from stashkeeper.web.here import StashHere
from stashkeeper.web.show import Nav, page

NAV = Nav("Sums", "/sums", more=True, within=("/sums/", "/fit"))

LONGEST = 200
"""So much of what is typed into a field is read."""

router = APIRouter()


@router.get("/sums")
def show_sums(request: Request) -> Response:
    """Show which sums there are."""
    return page(request, "sums.html", groups=GROUPS)


@router.get("/sums/{which}")
def show_sum(request: Request, stash: StashHere, which: str) -> Response:
    """Show what a sum asks for, and its answer."""
    typed = {name: word[:LONGEST] for name, word in request.query_params.items()}
    shown = sum_page(which, typed, stash.settings)
    return page(
        request,
        "sum.html",
        status=shown.status,
        shown=shown,
        measures=tuple(Measure),
        measure_field=MEASURE,
    )
