"""A quilt in a real browser: begun, chosen for, taken, its seams judged, a fabric replaced, undone.

With script and without; nothing that axe finds wrong on any of its pages.
"""

import re

import pytest
from playwright.sync_api import Page, expect

from stashkeeper.actions import projects
from stashkeeper.actions.add import add
from stashkeeper.actions.choose import keep_choice
from stashkeeper.actions.piece_words import PieceWords
from stashkeeper.actions.project_words import ProjectWords
from stashkeeper.actions.projects import chosen_rows
from stashkeeper.actions.stash import Stash
from tests.browser.conftest import Looked
from tests.browser.test_cutting_journey import tab_to, violations
from tests.browser.widths import SCRIPT, WIDTHS
from tests.web.made import served


@pytest.fixture
def shelf(stash: Stash) -> Stash:
    """Put four squares of 10 in on the shelf."""
    for name, light in (("Snow", "90"), ("Milk", "88"), ("Tar", "15"), ("Ink", "25")):
        add(stash, PieceWords(name=name, size="10 x 10", squared=True), lightness=light)
    return stash


def star(stash: Stash) -> list[str]:
    """Return the codes chosen for the star."""
    return [row.code for row in chosen_rows(stash, "Small").get("star", ())]


def begin(page: Page, home: str) -> None:
    """Begin a project, from the navigation on."""
    page.goto(home)
    page.get_by_role("link", name="Quilts", exact=True).click()
    page.get_by_role("link", name=re.compile("^Begin a quilt")).click()
    page.get_by_label("What it is called").fill("Small")
    page.get_by_label("Friendship star").check(force=True)
    page.get_by_label("A unit, finished").fill("2 in")
    page.get_by_role("button", name="Begin it").click()
    expect(page.locator(".told")).to_contain_text("Began project “Small”.")


@pytest.mark.parametrize("script", SCRIPT)
def test_the_journey(look: Looked, shelf: Stash, script: bool) -> None:
    with served(shelf) as listening:
        page = look(width=390, script=script)
        begin(page, listening.address)
        page.get_by_role("link", name="Choose fabrics").click()
        page.get_by_role("button", name=re.compile("^Take this choice")).first.click()
        expect(page.locator(".told")).to_contain_text("Chose A1, A3 for project “Small”.")
        page.get_by_role("link", name="Judge its seams").click()
        page.get_by_role("link", name="Replace a fabric").click()
        page.get_by_label("A3, star").check(force=True)
        page.get_by_label("Comes", exact=True).fill("a2")
        page.get_by_role("button", name="See what changes").click()
        expect(page.locator(".changes")).to_contain_text("weak")
        page.get_by_role("button", name="Replace it").click()
        expect(page.locator(".headline")).to_have_text("1 seam is weak in grey.")
        assert star(shelf) == ["A2"]
        page.get_by_role("button", name=re.compile("^Undo")).click()
        expect(page.locator(".told")).to_contain_text("Took back")
        assert star(shelf) == ["A3"]


PATHS = (
    "/projects", "/projects/new", "/project/Small", "/project/Small/change",
    "/project/Small/choose", "/project/Small/seams", "/project/Small/replace?old=A2",
    "/project/Small/replace?old=A2&new=A3", "/choose", "/plan?project=Small",
)  # fmt: skip


@pytest.mark.parametrize("width", WIDTHS)
def test_axe_finds_nothing_wrong_and_nothing_is_too_wide(
    look: Looked, shelf: Stash, width: int
) -> None:
    projects.new(shelf, "Small", ProjectWords(layout="friendship star", unit="2 in"))
    keep_choice(shelf, "Small", [("background", None, "A1"), ("star", None, "A2")])
    with served(shelf) as listening:
        page = look(width=width)
        for path in PATHS:
            page.goto(listening.address.rstrip("/") + path)
            assert violations(page) == [], path
            assert page.evaluate("document.documentElement.scrollWidth") <= width, path


@pytest.mark.campaign
def test_the_keyboard_alone_suffices(look: Looked, shelf: Stash) -> None:
    with served(shelf) as listening:
        page = look(width=1440)
        page.goto(f"{listening.address.rstrip('/')}/projects/new")
        tab_to(page, "#name")
        page.keyboard.type("Small")
        tab_to(page, "[name=layout]")
        page.keyboard.press("ArrowDown")
        expect(page.locator("[name=layout][value=checkerboard]")).to_be_checked()
        tab_to(page, "#unit")
        page.keyboard.press("ControlOrMeta+a")
        page.keyboard.type("2 in")
        enter(page)
        expect(page.locator(".told")).to_contain_text("Began project “Small”.")
        follow(page, "main a[href$='/choose']")
        follow(page, ".take button")
        expect(page.locator(".told")).to_contain_text("Chose A1, A3 for project “Small”.")
        follow(page, "a[href$='/seams']")
        follow(page, "a[href$='/replace']")
        tab_to(page, "[name=old]")
        page.keyboard.press("Space")
        tab_to(page, "#new")
        page.keyboard.type("A4")
        enter(page)
        follow(page, ".exchange .primary")
        expect(page.locator(".told")).to_contain_text("by A4 in project “Small”.")
        follow(page, "form[action='/undo'] button")
        expect(page.locator(".told")).to_contain_text("Took back")


def follow(page: Page, selector: str) -> None:
    """Tab to something and press Enter."""
    tab_to(page, selector)
    enter(page)


def enter(page: Page) -> None:
    """Press Enter and wait for the page that comes."""
    with page.expect_navigation():
        page.keyboard.press("Enter")


@pytest.mark.campaign
def test_targets_are_large_enough_for_a_thumb(look: Looked, shelf: Stash) -> None:
    projects.new(shelf, "Small", ProjectWords(layout="friendship star", unit="2 in"))
    keep_choice(shelf, "Small", [("background", None, "A1"), ("star", None, "A2")])
    with served(shelf) as listening:
        page = look(width=390)
        for path in PATHS:
            page.goto(listening.address.rstrip("/") + path)
            assert too_small(page) == [], path


TARGETS = (
    "main :is(a, button, summary, select, textarea, label.box, label.pick, "
    "input:not([type=checkbox], [type=radio]))"
)
"""What a thumb aims at; a box or a picture that is ticked is as large as its label."""


def too_small(page: Page) -> list[str]:
    """Return what is lower than 44 px, but for links within a sentence."""
    found: list[str] = page.evaluate(
        """sought => [...document.querySelectorAll(sought)]
        .filter(one => one.checkVisibility() && one.getBoundingClientRect().height < 43.9)
        .filter(one => !one.matches("p:not(.buttons, .asked) > a.inline"))
        .map(one => one.outerHTML.slice(0, 90))""",
        TARGETS,
    )
    return found
