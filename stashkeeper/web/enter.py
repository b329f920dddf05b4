"""The door page: a device of the home network enters with its one-time key."""

from typing import Annotated

from fastapi import APIRouter, Query
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from stashkeeper.web.access import Access, mark_entered
from stashkeeper.web.forms import SentForm
from stashkeeper.web.show import go, page

router = APIRouter()


@router.get("/enter")
def show_door(request: Request, key: Annotated[str, Query()] = "") -> Response:
    """Show the door. Looking at it spends no key: some programs look at every address first."""
    return page(request, "enter.html", key=key[:200])


@router.post("/enter")
def enter(request: Request, form: SentForm) -> RedirectResponse:
    """Let the device in, and give it the secret by which it is known from now on."""
    access: Access = request.app.state.access
    answer = go(request, "/", ["This device is let in."])
    if access.keys is not None:
        address = request.client.host if request.client else ""
        mark_entered(answer, access.keys.enter(form.text("key"), address))
    return answer
