"""Bags of scraps: strips by width, squares by size, crumbs by weight, counted in and out."""

import re

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from stashkeeper.actions import scraps as deeds
from stashkeeper.actions.places import places
from stashkeeper.actions.stash import Stash
from stashkeeper.errors import StashkeeperError
from stashkeeper.web.forms import Form, SentForm
from stashkeeper.web.here import StashHere
from stashkeeper.web.show import go, page

_PARTED = re.compile(r"[\n;]|,(?=\s)")

router = APIRouter()


@router.get("/scraps")
def show_scraps(request: Request, stash: StashHere) -> Response:
    """Show every bag and what is in it."""
    return _page(request, stash, Form())


@router.post("/scraps")
def begin(request: Request, stash: StashHere, form: SentForm) -> Response:
    """Begin a new bag."""
    return _do(request, stash, form, None, form.text("name"), "new")


@router.post("/scraps/{code}")
def count(request: Request, stash: StashHere, form: SentForm, code: str) -> Response:
    """Count scraps into a bag, or out of it; weigh its crumbs; put it somewhere else."""
    return _do(request, stash, form, code, None, code.upper())


def _do(
    request: Request, stash: Stash, form: Form, code: str | None, new: str | None, doing: str
) -> Response:
    at = form.text("at")
    try:
        changed = deeds.scraps(
            stash, code, new=new, put=_parts(form.text("put")), take=_parts(form.text("take")),
            crumbs=form.given("crumbs"), at=at if at != form.text("was-at") else None,
        )  # fmt: skip
    except StashkeeperError as error:
        return _page(request, stash, form.with_trouble(error), doing, error.http_status)
    return go(request, f"/scraps#{changed.bags[0].code}", changed.sentences[:1])


def _parts(text: str) -> list[str]:
    return [part.strip() for part in _PARTED.split(text) if part.strip()]


def _page(
    request: Request, stash: Stash, form: Form, doing: str = "", status: int = 200
) -> Response:
    return page(
        request,
        "scraps.html",
        status=status,
        form=form,
        bags=deeds.list_bags(stash).bags,
        doing=doing,
        places=[place.path for place in places(stash).places],
    )
