"""The stash that the pages show, as a parameter of their endpoints."""

from typing import Annotated

from fastapi import Depends
from starlette.requests import Request

from stashkeeper.actions.stash import Stash


async def _stash_of(request: Request) -> Stash:
    stash: Stash = request.app.state.stash
    return stash


StashHere = Annotated[Stash, Depends(_stash_of)]
"""The open stash: the type of a parameter of an endpoint."""
