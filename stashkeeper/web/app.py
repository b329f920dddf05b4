"""The pages of one stash put together: to add one, write its file and list it in `PAGES`."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from typing import Final, Protocol

from fastapi import APIRouter, FastAPI
from fastapi.exceptions import RequestValidationError
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.middleware.gzip import GZipMiddleware

from stashkeeper.actions.drawings import Drawings
from stashkeeper.actions.fittings import Fittings
from stashkeeper.actions.intake_folders import IntakeFolders
from stashkeeper.actions.plannings import Plannings
from stashkeeper.actions.previews import Previews
from stashkeeper.actions.shelf import Shelf
from stashkeeper.actions.stash import Stash
from stashkeeper.errors import StashkeeperError
from stashkeeper.web import (
    add,
    at_hand,
    card,
    change,
    choosing,
    confirming,
    contrast,
    cutting,
    enter,
    finding,
    fit,
    history,
    intake,
    label_reading,
    labels,
    layouts,
    lineup,
    phone,
    piece,
    places,
    plans,
    preview,
    projects,
    reference,
    scraps,
    seams,
    sheet,
    shelf,
    sitting,
    static,
    steps,
    sums,
    swatches,
)
from stashkeeper.web.access import Access, Door
from stashkeeper.web.limits import BodyLimit
from stashkeeper.web.show import (
    Nav,
    Showing,
    error_page,
    fault_page,
    refusal_page,
    unreadable_page,
)


class Page(Protocol):
    """A page file: its routes.

    It may have `NAV`, its link of the navigation, and `UPLOADS`, paths of its routes that take
    photos.
    """

    @property
    def router(self) -> APIRouter:
        """The routes of the page."""


PAGES: Final[tuple[Page, ...]] = (
    shelf,
    add,
    contrast,
    cutting,
    choosing,
    seams,
    projects,
    finding,
    plans,
    steps,
    confirming,
    scraps,
    places,
    intake,
    sheet,
    labels,
    label_reading,
    lineup,
    sums,
    layouts,
    preview,
    fit,
    card,
    sitting,
    phone,
    history,
    reference,
    at_hand,
    piece,
    change,
    swatches,
    enter,
    static,
)
"""Every page file; those with a `NAV` stand in the navigation in this order."""


def build_app(stash: Stash, access: Access) -> FastAPI:
    """Return the pages of an open stash as one application.

    Args:
        stash: open until the application is done with; shared by its threads.
        access: where it may be asked for, and by whom.
    """
    showing = Showing(tuple(nav for nav in map(_nav_of, PAGES) if nav))
    app = FastAPI(
        openapi_url=None,
        lifespan=_while_open,
        middleware=[
            Middleware(Door, access=access, showing=showing),
            Middleware(GZipMiddleware, minimum_size=1_000, compresslevel=6),
            Middleware(BodyLimit, showing=showing, uploads=_uploads()),
        ],
        exception_handlers={
            StashkeeperError: error_page,
            HTTPException: refusal_page,
            RequestValidationError: unreadable_page,
            Exception: fault_page,
        },
    )
    app.state.stash, app.state.access, app.state.showing = stash, access, showing
    app.state.shelf = Shelf(stash)
    app.state.drawings = Drawings(stash)
    app.state.fittings = Fittings(stash)
    app.state.plannings = Plannings(stash)
    app.state.previews = Previews(stash)
    app.state.intakes = IntakeFolders(stash)
    for one in PAGES:
        app.include_router(one.router)
    return app


@asynccontextmanager
async def _while_open(app: FastAPI) -> AsyncIterator[None]:
    """Let work in the background go on while the pages are open, and stop it with them."""
    await run_in_threadpool(app.state.intakes.go_on_with_all)
    yield
    state = app.state
    begun = (state.intakes, state.drawings, state.fittings, state.plannings, state.previews)
    for works in begun:
        await run_in_threadpool(works.background.close)


def _nav_of(one: Page) -> Nav | None:
    nav: Nav | None = getattr(one, "NAV", None)
    return nav


def _uploads() -> tuple[str, ...]:
    return tuple(path for one in PAGES for path in getattr(one, "UPLOADS", ()))
