"""Labels: chosen by search words, looked at, saved as a PDF to print."""

from dataclasses import dataclass
from typing import Annotated
from urllib.parse import urlencode

from fastapi import APIRouter, Depends, Query
from starlette.requests import Request
from starlette.responses import Response

from stashkeeper.actions import labels as deeds
from stashkeeper.actions.labels import Labels
from stashkeeper.actions.stash import Stash
from stashkeeper.errors import BadRequestError, StashkeeperError, quoted
from stashkeeper.pictures.label_sheets import LABEL_SHEETS
from stashkeeper.web.access import Access, loopback
from stashkeeper.web.downloads import saved
from stashkeeper.web.forms import Form
from stashkeeper.web.here import StashHere
from stashkeeper.web.show import Nav, page

NAV = Nav("Labels", "/labels", more=True)

router = APIRouter()


@dataclass(frozen=True, slots=True)
class Asked:
    """What the address of the page asks for, as typed.

    Attributes:
        q: search words.
        sheet: of labels, by their size.
        own: another sheet, as typed; it counts before `sheet`.
        start: the first label that is still there.
        address: where the pages are; None where it was not asked for, empty for words.
        outline: not empty where the edges of the labels are wanted.
    """

    q: Annotated[str, Query(max_length=2_000)] = ""
    sheet: Annotated[str, Query(max_length=100)] = ""
    own: Annotated[str, Query(max_length=100)] = ""
    start: Annotated[str, Query(max_length=20)] = "1"
    address: Annotated[str | None, Query(max_length=300)] = None
    outline: Annotated[str, Query(max_length=10)] = ""

    def labels(self, stash: Stash, request: Request) -> Labels:
        """Return the labels that are asked for.

        Raises:
            StashkeeperError: as `labels`.
        """
        number = self.start.strip() or "1"
        if not (number.isascii() and number.isdigit() and len(number) < 6):
            raise BadRequestError(f"{quoted(number)} is no label.", "Count from 1.")
        return deeds.labels(
            stash,
            self.q,
            sheet=self.own.strip() or self.sheet or None,
            start=int(number),
            address=self.shown_address(request),
            outline=bool(self.outline),
        )

    def shown_address(self, request: Request) -> str:
        """Return the address that was typed, or the one under which a phone finds the pages."""
        return home_address(request) if self.address is None else self.address

    def query(self, request: Request) -> str:
        """Return the same as the end of an address."""
        asked = {
            "q": self.q,
            "sheet": self.sheet,
            "own": self.own,
            "start": self.start,
            "address": self.shown_address(request),
            "outline": self.outline,
        }
        return urlencode({name: word for name, word in asked.items() if word or name == "address"})


AskedLabels = Annotated[Asked, Depends()]


@router.get("/labels")
def show_labels(request: Request, stash: StashHere, asked: AskedLabels) -> Response:
    """Show what is to be printed, and the first sheet of it."""
    typed = {"q": asked.q, "own": asked.own, "start": asked.start}
    if asked.sheet:  # where none is chosen, the usual one is shown chosen
        typed["sheet"] = asked.sheet
    form = Form({**typed, "outline": asked.outline, "address": asked.shown_address(request)})
    try:
        drawn, status = asked.labels(stash, request), 200
    except StashkeeperError as error:
        if not request.query_params:  # nothing was asked for yet
            return _shown(request, stash, form, asked, None)
        drawn, status = None, error.http_status
        form = form.with_trouble(error, {"bad-search": "q", "bad-size": "q", "not-found": "q"})
    return _shown(request, stash, form, asked, drawn, status)


def _shown(
    request: Request,
    stash: Stash,
    form: Form,
    asked: Asked,
    drawn: Labels | None,
    status: int = 200,
) -> Response:
    return page(
        request,
        "labels.html",
        status=status,
        form=form,
        labels=drawn,
        query=asked.query(request),
        sheets=[(sheet.key, sheet.words) for sheet in LABEL_SHEETS],
        usual=deeds.label_sheet(stash, None).key,
        far=bool(home_address(request)),
    )


@router.get("/labels.pdf")
def save_labels(request: Request, stash: StashHere, asked: AskedLabels) -> Response:
    """Serve the labels as a PDF to save."""
    return saved(asked.labels(stash, request).pdf(), "labels.pdf")


@router.get("/labels/first.webp")
def look_at_labels(request: Request, stash: StashHere, asked: AskedLabels) -> Response:
    """Serve a picture of the first sheet."""
    return Response(
        asked.labels(stash, request).first_sheet(),
        media_type="image/webp",
        headers={"Cache-Control": "private, no-store"},
    )


def home_address(request: Request) -> str:
    """Return the address under which a phone finds the pages; empty where it cannot reach them."""
    access: Access = request.app.state.access
    visited = request.headers.get("host", "").lower()
    port = visited.rpartition(":")[2]
    near = loopback(int(port)) if port.isdigit() else frozenset()
    far = sorted(access.hosts - near)
    host = visited if visited in far else next(iter(far), "")
    return f"http://{host}" if host else ""
