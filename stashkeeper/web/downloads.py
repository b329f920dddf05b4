"""Files to save, under a name that says what they are."""

import re
from typing import Final
from urllib.parse import quote

from starlette.responses import Response

TYPES: Final = {
    "pdf": "application/pdf",
    "png": "image/png",
    "svg": "image/svg+xml",
    "txt": "text/plain; charset=utf-8",
}
_NOT_IN_NAMES = re.compile(r'[\x00-\x1f\x7f<>:"/\\|?*;%]+')


def saved(content: bytes, name: str) -> Response:
    """Return a file that a browser saves under a name.

    Args:
        content: all of it.
        name: ends in one of `TYPES`; signs that no file may bear are replaced.
    """
    kind = name.rpartition(".")[2]
    clean = _NOT_IN_NAMES.sub("-", name).strip(" .-")
    plain = clean.encode("ascii", "replace").decode().replace("?", "_")
    # Both forms, by RFC 6266: the second holds signs beyond ASCII.
    said = f"attachment; filename=\"{plain}\"; filename*=UTF-8''{quote(clean, safe='')}"
    return Response(
        content,
        media_type=TYPES[kind],
        headers={"Content-Disposition": said, "Cache-Control": "private, no-store"},
    )
