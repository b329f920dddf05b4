"""Listening for browsers: on this computer alone, or on its address in the home network as well."""

import errno
import socket
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import uvicorn

from stashkeeper.actions.stash import Stash
from stashkeeper.errors import BadRequestError
from stashkeeper.web.access import Access, loopback
from stashkeeper.web.app import build_app
from stashkeeper.web.keys import Keys

LOOPBACK: Final = "127.0.0.1"

SOMEWHERE: Final = ("192.0.2.1", 9)
"""An address for documentation (RFC 5737): nothing is sent there, only the way is asked for."""


@dataclass(frozen=True, slots=True)
class Listening:
    """The sockets that wait for browsers, and the address of the home network, if it is one."""

    sockets: tuple[socket.socket, ...]
    port: int
    lan: str | None = None

    @property
    def address(self) -> str:
        """Where this computer's own browser finds the pages."""
        return f"http://{LOOPBACK}:{self.port}/"

    def entrance(self, key: str) -> str:
        """Return where a device of the home network enters with a key."""
        return f"http://{self.lan or LOOPBACK}:{self.port}/enter?key={key}"

    def access(self, tell_key: Callable[[str], None]) -> Access:
        """Return who may ask for pages here; each new key is told to `tell_key`."""
        if self.lan is None:
            return Access(loopback(self.port))
        hosts = loopback(self.port) | {f"{self.lan}:{self.port}"}
        return Access(hosts, Keys(tell_key))


def listen(port: int, *, lan: bool) -> Listening:
    """Begin to listen.

    Args:
        port: from 1; 0 takes any that is free.
        lan: whether on the home network too.

    Raises:
        BadRequestError: the port is taken or not allowed, or there is no network.
    """
    first = _bound(LOOPBACK, port)
    port = first.getsockname()[1]
    if not lan:
        return Listening((first,), port)
    address = lan_address()
    return Listening((first, _bound(address, port)), port, address)


def lan_address() -> str:
    """Return this computer's address in its home network.

    Raises:
        BadRequestError: it is in none.
    """
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
        try:
            asking.connect(SOMEWHERE)
            address = str(asking.getsockname()[0])
        except OSError:
            address = LOOPBACK
    if address.startswith("127.") or address == "0.0.0.0":
        raise BadRequestError(
            "This computer is in no network.", "Join one, or leave --lan away and stay on it."
        )
    return address


def serve(stash: Stash, listening: Listening, access: Access) -> None:
    """Answer browsers until the program is stopped."""
    config = uvicorn.Config(
        build_app(stash, access),
        log_level="warning",
        access_log=False,
        proxy_headers=False,
        server_header=False,
        ws="none",
        limit_concurrency=200,
        timeout_graceful_shutdown=10,
    )
    uvicorn.Server(config).run(sockets=list(listening.sockets))


def _bound(host: str, port: int) -> socket.socket:
    waiting = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    waiting.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        waiting.bind((host, port))
        waiting.listen(128)  # at once: whoever is told the address may come before the pages do
    except (OSError, OverflowError) as fault:
        waiting.close()
        taken = isinstance(fault, OSError) and fault.errno == errno.EADDRINUSE
        why = "is taken by another program" if taken else "cannot be used here"
        raise BadRequestError(f"Port {port} {why}.", "Give another with --port.") from fault
    return waiting
