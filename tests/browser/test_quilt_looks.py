"""Sums, layouts, previews and fits in a real browser: by axe, by keyboard alone, without script."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from stashkeeper.actions.stash import Stash
from tests.browser.conftest import Looked
from tests.browser.waiting import look_until
from tests.browser.widths import WIDTHS
from tests.web.made import put, put_photo, served

PATHS = (
    "/sums",
    "/sums/half-square?finished=3+in&count=40&finish=exact",
    "/sums/half-square?finished=wide",
    "/layouts",
    "/layouts/friendship+star?columns=9&rows=6".replace("+", "%20"),
    "/layouts/own?start=pinwheel",
    "/preview",
    "/preview?layout=pinwheel&fabric.blade=A1&instead1.blade=A2",
    "/fit",
    "/fit/bed?name=pinwheel&bed=queen",
    "/fit/border?name=20+x+20&q=A1",
    "/fit/cloth?name=pinwheel",
)


@pytest.fixture
def home(stash: Stash, tmp_path: Path) -> Iterator[str]:
    """Serve a photographed fabric and two typed ones that are nearly alike; return the address."""
    put_photo(stash, tmp_path, "brick checks", (160, 60, 50))
    put(stash, "ink", 20)
    put(stash, "coal", 22)
    with served(stash) as listening:
        yield listening.address.rstrip("/")


def violations(page: Page) -> list[str]:
    """Return what axe finds wrong with a page, and what is too small for a thumb."""
    found = Axe().run(page).response["violations"]
    small = page.evaluate(
        """[...document.querySelectorAll('main a, main button, main input, main select')]
        .filter(one => !['checkbox', 'radio', 'hidden'].includes(one.type))
        .map(one => [one.outerHTML.slice(0, 80), one.getBoundingClientRect().height])
        .filter(([_, height]) => height > 0 && height < 43.9).map(([html]) => html)"""
    )
    wide = page.evaluate("document.documentElement.scrollWidth - innerWidth") > 0
    wrong = [f"{one['id']}: {[node['html'] for node in one['nodes']][:3]}" for one in found]
    return [*wrong, *small, *(["wider than the screen"] if wide else [])]


def see_stars(page: Page, home: str) -> None:
    """Have stars drawn in two fabrics that are weak where they meet."""
    page.goto(f"{home}/preview?layout=friendship+star&fabric.star=A2&fabric.background=A3")
    page.get_by_role("button", name="Draw it").click()
    look_until(page, page.locator(".scene"))


@pytest.mark.campaign
@pytest.mark.parametrize("width", WIDTHS)
def test_axe_finds_nothing_wrong(look: Looked, home: str, width: int) -> None:
    page = look(width=width)
    for path in PATHS:
        page.goto(home + path)
        assert violations(page) == [], path
    page.goto(f"{home}/layouts/own")
    page.get_by_label("The text of a layout").fill("roles:\n  sun: bright\ngrid:\n  ?")
    page.get_by_role("button", name="Draw it").click()
    expect(page.locator(".mistakes mark").first).to_be_visible()
    assert violations(page) == []
    see_stars(page, home)
    assert violations(page) == []


def test_without_script_a_quilt_is_seen(look: Looked, home: str) -> None:
    page = look(width=390, script=False)
    see_stars(page, home)
    expect(page.locator(".painted img").first).to_be_visible()
    expect(page.locator(".weak-seams")).to_contain_text("weak where they meet")


def test_the_keyboard_alone_suffices(look: Looked, home: str) -> None:
    page = look()
    page.goto(f"{home}/sums/flying-geese")
    page.get_by_label("Finished").focus()
    page.keyboard.type("6 x 3 in")
    page.keyboard.press("Enter")
    expect(page.locator(".rows dd").first).to_be_visible()
    page.goto(f"{home}/layouts/pinwheel")
    page.get_by_label("Columns").focus()
    page.keyboard.type("6")
    page.keyboard.press("Tab")
    page.keyboard.type("4")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="6 × 4 units")).to_be_visible()
