"""The one-time key of the home network, and the devices that were let in by one.

A key opens once. Then it is spent and another takes its place, so that an address seen over a
shoulder, or left in a phone's history, opens nothing.
"""

import hashlib
import hmac
import secrets
import time
from collections import OrderedDict, deque
from collections.abc import Callable
from dataclasses import dataclass, field
from threading import Lock
from typing import Final

from stashkeeper.errors import NotLetInError, TooManyTriesError

TRIES: Final = 10
"""Wrong keys an address may try within `WHILE`; further ones are not even looked at."""

WHILE: Final = 600.0
"""Seconds until a wrong try is forgotten."""

DEVICES: Final = 32
"""Devices inside at the same time; the one that was away longest goes first."""

STAY: Final = 12 * 3600.0
"""Seconds a device stays in after it was last heard of."""

ADDRESSES: Final = 1_000
"""Addresses whose wrong tries are remembered."""


@dataclass(slots=True)
class Keys:
    """The key that opens next, and who is inside; shared by all threads, forgotten on stopping.

    Attributes:
        tell: is called with each new key, the first one too.
        now: a clock in seconds that never goes back.
    """

    tell: Callable[[str], None] = lambda _key: None
    now: Callable[[], float] = time.monotonic
    _key: str = ""
    _inside: OrderedDict[bytes, float] = field(default_factory=OrderedDict)
    _tries: OrderedDict[str, deque[float]] = field(default_factory=OrderedDict)
    _lock: Lock = field(default_factory=Lock)

    def __post_init__(self) -> None:
        self._renew()

    @property
    def key(self) -> str:
        """The key that opens next: 128 bits by the system's own randomness."""
        return self._key

    def enter(self, key: str, address: str) -> str:
        """Let a device in and return the secret it shows from now on; the key is spent.

        Args:
            key: as it was sent.
            address: the network address it was sent from.

        Raises:
            TooManyTriesError: too many wrong keys came from there; nothing was looked at.
            NotLetInError: it is not the key, or no longer.
        """
        with self._lock:
            tries = self._tries_of(address)
            if len(tries) >= TRIES:
                raise TooManyTriesError(
                    "Too many wrong keys came from this device.",
                    f"Wait {WHILE / 60:.0f} minutes, then scan the code that the computer shows.",
                )
            if not hmac.compare_digest(_digest(key), _digest(self._key)):
                tries.append(self.now())
                raise NotLetInError(
                    "This key does not open the stash: each opens once.",
                    "Scan the code that the computer shows now.",
                )
            secret = secrets.token_urlsafe(32)
            self._inside[_digest(secret)] = self.now()
            while len(self._inside) > DEVICES:
                self._inside.popitem(last=False)
        self._renew()
        return secret

    def knows(self, secret: str | None) -> bool:
        """Tell whether a device that shows this secret is inside, and note that it was heard of."""
        if not secret:
            return False
        with self._lock:
            digest = _digest(secret)
            heard = self._inside.pop(digest, None)
            if heard is None or self.now() - heard > STAY:
                return False
            self._inside[digest] = self.now()
            return True

    def _renew(self) -> None:
        self._key = secrets.token_urlsafe(16)
        self.tell(self._key)

    def _tries_of(self, address: str) -> deque[float]:
        """Return the wrong tries of an address that are not forgotten yet."""
        tries = self._tries.pop(address, deque())
        while tries and self.now() - tries[0] > WHILE:
            tries.popleft()
        self._tries[address] = tries
        while len(self._tries) > ADDRESSES:
            self._tries.popitem(last=False)
        return tries


def _digest(text: str) -> bytes:
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).digest()
