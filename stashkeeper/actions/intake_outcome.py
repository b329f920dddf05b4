"""What came of an intake, kept on a record, so that a page can show it days later."""

from dataclasses import dataclass
from typing import Any, Final, Self

from stashkeeper.actions.intake_answer import Intake
from stashkeeper.errors import BadFileError, StashkeeperError


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of an intake.

    Attributes:
        counts: how many were taken in, in a sentence; empty where it could not begin.
        pieces: code and name of each piece taken in.
        sizeless: the codes of those without a size.
        problems: of each photo that could not be taken in, what is wrong and what to do.
        mistakes: of the list of sizes: the line, 0 for the whole of it, and what is wrong there.
        left_out: the names of photos that wait until the list is mended.
        passed_over: the names of files that are no photos.
    """

    counts: str = ""
    pieces: tuple[tuple[str, str], ...] = ()
    sizeless: tuple[str, ...] = ()
    problems: tuple[tuple[str, str], ...] = ()
    mistakes: tuple[tuple[int, str], ...] = ()
    left_out: tuple[str, ...] = ()
    passed_over: tuple[str, ...] = ()

    @property
    def whole(self) -> bool:
        """Whether everything was taken in, so that nothing waits for the sender."""
        return not (self.problems or self.mistakes or self.left_out)

    @property
    def search(self) -> str:
        """Search words that find what was taken in; empty where it is too much for one search."""
        words = f"code:{','.join(code for code, _name in self.pieces)}"
        return words if self.pieces and len(words) <= 900 else ""

    @classmethod
    def from_record(cls, record: dict[str, Any]) -> Self:
        """Return an outcome as it stands on a record."""
        return cls(
            record["counts"],
            tuple((code, name) for code, name in record["pieces"]),
            tuple(record["sizeless"]),
            tuple((problem, remedy) for problem, remedy in record["problems"]),
            tuple((line, text) for line, text in record["mistakes"]),
            tuple(record["left_out"]),
            tuple(record["passed_over"]),
        )


FAULT: Final = Outcome(
    problems=(
        (
            "This is a fault in Stashkeeper, not yours.",
            "What was taken in before stays. The window where Stashkeeper runs tells more.",
        ),
    )
)
"""What is told of an intake that a fault of the program ended."""


def outcome_of(taken: Intake) -> Outcome:
    """Return what came of an intake that ran to its end."""
    return Outcome(
        counts=taken.counts,
        pieces=tuple({piece.code: (piece.code, piece.name) for piece in taken.pieces}.values()),
        sizeless=tuple({piece.code: None for piece in taken.pieces if not piece.sized}),
        problems=tuple((problem.problem, problem.remedy) for problem in taken.problems),
        mistakes=tuple((mistake.line, mistake.text) for mistake in taken.mistakes),
        left_out=tuple(photo.name for photo in taken.left_out),
        passed_over=tuple(each.path.name for each in taken.passed_over),
    )


def failed(error: StashkeeperError) -> Outcome:
    """Return what came of an intake that could not go on."""
    mistakes = error.mistakes if isinstance(error, BadFileError) else ()
    return Outcome(
        problems=((error.problem, error.on_page),),
        mistakes=tuple((mistake.line, mistake.text) for mistake in mistakes),
    )
