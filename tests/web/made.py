"""Stashes and browsers for tests of the pages."""

from pathlib import Path

from fastapi.testclient import TestClient

from stashkeeper.actions.stash import Stash, open_stash
from stashkeeper.settings.load import load_settings
from stashkeeper.web.access import Access, loopback
from stashkeeper.web.app import build_app

PORT = 8737
HOME = f"http://127.0.0.1:{PORT}"


def open_in(folder: Path) -> Stash:
    """Return a stash of its own in a folder, whatever the environment says."""
    return open_stash(load_settings(folder / "stash", {}))


def client_of(stash: Stash, access: Access | None = None, device: str = "127.0.0.1") -> TestClient:
    """Return a browser's stand-in: it names the host, and says that forms come from our pages."""
    app = build_app(stash, access or Access(loopback(PORT)))
    return TestClient(
        app,
        base_url=HOME,
        headers={"origin": HOME},
        client=(device, 50_000),
        raise_server_exceptions=False,
        follow_redirects=False,
    )
