"""A real browser, one for the whole run, and a way to look at a stash with it."""

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect, sync_playwright

from stashkeeper.actions.stash import Stash
from tests.web.made import open_in

ARGUMENTS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]

PATIENCE = 120_000
"""In ms: a machine busy with other things is no failure."""

expect.set_options(timeout=PATIENCE)

Looked = Callable[..., Page]
"""Opens a page of the browser: `look(width=390, script=False)`."""


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Return a browser; skip where there is none."""
    program = shutil.which("chromium")
    if program is None:
        pytest.skip("no chromium here to look at pages with")
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=program, args=ARGUMENTS)
        yield opened
        opened.close()


@pytest.fixture
def stash(tmp_path: Path) -> Iterator[Stash]:
    """Return an empty stash."""
    with open_in(tmp_path) as opened:
        yield opened


@pytest.fixture
def look(browser: Browser) -> Iterator[Looked]:
    """Return a way to open pages; each has cookies of its own, and fails on a script's error."""
    contexts, errors = [], []

    def open_page(*, width: int = 1440, script: bool = True, scale: float = 1.0) -> Page:
        context = browser.new_context(
            viewport={"width": width, "height": 844 if width < 500 else 1000},
            java_script_enabled=script,
            device_scale_factor=scale,
            has_touch=width < 500,
        )
        context.set_default_timeout(PATIENCE)
        contexts.append(context)
        page = context.new_page()
        page.on("pageerror", lambda error: errors.append(str(error)))
        return page

    yield open_page
    for context in contexts:
        context.close()
    assert errors == []
