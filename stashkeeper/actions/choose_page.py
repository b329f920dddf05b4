"""A choice as its page shows it: cloth by role, on the value rule, to be taken as it is seen."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from stashkeeper.actions.choice_answer import ChoiceAnswer, told_contrast, told_gives
from stashkeeper.actions.choice_view import ChoiceView, ChosenFabric
from stashkeeper.actions.field_about import field_about
from stashkeeper.actions.laid_rule import OnRule, laid_rule
from stashkeeper.actions.reading_view import shown_lightness
from stashkeeper.choosing.needs import role_and_set
from stashkeeper.cloth.value import Value
from stashkeeper.errors import (
    BadRequestError,
    BadSearchError,
    NoChoiceError,
    StashkeeperError,
)
from stashkeeper.lengths.length import Measure
from stashkeeper.luminance.contrast import Verdict
from stashkeeper.pictures.web_rule import WebRule

Take = tuple[str, int | None, str]
"""Role, set and code of a piece that is taken."""


@dataclass(frozen=True, slots=True)
class Lane:
    """Fabrics on a value rule of their own: all of a choice, or one of its sets.

    Attributes:
        title: the set; empty where there is one lane.
        rule: the fabrics on it.
        words: what it shows, for those who do not see it.
    """

    title: str
    rule: WebRule
    words: str


@dataclass(frozen=True, slots=True)
class ChosenCard:
    """A fabric of a choice, with its lightness and what it gives in words."""

    fabric: ChosenFabric
    shown: str
    gives: str

    @property
    def code(self) -> str:
        """The first of its pieces."""
        return self.fabric.codes[0]


@dataclass(frozen=True, slots=True)
class ChosenRole:
    """A role of a choice, its value and its fabrics."""

    role: str
    value: Value | None
    cards: tuple[ChosenCard, ...]


@dataclass(frozen=True, slots=True)
class ChoiceCard:
    """A choice.

    Attributes:
        view: the choice.
        lanes: its fabrics on the value rule.
        roles: its fabrics by role.
        verdicts: the gaps between its groups, a sentence each, and whether it is weak.
        taken: what is sent to take it, an entry for each piece.
    """

    view: ChoiceView
    lanes: tuple[Lane, ...]
    roles: tuple[ChosenRole, ...]
    verdicts: tuple[tuple[str, bool], ...]
    taken: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ChoosePage:
    """What the page of a choice shows: the best, a few different ones, and the answer itself."""

    answer: ChoiceAnswer
    best: ChoiceCard
    others: tuple[ChoiceCard, ...]

    @property
    def codes(self) -> tuple[str, ...]:
        """The pieces whose looks are shown."""
        chosen = [one.codes[0] for choice in self.answer.choices for one in choice.chosen]
        return (*chosen, *(one.codes[0] for one in self.answer.left_out))

    @property
    def missing(self) -> tuple[float, float] | None:
        """Where on the rule the one missing fabric would lie; None for none."""
        one = self.answer.missing
        return (one.darkest, one.lightest) if one else None


def choose_page(answer: ChoiceAnswer, measure: Measure) -> ChoosePage:
    """Return an answer as its page shows it."""
    best, *others = (_card(choice, measure) for choice in answer.choices)
    return ChoosePage(answer, best, tuple(others))


def field_of_choice(error: StashkeeperError, typed: Mapping[str, str]) -> str:
    """Return the field of a choice that an error is about; empty for the whole of it."""
    if isinstance(error, NoChoiceError):
        return ""
    if isinstance(error, BadSearchError):
        return "q"
    kept = error.problem.partition(" is kept")[0]
    if kept != error.problem and kept in typed.get("keep", "").upper():
        return "keep"
    nothing = not any(typed.get(name, "").strip() for name in ("need", "further"))
    return field_about(error, typed, ("sets",)) or ("need" if nothing else "")


def read_taken(texts: Sequence[str]) -> tuple[Take, ...]:
    """Return the pieces of a choice that is taken, as `ChoiceCard.taken` names them.

    Raises:
        BadRequestError: one is not of that form, or there is none.
    """
    found = [_read(text) for text in texts]
    if not found or None in found:
        raise BadRequestError(
            "The form lost its choice on the way.", "Choose again and take one of the choices."
        )
    return tuple(one for one in found if one is not None)


def _read(text: str) -> Take | None:
    role, equals, code = text.rpartition("=")
    try:
        name, number = role_and_set(role)
    except ValueError:
        return None
    return (name, number, code) if equals and name and code else None


def _card(choice: ChoiceView, measure: Measure) -> ChoiceCard:
    roles: dict[str, list[ChosenFabric]] = {}
    for one in choice.chosen:
        roles.setdefault(one.role, []).append(one)
    return ChoiceCard(
        choice,
        _lanes(choice),
        tuple(
            ChosenRole(role, some[0].value, tuple(_chosen(one, measure) for one in some))
            for role, some in roles.items()
        ),
        _verdicts(choice),
        tuple(f"{one.role}={code}" for one in choice.chosen for code in one.codes),
    )


def _chosen(one: ChosenFabric, measure: Measure) -> ChosenCard:
    return ChosenCard(
        one,
        shown_lightness(one.lightness, one.provisional),
        told_gives(one.gives, measure) if one.gives else "",
    )


def _lanes(choice: ChoiceView) -> tuple[Lane, ...]:
    """Return one lane, or one for each set: gaps are made inside sets first."""
    if choice.inside is None:
        words = " ".join(sentence for sentence, _ in _verdicts(choice))
        rule = laid_rule(map(_on_rule, choice.chosen), choice.contrast)
        return (Lane("", rule, f"The value rule, dark at the left. {words}"),)
    sets: dict[int | None, list[ChosenFabric]] = {}
    for one in choice.chosen:
        sets.setdefault(one.set_number, []).append(one)
    return tuple(_lane(number, some) for number, some in sets.items())


def _lane(number: int | None, some: Sequence[ChosenFabric]) -> Lane:
    family = next((one.family for one in some if one.family), None)
    title = "Further pieces" if number is None else f"Set {number}"
    if number is not None and family:
        title += f", {family}"
    rule = laid_rule(map(_on_rule, some))
    gaps = " and ".join(one.bracket.number for one in rule.brackets)
    words = f"The value rule, dark at the left. {title}{f': gaps {gaps}' if gaps else ''}."
    return Lane(title, rule, words)


def _on_rule(one: ChosenFabric) -> OnRule:
    return OnRule(one.value, one.lightness, one.provisional)


def _verdicts(choice: ChoiceView) -> tuple[tuple[str, bool], ...]:
    if choice.inside is not None:
        return ()
    return tuple(
        (" ".join(line.strip() for line in told_contrast(one)), one.verdict is Verdict.WEAK)
        for one in choice.contrast
    )
