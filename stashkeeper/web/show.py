"""Answers: a page, a redirection with the sentences of a deed, or an error in plain words.

The one place where errors become an HTTP status. No answer names a folder of this computer.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, RedirectResponse, Response

from stashkeeper.errors import BadFileError, NotFoundError, StashkeeperError
from stashkeeper.web.headers import add_headers
from stashkeeper.web.static import static_address
from stashkeeper.web.told import Told

TOLD: Final = "told"
"""The cookie that holds the number of the sentences to show next."""

WORDS: Final = {
    400: ("The request cannot be read.", "Go back and try again."),
    404: ("There is no such page.", "Begin at the shelf."),
    405: ("This page cannot be asked for in this way.", "Begin at the shelf."),
    413: (
        "What was sent is larger than the page takes; nothing of it was kept.",
        "Send fewer or smaller photos at once.",
    ),
    500: (
        "This is a fault in Stashkeeper, not yours.",
        "Your stash is as it was. The window where Stashkeeper runs tells more.",
    ),
}
"""What is said where no error of ours says it better: the problem and what to do next."""


@dataclass(frozen=True, slots=True)
class Nav:
    """A link of the navigation.

    Attributes:
        label: its word.
        path: where it leads.
        more: whether it waits under “More”.
        within: how the paths begin of the pages that belong to it.
    """

    label: str
    path: str
    more: bool = False
    within: tuple[str, ...] = ()

    def current(self, path: str) -> str:
        """Return what a reader is told of the link on a page: `page`, `true` inside it, or not."""
        return "page" if path == self.path else "true" if path.startswith(self.within) else ""


@dataclass(frozen=True, slots=True)
class Showing:
    """What all pages of one stash show alike.

    Attributes:
        nav: the links of the navigation, in their order.
        told: sentences on their way to the next page.
    """

    nav: tuple[Nav, ...]
    told: Told = field(default_factory=Told)

    def page(
        self, request: Request, template: str, *, status: int = 200, **shown: Any
    ) -> HTMLResponse:
        """Return a page; sentences told by the deed before stand at its top, this once."""
        number = request.cookies.get(TOLD)
        text = TEMPLATES.get_template(template).render(
            nav=self.nav, path=request.url.path, told=self.told.fetch(number), **shown
        )
        answer = HTMLResponse(text, status)
        if number is not None:
            answer.delete_cookie(TOLD, httponly=True, samesite="strict")
        return answer

    def error(self, request: Request, error: StashkeeperError) -> Response:
        """Return the page of an error, with its HTTP status; as JSON to a script that wants it."""
        mistakes = [
            f"line {mistake.line}: {mistake.text}" if mistake.line else mistake.text
            for mistake in (error.mistakes if isinstance(error, BadFileError) else ())
        ]
        problem, remedy = without_paths(error.problem), without_paths(error.on_page)
        return self._trouble(request, error.http_status, problem, remedy, mistakes)

    def refusal(self, request: Request, status: int) -> Response:
        """Return the page of an HTTP status that no error of ours stands behind."""
        problem, remedy = WORDS.get(status, WORDS[400])
        return self._trouble(request, status, problem, remedy, [])

    def _trouble(
        self, request: Request, status: int, problem: str, remedy: str, mistakes: Sequence[str]
    ) -> Response:
        if wants_json(request):
            said = {"problem": problem, "remedy": remedy, "mistakes": list(mistakes)}
            return JSONResponse(said, status)
        return self.page(
            request,
            "error.html",
            status=status,
            problem=problem,
            remedy=remedy,
            mistakes=mistakes,
        )


_PATH = re.compile(
    r"“(?:[A-Za-z]:)?[\\/](?! )[^”]*[\\/](?P<quoted>[^”\\/]+)”"
    r"|(?<![\w.”])(?:[A-Za-z]:)?(?:[\\/][^\s\\/“”]+)+[\\/](?P<bare>[^\s\\/“”]+)"
)
"""A path of two names or more: in quotation marks, where it may hold blanks, or as it is."""


def without_paths(sentence: str) -> str:
    """Return a sentence that names no folder of this computer: of a path, only its last name."""
    return _PATH.sub(_name_alone, sentence)


def _name_alone(path: re.Match[str]) -> str:
    return f"“{path['quoted']}”" if path["quoted"] else path["bare"]


TEMPLATES: Final = Environment(
    loader=PackageLoader("stashkeeper.web"),
    autoescape=select_autoescape(default=True, default_for_string=True),
    undefined=StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
)
"""The templates; whatever they are given is escaped, and a name they are not given is a fault."""

TEMPLATES.globals["static"] = static_address
TEMPLATES.filters["without_paths"] = without_paths


def showing_of(request: Request) -> Showing:
    """Return what all pages of the stash show alike."""
    showing: Showing = request.app.state.showing
    return showing


def page(request: Request, template: str, *, status: int = 200, **shown: Any) -> HTMLResponse:
    """Return a page made by a template from what is to be shown."""
    return showing_of(request).page(request, template, status=status, **shown)


def go(request: Request, path: str, sentences: Sequence[str] = ()) -> RedirectResponse:
    """Answer a form: go on to a page of ours, which tells the sentences of the deed.

    A script that wants JSON reads the path and the sentences instead, by `wants_json`.

    Raises:
        NotFoundError: it is no page of ours, as where an odd number or code was asked for.
    """
    if not path.startswith("/") or path.startswith("//") or "\\" in path:
        raise NotFoundError("No page has that address.", "Go back to the shelf and choose again.")
    answer = RedirectResponse(path, 303)
    if sentences:
        number = showing_of(request).told.keep([without_paths(one) for one in sentences])
        answer.set_cookie(TOLD, number, max_age=300, httponly=True, samesite="strict")
    return answer


def wants_json(request: Request) -> bool:
    """Tell whether a script asks, and not a person."""
    return request.headers.get("accept", "").startswith("application/json")


async def error_page(request: Request, error: Exception) -> Response:
    """Answer an error of ours with its page."""
    assert isinstance(error, StashkeeperError)
    return showing_of(request).error(request, error)


async def refusal_page(request: Request, refusal: Exception) -> Response:
    """Answer an HTTP status, such as that of a page that is not there."""
    assert isinstance(refusal, HTTPException)
    return showing_of(request).refusal(request, refusal.status_code)


async def unreadable_page(request: Request, _error: Exception) -> Response:
    """Answer an address with a part that no page can read: there is nothing there."""
    return showing_of(request).refusal(request, 404)


async def fault_page(request: Request, _fault: Exception) -> Response:
    """Answer a fault of ours: the details are for the window where the program runs."""
    answer = showing_of(request).refusal(request, 500)
    add_headers(answer.headers)  # it is made outside the door, which adds them to all others
    return answer
