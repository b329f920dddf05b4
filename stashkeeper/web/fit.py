"""Size to fit: to a bed, to the cloth, a border from off-cuts."""

from collections.abc import Mapping
from typing import Annotated

from fastapi import APIRouter, Query
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from stashkeeper.actions.field_about import field_about
from stashkeeper.actions.fit_page import WAYS, Fitted, fit, known_beds, known_quilts
from stashkeeper.actions.fittings import Fitting
from stashkeeper.actions.stash import Stash
from stashkeeper.errors import StashkeeperError
from stashkeeper.web.forms import Form, SentForm
from stashkeeper.web.here import StashHere
from stashkeeper.web.projects import project_address
from stashkeeper.web.show import go, page, wants_json
from stashkeeper.web.working import FittingsHere, how_far

FIELDS = {
    "bed": ("name", "bed", "drop", "border", "unit", "foot"),
    "cloth": ("name", "fabrics", "columns", "rows", "border"),
    "border": ("name", "q", "widest"),
}
"""What each way asks for."""

PATIENCE = 2.5
"""Seconds until a page is shown that says how far the search is."""

LONGEST = 1_000
"""So much of what is typed into a field is read."""

router = APIRouter()


@router.get("/fit")
def show_ways(request: Request, name: str = "") -> Response:
    """Show what can be fitted."""
    return page(request, "fit_ways.html", ways=WAYS, name=name[:LONGEST])


@router.get("/fit/{way}")
def show_fit(request: Request, stash: StashHere, way: str) -> Response:
    """Show what a fit asks for, and what came of it."""
    if way not in WAYS:
        raise HTTPException(404)
    form = _typed(request.query_params, way)
    asked = form.text("bed") or (way == "border" and form.text("name")) or len(form.typed) > 1
    if way == "cloth" or not asked:
        return _shown(request, stash, way, form)
    try:
        fitted = fit(stash, way, form.typed)
    except StashkeeperError as error:
        return _troubled(request, stash, way, form, error)
    return _shown(request, stash, way, form, fitted=fitted)


@router.post("/fit/cloth")
def begin(request: Request, stash: StashHere, fittings: FittingsHere, form: SentForm) -> Response:
    """Begin to look for the largest unit that cloth allows."""
    form = _typed(form.typed, "cloth")
    try:
        number = fittings.begin(form.typed)
    except StashkeeperError as error:
        return _troubled(request, stash, "cloth", form, error)
    return go(request, f"/fit/cloth/{number}")


@router.get("/fit/cloth/{number}")
def look_at_fitting(
    request: Request,
    stash: StashHere,
    fittings: FittingsHere,
    number: str,
    patience: Annotated[float, Query(ge=0, le=PATIENCE)] = PATIENCE,
) -> Response:
    """Show how far a search is, or the size it found."""
    fitting = fittings.look(number, patience)
    if wants_json(request):
        return how_far(fitting.work)
    form = Form(fitting.typed)
    return _shown(request, stash, "cloth", form, fitted=fitting.fitted, fitting=fitting)


@router.post("/fit/cloth/{number}/stop")
def stop(request: Request, fittings: FittingsHere, number: str, _form: SentForm) -> Response:
    """Stop a search; the unit that is being tried is taken."""
    fitting = fittings.look(number)  # there is one, so its number makes an address
    fittings.stop(number)
    return go(request, f"/fit/cloth/{fitting.number}")


def _typed(sent: Mapping[str, str], way: str) -> Form:
    return Form({name: sent[name][:LONGEST] for name in FIELDS[way] if name in sent})


def _troubled(
    request: Request, stash: Stash, way: str, form: Form, error: StashkeeperError
) -> Response:
    again = form.with_trouble(error, {error.code: _about(error, form)})
    return _shown(request, stash, way, again, status=error.http_status)


def _shown(
    request: Request,
    stash: Stash,
    way: str,
    form: Form,
    *,
    fitted: Fitted | None = None,
    fitting: Fitting | None = None,
    status: int = 200,
) -> Response:
    projects, layouts = known_quilts(stash)
    return page(
        request,
        "fit.html",
        status=status,
        way=way,
        title=WAYS[way],
        form=form,
        fitted=fitted,
        fitting=fitting,
        projects=projects,
        layouts=layouts,
        beds=known_beds(),
        project_address=project_address,
    )


def _about(error: StashkeeperError, form: Form) -> str:
    """Return which field an error quotes or names; empty for none."""
    last = sorted(form.typed, key=lambda name: name == "name")
    typed = {name: form.typed[name] for name in last}
    return field_about(error, typed, ("columns", "rows", "bed"))
