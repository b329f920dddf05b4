"""Quilts fitted to their cloth on behalf of a page: begun, looked after, stopped, come back to."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import ClassVar, Final

from stashkeeper.actions.background import Report, Work
from stashkeeper.actions.fit_page import Fitted, cloth_shown, cloth_words
from stashkeeper.actions.fitting_cloth import cloth_to_fit, fit_cloth
from stashkeeper.actions.preview_words import PreviewWords
from stashkeeper.actions.works import Kind, Works

FITS: Final = Kind(
    "fitted",
    20,
    ("This fit is not here, or no longer.", "Fit it again."),
    ("The search ended before a size was found.", "Fit it again."),
)
"""Searches for the largest size that cloth allows."""


@dataclass(frozen=True, slots=True)
class Fitting:
    """A search for the largest unit that cloth allows, under way or done.

    Attributes:
        number: by which it is known.
        typed: what was wanted, by the names of the fields.
        work: how far it is; None where it is done.
        fitted: what came of it.
        trouble: what was wrong and what to do, where no size was found.
    """

    number: str
    typed: dict[str, str]
    work: Work | None
    fitted: Fitted | None
    trouble: tuple[str, str] | None


@dataclass(frozen=True, slots=True)
class Fittings(Works):
    """The searches of the pages of a stash for the largest size that cloth allows."""

    kind: ClassVar[Kind] = FITS

    def begin(self, typed: Mapping[str, str]) -> str:
        """Begin to search, and return the number by which the search is known.

        Raises:
            StashkeeperError: as `cloth_to_fit`, or a field cannot be read; nothing is begun.
        """
        words = cloth_words(typed)
        cloth_to_fit(self.stash, words)
        return self.start(dict(typed), lambda number, report: self._fit(words, number, report))

    def look(self, number: str, patience: float = 0.0) -> Fitting:
        """Return a search as far as it is, after waiting a little for it to be done.

        Raises:
            NotFoundError: there is none of this number, or no longer.
        """
        seen = self.seen(number, patience)
        fitted = Fitted(**seen.answer) if seen.answer else None
        return Fitting(number, seen.words, seen.work, fitted, seen.trouble)

    def _fit(self, words: PreviewWords, number: str, report: Report) -> Mapping[str, object]:
        found = fit_cloth(
            self.stash,
            words,
            stop=lambda: self.background.stopping(number),
            progress=lambda told: report(0, 0, told),
        )
        return asdict(cloth_shown(found, self.stash.measure))
