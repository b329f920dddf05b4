"""The door: who may ask for what.

Every request must name the host it came to, every form must come from our own pages, and on the
home network every device but this computer must have entered by a one-time key.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from http.cookies import CookieError, SimpleCookie
from ipaddress import ip_address
from typing import Final

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import Request
from starlette.responses import Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from stashkeeper.errors import NotLetInError, StashkeeperError
from stashkeeper.web.headers import add_headers
from stashkeeper.web.keys import STAY, Keys
from stashkeeper.web.show import Showing

COOKIE: Final = "stashkeeper"
"""Holds the secret of a device that was let in."""

OPEN_PATHS: Final = ("/enter", "/static/")
"""What a device that is not in yet may ask for: the door, and how the door looks."""


@dataclass(frozen=True, slots=True)
class Access:
    """Where the pages may be asked for, and by whom.

    Attributes:
        hosts: what a request may name as its host, with the port: `127.0.0.1:8737`.
        keys: of the home network; None where only this computer can reach the pages.
    """

    hosts: frozenset[str]
    keys: Keys | None = None


def loopback(port: int) -> frozenset[str]:
    """Return the names by which this computer calls itself, with the port."""
    return frozenset(f"{name}:{port}" for name in ("127.0.0.1", "localhost"))


class Door:
    """Lets a request through to the pages, or answers it here with the reason."""

    def __init__(self, app: ASGIApp, access: Access, showing: Showing) -> None:
        self._app = app
        self._access = access
        self._showing = showing

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return

        async def send_with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                add_headers(MutableHeaders(scope=message))
            await send(message)

        try:
            check_host(Headers(scope=scope), self._access.hosts)
            check_origin(scope["method"], Headers(scope=scope), self._access.hosts)
            self._check_device(scope)
        except StashkeeperError as error:
            refusal = self._showing.error(Request(scope, receive), error)
            await refusal(scope, receive, send_with_headers)
        else:
            await self._app(scope, receive, send_with_headers)

    def _check_device(self, scope: Scope) -> None:
        keys = self._access.keys
        if keys is None or scope["path"].startswith(OPEN_PATHS) or _is_this_computer(scope):
            return
        if not keys.knows(secret_of(Headers(scope=scope))):
            raise NotLetInError(
                "This device is not let in to the stash yet.",
                "Scan the code that the computer shows where `stashkeeper serve --lan` runs.",
            )


def check_host(headers: Headers, hosts: Iterable[str]) -> None:
    """Refuse a request that names another host: a foreign page may have its name lead here.

    Raises:
        NotLetInError: it does, or names none, or several.
    """
    named = [name.lower() for name in headers.getlist("host")]
    if len(named) != 1 or named[0] not in set(hosts):
        raise NotLetInError(
            "The stash is not at home under this address.",
            "Open the address that `stashkeeper serve` shows.",
        )


def check_origin(method: str, headers: Headers, hosts: Iterable[str]) -> None:
    """Refuse a form that was not sent from our own pages, and pictures wanted by foreign ones.

    Browsers send `Origin` with every form, and newer ones `Sec-Fetch-Site` with every request.

    Raises:
        NotLetInError: it came from elsewhere, or does not say from where.
    """
    site = headers.get("sec-fetch-site", "")
    if method in {"GET", "HEAD"}:
        followed = headers.get("sec-fetch-mode") == "navigate"
        if site in {"cross-site", "same-site"} and not followed:
            raise _from_elsewhere()
        return
    origins = headers.getlist("origin")
    ours = {f"http://{host}" for host in hosts}
    if not all(origin.lower() in ours for origin in origins):
        raise _from_elsewhere()
    if not origins and site != "same-origin":
        raise _from_elsewhere()


def secret_of(headers: Headers) -> str | None:
    """Return the secret a device shows in its cookie; None where it shows none."""
    try:
        morsel = SimpleCookie(headers.get("cookie", "")).get(COOKIE)
    except CookieError:
        return None
    return morsel.value if morsel else None


def mark_entered(answer: Response, secret: str) -> None:
    """Give a device that was let in the secret by which it is known from now on."""
    answer.set_cookie(COOKIE, secret, int(STAY), path="/", httponly=True, samesite="strict")


def _is_this_computer(scope: Scope) -> bool:
    """Tell whether a request comes from this computer, which needs no key with or without LAN."""
    host, _port = scope.get("client") or ("", 0)
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return False


def _from_elsewhere() -> NotLetInError:
    return NotLetInError(
        "This was not sent from a page of the stash, so nothing was changed.",
        "Open the page of the stash itself and send it from there.",
    )
