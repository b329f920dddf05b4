"""Cuts as a person types them: `12 x 4 1/2 in square from value:dark directional`.

A cut is a count, a size, and perhaps the cloth it must come from. Several are read from words
("three 6½ in squares and five 1½ in strips"), from repeated options, or from the lines of a file.
"""

import re
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from typing import Final

from stashkeeper.cloth.cut import MOST_OF_ONE_CUT
from stashkeeper.errors import (
    BadCutError,
    BadFileError,
    BadRequestError,
    BadSizeError,
    Mistake,
    StashkeeperError,
    quoted,
)
from stashkeeper.lengths.format import RULER_MARK, format_exactly, format_size
from stashkeeper.lengths.length import Length, Measure, Rounding
from stashkeeper.lengths.parse import parse_size
from stashkeeper.lengths.size import Size

MOST_CUTS: Final = 60
"""So many different cuts are planned at once at most (ours)."""

_NUMBERS: Final = "one two three four five six seven eight nine ten eleven twelve"
_COUNTS: Final = {word: count for count, word in enumerate(_NUMBERS.split(), 1)}
_STEPS_OWN: Final = re.compile(r"strip \d+|the rest( of .*)?", re.IGNORECASE | re.DOTALL)
"""What the steps of a plan call a part of a piece on its way."""
_NAMED: Final = re.compile(r"\s*(?P<name>[^\W\d][^:]{0,30}?)\s*:(?P<rest>.*)", re.DOTALL)
FROM: Final = re.compile(r"\s+from\s+(?P<source>.+)$", re.IGNORECASE | re.DOTALL)
_DIRECTIONAL: Final = re.compile(r"[\s,]+directional\s*$", re.IGNORECASE)
_TIMES: Final = re.compile(
    r"\s*(?P<count>[0-9][0-9,]*)\s*(?:[x×*@]\s*|\s+of\s+|\s+(?![0-9]+\s*[/⁄]|[¼½¾⅐-⅞]))(?P<size>.+)",
    re.DOTALL,
)
_TIMES_AFTER: Final = re.compile(r"(?P<size>.+?)\s*[x×*@]\s*(?P<count>[0-9][0-9,]*)\s*", re.DOTALL)
_WORDED: Final = re.compile(
    rf"\s*(?P<count>{'|'.join(_COUNTS)})\s+(?P<size>.+)", re.IGNORECASE | re.DOTALL
)
BETWEEN: Final = re.compile(r"\s*(?:[,;](?=\s)|\band\b)\s*", re.IGNORECASE)
_FINE: Final = (Length.from_inches("1/16"), Length.from_millimetres(1))
"""Marks a ruler may have; a size off both is rounded up to the usual mark."""


@dataclass(frozen=True, slots=True)
class TypedCut:
    """A cut as it was typed.

    Attributes:
        name: what it is called; empty where nobody named it.
        size: as it is cut, rounded up to a ruler mark.
        count: how many.
        directional: whether its length must run along the selvedge.
        source: the words for the cloth it must come from; empty for any.
        strip: whether it runs across the whole width of the fabric.
    """

    name: str
    size: Size
    count: int
    directional: bool = False
    source: str = ""
    strip: bool = False

    def sentence(self, measure: Measure) -> str:
        """Return it in words: `12 × 4½ × 4½ in from value:dark, directional`; `one 5 × 5 in`."""
        size = format_size(self.size, measure, Rounding.UP)
        words = f"{self.count:,} × {size}" if self.count > 1 else f"one {size}"
        words += f" from {self.source}" if self.source else ""
        return words + (", directional" if self.directional else "")


def read_cut(text: str, measure: Measure, strip_length: Length) -> TypedCut:
    """Read one cut.

    Args:
        text: `[NAME:] [COUNT x] SIZE [from CLOTH] [directional]`, or with `x COUNT` after the size.
        measure: gives a size without a unit its unit.
        strip_length: how long a strip is that runs across the whole width of the fabric.

    Raises:
        BadSizeError: the size cannot be read.
        BadCutError: a count below 1 or above 10⁹; a name that the steps of a plan need.
    """
    name, rest = "", text
    if (named := _NAMED.fullmatch(text)) and not FROM.search(named["name"]):
        name, rest = named["name"], named["rest"]
    if _STEPS_OWN.fullmatch(name):
        raise BadCutError(
            f"A cut cannot be called {quoted(name)}: the steps of a plan name strips so.",
            "Give it another name, such as what it is for: border.",
        )
    rest, directional = _taken(_DIRECTIONAL, rest)
    source = match["source"].strip() if (match := FROM.search(rest)) else ""
    rest = FROM.sub("", rest)
    rest, before = _taken(_DIRECTIONAL, rest)
    count, size, strip = _counted(rest, measure, strip_length)
    if not 1 <= count <= MOST_OF_ONE_CUT:
        raise BadCutError(
            f"{quoted(text.strip())} is wanted {count} times.",
            "A count is a whole number from 1 to 1,000,000,000.",
        )
    return TypedCut(name, size, count, directional or before, source, strip)


def read_cuts(texts: Sequence[str], measure: Measure, strip_length: Length) -> tuple[TypedCut, ...]:
    """Read several cuts, each a text, and give names A, B, C … to those without.

    Raises:
        BadRequestError: none at all, or more than 60.
        BadSizeError, BadCutError: one cannot be read.
    """
    if not texts:
        raise BadRequestError(
            "No cut was given.",
            'Say what you need, as in --cut "12 x 4 1/2 in square".',
            on_page="Type what you need, such as 12 x 4 1/2 in square.",
        )
    if len(texts) > MOST_CUTS:
        raise BadRequestError(
            f"{len(texts)} different cuts were given.", f"Plan {MOST_CUTS} at a time at most."
        )
    return named([read_cut(text, measure, strip_length) for text in texts])


def read_set(text: str, measure: Measure, strip_length: Length) -> tuple[TypedCut, ...]:
    """Read a set of sizes in words: `three 6½ in squares and five 1½ in strips`.

    Raises:
        BadSizeError, BadCutError: one of them cannot be read.
    """
    return read_cuts([part for part in BETWEEN.split(text) if part], measure, strip_length)


def read_cut_file(
    content: bytes,
    shown: str,
    measure: Measure,
    strip_length: Length,
    check: Callable[[TypedCut], None],
) -> tuple[TypedCut, ...]:
    """Read a file of cuts: one a line, empty lines and lines that begin with `#` left out.

    Args:
        content: what stands in the file.
        shown: its name.
        measure: gives a size without a unit its unit.
        strip_length: how long a strip is that runs across the whole width of the fabric.
        check: refuses a cut that can be read but not be made.

    Raises:
        BadFileError: it is no text or holds mistakes; all are told with their line numbers.
    """
    try:
        lines = content.decode("utf-8-sig").splitlines()
    except UnicodeDecodeError:
        raise _mistaken(shown, [Mistake(0, "It is not a text file (UTF-8).")]) from None
    cuts, mistakes = list[TypedCut](), list[Mistake]()
    for number, line in enumerate(lines, start=1):
        if not (said := line.strip()) or said.startswith("#"):
            continue
        try:
            check(cut := read_cut(said, measure, strip_length))
            cuts.append(cut)
        except StashkeeperError as error:
            mistakes.append(Mistake(number, f"{error.problem} {error.remedy}"))
    if not cuts and not mistakes:
        mistakes.append(Mistake(0, "It holds no cut."))
    if len(cuts) > MOST_CUTS:
        mistakes.append(Mistake(0, f"It holds {len(cuts)} cuts; {MOST_CUTS} are planned at once."))
    if mistakes:
        raise _mistaken(shown, mistakes)
    return named(cuts)


def named(cuts: Sequence[TypedCut]) -> tuple[TypedCut, ...]:
    """Return the cuts with a letter as the name of each that has none."""
    taken = {cut.name for cut in cuts}
    letters = (letter for letter in _letters() if letter not in taken)
    return tuple(
        cut
        if cut.name
        else TypedCut(next(letters), cut.size, cut.count, cut.directional, cut.source, cut.strip)
        for cut in cuts
    )


def cut_text(cut: TypedCut, measure: Measure) -> str:
    """Return a cut as it is typed, so that `read_cut` reads the same again."""
    width, length = (format_exactly(side, measure) for side in (cut.size.width, cut.size.length))
    size = f"{'WOF' if cut.strip else width.rpartition(' ')[0]} x {length}"
    words = f"{cut.name}: {cut.count} x {size}" if cut.name else f"{cut.count} x {size}"
    words += f" from {cut.source}" if cut.source else ""
    return words + (" directional" if cut.directional else "")


def cut_size(text: str, measure: Measure, strip_length: Length) -> tuple[Size, bool]:
    """Return the size of a cut, at a ruler mark, and whether it is a strip off the bolt.

    Raises:
        BadSizeError: it cannot be read.
    """
    typed = parse_size(text, measure, Rounding.UP)
    strip = len(typed.selvedges) == 2
    width = strip_length if strip else _marked(typed.size.width, measure)
    return Size(width, _marked(typed.size.length, measure)), strip


def _counted(text: str, measure: Measure, strip_length: Length) -> tuple[int, Size, bool]:
    """Return count and size; what cannot be a count and a size is one size."""
    for pattern in (_WORDED, _TIMES):
        match = pattern.fullmatch(text)
        if match is None:
            continue
        try:
            size, strip = cut_size(match["size"], measure, strip_length)
        except BadSizeError:
            continue
        word = match["count"].casefold().replace(",", "")
        return _COUNTS.get(word) or int(word), size, strip
    try:
        return 1, *cut_size(text, measure, strip_length)
    except BadSizeError:
        if match := _TIMES_AFTER.fullmatch(text):
            with suppress(BadSizeError):
                size, strip = cut_size(match["size"], measure, strip_length)
                return int(match["count"].replace(",", "")), size, strip
        raise


def _taken(pattern: re.Pattern[str], text: str) -> tuple[str, bool]:
    shorter = pattern.sub("", text)
    return shorter, shorter != text


def _marked(length: Length, measure: Measure) -> Length:
    if any(length.rounded_to(mark, Rounding.UP) == length for mark in _FINE):
        return length
    return length.rounded_to(RULER_MARK[measure], Rounding.UP)


def _letters() -> Iterator[str]:
    alphabet = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
    yield from alphabet
    yield from (first + second for first in alphabet for second in alphabet)


def _mistaken(shown: str, mistakes: list[Mistake]) -> BadFileError:
    return BadFileError(
        f"The cuts in {quoted(shown)} hold {'a mistake' if len(mistakes) == 1 else 'mistakes'}.",
        "Write one cut on each line, as in: corner: 12 x 4 1/2 in square from value:dark",
        mistakes,
    )
