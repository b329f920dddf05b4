"""Cutting: what is to be planned, how far the search is, and the plans it found side by side."""

from dataclasses import asdict
from typing import Annotated

from fastapi import APIRouter, Query
from starlette.requests import Request
from starlette.responses import Response

from stashkeeper.actions import plans as deeds
from stashkeeper.actions.looks import looks_of
from stashkeeper.actions.plannings import Planning, PlanWords
from stashkeeper.actions.project_list import names_under_way
from stashkeeper.actions.stash import Stash
from stashkeeper.errors import BadFileError, BadRequestError, Mistake, StashkeeperError, quoted
from stashkeeper.web.forms import Form, SentForm
from stashkeeper.web.here import StashHere
from stashkeeper.web.piece_fields import whole_number
from stashkeeper.web.show import Nav, go, page, wants_json
from stashkeeper.web.swatches import swatch_address
from stashkeeper.web.working import PlanningsHere, how_far

NAV = Nav("Cut", "/cut", within=("/find", "/plan", "/scraps"))

PATIENCE = 2.5
"""Seconds until a page is shown that says how far the search is."""

ABOUT = {"bad-file": "cuts", "bad-cut": "cuts", "bad-search": "q", "not-found": "q"}
"""The field that an error is about, by the error's code."""

SOURCES = (
    ("", "any cloth"), ("value:light", "light"), ("value:medium", "medium"), ("value:dark", "dark"),
)  # fmt: skip

router = APIRouter()


@router.get("/cut")
def show_cutting(request: Request, stash: StashHere) -> Response:
    """Show the plans there are, and what can be done."""
    return page(request, "cutting.html", plans=deeds.list_all(stash).plans)


@router.get("/plan")
def show_planning(
    request: Request,
    stash: StashHere,
    cuts: Annotated[str, Query(max_length=20_000)] = "",
    q: Annotated[str, Query(max_length=2_000)] = "",
    project: Annotated[str, Query(max_length=400)] = "",
) -> Response:
    """Show what is to be planned, before it is."""
    return _shown(request, stash, Form({"cuts": cuts, "q": q, "project": project}))


@router.post("/plan")
def begin(request: Request, stash: StashHere, plannings: PlanningsHere, form: SentForm) -> Response:
    """Begin to search for plans."""
    try:
        number = plannings.begin(_words(form))
    except StashkeeperError as error:
        mistakes = error.mistakes if isinstance(error, BadFileError) else ()
        troubled = form.with_trouble(error, ABOUT)
        return _shown(request, stash, troubled, mistakes=mistakes, status=error.http_status)
    return go(request, f"/planning/{number}")


@router.get("/planning/{number}")
def look_at_planning(
    request: Request,
    stash: StashHere,
    plannings: PlanningsHere,
    number: str,
    patience: Annotated[float, Query(ge=0, le=PATIENCE)] = PATIENCE,
) -> Response:
    """Show how far a search is, or the plans it found."""
    planning = plannings.look(number, patience)
    if wants_json(request):
        return how_far(planning.work)
    return _shown(request, stash, _typed(planning.words), planning)


@router.post("/planning/{number}/stop")
def stop(request: Request, plannings: PlanningsHere, number: str, _form: SentForm) -> Response:
    """Stop a search; the best plans so far are kept."""
    planning = plannings.look(number)  # there is one, so its number makes an address
    plannings.stop(number)
    return go(request, f"/planning/{planning.number}")


@router.post("/plan/{number}/drop")
def drop(request: Request, stash: StashHere, number: int, form: SentForm) -> Response:
    """Drop a plan, and go on to the one that is kept."""
    dropped = deeds.drop(stash, number)
    kept = whole_number(form.given("kept"), "number of a plan", 9)
    return go(request, f"/plan/{kept}" if kept else "/cut", dropped.sentences)


def _words(form: Form) -> PlanWords:
    return PlanWords(
        form.text("cuts"),
        form.text("q"),
        form.text("source"),
        form.flag("directional"),
        whole_number(form.given("spare"), "number of spares"),
        _seconds(form.given("seconds")),
        form.text("how") == "stacks",
        form.text("project"),
        form.text("unit"),
    )


def _seconds(text: str | None) -> float | None:
    number = whole_number(text, "number of seconds", 3)
    if number is not None and not 1 <= number <= 600:
        raise BadRequestError(
            f"{quoted(text or '')} is no time to search.", "Give 1 to 600 seconds."
        )
    return None if number is None else float(number)


def _typed(words: PlanWords) -> Form:
    """Return the form as it was typed; a project that was changed by it is changed already."""
    typed = {name: "" if said is None else str(said) for name, said in asdict(words).items()}
    return Form(
        typed
        | {
            "directional": "yes" if words.directional else "",
            "seconds": "" if words.seconds is None else f"{words.seconds:g}",
            "how": "stacks" if words.stacked else "",
            "unit": "",
        }
    )


def _shown(
    request: Request,
    stash: Stash,
    form: Form,
    planning: Planning | None = None,
    *,
    mistakes: tuple[Mistake, ...] = (),
    status: int = 200,
) -> Response:
    plans = planning.plans if planning else ()
    return page(
        request,
        "planning.html",
        status=status,
        form=form,
        planning=planning,
        mistakes=mistakes,
        sources=SOURCES,
        projects=names_under_way(stash),
        spare=stash.settings.habits.spare,
        looks=looks_of(stash, [one.code for plan in plans for one in plan.pieces]),
        swatch_address=swatch_address,
        measure=stash.measure,
    )
