"""A quilt seen before it is sewn: a project or a layout, painted with the photos of fabrics."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Final

from sqlmodel import Session

from stashkeeper.actions.pictures import paper_of
from stashkeeper.actions.preview_fabrics import fabrics_of, scale_sentences
from stashkeeper.actions.preview_words import Cast, PreviewWords, read_casts
from stashkeeper.actions.quilt_subject import Subject, subject_of
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.filters import Search, Term
from stashkeeper.catalogue.pieces import pieces_by_codes
from stashkeeper.catalogue.print_scales import print_scales
from stashkeeper.catalogue.readings import readings_of
from stashkeeper.catalogue.shelf import select_pieces
from stashkeeper.catalogue.thresholds import thresholds
from stashkeeper.choosing.quilt_needs import seams_of
from stashkeeper.choosing.seam_contrast import SeamContrast, judge_seams
from stashkeeper.errors import BadRequestError, quoted
from stashkeeper.lengths.format import format_length, format_size
from stashkeeper.lengths.length import Rounding
from stashkeeper.luminance.contrast import Entry
from stashkeeper.pictures.canvas import page_images
from stashkeeper.pictures.layout_outline import Outline, draw_outline_pdf, draw_outline_svg
from stashkeeper.pictures.layout_preview import (
    MARGIN,
    LayoutPreview,
    draw_preview_pdf,
    draw_preview_svg,
)
from stashkeeper.pictures.paper import DOTS_PER_PX
from stashkeeper.pictures.preview_scene import Meeting, PreviewFabric, Scene
from stashkeeper.pictures.sheet_pages import gap_number
from stashkeeper.pictures.web_pictures import packed_png
from stashkeeper.quilts.quilt import Quilt, finished_size
from stashkeeper.quilts.quilt_patches import quilt_meetings
from stashkeeper.whole_file import write_whole

KINDS: Final = ("pdf", "png", "svg")
MOST_TOLD: Final = 6
"""So many weak pairs are told in sentences, the worst first."""


@dataclass(frozen=True, slots=True)
class Seen:
    """A preview that was drawn: the file, and what to tell."""

    file: Path
    roles: tuple[str, ...]
    weak: tuple[SeamContrast, ...]
    remarks: tuple[str, ...]

    @property
    def sentences(self) -> tuple[str, ...]:
        """Where it is, what is weak in it, and what was assumed."""
        return (f"Drew {self.file}", *self.remarks)


def preview(stash: Stash, out: Path, words: PreviewWords) -> Seen:
    """Draw a quilt before it is sewn, and write it.

    Args:
        stash: the open stash.
        out: a .pdf, .png or .svg file.
        words: what is wanted.

    Raises:
        BadRequestError: a name of another kind, an unknown role, paper or code.
        NotFoundError: there is no such project, layout, file or piece.
        BadFileError: the layout holds mistakes; all are told with line and column.
        CannotWriteError: the file cannot be written.
    """
    kind = kind_of(out)
    content, seen = draw(stash, words, kind)
    write_whole(out, [content])
    return replace(seen, file=out)


def draw(stash: Stash, words: PreviewWords, kind: str = "svg") -> tuple[bytes, Seen]:
    """Draw a quilt before it is sewn, as `pdf`, `png` or `svg`; return it and what to tell.

    Raises:
        StashkeeperError: as `preview`.
    """
    if words.outline:
        outline, roles = outlined(stash, words)
        return _outline(outline, kind), Seen(Path(), roles, (), ())
    shown, seen = see(stash, words)
    return _picture(shown, kind), seen


def see(stash: Stash, words: PreviewWords) -> tuple[LayoutPreview, Seen]:
    """Return what a preview shows, before any of it is drawn, and what to tell.

    Raises:
        StashkeeperError: as `preview`.
    """
    paper, today = paper_of(stash, words.paper), datetime.now().astimezone()
    with stash.reading() as session:
        subject = subject_of(stash, session, words)
        scenes, fabrics = _scenes(stash, session, subject, words)
    weak = tuple(met.contrast for met in scenes[0].meetings if met.weak)
    told = (*_weak_sentences(scenes[0]), *scale_sentences(fabrics.values()))
    subtitle = _subtitle(stash, subject.quilt, today)
    shown = LayoutPreview(subject.title, subtitle, subject.quilt, scenes, told, paper, today)
    return shown, Seen(Path(), tuple(subject.roles), weak, told)


def outlined(stash: Stash, words: PreviewWords) -> tuple[Outline, tuple[str, ...]]:
    """Return what an outline shows, and the roles of its quilt.

    Raises:
        StashkeeperError: as `preview`.
    """
    paper, today = paper_of(stash, words.paper), datetime.now().astimezone()
    with stash.reading() as session:
        subject = subject_of(stash, session, words)
    subtitle = _subtitle(stash, subject.quilt, today)
    outline = Outline(subject.title, subtitle, subject.quilt, paper, today)
    return outline, tuple(subject.roles)


def weak_words(scene: Scene) -> list[tuple[str, str]]:
    """Return the letter and a sentence for every two roles that are weak in grey where they meet.

    So many at most as are told.
    """
    return [(met.sign, _weak_sentence(met)) for met in scene.meetings if met.weak][:MOST_TOLD]


def kind_of(out: Path) -> str:
    """Return what a preview is to be by the name of its file.

    Raises:
        BadRequestError: it is none of the three.
    """
    kind = out.suffix.casefold().removeprefix(".")
    if kind not in KINDS:
        raise BadRequestError(
            f"A preview is a PDF, PNG or SVG, and {quoted(out.name)} is none of them.",
            "Give a name that ends in .pdf, .png or .svg.",
        )
    return kind


def _scenes(
    stash: Stash, session: Session, subject: Subject, words: PreviewWords
) -> tuple[list[Scene], dict[str, PreviewFabric]]:
    casts = read_casts(words, subject.roles, subject.cast)
    codes = tuple(dict.fromkeys(c for _, cast in casts for some in cast.values() for c in some))
    pieces_by_codes(session, codes)
    search = Search((Term("code", codes), Term("ended", ("any",))))
    rows = select_pieces(session, search, thresholds(session)) if codes else []
    wanted = {row.fabric_id for row in rows}
    readings = readings_of(session, wanted)
    fabrics = fabrics_of(stash, rows, readings, print_scales(session, wanted))
    entries = {
        row.code: Entry(row.code, readings[row.fabric_id], str(row.fabric_id))
        for row in rows
        if row.fabric_id in readings
    }
    meet = seams_of(quilt_meetings(subject.quilt))
    wished = subject.wished
    alike = frozenset(
        frozenset((one.one, one.other))
        for one in meet
        if one.one in wished and wished[one.one] == wished.get(one.other)
    )
    scenes = [
        Scene(
            title,
            {role: tuple(fabrics[code] for code in some) for role, some in cast.items()},
            wished,
            judge_seams(meet, _judged(cast, entries)),
            alike,
        )
        for title, cast in casts
    ]
    return scenes, fabrics


def _judged(cast: Cast, entries: Mapping[str, Entry]) -> dict[str, list[Entry]]:
    return {
        role: [entries[code] for code in codes if code in entries] for role, codes in cast.items()
    }


def _weak_sentences(scene: Scene) -> list[str]:
    """Return a sentence for every two roles that are weak in grey where they meet."""
    told = [f"{sign}: {words}" if sign else words for sign, words in weak_words(scene)]
    more = sum(met.weak for met in scene.meetings) - len(told)
    if more:
        told.append(f"And {more} more like these.")
    return told


def _weak_sentence(met: Meeting) -> str:
    one = met.contrast
    if one.lighter == one.darker:
        return f"{met.words} are the same fabric, {one.lighter}."
    held = "held by colour" if met.held else "they run together"
    return (
        f"{met.words} weak where they meet, {gap_number(one.gap or 0.0)} "
        f"±{one.uncertainty or 0:.0f} apart ({one.lighter}, {one.darker}); {held}."
    )


def _subtitle(stash: Stash, quilt: Quilt, today: datetime) -> str:
    size = format_size(finished_size(quilt), stash.measure, Rounding.UP)
    unit = format_length(quilt.unit, stash.measure, Rounding.UP)
    return f"{size} finished · units of {unit} · {today.day} {today:%B %Y}"


def _picture(shown: LayoutPreview, kind: str) -> bytes:
    if kind == "svg":
        return draw_preview_svg(shown).encode("utf-8")
    pdf, bottom = draw_preview_pdf(shown)
    return pdf if kind == "pdf" else _png(pdf, bottom)


def _outline(outline: Outline, kind: str) -> bytes:
    if kind == "svg":
        return draw_outline_svg(outline).encode("utf-8")
    pdf, bottom = draw_outline_pdf(outline)
    return pdf if kind == "pdf" else _png(pdf, bottom)


def _png(pdf: bytes, bottom: float) -> bytes:
    """Return the page as a picture, no longer than what is on it."""
    page = page_images(pdf)[0]
    high = min(page.height, round((bottom + MARGIN) * DOTS_PER_PX))
    shown = page.crop((0, 0, page.width, high))
    shown.info["dpi"] = page.info["dpi"]
    return packed_png(shown)
