"""Surer readings, in a real browser: lines dragged, corners moved, with and without script."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from stashkeeper.actions.pieces import show
from stashkeeper.actions.stash import Stash
from tests.browser.conftest import Looked
from tests.browser.widths import SCRIPT, WIDTHS
from tests.simulated_phone.lined_up import line_up, print_at_random
from tests.simulated_phone.posed import Pose, seen
from tests.simulated_phone.snapped import Shot, snapped_file
from tests.web.made import put, put_photo, served


@pytest.fixture
def home(stash: Stash, tmp_path: Path) -> Iterator[str]:
    """Serve a stash of four pieces; return its address."""
    put_photo(stash, tmp_path, "sage", (150, 170, 120))
    for name in ("ink", "milk", "rust"):
        put(stash, name)
    with served(stash) as listening:
        yield listening.address.rstrip("/")


@pytest.fixture(scope="module")
def four(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a photo of four fabrics side by side."""
    random = np.random.default_rng(7)
    laid = line_up(random, tuple(print_at_random(random) for _ in range(4)), lying=False)
    file = tmp_path_factory.mktemp("photos") / "four.jpg"
    file.write_bytes(snapped_file(laid.light, Shot(seed=7)).getvalue())
    return file


@pytest.fixture(scope="module")
def beside(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a photo of cloth beside the reference card."""
    file = tmp_path_factory.mktemp("photos") / "beside.jpg"
    seen(Pose(80, turn=4, tilt=6), seed=3).image.save(file, quality=92)
    return file


def look_at_four(page: Page, home: str, four: Path, codes: str = "A1 A2 A3 A4") -> None:
    page.goto(f"{home}/line-up")
    page.get_by_label("A photo of fabrics side by side").set_input_files(four)
    page.get_by_label("Their codes, as they lie").fill(codes)
    page.get_by_role("button", name="Look").click()
    expect(page.get_by_text("4 strips, from light to dark")).to_be_visible()


def look_beside(page: Page, home: str, beside: Path) -> None:
    page.goto(f"{home}/piece/A2/reference")
    page.get_by_label("A photo of the cloth").set_input_files(beside)
    page.get_by_role("button", name="Look").click()
    expect(page.get_by_text("reference card in the photo")).to_be_visible()


def kept(page: Page) -> None:
    expect(page.locator(".told")).to_contain_text("Kept a line-up of 4 fabrics: A1, A2, A3, A4.")


def end_of(page: Page, line: int, end: str = "upper") -> float:
    return float(page.locator(f"#{'start' if end == 'upper' else 'end'}-{line}").input_value())


def test_a_line_is_dragged_and_moved_by_keys_and_kept(
    look: Looked, home: str, stash: Stash, four: Path
) -> None:
    page = look(width=390)
    look_at_four(page, home, four)
    before = end_of(page, 2)
    handle = page.get_by_role("slider", name="Line 2, upper end")
    handle.hover()
    box: Any = page.locator(".frame img").bounding_box()
    at: Any = handle.bounding_box()
    middle = at["x"] + at["width"] / 2, at["y"] + at["height"] / 2
    page.mouse.down()
    page.mouse.move(middle[0] - 0.05 * box["width"], middle[1])
    page.mouse.up()
    assert end_of(page, 2) == pytest.approx(before - 5, abs=0.6)
    handle.focus()
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("Shift+ArrowRight")
    assert end_of(page, 2) == pytest.approx(before - 0.5, abs=0.6)
    drawn = page.locator('line[data-line="1"]').first.get_attribute("x1")
    assert drawn == page.locator("#start-2").input_value()
    assert handle.get_attribute("aria-valuenow") is not None
    for _ in range(30):  # never over its neighbour
        page.keyboard.press("Shift+ArrowRight")
    assert end_of(page, 2) < end_of(page, 3)
    page.get_by_text("Type where they lie").click()
    page.locator("#start-2").fill(f"{before:g}")
    page.get_by_role("button", name="Keep it").click()
    kept(page)
    assert show(stash, "A1").reading is not None
    page.get_by_role("button", name="Undo").first.click()
    expect(page.locator(".told")).to_contain_text("Took back: Kept a line-up")


def test_without_script_lines_are_typed(look: Looked, home: str, stash: Stash, four: Path) -> None:
    page = look(width=390, script=False)
    look_at_four(page, home, four, "A1 A2 A3")  # a code too few: told, and put right
    expect(page.get_by_role("alert")).to_contain_text("3 codes were given")
    page.get_by_label("Strip 4").fill("A4")
    page.get_by_text("Type where they lie").click()
    first = end_of(page, 1)
    page.get_by_label("Line 1, upper end").fill(f"{first + 1:g}")
    page.get_by_label("Line 1, upper end").press("Enter")  # looks again, and keeps nothing
    expect(page.get_by_text("4 strips, from light to dark")).to_be_visible()
    assert end_of(page, 1) == pytest.approx(first + 1, abs=0.01)
    assert show(stash, "A4").reading is None
    page.get_by_role("button", name="keep it").click()
    kept(page)
    assert show(stash, "A4").reading is not None


@pytest.mark.parametrize("script", SCRIPT)
def test_beside_the_card_lightness_and_size_are_kept_on_a_yes(
    look: Looked, home: str, stash: Stash, beside: Path, script: bool
) -> None:
    page = look(width=390, script=script)
    page.goto(f"{home}/piece/A2")
    page.get_by_role("link", name="Measure beside a card").click()
    look_beside(page, home, beside)
    page.get_by_role("button", name="Keep it, and the size").click()
    expect(page.locator(".told")).to_contain_text("Measured A2 “ink” beside the card.")
    expect(page.get_by_text("reference card in the photo").first).to_be_visible()
    assert show(stash, "A2").shown_size == "5⅞ × 5⅞ in, about"


def test_corners_are_dragged_and_moved_by_keys(look: Looked, home: str, beside: Path) -> None:
    page = look(width=1440)
    look_beside(page, home, beside)
    page.get_by_text("Move the corners of the cloth").click()
    corner = page.get_by_role("button", name="Corner 2 of the cloth")
    across = page.get_by_label("Corner 2 across")
    before = float(across.input_value())
    corner.focus()
    page.keyboard.press("Shift+ArrowLeft")
    assert float(across.input_value()) == pytest.approx(before - 5, abs=0.01)
    corner.hover()
    box: Any = page.locator(".frame img").bounding_box()
    at: Any = corner.bounding_box()
    page.mouse.down()
    page.mouse.move(at["x"] + 22 - 0.04 * box["width"], at["y"] + 22)
    page.mouse.up()
    assert float(across.input_value()) == pytest.approx(before - 9, abs=0.3)
    page.get_by_role("button", name="Look again").click()
    expect(page.get_by_text("It seems to be about")).to_be_visible()
    assert "5⅞ × 5⅞" not in page.locator(".answer").inner_text()


def every_page(page: Page, home: str, four: Path, beside: Path) -> Iterator[str]:
    """Open every page of surer readings in turn."""
    for path in ("/card", "/sitting", "/phone", "/line-up", "/piece/A1/reference"):
        page.goto(home + path)
        yield path
    look_at_four(page, home, four)
    yield "a line-up"
    look_beside(page, home, beside)
    yield "beside the card"
    card = page.url
    for kind in ("chart", "paper"):
        page.goto(card.replace("beside=card", f"beside={kind}"))
        yield f"beside {kind}"
    page.goto(f"{home}/sitting")
    page.get_by_label("The photo of the paper").set_input_files(beside)
    page.get_by_role("button", name="Look").click()
    expect(page.get_by_role("alert")).to_be_visible()
    yield "a sitting without a record"


@pytest.mark.campaign
@pytest.mark.parametrize("width", WIDTHS)
def test_axe_finds_nothing_wrong_nothing_is_too_wide_and_targets_are_large(
    look: Looked, home: str, four: Path, beside: Path, width: int
) -> None:
    page = look(width=width)
    for name in every_page(page, home, four, beside):
        for details in page.locator("main details").all():
            details.evaluate("node => (node.open = true)")
        found = Axe().run(page).response["violations"]
        wrong = [f"{one['id']}: {[n['html'] for n in one['nodes']][:3]}" for one in found]
        assert wrong == [], name
        assert page.evaluate("document.documentElement.scrollWidth") <= width, name
        targets = page.locator("main :is(a, button, input, select, summary, .box):visible")
        small = [
            target.evaluate("node => node.outerHTML.slice(0, 90)")
            for target in targets.all()
            if (box := target.bounding_box())
            and min(box["height"], box["width"]) < 44
            and not target.evaluate("node => node.matches('.box input, .thumb input')")
        ]
        assert small == [], name
