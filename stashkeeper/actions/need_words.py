"""Needs as a person types them: `light: 4, each 10 x 6 1/2 in square`.

A need is a role, its value, and what its fabrics must give:

    light: 4                                        four light fabrics, any size
    light: 4, each 10 x 6 1/2 in square             four, each of which gives ten squares
    dark: 20 x 4 1/2 in square                      as many fabrics as the squares take
    sky light: 2 fabrics giving 20 x 5 in square    two that together give them, for the role sky
    border: 8 x 2 1/2 in x 40 in                    any value will do
"""

import re
from collections.abc import Sequence
from typing import Final

from stashkeeper.actions.cut_words import read_set
from stashkeeper.actions.project_words import role_name
from stashkeeper.catalogue.codes import is_code, normalise_code
from stashkeeper.choosing.needs import CutsNeeded, Keep, Need, in_sets
from stashkeeper.cloth.value import Value
from stashkeeper.errors import BadRequestError, BadSizeError, quoted
from stashkeeper.lengths.length import Length, Measure
from stashkeeper.lengths.size import Size

MOST_NEEDS: Final = 60
"""So many needs are typed at most (ours)."""

EXAMPLE: Final = "light: 4, each 10 x 6 1/2 in square"

_VALUES: Final = {value.value: value for value in Value}
_NUMBERS: Final = (
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve",
)  # fmt: skip
_WORDED: Final = re.compile(rf"^(?:{'|'.join(_NUMBERS)})\b", re.IGNORECASE)
_COUNT: Final = re.compile(r"(\d{1,6})(?:\s*fabrics?)?", re.ASCII | re.IGNORECASE)
_EACH: Final = re.compile(
    r"(\d{1,6})(?:\s*fabrics?)?\s*,?\s+each\s+(?:giving\s+|gives\s+)?(.+)",
    re.ASCII | re.IGNORECASE | re.DOTALL,
)
_TOGETHER: Final = re.compile(
    r"(\d{1,6})\s*fabrics?\s*,?\s+(?:together\s+)?(?:giving\s+|that give\s+)?(.+)",
    re.ASCII | re.IGNORECASE | re.DOTALL,
)
_GIVING: Final = re.compile(r"(?:any number\s*,?\s+)?(?:giving\s+)?(.+)", re.IGNORECASE | re.DOTALL)
_FOR: Final = re.compile(r"\s*(\S+)\s+for\s+(.+?)\s*", re.IGNORECASE)


def read_needs(
    texts: Sequence[str], sets: int, further: Sequence[str], measure: Measure, strip: Length
) -> tuple[Need, ...]:
    """Return the needs typed, those of a set repeated for every set.

    Args:
        texts: what is asked for (of every set, where there are any).
        sets: how many sets, each of one colour family; 0 for none.
        further: what is asked for outside the sets.
        measure: gives a size without a unit its unit.
        strip: how long a strip across the whole width is.

    Raises:
        StashkeeperError: one cannot be read.
    """
    typed = [text for text in (*texts, *further) if text.strip()]
    if len(typed) > MOST_NEEDS:
        raise BadRequestError(f"{len(typed)} needs were given.", f"Give {MOST_NEEDS} at most.")
    ones = [read_need(text, measure, strip) for text in texts if text.strip()]
    more = [read_need(text, measure, strip) for text in further if text.strip()]
    return (*(in_sets(ones, sets) if sets else ones), *more)


def read_need(text: str, measure: Measure, strip: Length) -> Need:
    """Return the need typed.

    Raises:
        BadRequestError: it is no need; the sentence gives an example.
        StashkeeperError: a size or count in it cannot be read.
    """
    head, colon, rest = text.partition(":")
    rest = rest.strip()
    if not colon or not rest:
        raise BadRequestError(
            f"{quoted(text.strip())} does not say what is needed.", f"Write it as “{EXAMPLE}”."
        )
    role, value = _role_and_value(head)
    rest = _WORDED.sub(lambda match: f"{_NUMBERS.index(match[0].casefold()) + 1}", rest)
    if re.match(r"0+(?!\d)", rest):
        raise BadRequestError(
            f"{quoted(text.strip())} asks for nothing.",
            f"Leave it away, or write it as “{EXAMPLE}”.",
        )
    if match := _COUNT.fullmatch(rest):
        return Need(role, value, int(match[1]))
    if match := _EACH.fullmatch(rest):
        return _need(role, value, int(match[1]), match[2], True, measure, strip)
    if match := _TOGETHER.fullmatch(rest):
        return _need(role, value, int(match[1]), match[2], False, measure, strip)
    if rest.casefold().startswith("each "):
        raise BadRequestError(
            f"{quoted(text.strip())} does not say how many fabrics each give that.",
            f"Write it as “{EXAMPLE}”.",
        )
    match = _GIVING.fullmatch(rest)
    assert match is not None, "every text matches"
    return _need(role, value, None, match[1], False, measure, strip)


def read_keeps(texts: Sequence[str]) -> tuple[Keep, ...]:
    """Return the pieces that must be in the choice: `A7,B2`, or `A7 for star`.

    Raises:
        BadRequestError: it names no piece.
    """
    keeps: list[Keep] = []
    for text in texts:
        if match := _FOR.fullmatch(text):
            keeps.append(Keep(_code(match[1]), match[2]))
        else:
            keeps += [Keep(code) for code in read_codes([text])]
    return tuple(keeps)


def read_codes(texts: Sequence[str]) -> tuple[str, ...]:
    """Return the codes typed, with commas or blanks between.

    Raises:
        BadRequestError: one has not the form of a code.
    """
    return tuple(_code(part) for text in texts for part in re.split(r"[,;\s]+", text) if part)


def _code(text: str) -> str:
    code = normalise_code(text)
    if not is_code(code):
        raise BadRequestError(f"{quoted(text)} is no code of a piece.", "Type one such as A7.")
    return code


def _role_and_value(head: str) -> tuple[str, Value | None]:
    """Return the role and the value it plays: `light`, `sky light` or `light sky`."""
    words = head.casefold().split()
    if len(words) == 1 and words[0] in _VALUES:
        return words[0], _VALUES[words[0]]
    for place in (-1, 0):
        if words and words[place] in _VALUES:
            value = _VALUES[words.pop(place)]
            return role_name(" ".join(words)), value
    return role_name(head), None


def _need(
    role: str,
    value: Value | None,
    fabrics: int | None,
    cuts: str,
    each: bool,
    measure: Measure,
    strip: Length,
) -> Need:
    together: dict[Size, int] = {}
    try:
        read = read_set(cuts, measure, strip)
    except BadSizeError as error:
        raise BadSizeError(error.problem, f"Write the need as “{EXAMPLE}”.") from error
    for cut in read:
        size = cut.size if cut.size.width <= cut.size.length else cut.size.turned()
        together[size] = together.get(size, 0) + cut.count
    area = sum(size.area * count for size, count in together.items()) if len(together) > 1 else 0
    needed = tuple(CutsNeeded(size, count) for size, count in together.items())
    return Need(role, value, fabrics, needed, each, area)
