"""Stashes with invented cloth, and browsers' stand-ins that look at their pages."""

import functools
import tempfile
import threading
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import uvicorn
from fastapi.testclient import TestClient
from PIL import Image

from stashkeeper.actions.add import add
from stashkeeper.actions.piece_words import PieceWords
from stashkeeper.actions.stash import Stash, open_stash
from stashkeeper.catalogue.fabrics import add_fabric
from stashkeeper.catalogue.pieces import add_pieces
from stashkeeper.catalogue.readings import add_reading
from stashkeeper.lengths.length import Measure
from stashkeeper.lengths.parse import parse_size
from stashkeeper.luminance.readings import typed_reading
from stashkeeper.settings.load import load_settings
from stashkeeper.web.access import Access, loopback
from stashkeeper.web.app import build_app
from stashkeeper.web.serving import Listening, listen
from tests.one_compiler import share_it

PORT = 8737
HOME = f"http://127.0.0.1:{PORT}"
FOREIGN = "evil.example"
"""The host of a page that means harm."""


@functools.cache
def empty_database() -> bytes:
    """Return the file of an empty stash; to copy it is quicker than to make it for every test."""
    share_it()
    with tempfile.TemporaryDirectory() as folder:
        settings = load_settings(Path(folder), {})
        open_stash(settings).catalogue.close()
        return (settings.stash / "stash.db").read_bytes()


def open_in(folder: Path) -> Stash:
    """Return a stash of its own in a folder, whatever the environment says."""
    settings = load_settings(folder / "stash", {})
    file = settings.stash / "stash.db"
    if not file.exists():
        settings.stash.mkdir(parents=True, exist_ok=True)
        file.write_bytes(empty_database())
    return open_stash(settings)


def client_of(stash: Stash, access: Access | None = None, device: str = "127.0.0.1") -> TestClient:
    """Return a browser's stand-in: it names the host, and says that forms come from our pages.

    Args:
        stash: the open stash.
        access: who may ask; this computer alone where None.
        device: the network address it asks from.
    """
    return TestClient(
        build_app(stash, access or Access(loopback(PORT))),
        base_url=HOME,
        headers={"origin": HOME},
        client=(device, 50_000),
        raise_server_exceptions=False,
        follow_redirects=False,
    )


def cloth_photo(file: Path, colour: tuple[int, int, int], **saved: Any) -> Path:
    """Save a photo of invented checked cloth and return its file."""
    image = Image.new("RGB", (400, 300), colour)
    darker = tuple(channel * 2 // 3 for channel in colour)
    for left in range(0, 400, 40):
        image.paste(darker, (left, 0, left + 20, 300))
    image.save(file, **saved)
    return file


def put(stash: Stash, name: str, lightness: float | None = None, **words: Any) -> str:
    """Put a piece on the shelf, its lightness typed, and return its code."""
    said = PieceWords(name=name, size="18 x 21", **words)
    typed = None if lightness is None else f"{lightness:g}"
    return add(stash, said, lightness=typed).piece.code


def put_photo(
    stash: Stash, folder: Path, name: str, colour: tuple[int, int, int], **words: Any
) -> str:
    """Put a piece with a photo of its cloth on the shelf and return its code."""
    photo = cloth_photo(folder / f"{name}.jpg", colour)
    said = PieceWords(name=name, size="18 x 21", **words)
    return add(stash, said, photos=[photo]).piece.code


def put_many(stash: Stash, lightnesses: Sequence[float]) -> None:
    """Put a fabric of each lightness on the shelf, all as one deed."""
    size = parse_size("18 x 21", Measure.INCHES).size
    with stash.deed("many") as deed:
        for number, lightness in enumerate(lightnesses):
            fabric = add_fabric(deed, name=f"fabric {number}")
            add_pieces(deed, fabric, 1, size=size)
            add_reading(deed, fabric, typed_reading(lightness, f"typed:{fabric.id}"))
        deed.summary = f"Added {len(lightnesses)} fabrics."


@contextmanager
def served(stash: Stash, *, lan: bool = False) -> Iterator[Listening]:
    """Serve a stash to real browsers, on a port that is free, while the block runs."""
    listening = listen(0, lan=lan)
    app = build_app(stash, listening.access(lambda _key: None))
    server = uvicorn.Server(uvicorn.Config(app, log_level="error", access_log=False, ws="none"))
    thread = threading.Thread(target=server.run, args=(list(listening.sockets),), daemon=True)
    thread.start()
    while not server.started and thread.is_alive():
        time.sleep(0.01)
    try:
        yield listening
    finally:
        server.should_exit = True
        thread.join()
