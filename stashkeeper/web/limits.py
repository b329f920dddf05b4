"""How much a page takes: counted while it comes in, before any of it is kept."""

import re
from collections.abc import Sequence
from typing import Final

from starlette.datastructures import Headers
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.routing import compile_path
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from stashkeeper.web.show import Showing

FORM: Final = 256 * 1024
"""Bytes a form of words may have."""

UPLOAD: Final = 256 * 1024 * 1024
"""Bytes a form with photos may have; all of them together."""

PHOTO: Final = 64 * 1024 * 1024
"""Bytes one photo may have."""

FIELDS: Final = 1_000
"""Fields a form may have."""

FILES: Final = 60
"""Photos a form may have."""

FOLDER_FILES: Final = 2_000
"""Files a folder may have that is sent at once."""

SWALLOWED: Final = 512 * 1024 * 1024
"""Bytes read and thrown away so that a browser, still sending, comes to read the reason."""


class BodyLimit:
    """Refuses a body that is too long, by what it says and by what really comes.

    Args:
        app: what to call.
        showing: answers a refusal.
        uploads: paths, as routes name them, that take photos.
    """

    def __init__(self, app: ASGIApp, showing: Showing, uploads: Sequence[str] = ()) -> None:
        self._app = app
        self._showing = showing
        self._uploads = [compile_path(path)[0] for path in uploads]

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        limit = self._limit_of(scope["path"])
        said = Headers(scope=scope).get("content-length", "0")
        length = int(said) if re.fullmatch(r"[0-9]{1,18}", said) else None
        if length is not None and length <= limit:
            await self._app(scope, _counted(receive, limit), send)
            return
        if length is not None and length <= SWALLOWED:
            await _swallow(receive)
        refusal = self._showing.refusal(Request(scope), 400 if length is None else 413)
        await refusal(scope, receive, send)

    def _limit_of(self, path: str) -> int:
        takes_photos = any(pattern.match(path) for pattern in self._uploads)
        return UPLOAD if takes_photos else FORM


def _counted(receive: Receive, limit: int) -> Receive:
    """Return a way to receive that stops at the limit, whatever the sender said."""
    so_far = 0

    async def receive_counted() -> Message:
        nonlocal so_far
        message = await receive()
        so_far += len(message.get("body", b""))
        if so_far > limit:
            raise HTTPException(413)
        return message

    return receive_counted


async def _swallow(receive: Receive) -> None:
    """Read what comes and keep none of it."""
    more = True
    while more:
        message = await receive()
        more = message["type"] == "http.request" and message.get("more_body", False)
