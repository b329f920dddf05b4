"""Size to fit: to a bed, to the cloth, a border from off-cuts; what was asked is in the address."""

from fastapi import APIRouter
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from stashkeeper.actions.fit_page import WAYS, fit, known_beds, known_quilts
from stashkeeper.errors import StashkeeperError
from stashkeeper.web.forms import Form
from stashkeeper.web.here import StashHere
from stashkeeper.web.show import page

FIELDS = {
    "bed": ("name", "bed", "drop", "border", "unit", "foot"),
    "cloth": ("name", "fabrics", "columns", "rows"),
    "border": ("name", "q", "widest"),
}
"""What each way asks for."""

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
    query = request.query_params
    form = Form({name: query[name][:LONGEST] for name in FIELDS[way] if name in query})
    fitted, status = None, 200
    if form.text("bed") or (way != "bed" and form.text("name")) or len(form.typed) > 1:
        try:
            fitted = fit(stash, way, form.typed)
        except StashkeeperError as error:
            form, status = form.with_trouble(error, {error.code: _about(error, form)}), 400
            status = error.http_status
    projects, layouts = known_quilts(stash)
    return page(
        request,
        "fit.html",
        status=status,
        way=way,
        title=WAYS[way],
        form=form,
        fitted=fitted,
        projects=projects,
        layouts=layouts,
        beds=known_beds(),
    )


def _about(error: StashkeeperError, form: Form) -> str:
    """Return which field an error quotes or names; empty for none."""
    problem = error.problem.casefold()
    for name, typed in form.typed.items():
        if typed.strip() and f"“{typed.strip().casefold()}”" in problem:
            return name
    return next((name for name in ("columns", "rows", "bed") if name in problem), "")
