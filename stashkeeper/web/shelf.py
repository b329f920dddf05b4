"""The shelf page: the whole shelf along the value rule, in colour or in grey."""

from dataclasses import dataclass, replace
from typing import Annotated
from urllib.parse import urlencode

from fastapi import APIRouter, Depends, Query
from starlette.requests import Request
from starlette.responses import Response

from stashkeeper.actions.shelf import Shelf
from stashkeeper.errors import StashkeeperError
from stashkeeper.pictures.web_pictures import Tone
from stashkeeper.pictures.web_rule import TICKS
from stashkeeper.web.forms import Form
from stashkeeper.web.show import Nav, page
from stashkeeper.web.swatches import swatch_address

NAV = Nav("Shelf", "/")

router = APIRouter()


@dataclass(frozen=True, slots=True)
class Asked:
    """What the address of the shelf page asks for.

    Attributes:
        q: search words.
        by: how groups are made: bands or split.
        grey: not empty where swatches are to be in grey.
        page: which page, from 1.
    """

    q: Annotated[str, Query()] = ""
    by: Annotated[str, Query()] = "bands"
    grey: Annotated[str, Query()] = ""
    page: Annotated[str, Query()] = "1"

    @property
    def number(self) -> int:
        """Which page is asked for; the first where that is no number."""
        return int(self.page) if self.page.isascii() and self.page.isdigit() else 1

    @property
    def tone(self) -> Tone:
        """Whether swatches are in colour or in grey."""
        return Tone.GREY if self.grey else Tone.COLOUR

    @property
    def in_other_tone(self) -> str:
        """The address of the same page in grey, or back in colour."""
        return replace(self, grey="" if self.grey else "1").address(self.number)

    def address(self, number: int, code: str = "") -> str:
        """Return the address of another page of the same, and of a piece on it."""
        asked = {
            "q": self.q,
            "by": "" if self.by == "bands" else self.by,
            "grey": "1" if self.grey else "",
            "page": "" if number == 1 else str(number),
        }
        query = urlencode({name: word for name, word in asked.items() if word})
        return f"/{'?' if query else ''}{query}{'#' if code else ''}{code}"


@router.get("/")
def show_shelf(request: Request, asked: Annotated[Asked, Depends()]) -> Response:
    """Show a page of the shelf."""
    shelf: Shelf = request.app.state.shelf
    form = Form({"q": asked.q, "by": asked.by, "grey": asked.grey})
    try:
        found = shelf.page(asked.q, by=asked.by, number=asked.number)
    except StashkeeperError as error:
        troubled = form.with_trouble(error, {error.code: "q"})
        return page(
            request, "shelf.html", status=error.http_status, form=troubled, shelf=None, asked=asked
        )
    return page(
        request,
        "shelf.html",
        form=form,
        shelf=found,
        asked=asked,
        swatch_address=swatch_address,
        TICKS=TICKS,
    )
