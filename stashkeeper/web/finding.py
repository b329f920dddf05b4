"""Find: which pieces are big enough; what was asked stands in the address, to be kept or sent."""

from dataclasses import dataclass
from typing import Annotated
from urllib.parse import urlencode

from fastapi import APIRouter, Depends, Query
from starlette.requests import Request
from starlette.responses import Response

from stashkeeper.actions.finding import find_pieces
from stashkeeper.actions.found import SHOWN, Answer
from stashkeeper.actions.looks import looks_of
from stashkeeper.actions.stash import Stash
from stashkeeper.errors import StashkeeperError
from stashkeeper.web.forms import Form
from stashkeeper.web.here import StashHere
from stashkeeper.web.piece_fields import whole_number
from stashkeeper.web.show import page
from stashkeeper.web.swatches import swatch_address

ABOUT = {"bad-size": "size", "bad-cut": "count", "bad-search": "q", "not-found": "q"}
"""The field that an error is about, by the error's code."""

MOST_DIGITS = 12

router = APIRouter()


@dataclass(frozen=True, slots=True)
class Asked:
    """What the address asks for, as typed.

    Attributes:
        size: of the cut, or a set in words.
        count: how many of it.
        allowance: taken off each direction; the usual where empty.
        directional: not empty where its length must run along the selvedge.
        q: search words.
        show: how many of the pieces are shown; more than at first by a link.
    """

    size: Annotated[str, Query(max_length=2_000)] = ""
    count: Annotated[str, Query(max_length=40)] = ""
    allowance: Annotated[str, Query(max_length=100)] = ""
    directional: Annotated[str, Query(max_length=10)] = ""
    q: Annotated[str, Query(max_length=2_000)] = ""
    show: Annotated[str, Query(max_length=20)] = ""

    def find(self, stash: Stash) -> Answer:
        """Return what is found.

        Raises:
            StashkeeperError: as `find_pieces`.
        """
        return find_pieces(
            stash,
            self.size,
            [self.q],
            count=whole_number(self.count.strip(), "count", MOST_DIGITS),
            allowance=self.allowance.strip() or None,
            directional=bool(self.directional),
        )

    @property
    def shown(self) -> int:
        """How many pieces are shown."""
        return min(int(self.show), 1_000) if self.show.isascii() and self.show.isdigit() else SHOWN

    @property
    def address_of_more(self) -> str:
        """The address of the same with more pieces."""
        asked = {
            "size": self.size,
            "count": self.count,
            "allowance": self.allowance,
            "directional": self.directional,
            "q": self.q,
            "show": str(self.shown * 4),
        }
        return f"/find?{urlencode({name: word for name, word in asked.items() if word})}"


@router.get("/find")
def show_find(request: Request, stash: StashHere, asked: Annotated[Asked, Depends()]) -> Response:
    """Show what is asked for, and the pieces that hold it."""
    form = Form(
        {name: getattr(asked, name) for name in ("size", "count", "allowance", "directional", "q")}
    )
    if not request.query_params:
        return _page(request, stash, form, asked, None)
    try:
        found = asked.find(stash)
    except StashkeeperError as error:
        about = ABOUT | ({"bad-size": "allowance"} if _is_allowance(asked, error) else {})
        troubled = form.with_trouble(error, about)
        return _page(request, stash, troubled, asked, None, error.http_status)
    return _page(request, stash, form, asked, found)


def _is_allowance(asked: Asked, error: StashkeeperError) -> bool:
    """Tell whether an error is about the allowance: it quotes it, and not the size."""
    typed = asked.allowance.strip()
    return bool(typed) and f"“{typed}”" in error.problem and typed != asked.size.strip()


def _page(
    request: Request,
    stash: Stash,
    form: Form,
    asked: Asked,
    found: Answer | None,
    status: int = 200,
) -> Response:
    pieces = found.pieces[: asked.shown] if found else ()
    beside = [one.code for one in (found.together[:SHOWN] if found else ())]
    nearest = [found.nearest.code] if found and found.nearest else []
    return page(
        request,
        "finding.html",
        status=status,
        form=form,
        asked=asked,
        found=found,
        pieces=pieces,
        looks=looks_of(stash, [*(one.code for one in pieces), *beside, *nearest]),
        swatch_address=swatch_address,
    )
