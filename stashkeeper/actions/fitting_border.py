"""A border pieced from off-cuts: the widest possible, from which strips, and the new size."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from sqlmodel import Session

from stashkeeper.actions.cloths import is_certain, usable_of_row
from stashkeeper.actions.fitting_bed import begins_as_a_size, size_or_square
from stashkeeper.actions.preview_words import PreviewWords
from stashkeeper.actions.quilt_subject import subject_of
from stashkeeper.actions.stash import Stash
from stashkeeper.catalogue.filters import Search, Term, parse_search
from stashkeeper.catalogue.off_cuts import off_cut_codes
from stashkeeper.catalogue.shelf import PieceRow, select_pieces
from stashkeeper.catalogue.thresholds import thresholds
from stashkeeper.errors import BadSizeError, NoPlanError, NotFoundError
from stashkeeper.lengths.format import format_length, format_size
from stashkeeper.lengths.length import Measure, Rounding
from stashkeeper.lengths.parse import parse_length
from stashkeeper.lengths.size import Size
from stashkeeper.quilts.pieced_borders import OffCutStrips, PiecedBorder, widest_border
from stashkeeper.quilts.quilt import finished_size
from stashkeeper.quilts.sewing import Sewing


@dataclass(frozen=True, slots=True)
class BorderFitted:
    """The widest pieced border around a quilt.

    Attributes:
        title: around what.
        inside: the finished size so far.
        border: the border, its strips and the new size.
        doubts: codes of pieces whose size is not certain.
    """

    title: str
    inside: Size
    border: PiecedBorder
    doubts: tuple[str, ...]
    _measure: Measure = field(repr=False)

    @property
    def headings(self) -> tuple[str, ...]:
        """The headings of `rows`."""
        return ("off-cut", "strips", "each", "cut")

    def rows(self) -> list[tuple[str, ...]]:
        """Return a row of words for each off-cut that is used."""
        return [self._row(strips) for strips in self.border.strips]

    @property
    def sentences(self) -> tuple[str, ...]:
        """How wide it can be, what is cut from the joined strip, and the new size."""
        made, measure = self.border, self._measure
        width = format_length(made.width, measure)
        size = format_size(made.cuts.finished, measure, Rounding.UP)
        sides = format_size(made.cuts.sides, measure, Rounding.UP)
        ends = format_size(made.cuts.ends.turned(), measure, Rounding.UP)
        joined = format_length(made.made, measure)
        needed = format_length(made.needed, measure, Rounding.UP)
        told = f"Sizes not measured yet: {', '.join(self.doubts)}." if self.doubts else ""
        widest = f"A border pieced from off-cuts around {self.title} can finish {width} wide;"
        strip = f"Sewn end to end with {made.joins} straight joins the strips are {joined} long;"
        return (
            f"{widest} the quilt is {size} then.",
            f"{strip} {needed} are needed.",
            f"Cut from it two sides {sides}, then top and bottom {ends}.",
            told,
        )

    def _row(self, strips: OffCutStrips) -> tuple[str, ...]:
        each = format_size(strips.strip, self._measure, Rounding.DOWN)
        way = "across its width" if strips.across else "along its length"
        return (strips.off_cut, f"{strips.count}", each, way)


def fit_border(
    stash: Stash,
    around: str,
    search: Sequence[str] = (),
    widest: str | None = None,
    files: bool = True,
) -> BorderFitted:
    """Return the widest border that off-cuts allow, butted, around a project, layout or size.

    Args:
        stash: the open stash.
        around: the name of a project or layout, or a finished size.
        search: search words for the pieces it may be made of; all off-cuts where there are none.
        widest: no wider than this.
        files: whether the name may be that of a file of this computer; not so for a page.

    Raises:
        NoPlanError: they do not go around it, however narrow.
        StashkeeperError: no such project or layout, no piece, or a word that cannot be read.
    """
    limit = parse_length(widest, stash.measure, Rounding.DOWN) if widest else None
    with stash.reading() as session:
        title, inside, sewing = _inside(stash, around, files)
        rows = _rows(stash, session, search)
    offered = {row.code: usable_of_row(row, stash.settings.allowances) for row in rows}
    sizes = {code: one.size for code, one in offered.items() if one is not None and one.size.area}
    if not sizes:
        raise NotFoundError(
            "There is no piece to make a border of."
            if search
            else "There is no off-cut on the shelf to make a border of.",
            "Say with search words which pieces it may be made of.",
        )
    made = widest_border(inside, sizes, sewing, limit)
    if made is None:
        raise NoPlanError(
            f"{len(sizes):,} {'piece does' if len(sizes) == 1 else 'pieces do'} not go around "
            f"{title}, however narrow the border.",
            "Add more pieces with search words.",
        )
    used = {strips.off_cut for strips in made.strips}
    doubts = tuple(
        code for code, one in offered.items() if code in used and one and not is_certain(one)
    )
    return BorderFitted(title, inside, made, doubts, stash.measure)


def _rows(stash: Stash, session: Session, search: Sequence[str]) -> list[PieceRow]:
    """Return the pieces that search words find; all off-cuts where there are none."""
    if search:
        wanted = parse_search(search, stash.measure)
    else:
        wanted = Search((Term("code", off_cut_codes(session) or ("A0",)),))
    return select_pieces(session, wanted, thresholds(session))


def _inside(stash: Stash, around: str, files: bool) -> tuple[str, Size, Sewing]:
    """Return what the border goes around: its name, its finished size, and how it is sewn."""
    try:
        size = size_or_square(around, stash.measure)
    except BadSizeError as unreadable:
        with stash.reading() as session:
            try:
                subject = subject_of(stash, session, PreviewWords(around, files=files))
            except NotFoundError as unknown:
                raise (unreadable if begins_as_a_size(around) else unknown) from None
        return subject.title, finished_size(subject.quilt), subject.quilt.sewing
    return (
        f"a quilt of {format_size(size, stash.measure, Rounding.UP)}",
        size,
        Sewing.in_measure(stash.measure),
    )
