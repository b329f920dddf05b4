"""Seams: do the fabrics of a project stay apart where they meet? And one fabric for another."""

from typing import Annotated

from fastapi import APIRouter, Query
from starlette.requests import Request
from starlette.responses import Response

from stashkeeper.actions.field_about import field_about
from stashkeeper.actions.looks import looks_of
from stashkeeper.actions.replacing import replace_fabric
from stashkeeper.actions.seams_page import ReplacePage, replace_page, seams_page
from stashkeeper.actions.stash import Stash
from stashkeeper.errors import StashkeeperError
from stashkeeper.web.forms import Form, SentForm
from stashkeeper.web.here import StashHere
from stashkeeper.web.projects import project_address
from stashkeeper.web.show import go, page
from stashkeeper.web.swatches import swatch_address

router = APIRouter()

Word = Annotated[str, Query(max_length=400)]


@router.get("/project/{name:path}/seams")
def show_seams(request: Request, stash: StashHere, name: str) -> Response:
    """Show every seam, the worst first."""
    shown = seams_page(stash, name)
    return page(
        request,
        "seams.html",
        shown=shown,
        here=project_address(shown.answer.project),
        looks=looks_of(stash, shown.codes),
        swatch_address=swatch_address,
    )


@router.get("/project/{name:path}/replace")
def show_replace(
    request: Request,
    stash: StashHere,
    name: str,
    old: Word = "",
    new: Word = "",
    role: Word = "",
) -> Response:
    """Show what changes where one fabric takes the place of another."""
    form = Form({"old": old, "new": new, "role": role})
    try:
        shown = replace_page(stash, name, old, new, role)
    except StashkeeperError as error:
        return _refused(request, stash, name, form, error)
    return _page(request, stash, form, shown)


@router.post("/project/{name:path}/replace")
def replace(request: Request, stash: StashHere, form: SentForm, name: str) -> Response:
    """Replace one fabric by another."""
    words = form.text("old"), form.text("new")
    try:
        done = replace_fabric(stash, name, *words, role=form.text("role"), keep=True)
    except StashkeeperError as error:
        return _refused(request, stash, name, form, error)
    return go(request, project_address(done.project, "/seams"), done.sentences)


def _refused(
    request: Request, stash: Stash, name: str, form: Form, error: StashkeeperError
) -> Response:
    """Show what was typed again, with what is wrong with it."""
    shown = replace_page(stash, name, form.text("old"), "", "")
    about = {error.code: field_about(error, {"new": form.text("new"), "role": form.text("role")})}
    return _page(request, stash, form.with_trouble(error, about), shown, error.http_status)


def _page(
    request: Request, stash: Stash, form: Form, shown: ReplacePage, status: int = 200
) -> Response:
    project = shown.seams.answer.project
    return page(
        request,
        "replacing.html",
        status=status,
        form=form,
        shown=shown,
        project=project,
        here=project_address(project),
        looks=looks_of(stash, shown.codes),
        swatch_address=swatch_address,
    )
