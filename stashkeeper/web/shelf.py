"""The shelf page."""

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from stashkeeper.web.here import StashHere
from stashkeeper.web.show import Nav, page

NAV = Nav("Shelf", "/")

router = APIRouter()


@router.get("/")
def show_shelf(request: Request, stash: StashHere) -> Response:
    """Show the shelf."""
    return page(request, "shelf.html")
