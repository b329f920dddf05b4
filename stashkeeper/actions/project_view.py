"""A project as faces show it: its sizes, its units, and what each role needs and has."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final

from stashkeeper.actions.listing import shortened
from stashkeeper.actions.making import Making, Wish, grid_of
from stashkeeper.actions.making_fields import arranged_words
from stashkeeper.catalogue.shelf import PieceRow
from stashkeeper.choosing.quilt_needs import role_name
from stashkeeper.cloth.value import Value
from stashkeeper.lengths.format import format_length, format_size
from stashkeeper.lengths.length import Length, Measure, Rounding
from stashkeeper.lengths.size import Size
from stashkeeper.quilts.layout import Role
from stashkeeper.quilts.quilt import Part, Quilt, finished_size, parts, recipes, unfinished_size
from stashkeeper.quilts.yardage import length_for_cuts, metres, yards

_BESIDE_BLOCKS: Final = {"corner triangles", "side triangles"}
"""What is sewn to the sides of blocks on point, and told by the size of the blocks."""


@dataclass(frozen=True, slots=True)
class UnitsView:
    """Units to sew: what they are called, how many, their finished size, what to trim them to."""

    use: str
    count: int
    finished: Size
    trim_to: Size | None


@dataclass(frozen=True, slots=True)
class CutView:
    """One line of a parts list: what for, the size to cut, how many."""

    use: str
    size: Size
    count: int


@dataclass(frozen=True, slots=True)
class ChosenPiece:
    """A piece chosen for a role (set included), and its row of the shelf.

    `elsewhere` names other projects under way that chose it too.
    """

    role: str
    row: PieceRow
    elsewhere: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class RoleView:
    """What a role needs and has.

    Attributes:
        role: its name; where roles of several sets need the same, all of them are one view.
        sets: the numbers of its sets; empty outside sets.
        value: the value wished; None for any.
        fabrics: how many fabrics (in each set); None for as many as the cuts take.
        cuts: what they must give (in each set).
        off_the_bolt: the length to buy for the cuts (of one set) where nothing is taken from the
            shelf, in yards or metres as its person thinks.
        chosen: the codes of the pieces chosen.
    """

    role: str
    sets: tuple[int, ...]
    value: Value | None
    fabrics: int | None
    cuts: tuple[CutView, ...]
    off_the_bolt: float
    chosen: tuple[str, ...]

    @property
    def shown(self) -> str:
        """The role with its sets."""
        if not self.sets:
            return self.role
        if len(self.sets) == 1:
            return f"{self.role} (set {self.sets[0]})"
        return f"{self.role} (in each of {len(self.sets)} sets)"


@dataclass(frozen=True, slots=True)
class ProjectView:
    """A project.

    Attributes:
        name: what it is called.
        layout: the name of its layout.
        columns, rows: its units across and down, sashing and setting not counted.
        unit: the finished side of a unit.
        finished, unfinished: the size of the quilt, and of the sewn top with its seams.
        units: what is sewn.
        roles: what each role needs and has.
        ended: whether it is ended.
        version: for pages that change it.
        text: the text of its layout file.
    """

    name: str
    layout: str
    columns: int
    rows: int
    unit: Length
    finished: Size
    unfinished: Size
    units: tuple[UnitsView, ...]
    roles: tuple[RoleView, ...]
    ended: bool
    version: int
    text: str
    _measure: Measure
    _arranged: tuple[tuple[str, str], ...]
    _remarks: tuple[str, ...] = field(repr=False)

    @property
    def measure(self) -> Measure:
        """Inches or centimetres, as its person thinks."""
        return self._measure

    @property
    def sentences(self) -> tuple[str, ...]:
        """Its sizes and units, a line each."""
        return tuple(self._lines())

    @property
    def remarks(self) -> tuple[str, ...]:
        """What else is to be known, a sentence each."""
        return self._remarks

    @property
    def headings(self) -> tuple[str, ...]:
        """The headings of `table_rows`."""
        return ("role", "value", "fabrics", "cut", "for", "off the bolt", "chosen")

    def table_rows(self) -> list[tuple[str, ...]]:
        """Return a row of words for each cut of each role; what we need rounds up."""
        return [words for role in self.roles for words in self.role_rows(role)]

    def role_rows(self, role: RoleView) -> Iterator[tuple[str, ...]]:
        """Yield the rows of one role."""
        fabrics = "any number" if role.fabrics is None else f"{role.fabrics}"
        unit = "yd" if self._measure is Measure.INCHES else "m"
        amount = Fraction(role.off_the_bolt).limit_denominator(1000)
        bolt = f"{_eighths(amount) if unit == 'yd' else float(amount):} {unit}"
        chosen = ", ".join(role.chosen[:6]) + (" …" if len(role.chosen) > 6 else "")
        head = role.shown, str(role.value or "any"), fabrics
        for number, cut in enumerate(role.cuts):
            size = format_size(cut.size, self._measure, Rounding.UP)
            first = not number
            yield (
                *(head if first else ("", "", "")),
                f"{cut.count:,} × {size}",
                cut.use,
                bolt if first else "",
                (chosen or "nothing yet") if first else "",
            )

    def facts(self) -> tuple[tuple[str, str], ...]:
        """Return its sizes, its units and how it is arranged: a name and words each."""
        return tuple(self._facts())

    def _facts(self) -> Iterator[tuple[str, str]]:
        yield "finished", format_size(self.finished, self._measure, Rounding.UP)
        yield "unfinished", format_size(self.unfinished, self._measure, Rounding.UP)
        for number, made in enumerate(self.units):
            size = format_size(made.finished, self._measure, Rounding.UP)
            trim = made.trim_to and format_size(made.trim_to, self._measure, Rounding.UP)
            trimmed = f", trimmed to {trim}" if trim else ""
            beside = " for blocks of" if made.use in _BESIDE_BLOCKS else ""
            yield "" if number else "units", f"{made.count:,} {made.use}{beside} {size}{trimmed}"
        yield from self._arranged

    @property
    def headline(self) -> str:
        """Its layout and its grid."""
        unit = format_length(self.unit, self._measure, Rounding.UP)
        return f"{self.layout}, {self.columns} × {self.rows} units of {unit}"

    def _lines(self) -> Iterator[str]:
        yield f"{self.name}: {self.headline}{'  (ended)' if self.ended else ''}"
        yield from (f"  {name:<12}{words}" for name, words in self.facts())


def project_view(
    head: tuple[str, bool, int, str],
    quilt: Quilt,
    making: Making,
    wishes: Mapping[str, Wish],
    chosen: Sequence[ChosenPiece],
    measure: Measure,
) -> ProjectView:
    """Return a project as faces show it.

    Args:
        head: its name, whether it is ended, its version, the text of its layout file.
        quilt: the quilt it is to be.
        making: what becomes of its layout.
        wishes: for every role.
        chosen: the pieces chosen.
        measure: inches or centimetres.
    """
    listed = parts(quilt)
    name, ended, version, text = head
    return ProjectView(
        name,
        quilt.layout.name,
        *grid_of(text, making),
        quilt.unit,
        finished_size(quilt),
        unfinished_size(quilt),
        tuple(_units(quilt)),
        tuple(_roles(listed, wishes, chosen, quilt.strip_length, measure)),
        ended,
        version,
        text,
        measure,
        tuple(arranged_words(making, measure)),
        tuple(_remarks(listed, chosen)),
    )


def cuts_of_roles(listed: Sequence[Part]) -> dict[Role, tuple[CutView, ...]]:
    """Return the cuts of each role, in the order of the parts list."""
    found: dict[Role, list[CutView]] = {}
    for part in listed:
        cut = CutView(part.use, part.cut.size, part.cut.count)
        found.setdefault(part.role, []).append(cut)
    return {role: tuple(cuts) for role, cuts in found.items()}


def _units(quilt: Quilt) -> Iterator[UnitsView]:
    together: Counter[tuple[str, Size, Size | None]] = Counter()
    for made in recipes(quilt):
        together[made.use, made.finished, made.trim_to] += made.count
    for (use, finished, trim_to), count in together.items():
        yield UnitsView(use, count, finished, trim_to)


def _roles(
    listed: Sequence[Part],
    wishes: Mapping[str, Wish],
    chosen: Sequence[ChosenPiece],
    strip: Length,
    measure: Measure,
) -> Iterator[RoleView]:
    alike: dict[tuple[str, bool, tuple[CutView, ...]], list[Role]] = {}
    for role, cuts in cuts_of_roles(listed).items():
        alike.setdefault((role.name, role.set_number is None, cuts), []).append(role)
    for (name, alone, cuts), roles in alike.items():
        names = {role_name(role) for role in roles}
        wish = wishes[name]
        yield RoleView(
            name,
            () if alone else tuple(role.set_number or 1 for role in roles),
            wish.value,
            wish.fabrics,
            cuts,
            float(_bolt(cuts, strip, measure)),
            tuple(one.row.code for one in chosen if one.role in names),
        )


def _bolt(cuts: Sequence[CutView], strip: Length, measure: Measure) -> Fraction:
    """Return the length to buy for some cuts, strips across the fabric."""
    total = Length(0)
    for cut in cuts:
        ways = (cut.size, cut.size.turned())
        total += min(
            (length_for_cuts(one, cut.count, strip) for one in ways if one.width <= strip),
            default=cut.size.length * cut.count,
        )
    return yards(total) if measure is Measure.INCHES else metres(total)


def _remarks(listed: Sequence[Part], chosen: Sequence[ChosenPiece]) -> Iterator[str]:
    there = {role_name(part.role) for part in listed}
    for one in chosen:
        titled = f"{one.row.code} “{shortened(one.row.name)}”"
        if one.role not in there:
            yield f"{titled} is chosen for {one.role}, which is no role of the quilt."
        if one.row.ended:
            yield f"{titled} is chosen for {one.role}, and is off the shelf ({one.row.ended})."
        if one.elsewhere:
            yield f"{titled} is reserved by {' and '.join(one.elsewhere)} too."


def _eighths(amount: Fraction) -> str:
    whole, part = divmod(int(amount * 8), 8)
    return f"{whole or ''}{('', '⅛', '¼', '⅜', '½', '⅝', '¾', '⅞')[part]}" or "0"
