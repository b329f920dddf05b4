"""Work in the background, as the pages reach it, and how far it is for the script that asks."""

from typing import Annotated, Any

from fastapi import Depends
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from stashkeeper.actions.background import Work
from stashkeeper.actions.drawings import Drawings
from stashkeeper.actions.fittings import Fittings
from stashkeeper.actions.intake_folders import IntakeFolders
from stashkeeper.actions.plannings import Plannings
from stashkeeper.actions.previews import Previews


def _kept(name: str) -> Any:
    async def here(request: Request) -> Any:
        return getattr(request.app.state, name)

    return Depends(here)


DrawingsHere = Annotated[Drawings, _kept("drawings")]
"""The sheets that are drawn: the type of a parameter of an endpoint."""

FittingsHere = Annotated[Fittings, _kept("fittings")]
"""The searches for the largest size that cloth allows."""

PlanningsHere = Annotated[Plannings, _kept("plannings")]
"""The searches for plans."""

PreviewsHere = Annotated[Previews, _kept("previews")]
"""The previews that are drawn."""

IntakesHere = Annotated[IntakeFolders, _kept("intakes")]
"""The folders that are taken in."""


def far(work: Work | None) -> dict[str, object]:
    """Return how far work is, by the names that the script of the pages reads."""
    told = {"done": work.done, "of": work.of, "at": work.at} if work else {}
    return {"finished": work is None, **told}


def how_far(work: Work | None) -> Response:
    """Return the answer to a script that asks how far work is."""
    return JSONResponse(far(work))
