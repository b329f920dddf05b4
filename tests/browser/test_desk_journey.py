"""The desk, in a real browser: a folder taken in, a choice judged and cured, its sheet, its labels.

With script and without; by keyboard alone; nothing that axe finds wrong on any of its pages.
"""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
import zxingcpp
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Download, Page, expect

from stashkeeper.actions.pieces import list_pieces
from stashkeeper.actions.stash import Stash
from stashkeeper.actions.values import contrast
from stashkeeper.pictures.canvas import page_images
from tests.browser.conftest import Looked
from tests.browser.waiting import go, look_until
from tests.browser.widths import SCRIPT, WIDTHS
from tests.web.made import cloth_photo, put, put_photo, served

LIST = """photo,size,name,place
milk,fat quarter,Milk,Shelf 1
straw,1/2 yd,Straw,Shelf 1
sage,18 x 21,Sage,Shelf 2
ink,18 x 21,Ink,Shelf 2
"""
COLOURS = {
    "milk": (244, 240, 228),
    "straw": (205, 190, 140),
    "sage": (196, 192, 160),
    "ink": (24, 26, 44),
}
"""Straw and sage lie close together, so that the choice wants a cure."""


@pytest.fixture
def home(stash: Stash) -> Iterator[str]:
    """Serve an empty stash; return its address."""
    with served(stash) as listening:
        yield listening.address.rstrip("/")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Return a folder of four photos, a torn one, and a list of sizes."""
    made = tmp_path / "cloth"
    made.mkdir()
    for name, colour in COLOURS.items():
        cloth_photo(made / f"{name}.jpg", colour)
    (made / "torn.jpg").write_bytes((made / "milk.jpg").read_bytes()[:1500])
    (made / "sizes.csv").write_text(LIST, encoding="utf-8")
    return made


def violations(page: Page) -> list[str]:
    """Return what axe finds wrong with a page."""
    found = Axe().run(page).response["violations"]
    return [f"{one['id']}: {[node['html'] for node in one['nodes']][:3]}" for one in found]


def take_in(page: Page, home: str, folder: Path, *, whole: bool) -> None:
    """Take in the folder, leave the page, and come back to it."""
    page.goto(f"{home}/intake")
    if whole:
        page.get_by_label("Or a whole folder").set_input_files(folder)
    else:
        page.get_by_label("Photos", exact=True).set_input_files(sorted(folder.glob("*.jpg")))
        page.get_by_label("A list of sizes").set_input_files(folder / "sizes.csv")
    page.get_by_label("Tags").fill("autumn")
    page.get_by_role("button", name="Take them in").click()
    page.wait_for_url(re.compile(r"/intake/\w{32}"))
    address = page.url
    expect(page.get_by_text(re.compile("Being measured|Took in")).first).to_be_visible()
    go(page, home)
    page.goto(address)
    look_until(page, page.get_by_text("Took in 4 fabrics from 4 photos."))
    expect(page.get_by_role("heading", name="Not taken in")).to_be_visible()
    expect(page.locator(".lines .trouble")).to_contain_text("torn.jpg")


def choose(page: Page, home: str, codes: dict[str, str]) -> None:
    """Tick two light pieces, a medium and a dark one."""
    page.goto(f"{home}/contrast")
    for name, value in (("Milk", "light"), ("Straw", "light"), ("Sage", "medium"), ("Ink", "dark")):
        row = page.get_by_role("group", name=re.compile(f"^{codes[name]} "))
        row.get_by_role("radio", name=value).check(force=True)


def cure(page: Page, stash: Stash, codes: dict[str, str]) -> None:
    """See that the choice is judged as by the command, and take the first cure."""
    groups = [f"{codes['Milk']},{codes['Straw']}", codes["Sage"], codes["Ink"]]
    sentence = contrast(stash, groups).advice[0]
    assert "weak" in sentence
    expect(page.get_by_text(sentence)).to_be_visible()
    expect(page.locator(".tile img[src*='/grey-']")).to_have_count(4)
    taken = page.locator(".cures a").first
    became = re.search(r"the gap becomes ([\d.]+)", taken.inner_text())
    taken.click()
    assert became
    expect(page.locator(".gap p").first).to_contain_text(f"gap {became[1]}")


def draw(page: Page) -> Download:
    """Draw the sheet of the choice, and save it."""
    page.get_by_role("link", name="Draw it as a sheet").click()
    page.get_by_label("Title").fill("Autumn")
    page.get_by_role("button", name="Draw").click()
    look_until(page, page.get_by_text("Autumn.pdf"))
    with page.expect_download() as saved:
        page.get_by_role("link", name="Save the PDF").click()
    return saved.value


def print_labels(page: Page, home: str, folder: Path, script: bool) -> None:
    """Print a label, and open its piece by a photo of it."""
    page.goto(f"{home}/labels?q=sage")
    page.get_by_label("Sheet of labels").select_option("63.5x38.1")
    with page.expect_download() as saved:
        page.get_by_role("button", name="Save the PDF").click()
    assert saved.value.suggested_filename == "labels.pdf"
    photo = folder.parent / "label.png"
    page_images(saved.value.path().read_bytes())[0].save(photo)
    assert "Sage" in zxingcpp.read_barcodes(page_images(saved.value.path().read_bytes())[0])[0].text
    page.goto(f"{home}/read-label")
    page.get_by_label("A photo with the label in it").set_input_files(photo)
    if not script:  # with script the photo sends itself
        page.get_by_role("button", name="Open the piece").click()
    page.wait_for_url("**/piece/*")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Sage")


@pytest.mark.parametrize("script", SCRIPT)
def test_the_journey(look: Looked, home: str, stash: Stash, folder: Path, script: bool) -> None:
    page = look(width=1440, script=script)
    take_in(page, home, folder, whole=script)
    codes = {piece.name: piece.code for piece in list_pieces(stash, []).pieces}
    choose(page, home, codes)
    if not script:
        page.get_by_role("button", name="Judge").click()
    cure(page, stash, codes)
    assert "light=" in page.url
    saved = draw(page)
    assert saved.suggested_filename == "Autumn.pdf"
    assert saved.path().read_bytes().startswith(b"%PDF")
    print_labels(page, home, folder, script)


@pytest.fixture
def shelf(stash: Stash, tmp_path: Path) -> dict[str, str]:
    """Put two photographed and three typed fabrics on the shelf; return their codes by name."""
    codes = {
        name: put_photo(stash, tmp_path, name, colour)
        for name, colour in (("sage", (150, 170, 120)), ("brick", (160, 60, 50)))
    }
    return codes | {
        name: put(stash, name, at) for name, at in (("milk", 93), ("straw", 64), ("ink", 9))
    }


def test_every_tick_is_judged_where_it_is(look: Looked, home: str, shelf: dict[str, str]) -> None:
    page = look(width=390)
    page.goto(f"{home}/contrast")
    page.locator(f"input[name={shelf['milk']}][value=light]").check(force=True)
    page.locator(f"input[name={shelf['ink']}][value=medium]").check(force=True)
    expect(page.locator("#verdicts")).to_contain_text("Light to medium: 84.0 ±3 strong")
    assert page.url.endswith(f"/contrast?light={shelf['milk']}&medium={shelf['ink']}")
    page.locator(f"input[name={shelf['ink']}][value='']").check(force=True)
    expect(page.locator("#verdicts")).to_contain_text("Light to medium: – no pieces")
    page.reload()
    expect(page.locator(f"input[name={shelf['milk']}][value=light]")).to_be_checked()


@pytest.mark.campaign
def test_the_keyboard_alone_suffices(look: Looked, home: str, shelf: dict[str, str]) -> None:
    page = look(width=1440)
    page.goto(f"{home}/contrast")
    tab_to(page, f"[name={shelf['milk']}]")
    page.keyboard.press("Space")
    tab_to(page, f"[name={shelf['ink']}]")
    page.keyboard.press("ArrowRight")
    expect(page.locator("#verdicts")).to_contain_text("strong")
    tab_to(page, ".bar button")
    with page.expect_navigation():
        page.keyboard.press("Enter")
    assert "light=" in page.url
    tab_to(page, "a[href^='/sheet']")
    page.keyboard.press("Enter")
    page.wait_for_url(re.compile("/sheet"))
    tab_to(page, "#title")
    page.keyboard.type("By keys")
    page.keyboard.press("Enter")
    look_until(page, page.get_by_text("By keys.pdf"))
    tab_to(page, "a[href$='sheet.pdf']")
    with page.expect_download() as saved:
        page.keyboard.press("Enter")
    assert saved.value.suggested_filename == "By keys.pdf"
    page.goto(f"{home}/labels")
    tab_to(page, "#q")
    page.keyboard.type("milk")
    page.keyboard.press("Enter")
    expect(page.get_by_text(re.compile("^1 label, "))).to_be_visible()
    page.goto(f"{home}/read-label")
    tab_to(page, "#code")
    page.keyboard.type(shelf["milk"])
    page.keyboard.press("Enter")
    page.wait_for_url("**/piece/*")


def tab_to(page: Page, selector: str) -> None:
    """Press the tabulator until something has the focus, and see that this is shown."""
    for _ in range(120):
        page.keyboard.press("Tab")
        if page.evaluate("sought => document.activeElement.matches(sought)", selector):
            return
    raise AssertionError(f"the keyboard does not reach {selector}")


PATHS = (
    "/contrast", "/contrast?light=A3,A4&medium=A1,A2&dark=A5", "/contrast?light=A3&dark=A3",
    "/contrast?q=size:x", "/labels", "/labels?own=1x1", "/labels?outline=yes", "/read-label",
    "/sheet", "/sheet?light=A3&dark=A5", "/intake", "/sheet/none", "/intake/none",
)  # fmt: skip


@pytest.mark.campaign
@pytest.mark.parametrize("width", WIDTHS)
def test_axe_finds_nothing_wrong_and_nothing_is_too_wide(
    look: Looked, home: str, shelf: dict[str, str], folder: Path, width: int
) -> None:
    page = look(width=width)
    for path in PATHS:
        page.goto(home + path)
        assert violations(page) == [], path
        assert page.evaluate("document.documentElement.scrollWidth") <= width, path
    page.goto(f"{home}/intake")
    page.get_by_label("Photos", exact=True).set_input_files(sorted(folder.glob("*.jpg")))
    page.get_by_role("button", name="Take them in").click()
    look_until(page, page.get_by_text("Took in"))
    page.goto(page.url)
    assert violations(page) == []
    page.goto(f"{home}/sheet")
    page.get_by_role("button", name="Draw").click()
    look_until(page, page.get_by_text("Drew"))
    assert violations(page) == []
    page.goto(f"{home}/intake")
    assert violations(page) == []


@pytest.mark.campaign
def test_targets_are_large_enough_for_a_thumb(
    look: Looked, home: str, shelf: dict[str, str]
) -> None:
    page = look(width=390)
    for path in PATHS:
        page.goto(home + path)
        small = page.evaluate(
            """() => [...document.querySelectorAll(
                "a, button, input, select, summary, label:has(input)")]
              .filter(one => one.checkVisibility() && !one.matches("label input, .skip, p a, dd a"))
              .filter(one => { const box = one.getBoundingClientRect();
                               return Math.min(box.width, box.height) < 43.5; })
              .map(one => one.outerHTML.slice(0, 90))"""
        )
        assert small == [], path


@pytest.mark.campaign
def test_a_photo_that_fails_on_the_way_is_named_and_sent_again(
    look: Looked, home: str, stash: Stash, folder: Path
) -> None:
    page = look()
    (folder / "torn.jpg").unlink()
    lost: list[str] = []

    def once_broken(route: object) -> None:
        lost.append("photo")
        if len(lost) == 1:
            route.abort()  # type: ignore[attr-defined]
        else:
            route.continue_()  # type: ignore[attr-defined]

    page.route("**/photos", once_broken)
    page.goto(f"{home}/intake")
    page.get_by_label("Or a whole folder").set_input_files(folder)
    page.get_by_role("button", name="Take them in").click()
    look_until(page, page.get_by_text("Took in 4 fabrics from 4 photos."))
    assert len(lost) == 6  # four photos and the list, one of them twice
    assert len(list_pieces(stash, []).pieces) == 4


@pytest.mark.campaign
def test_leaving_while_photos_are_sent_keeps_those_that_are_here(
    look: Looked, home: str, stash: Stash, folder: Path
) -> None:
    page = look()
    sent: list[str] = []

    def held_after_two(route: object) -> None:
        sent.append("photo")
        if len(sent) <= 2:
            route.continue_()  # type: ignore[attr-defined]

    page.route("**/photos", held_after_two)
    page.goto(f"{home}/intake")
    page.get_by_label("Photos", exact=True).set_input_files(sorted(folder.glob("[ims]*.jpg")))
    page.get_by_role("button", name="Take them in").click()
    expect(page.get_by_text("2 of 4 sent.")).to_be_visible()
    page.goto(f"{home}/intake")
    page.get_by_text("2 photos").click()
    expect(page.get_by_text("2 photos are here, not measured yet.")).to_be_visible()
    page.get_by_role("button", name="Measure them").click()
    look_until(page, page.get_by_text("Took in 2 fabrics from 2 photos."))
    assert len(list_pieces(stash, []).pieces) == 2
