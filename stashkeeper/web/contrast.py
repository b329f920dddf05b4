"""Contrast of a few: pieces ticked into light, medium and dark, and judged.

The choice stands in the address, `/contrast?light=A1,A2&medium=A3&dark=A6`, so that it can be kept
and sent; a form that ticks pieces is led on to such an address.
"""

from collections.abc import Mapping
from urllib.parse import urlencode

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from stashkeeper.actions.contrast_page import NOTHING, Choice, choose, contrast_page
from stashkeeper.actions.shelf import Shelf
from stashkeeper.catalogue.codes import is_code
from stashkeeper.cloth.value import Value
from stashkeeper.errors import StashkeeperError
from stashkeeper.pictures.web_rule import TICKS
from stashkeeper.web.forms import Form
from stashkeeper.web.here import StashHere
from stashkeeper.web.show import Nav, page
from stashkeeper.web.swatches import swatch_address

NAV = Nav("Contrast", "/contrast", more=True)

MOST_TICKS = 400
"""Ticks of one form that are looked at."""

router = APIRouter()


@router.get("/contrast")
def show_contrast(request: Request, stash: StashHere) -> Response:
    """Show a choice with its judgement, and the shelf to choose from."""
    query = request.query_params
    asked = {name: query.get(name, "") for name in ("q", "page", *Value)}
    ticks = _ticks(query)
    try:
        choice = choose(stash, asked, ticks)
        judged = contrast_page(stash, choice)
    except StashkeeperError as error:
        form = Form(asked).with_trouble(error)
        return _shown(request, form, NOTHING, status=error.http_status)
    if ticks:
        return RedirectResponse(address_of(choice, asked["q"], asked["page"]), 303)
    return _shown(request, Form(asked), choice, judged=judged)


def _ticks(query: Mapping[str, str]) -> dict[str, Value | None]:
    """Return the group that was ticked for each piece; None where it was ticked out."""
    ticked = [(name, word) for name, word in query.items() if name.isupper() and is_code(name)]
    words = {str(value): value for value in Value}
    return {name: words.get(word) for name, word in ticked[:MOST_TICKS]}


def address_of(choice: Choice, q: str = "", page: str = "") -> str:
    """Return the address of a choice, and of what the shelf below it is searched for."""
    asked = {**choice.texts, "q": q, "page": page if page not in {"", "1"} else ""}
    query = urlencode({name: word for name, word in asked.items() if word}, safe=",")
    return f"/contrast{'?' if query else ''}{query}"


def _shown(
    request: Request, form: Form, choice: Choice, *, status: int = 200, **shown: object
) -> Response:
    shelf: Shelf = request.app.state.shelf
    words = form.text("q")
    number = form.text("page")
    try:
        found = shelf.page(
            words, number=int(number) if number.isascii() and number.isdigit() else 1
        )
    except StashkeeperError as error:
        found, status = None, error.http_status
        form = form.with_trouble(error, {error.code: "q"})
    return page(
        request,
        "contrast.html",
        status=status,
        form=form,
        choice=choice,
        judged=shown.get("judged"),
        shelf=found,
        asked=None,
        values=tuple(Value),
        address_of=lambda one: address_of(one, words),
        swatch_address=swatch_address,
        TICKS=TICKS,
    )
