"""A quilt seen first: print at true scale, grey by the readings, seams, and the whole page."""

import dataclasses
import random
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image
from skimage.color import rgb2lab

from stashkeeper.choosing.quilt_needs import seams_of
from stashkeeper.choosing.seam_contrast import judge_seams
from stashkeeper.lengths.length import Length
from stashkeeper.lengths.paper import Paper
from stashkeeper.luminance.contrast import Entry
from stashkeeper.luminance.readings import typed_reading
from stashkeeper.pictures.canvas import page_images
from stashkeeper.pictures.layout_outline import Outline, draw_outline_pdf, draw_outline_svg
from stashkeeper.pictures.layout_preview import LayoutPreview, draw_preview_pdf, draw_preview_svg
from stashkeeper.pictures.patchwork import Painted, paint
from stashkeeper.pictures.preview_scene import PreviewFabric, Scene, Stage, show_scene
from stashkeeper.pictures.print_scale import cloth_at_scale, plain_cloth
from stashkeeper.pictures.seam_lines import hatched, outlines
from stashkeeper.pictures.value_rule import Mark
from stashkeeper.quilts.borders import Border, Corner
from stashkeeper.quilts.grow import grown
from stashkeeper.quilts.layout import Layout, Role
from stashkeeper.quilts.layout_library import layout_names, traditional_layout
from stashkeeper.quilts.quilt import Quilt
from stashkeeper.quilts.quilt_patches import quilt_meetings, quilt_patches
from stashkeeper.quilts.quilt_seams import quilt_seams
from stashkeeper.quilts.set_blocks import sashed, set_on_point
from tests.pictures.made import coloured
from tests.pictures.test_gold import cloth as drawn_cloth
from tests.pictures.test_gold import compare

INCH = Length.from_inches(1)
TICKS = INCH.ticks


def quilt(name: str, columns: int, rows: int, unit: int = 3, *borders: Border) -> Quilt:
    """Return a quilt of a traditional layout."""
    return Quilt(grown(traditional_layout(name), columns, rows), INCH * unit, borders=borders)


def fabric(folder: Path, number: int, lightness: float, inches: float = 8.0) -> PreviewFabric:
    """Return a fabric drawn as a photo."""
    look = Image.open(drawn_cloth(folder / f"{number}.png", number, lightness)).convert("RGB")
    mark = Mark.PROVISIONAL if number % 3 == 0 else Mark.SURE
    return PreviewFabric(
        f"A{number + 1}", f"Cloth {number}", lightness, 2.0 if number % 3 else 25.0, mark, look,
        inches, "" if number % 2 else "the whole piece",
    )  # fmt: skip


def scene(
    of: Quilt, cast: dict[str, list[PreviewFabric]], title: str = "In these fabrics"
) -> Scene:
    """Return a choice of fabrics with its seams judged."""
    entries = {
        role: [
            Entry(one.code, typed_reading(one.lightness or 0.0, one.code), one.code)
            for one in fabrics
        ]
        for role, fabrics in cast.items()
    }
    judged = judge_seams(seams_of(quilt_meetings(of)), entries)
    return Scene(title, cast, {"background": 82.0}, judged)


def test_a_print_is_as_large_as_it_is_beside_the_patches() -> None:
    """Stripes an inch wide, a patch 6 in wide drawn 60 dots wide: a stripe every 10 dots."""
    look = Image.new("L", (400, 400), 255)
    for inch in range(0, 10, 2):
        look.paste(0, (inch * 40, 0, inch * 40 + 40, 400))
    cloth = cloth_at_scale(look.convert("RGB"), 10.0, 10.0, None)
    assert cloth.size == (100, 100)
    row = cloth.grey[50] > 0.5
    assert [int(np.flatnonzero(np.diff(row))[at]) for at in range(3)] == [9, 19, 29]


def test_fine_prints_keep_their_lightness() -> None:
    """Black and white by turns, a pixel each: half the light, so L* 76.1 (CIE 15).

    A reduction of coded pixels would give code 128, which has L* 53.6.
    """
    look = Image.fromarray(np.indices((400, 400)).sum(axis=0).astype(np.uint8) % 2 * 255)
    cloth = cloth_at_scale(look.convert("RGB"), 10.0, 5.0, None)
    work = paint((40, 40), [Painted(((0, 0), (40, 0), (40, 40), (0, 40)), 0)], [cloth], [])
    shown = rgb2lab(np.asarray(work.colour) / 255.0)[..., 0].mean()
    assert shown == pytest.approx(76.1, abs=1.0)


@pytest.mark.parametrize("lightness", [20.0, 50.0, 85.0])
def test_grey_shows_what_the_reading_says(lightness: float) -> None:
    """L* of the grey twin by scikit-image, whatever the exposure of the photo."""
    look = Image.new("RGB", (100, 100), (120, 90, 60))
    cloth = cloth_at_scale(look, 5.0, 10.0, lightness)
    work = paint((30, 30), [Painted(((0, 0), (30, 0), (30, 30), (0, 30)), 0)], [cloth], [])
    grey = np.asarray(work.grey.convert("RGB")) / 255.0
    assert rgb2lab(grey)[..., 0].mean() == pytest.approx(lightness, abs=0.5)


@settings(deadline=None, max_examples=25)
@given(
    st.sampled_from(layout_names()), st.sampled_from([(12, 12), (12, 6), (6, 12)]), st.booleans()
)
def test_patches_leave_no_dot_uncovered(name: str, size: tuple[int, int], framed: bool) -> None:
    """Law: units tile the layout. Every role painted white, so that a dot left over stays black."""
    try:
        layout = grown(traditional_layout(name), *size)
    except Exception:  # a size this layout does not have
        return
    borders = (Border("frame", INCH * 2, corner=Corner.MITRED),) if framed else ()
    of = Quilt(layout, INCH * 2, borders=borders)
    stage = Stage(of)
    scale = 200 / stage.size.width.ticks
    patches = [
        Painted(tuple((x * scale, y * scale) for x, y in patch.outline), 0)
        for patch in stage.patches
    ]
    dots = (200, round(stage.size.length.ticks * scale))
    # Patch 0 is what an unpainted dot is taken for, so it is painted black here.
    black, white = plain_cloth((0, 0, 0), 0.0), plain_cloth((255, 255, 255), 100.0)
    painted = [dataclasses.replace(one, cloth=1) for one in patches]
    first = [dataclasses.replace(patches[0], cloth=0), *painted[1:], painted[0]]
    work = paint(dots, first, [black, white], [])
    assert np.asarray(work.grey).min() == 255


def test_patches_of_a_role_are_cut_from_all_over_the_cloth(tmp_path: Path) -> None:
    one = fabric(tmp_path, 2, 60.0)
    of = quilt("checkerboard", 4, 4)
    shown = show_scene(Stage(of), scene(of, {"light": [one], "dark": [one]}), (120, 120))
    pixels = np.asarray(shown.patchwork.colour).astype(int)
    first, second = pixels[2:28, 2:28], pixels[2:28, 62:88]
    assert abs(first - second).max() > 20


def test_the_same_preview_is_drawn_twice_alike(tmp_path: Path) -> None:
    of = quilt("pinwheel", 4, 4)
    preview = LayoutPreview(
        "Pinwheel", "12 in", of,
        [scene(of, {"blade": [fabric(tmp_path, 1, 30)], "background": [fabric(tmp_path, 3, 80)]})],
    )  # fmt: skip
    assert draw_preview_pdf(preview) == draw_preview_pdf(preview)
    assert draw_preview_svg(preview) == draw_preview_svg(preview)


def test_a_line_between_many_patches_is_drawn_once() -> None:
    """A checkerboard of n × n has n + 1 lines each way (geometry)."""
    of = quilt("checkerboard", 7, 7)
    assert len(list(outlines(patch.outline for patch in quilt_patches(of)))) == 16


@pytest.mark.parametrize("end", [(100.0, 0.0), (0.0, 100.0), (70.0, 70.0), (70.0, -70.0)])
def test_hatching_slants_across_a_seam_whichever_way_it_runs(end: tuple[float, float]) -> None:
    strokes = list(hatched(((0.0, 0.0), end), 12.0, 8.0))
    assert len(strokes) == int(np.hypot(*end) // 8)
    along = np.array(end) / np.hypot(*end)
    for start, stop in strokes:
        stroke = np.array(stop) - np.array(start)
        turn = abs(float(stroke @ along)) / np.hypot(*stroke)
        assert turn == pytest.approx(np.cos(np.pi / 4))


def test_seams_of_the_whole_quilt_are_as_long_as_the_meetings() -> None:
    """The same seams counted two ways, borders and blocks on point included."""
    block = traditional_layout("friendship star")
    layouts = [grown(block, 6, 9), set_on_point(block, 2, 3, Role("around"), Role("between"))]
    for layout in layouts:
        of = Quilt(layout, INCH * 2, borders=(Border("frame", INCH), Border("edge", INCH * 3)))
        placed = sum(
            float(np.hypot(seam.end[0] - seam.start[0], seam.end[1] - seam.start[1])) / TICKS
            for seam in quilt_seams(of)
        )
        assert placed == pytest.approx(sum(met.length for met in quilt_meetings(of)), rel=1e-3)


def test_weak_seams_are_marked_and_told_apart(tmp_path: Path) -> None:
    of = quilt("friendship star", 6, 6)
    near = scene(of, {"star": [fabric(tmp_path, 1, 61.0)], "background": [fabric(tmp_path, 2, 62)]})
    far = scene(of, {"star": [fabric(tmp_path, 1, 20.0)], "background": [fabric(tmp_path, 2, 80)]})
    stage = Stage(of)
    marked = np.asarray(show_scene(stage, near, (300, 300)).patchwork.grey.convert("RGB")).astype(
        int
    )
    plain = np.asarray(show_scene(stage, far, (300, 300)).patchwork.grey.convert("RGB")).astype(int)
    assert (abs(marked[..., 0] - marked[..., 1]) > 40).sum() > 200
    assert (abs(plain[..., 0] - plain[..., 1]) > 2).sum() == 0
    assert [met.sign for met in near.meetings] == ["a"] and not far.meetings[0].sign


def words_of(pdf: bytes) -> str:
    document = pypdfium2.PdfDocument(pdf)
    try:
        return "\n".join(page.get_textpage().get_text_bounded() for page in document)
    finally:
        document.close()


def test_a_role_without_a_fabric_is_shown_by_its_wish(tmp_path: Path) -> None:
    of = quilt("pinwheel", 4, 4)
    preview = LayoutPreview("Pinwheel", "", of, [scene(of, {"blade": [fabric(tmp_path, 1, 30.0)]})])
    assert "no fabric yet" in words_of(draw_preview_pdf(preview)[0])


def test_an_outline_has_lines_and_boxes_and_no_cloth() -> None:
    outline = Outline("Churn dash", "12 × 12 in", quilt("churn dash", 6, 6))
    pdf, bottom = draw_outline_pdf(outline)
    assert "dash" in words_of(pdf) and 88 < bottom < outline.paper.height
    page = np.asarray(page_images(pdf)[0]).astype(int)
    assert np.ptp(page, axis=2).max() <= 2, "no colour"
    svg = draw_outline_svg(outline)
    assert svg.count("<line") > 20 and "<image" not in svg


def test_a_preview_of_every_kind_of_shape_fits_its_page(tmp_path: Path) -> None:
    cast = {
        "dark": [fabric(tmp_path, 1, 20.0)],
        "light": [fabric(tmp_path, 2, 80.0)],
    }
    for columns, rows in ((40, 2), (2, 40), (20, 20)):
        of = quilt("checkerboard", columns, rows)
        shown = [scene(of, cast, f"{number}") for number in range(1 + columns % 3)]
        for paper in Paper:
            _, bottom = draw_preview_pdf(
                LayoutPreview("Checkerboard", "", of, shown, ["Said."] * 3, paper)
            )
            assert bottom <= paper.height


def gold_preview(folder: Path) -> LayoutPreview:
    """Return a star quilt with a weak seam, borders, a role with two fabrics, and a wish."""
    borders = (Border("frame", INCH), Border("edge", INCH * 4, corner=Corner.MITRED))
    of = quilt("friendship star", 12, 9, 3, *borders)
    cast = {
        "star": [fabric(folder, 1, 47.0)],
        "background": [fabric(folder, 2, 82.0), fabric(folder, 6, 78.0)],
        "frame": [fabric(folder, 3, 44.0)],
        "edge": [fabric(folder, 7, 42.5)],
    }
    return LayoutPreview(
        "Stars over Ottersound", "46 × 37 in finished · units of 3 in", of, [scene(of, cast)],
        ["Prints at true scale: A2, A4, A8, by the card in the photo.",
         "Scale of print assumed for A3, A7: as if their photos show the whole piece."],
    )  # fmt: skip


def test_a_star_quilt_on_a4(tmp_path: Path) -> None:
    (page,) = page_images(draw_preview_pdf(gold_preview(tmp_path))[0])
    compare("star-preview-a4", page)


def test_three_choices_side_by_side_on_letter(tmp_path: Path) -> None:
    of = quilt("chevron", 8, 9)
    one = {
        "dark": [fabric(tmp_path, 1, 24.0)],
        "medium": [fabric(tmp_path, 2, 52.0)],
        "light": [fabric(tmp_path, 3, 83.0)],
    }
    shown = [
        scene(of, one),
        scene(of, {**one, "medium": [fabric(tmp_path, 4, 80.0)]}, "medium: A5"),
        scene(of, {**one, "dark": []}, "without dark"),
    ]
    preview = LayoutPreview("Chevron", "24 × 27 in finished", of, shown, (), Paper.LETTER)
    (page,) = page_images(draw_preview_pdf(preview)[0])
    compare("three-choices-letter", page)


def test_colours_of_cloth_are_kept(tmp_path: Path) -> None:
    """A solid comes out in its own colour, to the nearest code (sRGB, IEC 61966-2-1)."""
    colour = coloured(55.0, 0.3)
    look = Image.new("RGB", (50, 50), colour)
    plain = PreviewFabric("A1", "Solid", 55.0, 2.0, Mark.SURE, look, 5.0)
    of = quilt("checkerboard", 2, 2)
    shown = show_scene(Stage(of), scene(of, {"light": [plain], "dark": [plain]}), (100, 100))
    assert shown.patchwork.colour.getpixel((25, 25)) == colour


@pytest.mark.campaign
def test_any_quilt_in_any_fabrics_fits_its_page(tmp_path: Path) -> None:
    """Two hundred quilts by chance (seeded): sashed, on point, bordered, in up to four choices."""
    chance = random.Random(6)
    cloth_at_hand = [fabric(tmp_path, number, 5.0 + 9.0 * number) for number in range(11)]
    for _ in range(200):
        block = traditional_layout(chance.choice(layout_names()))
        borders = tuple(
            Border(f"border {number}", INCH * chance.randint(1, 6))
            for number in range(chance.randint(0, 3))
        )
        layout = chance.choice((_sashed, _on_point, _grown))(block, chance)
        of = Quilt(layout, INCH * chance.randint(1, 12), borders=borders)
        names = Stage(of).roles
        shown = [
            scene(of, {role: chance.sample(cloth_at_hand, chance.randint(0, 3)) for role in names})
            for _ in range(chance.randint(1, 4))
        ]
        said = ["Said of this quilt."] * chance.randint(0, 6)
        preview = LayoutPreview("By chance", "", of, shown, said, chance.choice(list(Paper)))
        pdf, bottom = draw_preview_pdf(preview)
        assert bottom <= preview.paper.height, (block.name, len(names), len(shown))
        assert len(page_images(pdf)) == 1


def _sashed(block: Layout, chance: random.Random) -> Layout:
    return sashed(block, chance.randint(1, 5), chance.randint(1, 5), Role("sash"), Role("stone"))


def _on_point(block: Layout, chance: random.Random) -> Layout:
    if block.columns != block.rows:
        return block
    between = chance.choice((Role("plain"), block))
    return set_on_point(block, chance.randint(1, 4), chance.randint(1, 4), Role("around"), between)


def _grown(block: Layout, chance: random.Random) -> Layout:
    times = chance.randint(1, 6) * 2
    return grown(block, block.columns * times, block.rows * times)
