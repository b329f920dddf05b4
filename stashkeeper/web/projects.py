"""Projects: the list, a new one, and the page of one with what it needs and has."""

from urllib.parse import quote

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from stashkeeper.actions import projects as deeds
from stashkeeper.actions.layout_page import listed
from stashkeeper.actions.layout_source import text_of_layout
from stashkeeper.actions.looks import looks_of
from stashkeeper.actions.project_cards import project_cards
from stashkeeper.actions.project_change import field_of_project, project_fields
from stashkeeper.actions.project_page import project_page
from stashkeeper.actions.stash import Stash
from stashkeeper.errors import BadFileError, StashkeeperError
from stashkeeper.pictures.web_rule import TICKS
from stashkeeper.web.forms import Form, SentForm
from stashkeeper.web.here import StashHere
from stashkeeper.web.piece_fields import whole_number
from stashkeeper.web.project_fields import (
    GEESE,
    HALF_SQUARES,
    TURNS,
    begun_fields,
    fitted_fields,
    project_words,
)
from stashkeeper.web.show import Nav, go, page
from stashkeeper.web.swatches import swatch_address

NAV = Nav("Quilts", "/projects", within=("/projects", "/project/", "/choose"))

router = APIRouter()


def project_address(name: str, rest: str = "") -> str:
    """Return the address of a project's page, or of one below it: `/seams`."""
    return f"/project/{quote(name, safe='')}{rest}"


@router.get("/projects")
def show_projects(request: Request, stash: StashHere) -> Response:
    """Show the projects there are."""
    shown = project_cards(stash)
    return page(request, "projects.html", projects=shown, project_address=project_address)


@router.get("/projects/new")
def show_new(request: Request, stash: StashHere) -> Response:
    """Ask what a new project is to be; what a link says of it stands in its fields."""
    return _new(request, stash, Form(begun_fields(request.query_params)))


@router.post("/projects/new/own")
def show_new_own(request: Request, stash: StashHere, form: SentForm) -> Response:
    """Ask the same where a layout was written, or a quilt seen first."""
    return _new(request, stash, Form(begun_fields(form.typed)))


@router.post("/projects/new")
def begin(request: Request, stash: StashHere, form: SentForm) -> Response:
    """Begin a project."""
    try:
        text = text_of_layout(form.text("layout"), form.text("layout_text"))
        done = deeds.new(stash, form.text("name"), project_words(form), text)
    except StashkeeperError as error:
        return _new(request, stash, _troubled(form, error), error)
    return go(request, project_address(done.project.name), done.sentences)


@router.get("/project/{name:path}/change")
def show_change(request: Request, stash: StashHere, name: str) -> Response:
    """Show the fields of a project, to be changed; what a link says stands in them."""
    fields = project_fields(stash, name).fields
    return _change(request, stash, name, Form(fitted_fields(request.query_params, fields)))


@router.post("/project/{name:path}/change")
def change(request: Request, stash: StashHere, form: SentForm, name: str) -> Response:
    """Change a project; what was left as it was stays as it is."""
    try:
        asked = project_fields(stash, name)
        text = form.given("layout_text")
        called = form.text("name")
        done = deeds.change(
            stash,
            asked.name,
            project_words(form, asked.fields),
            new_name=None if called == asked.name else called,
            layout_text=text_of_layout("", text) if text else None,
            version=whole_number(form.given("version"), "version of a project", 9),
        )
    except StashkeeperError as error:
        return _change(request, stash, name, _troubled(form, error), error)
    return go(request, project_address(done.project.name), done.sentences)


@router.post("/project/{name:path}/end")
def end(request: Request, stash: StashHere, _form: SentForm, name: str) -> Response:
    """End a project."""
    done = deeds.end(stash, name)
    return go(request, project_address(done.project.name), done.sentences)


@router.get("/project/{name:path}")
def show_project(request: Request, stash: StashHere, name: str) -> Response:
    """Show a project."""
    shown = project_page(stash, name)
    here = project_address(shown.view.name)
    return page(
        request,
        "project.html",
        shown=shown,
        here=here,
        back=lambda deed: "/projects" if deed.deed == "project" else here,
        looks=looks_of(stash, shown.codes),
        swatch_address=swatch_address,
        TICKS=TICKS,
    )


def _new(
    request: Request, stash: Stash, form: Form, error: StashkeeperError | None = None
) -> Response:
    return page(
        request,
        "project_new.html",
        status=error.http_status if error else 200,
        form=form,
        mistakes=_mistakes(error),
        layouts=listed(),
        usual={"unit": "10 cm" if stash.measure == "centimetres" else "4 in"},
        **_choices(),
    )


def _change(
    request: Request,
    stash: Stash,
    name: str,
    form: Form,
    error: StashkeeperError | None = None,
) -> Response:
    asked = project_fields(stash, name)
    return page(
        request,
        "project_change.html",
        status=error.http_status if error else 200,
        form=form,
        mistakes=_mistakes(error),
        asked=asked,
        here=project_address(asked.name),
        usual=asked.fields,
        **_choices(),
    )


def _troubled(form: Form, error: StashkeeperError) -> Form:
    return form.with_trouble(error, {error.code: field_of_project(error, form.typed)})


def _mistakes(error: StashkeeperError | None) -> tuple[object, ...]:
    return tuple(error.mistakes) if isinstance(error, BadFileError) else ()


def _choices() -> dict[str, object]:
    return {"TURNS": TURNS, "HALF_SQUARES": HALF_SQUARES, "GEESE": GEESE}
