"""Plans looked for on behalf of a page: begun, looked after, stopped, remembered for a while."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import ClassVar, Final

from stashkeeper.actions.background import Report, Work
from stashkeeper.actions.cut_list import cut_texts
from stashkeeper.actions.cut_words import read_cuts
from stashkeeper.actions.cutting import plan_pieces
from stashkeeper.actions.plan_view import PlanView
from stashkeeper.actions.plan_words import lay_out_table
from stashkeeper.actions.plans import show_plan
from stashkeeper.actions.project_cuts import cuts_of_project
from stashkeeper.actions.project_words import ProjectWords
from stashkeeper.actions.projects import change
from stashkeeper.actions.stacking import plan_stacks
from stashkeeper.actions.stash import Stash
from stashkeeper.actions.works import Kind, Works
from stashkeeper.cutting.planner import Progress
from stashkeeper.errors import BadRequestError, NoPlanError, NotFoundError, Smaller

SEARCHES: Final = Kind(
    "planned",
    40,
    ("This search is not here, or no longer.", "Look at the plans there are, or plan again."),
    ("The search ended before a plan was found.", "Plan again."),
)
"""Searches for plans; the plans of one that is forgotten stay on record."""


@dataclass(frozen=True, slots=True)
class PlanWords:
    """What is to be planned, as typed.

    Attributes:
        cuts: one on each line.
        q: search words that narrow the shelf.
        source: the cloth that cuts come from which name none.
        directional: whether the length of every cut must run along the selvedge.
        spare: one spare for every so many; the setting where None.
        seconds: how long to search; as long as is useful where None.
        stacked: whether every piece gives all of it, several layers at once.
        project: the project whose parts list is planned too, each role from its chosen pieces.
        unit: another finished side of the units of that project, which is changed to it first.
    """

    cuts: str = ""
    q: str = ""
    source: str = ""
    directional: bool = False
    spare: int | None = None
    seconds: float | None = None
    stacked: bool = False
    project: str = ""
    unit: str = ""

    def texts(self, stash: Stash) -> tuple[str, ...]:
        """Return the cuts typed, one text each; with a project there need be none.

        Raises:
            BadFileError, BadRequestError: as `cut_texts`.
        """
        if self.project and not self.cuts.strip():
            return ()
        strip = stash.settings.allowances.usable_width
        return cut_texts(self.cuts, self.source, self.directional, stash.measure, strip)


@dataclass(frozen=True, slots=True)
class Planning:
    """A search for plans, under way or done.

    Attributes:
        number: by which it is known.
        words: what was wanted.
        work: how far it is; None where it is done.
        plans: what was found and still stands, as it stands now.
        sentences: what to tell beside them.
        trouble: what was wrong and what to do, where no plan was found.
        smaller: what the cloth would give instead, where it is known.
    """

    number: str
    words: PlanWords
    work: Work | None = None
    plans: tuple[PlanView, ...] = ()
    sentences: tuple[str, ...] = ()
    trouble: tuple[str, str] | None = None
    smaller: Smaller | None = None

    @property
    def headings(self) -> tuple[str, ...]:
        """What each plan spares."""
        if len(self.plans) == 1:
            return ("the plan",)
        return tuple(plan.goal for plan in self.plans)

    def rows(self) -> list[tuple[str, ...]]:
        """Return the plans side by side, a row for each thing they are compared by."""
        facts = [plan.facts() for plan in self.plans]
        return [(row[0][0], *(words for _, words in row)) for row in zip(*facts, strict=True)]


@dataclass(frozen=True, slots=True)
class Plannings(Works):
    """The searches for plans of the pages of a stash."""

    kind: ClassVar[Kind] = SEARCHES

    def begin(self, words: PlanWords) -> str:
        """Begin to search, and return the number by which the search is known.

        Raises:
            StashkeeperError: a word cannot be read; then nothing is begun.
        """
        texts = words.texts(self.stash)
        self._check(words, texts)
        changed: tuple[str, ...] = ()
        if words.project and words.unit:
            changed = change(self.stash, words.project, ProjectWords(unit=words.unit)).sentences
        return self.start(
            asdict(words),
            lambda number, report: self._found(words, texts, number, report, changed),
        )

    def _check(self, words: PlanWords, texts: tuple[str, ...]) -> None:
        """Refuse words that cannot be read, or do not go with the others."""
        strip = self.stash.settings.allowances.usable_width
        if words.project and words.stacked:
            raise BadRequestError(
                "A project is not cut in stacks: each role comes from its own pieces.",
                "Plan it so many in all, two ways.",
            )
        own = cuts_of_project(self.stash, words.project) if words.project else None
        typed = read_cuts(texts, self.stash.measure, strip) if texts or own is None else ()
        cuts = (*(own.cuts if own else ()), *typed)
        lay_out_table(self.stash, cuts, [words.q], own.pieces if own else None)

    def look(self, number: str, patience: float = 0.0) -> Planning:
        """Return a search as far as it is, after waiting a little for it to be done.

        Raises:
            NotFoundError: there is none of this number, or no longer.
        """
        seen = self.seen(number, patience)
        return Planning(
            number,
            PlanWords(**seen.words),
            seen.work,
            tuple(self._standing(seen.answer.get("plans", ()))),
            seen.answer.get("sentences", ()),
            seen.answer.get("short") or seen.trouble,
            Smaller(**smaller) if (smaller := seen.answer.get("smaller")) else None,
        )

    def _standing(self, numbers: Sequence[int]) -> list[PlanView]:
        """Return the plans of these numbers that were not dropped or taken back."""
        found = []
        for number in numbers:
            try:
                found.append(show_plan(self.stash, number))
            except NotFoundError:
                continue
        return found

    def _found(
        self,
        words: PlanWords,
        texts: tuple[str, ...],
        number: str,
        report: Report,
        changed: tuple[str, ...],
    ) -> Mapping[str, object]:
        def stop() -> bool:
            return self.background.stopping(number)

        def progress(found: Progress) -> None:
            if not stop():
                report(found.plans, 0, found.words)

        if words.stacked:
            stacked = plan_stacks(self.stash, [words.q], cuts=texts, stop=stop)
            return {"plans": [stacked.plan.number], "sentences": stacked.sentences}
        try:
            made = plan_pieces(
                self.stash, [words.q], cuts=texts, project=words.project, spare=words.spare,
                seconds=words.seconds, stop=stop, progress=progress,
            )  # fmt: skip
        except NoPlanError as error:
            smaller = asdict(error.smaller) if error.smaller else None
            return {"short": [error.problem, error.on_page], "smaller": smaller}
        told = (*changed, *made.sentences)
        return {"plans": [plan.number for plan in made.plans], "sentences": told}
