"""At the cutting table, in a real browser at 390 px: find, plan, steps ticked, cut, off-cut, undo.

With script and without; by keyboard alone; nothing that axe finds wrong on any of its pages.
"""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from stashkeeper.actions.pieces import list_pieces
from stashkeeper.actions.plans import list_all
from stashkeeper.actions.scraps import scraps
from stashkeeper.actions.stacking import plan_stacks
from stashkeeper.actions.stash import Stash
from tests.browser.conftest import Looked
from tests.browser.waiting import look_until
from tests.browser.widths import SCRIPT, WIDTHS
from tests.web.cloth_to_cut import plan, shelve
from tests.web.made import put_photo, served


@pytest.fixture
def home(stash: Stash) -> Iterator[str]:
    """Serve a stash; return its address."""
    with served(stash) as listening:
        yield listening.address.rstrip("/")


@pytest.fixture
def shelf(stash: Stash, tmp_path: Path) -> Stash:
    """Put a photographed piece, a large one and an unmeasured one on the shelf."""
    put_photo(stash, tmp_path, "sage", (150, 170, 120), squared=True, at="Box")
    shelve(stash, "Moss", "40 x 36", at="Shelf 1")
    shelve(stash, "Fern", "half yard", squared=None)
    return stash


def violations(page: Page) -> list[str]:
    """Return what axe finds wrong with a page."""
    found = Axe().run(page).response["violations"]
    return [f"{one['id']}: {[node['html'] for node in one['nodes']][:3]}" for one in found]


def look_until_planned(page: Page) -> None:
    """Wait for the plans: with script they come by themselves, without by a link."""
    look_until(page, page.get_by_role("table"))


def find(page: Page, home: str) -> None:
    """Find pieces that hold four squares of 8 in, from the navigation on."""
    page.goto(home)
    page.get_by_role("link", name="Cut", exact=True).click()
    page.get_by_role("link", name=re.compile("^Find")).click()
    page.get_by_label("Size of the cut").fill("8 in square")
    page.get_by_label("How many").fill("4")
    page.get_by_role("button", name="Find").click()
    expect(page.get_by_text("3 pieces are enough for 4 × 8 × 8 in.")).to_be_visible()
    expect(page.locator(".hit").first).to_contain_text("A1 sage")
    page.get_by_role("link", name="Plan it").click()


def plan_it(page: Page) -> int:
    """Plan what was found, and return the number of the plan that is kept."""
    box = page.get_by_label("What you need")
    assert box.input_value() == "4 × 8 × 8 in"
    page.get_by_text("Cloth, direction, spares, time").click()
    page.get_by_label("One spare for every").fill("0")
    page.get_by_label("Seconds to search").fill("1")
    page.get_by_role("button", name="Plan", exact=True).click()
    look_until_planned(page)
    page.get_by_role("link", name="Look at it").first.click()
    page.wait_for_url(re.compile(r"/plan/\d+$"))
    return int(page.url.rpartition("/")[2])


def tick(page: Page, number: int) -> None:
    """Tick two steps in the list, go on one at a time, and see that the ticks survive."""
    page.get_by_role("link", name="Steps", exact=True).click()
    expect(page.get_by_text("Close the blade every time")).to_have_count(1)
    for step in (0, 1):
        page.locator(".step").nth(step).click()
        expect(page.locator(".step").nth(step)).to_have_attribute("aria-pressed", "true")
    expect(page.locator(".ticked").first).to_have_text("2")
    expect(page.locator(".step[aria-busy=true]")).to_have_count(0)
    page.reload()
    expect(page.locator(".step[aria-pressed=true]")).to_have_count(2)
    page.get_by_role("link", name=re.compile("One at a time")).first.click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Step 3 of")
    of = int(page.get_by_role("heading", level=1).inner_text().split()[3])
    for _ in range(3, of + 1):
        page.get_by_role("button", name=re.compile("^Done")).click()
    page.wait_for_url(f"**/plan/{number}/steps#A1-end")
    expect(page.locator(".step[aria-pressed=true]")).to_have_count(of)


def cut_and_undo(page: Page, stash: Stash) -> None:
    """Confirm that it came out otherwise, see the off-cut on the shelf, and take it all back."""
    page.get_by_role("link", name="A1 is cut").click()
    page.get_by_label("otherwise: something was miscut").check()
    page.get_by_label("What came out as it should").fill("3 x A")
    page.get_by_label("this:").check()
    page.get_by_label("Sizes, a line each").fill("8 x 7")
    page.get_by_role("button", name="Put it on record").click()
    expect(page.locator(".told")).to_contain_text("Cut A1 “sage” by plan 1: 3 × A.")
    expect(page.locator(".told")).to_contain_text("Back on the shelf, write the code on each: A4")
    assert {piece.code for piece in list_pieces(stash, []).pieces} == {"A2", "A3", "A4"}
    page.locator(".came-out").get_by_role("link", name="A4").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("A4 sage")
    page.go_back()
    page.get_by_role("button", name=re.compile("^Undo")).click()
    expect(page.locator(".told")).to_contain_text("Took back: Cut A1 “sage”")
    assert {piece.code for piece in list_pieces(stash, []).pieces} == {"A1", "A2", "A3"}


@pytest.mark.parametrize("script", SCRIPT)
def test_the_journey(look: Looked, shelf: Stash, home: str, script: bool) -> None:
    page = look(width=390, script=script)
    find(page, home)
    number = plan_it(page)
    expect(page.locator(".diagram img").first).to_be_visible()
    assert list_all(shelf).plans[-1].number == number == 1
    tick(page, number)
    cut_and_undo(page, shelf)


def tab_to(page: Page, selector: str) -> None:
    """Press the tabulator until something has the focus."""
    for _ in range(80):
        page.keyboard.press("Tab")
        if page.evaluate("sought => document.activeElement.matches(sought)", selector):
            return
    raise AssertionError(f"the keyboard does not reach {selector}")


def test_the_keyboard_alone_suffices(look: Looked, shelf: Stash, home: str) -> None:
    page = look(width=1440)
    page.goto(f"{home}/plan")
    tab_to(page, "#cuts")
    page.keyboard.type("4 x 8 in square from A1")
    tab_to(page, "form.wanted .primary")
    page.keyboard.press("Enter")
    look_until_planned(page)
    page.goto(f"{home}/plan/1/steps")
    tab_to(page, ".step")
    page.keyboard.press("Space")
    expect(page.locator(".step").first).to_have_attribute("aria-pressed", "true")
    page.keyboard.press("Space")
    expect(page.locator(".step").first).to_have_attribute("aria-pressed", "false")
    tab_to(page, "a[href$='/cut/A1']")
    page.keyboard.press("Enter")
    page.wait_for_url("**/cut/A1")
    tab_to(page, "[name=how]")
    page.keyboard.press("ArrowDown")
    tab_to(page, "#first")
    page.keyboard.type("1")
    page.keyboard.press("Enter")
    expect(page.locator(".told")).to_contain_text("Cut A1 “sage” by plan 1")


def test_typing_beside_a_choice_makes_it(look: Looked, shelf: Stash, home: str) -> None:
    plan(shelf, "4 x 8 in square from A1")
    page = look(width=390)
    page.goto(f"{home}/plan/1/cut/A1")
    page.get_by_label("How many cuts were made").fill("1")
    expect(page.get_by_label("only the first so many cuts")).to_be_checked()
    page.get_by_label("Sizes, a line each").fill("8 x 7")
    expect(page.get_by_label("this:")).to_be_checked()


PATHS = (
    "/cut", "/find", "/find?size=8+in+square&count=4", "/find?size=9+in+square&count=30",
    "/find?size=blue", "/plan", "/plan/1", "/plan/2", "/plan/3", "/plan/1/steps", "/plan/3/steps",
    "/plan/1/steps/A1", "/plan/1/steps/A1?step=3", "/plan/1/cut/A1", "/plan/2/cut/A3", "/scraps",
    "/planning/none",
)  # fmt: skip


@pytest.fixture
def planned(shelf: Stash) -> Stash:
    """Make a plan, one of an unmeasured piece, one in stacks, and a bag."""
    plan(shelf, "4 x 8 in square from A1")
    plan(shelf, "4 x 8 in square from A3")
    plan_stacks(shelf, ["code:A1,A2"], cuts=["4 x 5 in square"])
    scraps(shelf, new="Bits", put=["4 x 3 in square"])
    return shelf


@pytest.mark.campaign
@pytest.mark.parametrize("width", WIDTHS)
def test_axe_finds_nothing_wrong_and_nothing_is_too_wide(
    look: Looked, planned: Stash, home: str, width: int
) -> None:
    page = look(width=width)
    for path in PATHS:
        page.goto(home + path)
        assert violations(page) == [], path
        assert page.evaluate("document.documentElement.scrollWidth") <= width, path
    page.goto(f"{home}/plan")
    page.get_by_label("What you need").fill("blue\n4 x 8 in square")
    page.get_by_role("button", name="Plan", exact=True).click()
    expect(page.locator(".mistakes")).to_be_visible()
    assert violations(page) == []
    page.get_by_label("What you need").fill("4 x 8 in square")
    page.get_by_role("button", name="Plan", exact=True).click()
    look_until_planned(page)
    assert violations(page) == []
    page.goto(f"{home}/plan/1/cut/A1")
    page.get_by_role("button", name="Put it on record").click()
    expect(page.locator(".came-out")).to_be_visible()
    assert violations(page) == []


@pytest.mark.campaign
def test_targets_are_large_enough_for_a_thumb(look: Looked, planned: Stash, home: str) -> None:
    page = look(width=390)
    for path in PATHS:
        page.goto(home + path)
        small = page.evaluate(
            """() => [...document.querySelectorAll("main a, main button, main summary")]
            .filter(one => one.checkVisibility())
            .map(one => [one.getBoundingClientRect(), one])
            .filter(([box, one]) => box.height < 44 && !one.closest("p:not(.buttons)"))
            .map(([box, one]) => `${Math.round(box.height)} ${one.outerHTML.slice(0, 90)}`)"""
        )
        assert small == [], path
