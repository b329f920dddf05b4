"""The steps of a plan in large type, to be ticked: all of them, or one at a time."""

from typing import Annotated

from fastapi import APIRouter, Query
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from stashkeeper.actions.cutting_habits import ASKED, change_habits, cutting_habits
from stashkeeper.actions.stash import Stash
from stashkeeper.actions.steps_page import steps_page, tick
from stashkeeper.errors import BadRequestError, StashkeeperError
from stashkeeper.web.forms import Form, SentForm
from stashkeeper.web.here import StashHere
from stashkeeper.web.piece_fields import whole_number
from stashkeeper.web.show import go, page, wants_json

router = APIRouter()


@router.get("/plan/{number}/steps")
def show_steps(request: Request, stash: StashHere, number: int) -> Response:
    """Show all steps of a plan."""
    return _page(request, stash, number, Form())


@router.post("/plan/{number}/habits")
def tell_habits(request: Request, stash: StashHere, form: SentForm, number: int) -> Response:
    """Ask once for the hand, the ruler and the mat, and tell the steps by them."""
    try:
        changed = change_habits(stash, {name: form.text(name) for name in ASKED})
    except StashkeeperError as error:
        return _page(request, stash, number, form.with_trouble(error), error.http_status)
    return go(request, f"/plan/{number}/steps", changed.sentences)


@router.get("/plan/{number}/steps/{part}")
def show_step(
    request: Request,
    stash: StashHere,
    number: int,
    part: str,
    step: Annotated[int, Query(ge=0, le=100_000)] = 0,
) -> Response:
    """Show one step of a piece or a stack: the one asked for, or the first without a tick."""
    shown = steps_page(stash, number)
    here = shown.part(part)
    return page(request, "step.html", shown=shown, part=here, step=here.step(step or here.next))


@router.post("/plan/{number}/steps/{part}")
def tick_step(
    request: Request, stash: StashHere, form: SentForm, number: int, part: str
) -> Response:
    """Tick a step, or take its tick away; then go on where that was wanted."""
    done = form.given("untick") is None
    step = whole_number(form.given("step") or form.given("untick"), "number of a step")
    if step is None:
        raise BadRequestError("Which step is meant was not said.", "Choose a step.")
    here = tick(stash, number, part, step, done=done)
    if wants_json(request):
        return JSONResponse({"done": done, "of": len(here.steps), "ticked": here.done})
    address = f"/plan/{number}/steps"
    if form.text("view") != "one":
        return go(request, f"{address}#{here.key}-{step}")
    last = step >= len(here.steps)
    return go(
        request, f"{address}#{here.key}-end" if last else f"{address}/{here.key}?step={step + 1}"
    )


def _page(request: Request, stash: Stash, number: int, form: Form, status: int = 200) -> Response:
    return page(
        request,
        "steps.html",
        status=status,
        shown=steps_page(stash, number),
        form=form,
        habits=cutting_habits(stash),
    )
