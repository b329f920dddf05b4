"""The headers that every answer bears: what a browser may do with it, and what not."""

from typing import Final

from starlette.datastructures import MutableHeaders

HEADERS: Final = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; "
        "img-src 'self' blob:; connect-src 'self'; form-action 'self'; base-uri 'none'; "
        "frame-ancestors 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    # Not `no-referrer`: browsers then hide the origin of our own forms as well.
    "Referrer-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=(), payment=(), usb=()",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "private, no-cache",
}
"""What every answer bears, unless it says otherwise itself."""


def add_headers(headers: MutableHeaders) -> None:
    """Add to the headers of an answer what every answer bears."""
    for name, value in HEADERS.items():
        headers.setdefault(name, value)
