"""The reference card: drawn to be printed, and told what its greys are."""

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from stashkeeper.actions import card as deeds
from stashkeeper.actions.stash import Stash
from stashkeeper.errors import StashkeeperError
from stashkeeper.lengths.paper import Paper
from stashkeeper.web.downloads import saved
from stashkeeper.web.forms import Form, SentForm
from stashkeeper.web.here import StashHere
from stashkeeper.web.show import Nav, go, page

NAV = Nav("Reference card", "/card", more=True)
LEVELS = ("level-0", *(f"level-{number}" for number in range(1, deeds.LEVELS)))
"""The fields of the known greys: the paper first."""

router = APIRouter()


@router.get("/card")
def show_card(request: Request, stash: StashHere, name: str = "", paper: str = "") -> Response:
    """Show the card as it will be printed, and the cards that are known."""
    form = Form({"name": name, "paper": paper})
    try:
        drawn = deeds.card(stash, paper=paper or None, card_id=name or None)
    except StashkeeperError as error:
        return _shown(request, stash, form.with_trouble(error), None, error.http_status)
    return _shown(request, stash, Form({"name": drawn.card_id, "paper": drawn.paper}), drawn)


@router.get("/card.pdf")
def save_card(stash: StashHere, name: str = "", paper: str = "") -> Response:
    """Serve the card as a PDF to save."""
    drawn = deeds.card(stash, paper=paper or None, card_id=name or None)
    return saved(drawn.pdf, f"reference card {drawn.card_id}.pdf")


@router.get("/card/look.webp")
def look_at_card(stash: StashHere, name: str = "", paper: str = "") -> Response:
    """Serve a picture of the page that is printed."""
    drawn = deeds.card(stash, paper=paper or None, card_id=name or None)
    kept = {"Cache-Control": "private, max-age=86400"}
    return Response(drawn.picture(), media_type="image/webp", headers=kept)


@router.post("/card/known")
def know_card(request: Request, stash: StashHere, form: SentForm) -> Response:
    """Put on record what paper and greys of a printed card are."""
    levels = [form.text(name) for name in LEVELS if form.given(name)]
    try:
        known = deeds.card_known(stash, form.text("card"), levels)
    except StashkeeperError as error:
        again = form.with_trouble(error, {"bad-lightness": "levels", "bad-request": "levels"})
        return _shown(request, stash, again, None, error.http_status)
    return go(request, "/card", known.sentences)


def _shown(
    request: Request, stash: Stash, form: Form, drawn: deeds.DrawnCard | None, status: int = 200
) -> Response:
    return page(
        request,
        "card.html",
        status=status,
        form=form,
        drawn=drawn,
        papers=[(str(one), str(one).capitalize()) for one in Paper],
        levels=LEVELS,
        known=deeds.known_cards(stash),
    )
