"""The shelf page in a real browser: with and without script, by keyboard, at three widths."""

import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from stashkeeper.actions.shelf import TILES
from stashkeeper.actions.stash import Stash
from tests.browser.conftest import Looked
from tests.browser.widths import WIDTHS
from tests.web.made import put, put_many, put_photo, served


@pytest.fixture
def home(stash: Stash, tmp_path: Path) -> Iterator[str]:
    """Serve a shelf of two photographed and three typed fabrics; return its address."""
    put_photo(stash, tmp_path, "sage checks", (150, 170, 120))
    put_photo(stash, tmp_path, "brick checks", (160, 60, 50))
    for name, lightness in (("milk", 93), ("stone", 64.5), ("ink", 12)):
        put(stash, name, lightness)
    put(stash, "not measured")
    with served(stash) as listening:
        yield listening.address.rstrip("/")


def violations(page: Page) -> list[str]:
    """Return what axe finds wrong with a page."""
    found = Axe().run(page).response["violations"]
    return [f"{one['id']}: {[node['html'] for node in one['nodes']][:3]}" for one in found]


@pytest.mark.parametrize("width", WIDTHS)
def test_axe_finds_nothing_wrong(look: Looked, home: str, width: int) -> None:
    page = look(width=width)
    for path in ("/", "/?grey=1&by=split", "/?q=size:x", "/?q=nothing-of-the-kind", "/nowhere"):
        page.goto(home + path)
        assert violations(page) == [], path
    page.goto(home + "/enter?key=abc")
    assert violations(page) == []


def test_axe_would_find_what_is_wrong(look: Looked, home: str) -> None:
    page = look()
    page.goto(home)
    page.evaluate("document.getElementById('q').labels[0].remove()")
    page.evaluate("document.getElementById('q').removeAttribute('placeholder')")
    assert any(one.startswith("label:") for one in violations(page))


@pytest.mark.parametrize("width", WIDTHS)
def test_nothing_is_wider_than_the_screen(look: Looked, home: str, width: int) -> None:
    page = look(width=width)
    for path in ("/", "/?q=size:x", "/enter"):
        page.goto(home + path)
        assert page.evaluate("document.documentElement.scrollWidth") <= width, path


def test_targets_are_large_enough_for_a_thumb(look: Looked, home: str) -> None:
    page = look(width=390)
    page.goto(home)
    targets = page.locator("a:visible, button:visible, input:visible, select:visible, .box:visible")
    small = targets.evaluate_all(
        """nodes => nodes.filter(node => !node.matches(".box input, .skip"))
        .map(node => [node.getBoundingClientRect(), node.outerHTML.slice(0, 80)])
        .filter(([box]) => Math.min(box.width, box.height) < 44).map(([_, html]) => html)"""
    )
    assert small == []


def expect_tone(page: Page, tone: str) -> None:
    """Wait until both photographed fabrics are shown in a tone.

    Asked again and again from here: where scripts are off, a page cannot wait by itself.
    """
    shown = """tone => {
        const swatches = [...document.querySelectorAll("img.look")];
        const shown = one => one.currentSrc.includes(`/${tone}-`) && one.naturalWidth > 0;
        return swatches.length === 2 && swatches.every(shown);
    }"""
    patience = time.monotonic() + 60
    while not page.evaluate(shown, tone):
        assert time.monotonic() < patience, f"the swatches are not shown in {tone}"
        time.sleep(0.1)


def test_one_key_turns_colour_to_grey_and_back(look: Looked, home: str) -> None:
    page = look()
    page.goto(home)
    expect_tone(page, "colour")
    page.keyboard.press("g")
    expect_tone(page, "grey")
    assert "grey=1" in page.url
    assert "grey=1" in str(page.locator(".value-rule a").first.get_attribute("href"))
    page.reload()
    expect_tone(page, "grey")
    page.keyboard.press("g")
    expect_tone(page, "colour")
    assert "grey" not in page.url


def test_the_key_is_a_letter_where_words_are_typed(look: Looked, home: str) -> None:
    page = look()
    page.goto(home)
    page.get_by_label("Search words").fill("")
    page.keyboard.type("sage")
    expect_tone(page, "colour")
    page.keyboard.press("Enter")
    expect(page.locator(".tile")).to_have_count(1)


def test_without_script_the_switch_works_and_the_form_keeps_it(look: Looked, home: str) -> None:
    page = look(script=False)
    page.goto(home)
    page.get_by_role("link", name="Grey").click()
    expect_tone(page, "grey")
    page.get_by_label("Search words").fill("checks")
    page.get_by_role("button", name="Show").click()
    assert "grey=1" in page.url
    expect(page.locator(".tile")).to_have_count(2)
    expect_tone(page, "grey")
    page.get_by_role("link", name="Colour").click()
    expect_tone(page, "colour")


def test_without_script_pages_turn_and_the_rule_leads_there(look: Looked, stash: Stash) -> None:
    put_many(stash, [100 - number * 90 / 100 for number in range(3 * TILES - 26)])
    with served(stash) as listening:
        page = look(script=False)
        page.goto(listening.address)
        page.get_by_role("link", name="Darker").click()
        expect(page.get_by_text("Page 2 of 3")).to_be_visible()
        page.get_by_role("link", name="Lightness 90 to 100").click(force=True)
        expect(page.get_by_text("Page 1 of 3")).to_be_visible()
        page.get_by_role("link", name="Lightness 10 to 20").click(force=True)
        expect(page.get_by_text("Page 3 of 3")).to_be_visible()


def focused(page: Page) -> tuple[str, bool]:
    """Press Tab; return what has the focus then, and whether that can be seen."""
    page.keyboard.press("Tab")
    what, outline, stroke = page.evaluate(
        """() => {
            const node = document.activeElement;
            const mark = getComputedStyle(node.querySelector(".jump") ?? node);
            const outline = getComputedStyle(node).outlineStyle;
            return [node.id || node.localName, outline, mark.strokeWidth];
        }"""
    )
    return what, outline != "none" or stroke == "4px"


def test_the_keyboard_alone_suffices(look: Looked, home: str) -> None:
    page = look()
    page.goto(home)
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "main"
    reached = [focused(page) for _ in range(16)]
    assert [what for what, _seen in reached][:1] == ["tone"]
    assert {"q", "by", "button", "a"} <= {what for what, _seen in reached}
    assert [what for what, seen in reached if not seen] == []
    page.get_by_role("link", name="Grey").focus()
    page.keyboard.press("Enter")
    expect_tone(page, "grey")


def test_every_picture_of_a_page_can_be_seen(look: Looked, home: str) -> None:
    page = look()
    page.goto(home)
    page.wait_for_load_state("networkidle")
    broken = page.locator("img.look").evaluate_all(
        "nodes => nodes.filter(node => !node.naturalWidth).map(node => node.src)"
    )
    assert broken == []


def test_the_policy_lets_all_of_it_work(look: Looked, home: str) -> None:
    page = look()
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.goto(home)
    page.wait_for_load_state("networkidle")
    assert said == []
    assert page.evaluate("getComputedStyle(document.body).fontFamily").startswith('"Source Sans"')
    assert page.evaluate("document.fonts.check('16px \"Source Sans\"')")
