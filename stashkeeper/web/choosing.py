"""Choose: fabrics whose values stay apart, for a project or for needs typed; seen, then taken.

What is asked for stands in the address, to be kept or sent.
"""

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from stashkeeper.actions.choose import ChooseWords, choose_fabrics, keep_choice
from stashkeeper.actions.choose_page import ChoosePage, choose_page, field_of_choice, read_taken
from stashkeeper.actions.looks import looks_of
from stashkeeper.actions.projects import show
from stashkeeper.actions.stash import Stash
from stashkeeper.errors import NoChoiceError, StashkeeperError
from stashkeeper.web.forms import Form, SentForm
from stashkeeper.web.here import StashHere
from stashkeeper.web.piece_fields import whole_number
from stashkeeper.web.projects import project_address
from stashkeeper.web.show import go, page
from stashkeeper.web.swatches import swatch_address

FIELDS = ("need", "sets", "further", "keep", "leave_out", "q", "free")

LONGEST = 20_000
"""So much of what is typed into a field is read."""

router = APIRouter()


@router.get("/choose")
def show_choosing(request: Request, stash: StashHere) -> Response:
    """Choose for needs typed."""
    form = _asked(request)
    if not form.typed:
        return _page(request, stash, form)
    return _chosen(request, stash, form)


@router.get("/project/{name:path}/choose")
def show_choosing_for(request: Request, stash: StashHere, name: str) -> Response:
    """Choose for a project."""
    return _chosen(request, stash, _asked(request), show(stash, name).name)


@router.post("/project/{name:path}/choose")
def take(request: Request, stash: StashHere, form: SentForm, name: str) -> Response:
    """Take a choice as it was seen: these pieces and no others."""
    called = show(stash, name).name
    told = keep_choice(stash, called, read_taken(form.many("chosen")))
    return go(request, project_address(called), told)


def _asked(request: Request) -> Form:
    query = request.query_params
    return Form({name: query[name][:LONGEST] for name in FIELDS if name in query})


def _words(form: Form, project: str) -> ChooseWords:
    def lines(name: str) -> tuple[str, ...]:
        return tuple(line.strip() for line in form.text(name).splitlines() if line.strip())

    return ChooseWords(
        project,
        lines("need"),
        whole_number(form.given("sets"), "number of sets", 4) or 0,
        lines("further"),
        lines("keep"),
        lines("leave_out"),
        (form.text("q"),),
        form.flag("free"),
    )


def _chosen(request: Request, stash: Stash, form: Form, project: str = "") -> Response:
    try:
        found = choose_fabrics(stash, _words(form, project))
    except StashkeeperError as error:
        nearest = error.nearest if isinstance(error, NoChoiceError) else ()
        return _page(
            request,
            stash,
            form.with_trouble(error, {error.code: field_of_choice(error, form.typed)}),
            project,
            nearest=nearest,
            status=error.http_status,
        )
    return _page(request, stash, form, project, choose_page(found, stash.measure))


def _page(
    request: Request,
    stash: Stash,
    form: Form,
    project: str = "",
    shown: ChoosePage | None = None,
    *,
    nearest: tuple[str, ...] = (),
    status: int = 200,
) -> Response:
    return page(
        request,
        "choosing.html",
        status=status,
        form=form,
        project=project,
        here=project_address(project, "/choose") if project else "/choose",
        back=project_address(project) if project else "/projects",
        shown=shown,
        nearest=nearest,
        looks=looks_of(stash, shown.codes if shown else ()),
        swatch_address=swatch_address,
    )
