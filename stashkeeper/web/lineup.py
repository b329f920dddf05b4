"""A line-up: a photo of fabrics side by side, its lines looked at and moved, then kept."""

from urllib.parse import urlencode

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from stashkeeper.actions import lineup as deeds
from stashkeeper.actions.at_hand import at_hand, lay_ready
from stashkeeper.actions.lineup_page import (
    LineUpWords,
    LookedAt,
    look_at_lineup,
    propose_said,
    strip_codes,
    strip_fields,
    ticks,
)
from stashkeeper.actions.lineup_view import LineUp
from stashkeeper.actions.stash import Stash
from stashkeeper.errors import StashkeeperError
from stashkeeper.web.at_hand import at_hand_address, fraction, percent
from stashkeeper.web.forms import Form, SentForm
from stashkeeper.web.here import StashHere
from stashkeeper.web.piece_fields import whole_number
from stashkeeper.web.show import Nav, go, page
from stashkeeper.web.uploads import photos_of

NAV = Nav("Line-up", "/line-up", more=True)
UPLOADS = ("/line-up/photo",)

router = APIRouter()


@router.get("/line-up")
def show_lineup(request: Request, stash: StashHere) -> Response:
    """Show where a photo is chosen; or how a photo is split and ranked."""
    form = Form(dict(request.query_params))
    return (
        _choosing(request, stash, form) if not form.given("photo") else _look(request, stash, form)
    )


@router.post("/line-up/photo")
def choose_photo(request: Request, stash: StashHere, form: SentForm) -> Response:
    """Take the photo, and the codes typed and ticked."""
    try:
        with photos_of(stash, form) as photos:
            ready = lay_ready(stash, photos)
    except StashkeeperError as error:
        again = form.with_trouble(error, {error.code: "photo"})
        return _choosing(request, stash, again, error.http_status)
    codes = strip_codes(
        [form.text("codes"), *form.many("tick")] if form.given("codes") else form.many("tick")
    )
    strips = {f"strip-{number}": code for number, code in enumerate(codes, 1)}
    return go(request, f"/line-up?{urlencode({'photo': ready.key, **strips})}")


@router.post("/line-up")
def keep_lineup(request: Request, stash: StashHere, form: SentForm) -> Response:
    """Keep a line-up whose lines and codes were looked at."""
    try:
        seen = propose_said(stash, at_hand(stash, form.text("photo")).file, _words(form))
        kept = deeds.keep(stash, seen)
    except StashkeeperError as error:
        return _look(request, stash, form.with_trouble(error), error.http_status)
    return go(request, "/history", kept.sentences)


def _words(form: Form) -> LineUpWords:
    """Return what the fields say; where it is to be split anew, without their lines."""
    typed = [form.text(f"strip-{n}") for n in strip_fields() if f"strip-{n}" in form.typed]
    if form.flag("anew"):
        count = whole_number(form.given("count"), "number of strips", 2)
        return LineUpWords(strip_codes(typed, count) if count else (), count=count)
    lines = [
        f"{fraction(form.text(f'start-{n}'))}/{fraction(form.text(f'end-{n}'))}"
        for n in (*strip_fields(), len(strip_fields()) + 1)
        if f"start-{n}" in form.typed
    ]
    lying = form.flag("lying")
    return LineUpWords(strip_codes(typed), " ".join(lines) if lines else None, lying)


def _look(request: Request, stash: Stash, form: Form, status: int = 200) -> Response:
    looked, ready = LookedAt(None), None
    try:
        ready = at_hand(stash, form.text("photo"))
        looked = look_at_lineup(stash, ready.file, _words(form))
    except StashkeeperError as error:
        looked = LookedAt(None, error)
    if looked.trouble and not form.trouble:
        form, status = form.with_trouble(looked.trouble), looked.trouble.http_status
    return page(
        request,
        "lineup.html",
        status=status,
        form=Form({**form.typed, **_fields(looked.seen)}, form.trouble),
        ready=ready,
        seen=looked.seen,
        remarks=looked.remarks,
        at_hand_address=at_hand_address,
    )


def _fields(seen: LineUp | None) -> dict[str, str]:
    """Return the fields of the lines, in percent."""
    if seen is None:
        return {}
    lines = enumerate(seen.split.lines, 1)
    ends = [(number, percent(line.start), percent(line.end)) for number, line in lines]
    return {
        **{f"start-{number}": start for number, start, _ in ends},
        **{f"end-{number}": end for number, _, end in ends},
        "lying": "yes" if seen.split.lying else "",
        "count": str(seen.split.count),
    }


def _choosing(request: Request, stash: Stash, form: Form, status: int = 200) -> Response:
    try:
        offered = ticks(stash, form.text("q"))
    except StashkeeperError as error:
        offered, status = (), error.http_status
        form = form.with_trouble(error, {error.code: "q"})
    return page(
        request,
        "lineup_choice.html",
        status=status,
        form=form,
        offered=offered,
        ticked=form.many("tick"),
    )
