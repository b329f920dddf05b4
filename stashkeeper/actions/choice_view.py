"""A choice as faces show it: its fabrics and what each is for, how far apart, how sure."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from stashkeeper.catalogue.shelf import PieceRow
from stashkeeper.choosing.choice import Choice, Chosen
from stashkeeper.choosing.needs import CutsNeeded, Need
from stashkeeper.choosing.score import Favour
from stashkeeper.cloth.value import Value
from stashkeeper.lengths.size import Size
from stashkeeper.luminance.contrast import Contrast


@dataclass(frozen=True, slots=True)
class GivenCut:
    """How many cuts of a size some pieces give, and how many their role wants."""

    size: Size
    gives: int
    wanted: int


@dataclass(frozen=True, slots=True)
class ChosenFabric:
    """One fabric of a choice.

    Attributes:
        role: what it is for, its set included.
        value: the group it plays in; None for any.
        set_number: the set it belongs to; None outside sets.
        codes: the pieces to take.
        name, place: of the fabric, and where the first of its pieces lies.
        lightness, uncertainty: L* and its 95 % uncertainty.
        provisional: whether only an unreferenced photo speaks for it.
        family: its colour family; None where its colour is not known.
        gives: what these pieces give of each size the role wants.
        kept: whether the person insisted on it.
        elsewhere: other projects under way that reserve one of its pieces.
        why: what speaks for it, in a sentence.
    """

    role: str
    value: Value | None
    set_number: int | None
    codes: tuple[str, ...]
    name: str
    place: str
    lightness: float
    uncertainty: float
    provisional: bool
    family: str | None
    gives: tuple[GivenCut, ...]
    kept: bool
    elsewhere: tuple[str, ...]
    why: str


@dataclass(frozen=True, slots=True)
class ChoiceView:
    """A whole choice.

    Attributes:
        number: what it is taken by, from 1.
        favour: what it puts first.
        chosen: its fabrics, role by role.
        gap: the smaller gap over the whole choice, in L*; None where one value is asked for.
        inside: the smallest gap inside any set; None without sets.
        bound: what the gap aimed at cannot exceed on this shelf.
        proven: whether nothing better exists.
        cuts_proven: whether cutting plans prove the roles that take several sizes.
        contrast: the judgement between the groups.
    """

    number: int
    favour: Favour
    chosen: tuple[ChosenFabric, ...]
    gap: float | None
    inside: float | None
    bound: float | None
    proven: bool
    cuts_proven: bool
    contrast: tuple[Contrast, ...]

    @property
    def headline(self) -> str:
        """How far apart its values are, and how sure it is that nothing is better."""
        aim = self.gap if self.inside is None else self.inside
        if aim is None:
            return "One value is asked for, so there is no gap between values."
        if self.proven:
            sure = "proven: this shelf has nothing wider"
        else:
            more = f"; more than {self.bound:.1f} is not to be had" if self.bound else ""
            sure = f"the best found{more}"
        if self.inside is not None:
            return f"Inside every set the gap is {aim:.1f} or more ({sure})."
        where = "The gap" if len(self.contrast) == 1 else "The smaller gap"
        return f"{where} is {aim:.1f} ({sure})."

    @property
    def short(self) -> str:
        """What it puts first, its gap and its pieces, in a line."""
        aim = self.gap if self.inside is None else self.inside
        gap = "" if aim is None else f", gap {aim:.1f}"
        roles: dict[str, list[str]] = {}
        for one in self.chosen:
            roles.setdefault(one.role, []).append("+".join(one.codes))
        pieces = "; ".join(f"{role} {', '.join(codes)}" for role, codes in roles.items())
        return f"{self.favour}{gap}: {pieces}"


def choice_view(
    number: int,
    choice: Choice,
    needs: Mapping[str, Need],
    rows: Mapping[str, PieceRow],
    elsewhere: Mapping[str, tuple[str, ...]],
    taken: Mapping[tuple[str, str], tuple[str, ...]],
) -> ChoiceView:
    """Return a choice as faces show it.

    Args:
        number: what it is taken by.
        choice: the choice.
        needs: what was asked for, by name.
        rows: the row of every piece.
        elsewhere: other projects that reserve a piece, by its code.
        taken: the pieces to take, by role and fabric, where fewer than the choice names will do.
    """
    return ChoiceView(
        number,
        choice.favour,
        tuple(
            _fabric(one, needs[one.role], rows, elsewhere, taken.get((one.role, one.fabric)))
            for one in choice.chosen
        ),
        choice.gap,
        choice.inside,
        choice.bound,
        choice.proven,
        choice.cuts_proven,
        choice.contrast,
    )


def _fabric(
    one: Chosen,
    need: Need,
    rows: Mapping[str, PieceRow],
    elsewhere: Mapping[str, tuple[str, ...]],
    fewer: Sequence[str] | None,
) -> ChosenFabric:
    codes = tuple(fewer or one.codes)
    row = rows[codes[0]]
    others = dict.fromkeys(name for code in codes for name in elsewhere.get(code, ()))
    return ChosenFabric(
        one.role,
        one.value,
        one.set_number,
        codes,
        row.name,
        row.place,
        one.reading.lightness,
        one.reading.uncertainty,
        one.reading.provisional,
        one.family,
        tuple(_given(cut, one) for cut in need.cuts),
        one.kept,
        tuple(others),
        one.why,
    )


def _given(cut: CutsNeeded, one: Chosen) -> GivenCut:
    assert isinstance(cut.key, Size), "every size of cut is asked for by its size"
    return GivenCut(cut.key, one.gives[cut.key], cut.count)
