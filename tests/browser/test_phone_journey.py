"""The phone at the shelf, in a real browser at 390 px: photograph, see in grey, measure, undo."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from PIL import Image
from pillow_heif import from_pillow
from playwright.sync_api import Page, expect

from stashkeeper.actions.pieces import show
from stashkeeper.actions.stash import Stash
from tests.browser.conftest import Looked
from tests.browser.widths import WIDTHS
from tests.web.made import cloth_photo, put, put_photo, served


@pytest.fixture
def home(stash: Stash) -> Iterator[str]:
    """Serve an empty stash; return its address."""
    with served(stash) as listening:
        yield listening.address.rstrip("/")


@pytest.fixture
def heic(tmp_path: Path) -> Path:
    """Return a photo as a phone saves it: HEIC, its left half dark, its right half light."""
    image = Image.new("RGB", (800, 600), (40, 44, 60))
    image.paste((215, 210, 200), (400, 0, 800, 600))
    file = tmp_path / "IMG_0042.HEIC"
    from_pillow(image).save(file, quality=90)
    return file


def number(page: Page) -> int:
    """Return the lightness that the page of a piece shows."""
    return int(page.locator(".number b").inner_text().lstrip("~"))


def told(page: Page, words: str) -> None:
    """Wait for the page that tells of what was done; the one before may tell of another deed."""
    expect(page.locator(".told")).to_contain_text(words)


def shoot(page: Page, home: str, photo: Path) -> None:
    """Photograph a piece and add it: a photo, a size, a place."""
    page.goto(f"{home}/add")
    page.get_by_label("Take a photo").set_input_files(photo)
    page.get_by_text("fat quarter", exact=True).click()
    page.get_by_label("Place").fill("Shelf 2 / Blue box")
    page.get_by_role("button", name="Add", exact=True).click()


def journey_from_the_shelf(page: Page, home: str, stash: Stash) -> None:
    """See the piece on the shelf and in grey, measure another part of it, and undo that."""
    page.goto(home)
    expect(page.locator(".tile")).to_have_count(1)
    expect(page.locator(".tile img[src*='/colour-']")).to_be_visible()
    page.get_by_text("Grey", exact=True).click()
    expect(page.locator(".tile img[src*='/grey-']")).to_be_visible()
    page.locator(".tile a").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("A1")
    before = number(page)
    page.get_by_text("Change what is measured").click()
    page.get_by_label("Left edge").fill("55")
    page.get_by_label("Right edge").fill("95")
    page.get_by_role("button", name="Measure this part").click()
    told(page, "Measured another part of “IMG_0042.HEIC” of A1")
    after = number(page)
    assert after > before + 10
    page.get_by_role("button", name="Undo").first.click()
    told(page, "Took back: Measured another part")
    assert number(page) == before
    assert show(stash, "A1").photos[0].corners[0] == (0.1, 0.1)


def test_the_journey_with_script(look: Looked, home: str, stash: Stash, heic: Path) -> None:
    page = look(width=390)
    shoot(page, home, heic)
    expect(page.locator("#sending .finished")).to_contain_text("Added A1")
    expect(page.locator("#sending .finished img")).to_have_js_property("complete", True)
    assert page.get_by_label("Place").input_value() == "Shelf 2 / Blue box"
    assert page.get_by_label("fat quarter").is_checked()
    journey_from_the_shelf(page, home, stash)


@pytest.mark.campaign
def test_the_journey_without_script(look: Looked, home: str, stash: Stash, heic: Path) -> None:
    page = look(width=390, script=False)
    shoot(page, home, heic)
    told(page, "Added A1")
    expect(page.locator(".added")).to_contain_text("A1")
    assert page.get_by_label("Place").input_value() == "Shelf 2 / Blue box"
    assert page.get_by_label("fat quarter").is_checked()
    journey_from_the_shelf(page, home, stash)


@pytest.mark.parametrize("script", [True, False])
def test_photo_size_and_button_are_in_reach_at_once(look: Looked, home: str, script: bool) -> None:
    """Three touches make a piece; none of them needs scrolling first."""
    page = look(width=390, script=script)
    page.goto(f"{home}/add")
    touches = (
        page.get_by_text("Take a photo"),
        page.get_by_text("fat quarter", exact=True),
        page.get_by_role("button", name="Add", exact=True),
    )
    for touch in touches:
        expect(touch).to_be_in_viewport(ratio=1)
    button: Any = touches[-1].bounding_box()
    assert button["y"] > 844 / 2, "the button lies under the thumb"


def test_without_script_a_mistake_loses_nothing_that_was_typed(
    look: Looked, home: str, stash: Stash, heic: Path
) -> None:
    page = look(width=390, script=False)
    page.goto(f"{home}/add")
    page.get_by_label("Choose photos").set_input_files(heic)
    page.get_by_label("Place").fill("Shelf 2")
    page.get_by_label("Tags").fill("blue")
    page.get_by_role("button", name="Add", exact=True).click()
    expect(page.get_by_role("alert")).to_contain_text("A piece needs a size.")
    assert page.get_by_label("Place").input_value() == "Shelf 2"
    page.get_by_text("half yard", exact=True).click()
    page.get_by_label("Choose photos").set_input_files(heic)
    page.get_by_role("button", name="Add", exact=True).click()
    told(page, "Added A1")
    assert show(stash, "A1").tags == ("blue",)


def test_several_photos_become_a_piece_each_or_one(
    look: Looked, home: str, stash: Stash, tmp_path: Path
) -> None:
    page = look(width=390)
    page.goto(f"{home}/add")
    colours = [(150, 170, 120), (160, 60, 50), (20, 110, 110), (90, 40, 90)]
    photos = [cloth_photo(tmp_path / f"{n}.jpg", colour) for n, colour in enumerate(colours)]
    page.get_by_label("Choose photos").set_input_files(photos[:1])
    expect(page.get_by_text("a piece for each photo")).not_to_be_visible()
    page.get_by_label("Choose photos").set_input_files(photos[1:2])
    expect(page.locator("#chosen img")).to_have_count(2)
    page.get_by_text("fat eighth", exact=True).click()
    page.get_by_role("button", name="Add", exact=True).click()
    expect(page.locator(".finished")).to_have_count(2)
    page.get_by_label("Choose photos").set_input_files([*photos[2:], photos[0]])
    page.get_by_role("button", name="Leave out 0.jpg").click()
    page.get_by_text("one piece, shown by all of them").click()
    page.get_by_role("button", name="Add", exact=True).click()
    expect(page.locator(".finished")).to_have_count(3)
    assert [len(show(stash, code).photos) for code in ("A1", "A2", "A3")] == [1, 1, 2]
    assert show(stash, "A3").shown_size.startswith("21 × 9 in")


def test_what_could_not_be_sent_is_kept_and_sent_when_the_network_is_back(
    look: Looked, home: str, stash: Stash, heic: Path
) -> None:
    page = look(width=390)
    page.goto(f"{home}/add")
    page.context.set_offline(True)
    page.get_by_label("Choose photos").set_input_files(heic)
    page.get_by_text("fat quarter", exact=True).click()
    page.get_by_role("button", name="Add", exact=True).click()
    expect(page.locator("#sending .failed")).to_contain_text("There is no connection.")
    expect(page.locator("#sending .failed")).to_contain_text("It is kept.")
    expect(page.locator("#sending .failed button").first).to_be_visible()
    page.context.set_offline(False)
    expect(page.locator("#sending .finished")).to_contain_text("Added A1")
    page.reload()
    expect(page.locator("#sending")).not_to_be_visible()
    assert len(show(stash, "A1").photos) == 1


def test_what_could_not_be_sent_outlives_the_page(
    look: Looked, home: str, stash: Stash, heic: Path
) -> None:
    page = look(width=390)
    page.goto(f"{home}/add")
    page.route(
        "**/add",
        lambda route: route.abort() if route.request.method == "POST" else route.continue_(),
    )
    page.get_by_label("Choose photos").set_input_files(heic)
    page.get_by_label("Another size").fill("17 x 20")
    page.get_by_label("Name").fill("Night garden")
    page.get_by_role("button", name="Add", exact=True).click()
    expect(page.locator("#sending .failed")).to_be_visible()
    page.unroute_all()
    page.goto(f"{home}/places")
    page.goto(f"{home}/add")
    expect(page.locator("#sending .finished")).to_contain_text("Added A1 “Night garden”.")
    assert [photo.file_name for photo in show(stash, "A1").photos] == ["IMG_0042.HEIC"]


def test_what_is_refused_comes_back_into_the_form_to_be_changed(
    look: Looked, home: str, stash: Stash, heic: Path
) -> None:
    page = look(width=390)
    page.goto(f"{home}/add")
    page.get_by_label("Choose photos").set_input_files(heic)
    page.get_by_label("Another size").fill("wide")
    page.get_by_label("Place").fill("Chest")
    page.get_by_role("button", name="Add", exact=True).click()
    failed = page.locator("#sending .failed")
    expect(failed).to_contain_text("Not added. “wide”")
    page.get_by_label("Place").fill("")
    failed.get_by_role("button", name="Change it").click()
    expect(page.locator("#chosen li")).to_have_count(1)
    assert page.get_by_label("Place").input_value() == "Chest"
    page.get_by_label("Another size").fill("17 x 20")
    page.get_by_role("button", name="Add", exact=True).click()
    expect(page.locator("#sending .finished")).to_contain_text("Added A1")
    expect(failed).to_have_count(0)
    assert show(stash, "A1").place == "Chest"


def test_a_part_is_dragged_and_the_fields_follow(look: Looked, stash: Stash, heic: Path) -> None:
    with served(stash) as listening:
        page = look(width=390)
        shoot(page, listening.address.rstrip("/"), heic)
        expect(page.locator("#sending .finished")).to_be_visible()
        page.goto(f"{listening.address}piece/A1")
        page.get_by_text("Change what is measured").click()
        box: Any = page.locator(".frame img").bounding_box()

        def drag(handle: int, across: float, down: float) -> None:
            middle: Any = page.locator(".handle").nth(handle).bounding_box()
            start = (middle["x"] + middle["width"] / 2, middle["y"] + middle["height"] / 2)
            page.mouse.move(*start)
            page.mouse.down()
            page.mouse.move(start[0] + across * box["width"], start[1] + down * box["height"])
            page.mouse.up()

        def edges() -> list[float]:
            names = ("Left", "Upper", "Right", "Lower")
            return [float(page.get_by_label(f"{one} edge").input_value()) for one in names]

        page.locator(".frame").scroll_into_view_if_needed()
        box = page.locator(".frame img").bounding_box()
        drag(0, 0.4, 0.2)  # the upper left corner
        assert edges() == pytest.approx([50, 30, 90, 90], abs=0.6)
        drag(6, 0.5, 0.0)  # the right edge, as far as the photo goes
        assert edges() == pytest.approx([50, 30, 100, 90], abs=0.6)
        drag(8, -0.1, -0.9)  # the whole of it
        assert edges() == pytest.approx([40, 0, 90, 60], abs=0.6)
        drag(2, -0.9, -0.9)  # never inside out
        assert edges() == pytest.approx([40, 0, 42, 2], abs=0.6)
        page.get_by_label("Right edge").fill("80")
        assert page.locator(".part rect").first.get_attribute("width") == "40"


def violations(page: Page) -> list[str]:
    """Return what axe finds wrong with a page."""
    found = Axe().run(page).response["violations"]
    return [f"{one['id']}: {[node['html'] for node in one['nodes']][:3]}" for one in found]


@pytest.fixture
def filled(stash: Stash, tmp_path: Path) -> Iterator[str]:
    """Serve a stash with all that pages can show; return its address."""
    put_photo(stash, tmp_path, "sage checks", (150, 170, 120), at="Shelf 2 / Box", tags=["green"])
    put(stash, "stone", 64.5, at="Attic", note="soft", fibre="linen", cost="4.50", repeat="2")
    put(stash, "not measured")
    with served(stash) as listening:
        yield listening.address.rstrip("/")


PATHS = (
    "/add", "/add?size=17+x+20&at=Attic&added=A1", "/add?fabric=A1", "/piece/A1", "/piece/A2",
    "/piece/A3", "/piece/A1/change", "/places", "/places/change?place=Attic", "/history",
)  # fmt: skip


@pytest.mark.parametrize("width", WIDTHS)
def test_axe_finds_nothing_wrong_and_nothing_is_too_wide(
    look: Looked, filled: str, width: int
) -> None:
    page = look(width=width)
    for path in PATHS:
        page.goto(filled + path)
        for details in page.locator("main details").all():
            details.evaluate("node => (node.open = true)")
        assert violations(page) == [], path
        assert page.evaluate("document.documentElement.scrollWidth") <= width, path


def test_axe_finds_nothing_wrong_where_something_is_wrong(look: Looked, filled: str) -> None:
    page = look(width=390, script=False)
    page.goto(f"{filled}/add")
    page.get_by_role("button", name="Add", exact=True).click()
    expect(page.get_by_role("alert")).to_be_visible()
    page.goto(f"{filled}/piece/A1")
    page.get_by_text("Type a lightness").click()
    page.get_by_role("button", name="Keep it").click()
    expect(page.get_by_role("alert")).to_be_visible()
    with_script = look(width=390)
    for path, name in (("/piece/A1/change", "Change"), ("/places", "Make it")):
        with_script.goto(filled + path)
        with_script.locator("form").last.evaluate("form => form.noValidate = true")
        with_script.get_by_role("button", name=name, exact=True).last.click()
        expect(with_script.get_by_role("alert")).to_be_visible()
        assert violations(with_script) == []


def test_targets_are_large_enough_for_a_thumb(look: Looked, filled: str) -> None:
    page = look(width=390)
    for path in PATHS:
        page.goto(filled + path)
        for details in page.locator("main details").all():
            details.evaluate("node => (node.open = true)")
        targets = page.locator("main :is(a, button, input, select, summary, .box, .pick):visible")
        small = targets.evaluate_all(
            """nodes => nodes
            .filter(node => !node.matches(".box input, .shot input, .prose a"))
            .map(node => [node.getBoundingClientRect(), node.outerHTML.slice(0, 80)])
            .filter(([box]) => Math.min(box.width, box.height) < 44).map(([_, html]) => html)"""
        )
        assert small == [], path


def test_the_keyboard_alone_suffices(look: Looked, home: str, stash: Stash, heic: Path) -> None:
    page = look(width=390)
    page.goto(f"{home}/add")
    page.get_by_label("Choose photos").set_input_files(heic)  # a file dialog is the browser's own
    keys = page.keyboard
    page.get_by_label("fat quarter").focus()
    keys.press("ArrowRight")
    assert page.get_by_label("fat eighth").is_checked()
    page.get_by_label("Place").focus()
    keys.type("Attic")
    keys.press("Enter")
    link = page.locator("#sending .finished a")
    expect(link).to_be_visible()
    link.focus()
    keys.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_contain_text("A1")
    for opened, typed, said in (
        ("Move", "Chest", "Changed A1"), ("Type a lightness", "44", "has lightness 44"),
    ):  # fmt: skip
        page.locator("summary", has_text=opened).focus()
        keys.press("Enter")
        keys.press("Tab")
        keys.press("ControlOrMeta+a")
        keys.type(typed)
        keys.press("Enter")
        told(page, said)
    piece = show(stash, "A1")
    assert piece.place == "Chest"
    assert piece.reading is not None
    assert piece.reading.lightness == 44
    page.locator("summary", has_text="Off the shelf").focus()
    keys.press("Enter")
    keys.press("Tab")
    keys.press("Space")
    keys.press("Enter")
    expect(page.locator(".told")).to_contain_text("off the shelf: all cut")
    page.get_by_role("button", name="Undo").first.focus()
    keys.press("Enter")
    expect(page.locator(".told")).to_contain_text("Took back")
    assert show(stash, "A1").ended is None
