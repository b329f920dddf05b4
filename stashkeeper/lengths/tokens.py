"""From the signs a person typed to the words of a size.

A token is a number (a `Fraction`) or a plain word (a `str`) with one spelling: every way to write
an inch becomes `in`, every times sign `x`. What their order means is told in `amounts.py` and
`parse.py`.
"""

import re
import unicodedata
from fractions import Fraction
from typing import Final

type Token = Fraction | str

LONGEST: Final = 100
"""No size needs more signs than this; longer text is refused before anything looks at it."""


SEVERAL_PIECES: Final = (
    "speaks of several pieces; a size is the size of one, and how many there are is said apart"
)
"""Why a number of pieces is no size."""


class UnreadableError(Exception):
    """Why a text is no size, as the end of a sentence that begins with the quoted text.

    Attributes:
        reason: the end of that sentence, without a full stop; empty where nothing special is
            known.
        remedy: a remedy made for this case; None for the usual two examples.
    """

    def __init__(self, reason: str = "", remedy: str | None = None) -> None:
        super().__init__(reason)
        self.reason = reason
        self.remedy = remedy


_SPELLINGS: Final = {
    "in": "in inch inches \" ''",
    "ft": "ft foot feet '",
    "yd": "yd yds yard yards yardage",
    "mm": "mm millimetre millimetres millimeter millimeters",
    "cm": "cm cms centimetre centimetres centimeter centimeters",
    "m": "m mtr mtrs metre metres meter meters",
    "x": "x × * by ✕ ✖ ⨯",
    "about": "about approx approximately around roughly circa ca ~ ≈",
    "a": "a an",
    "and": "and + &",
    "of": "of",
    "half": "half",
    "third": "third",
    "thirds": "thirds",
    "quarter": "quarter",
    "quarters": "quarters",
    "eighth": "eighth 8th",
    "eighths": "eighths 8ths",
    "sixteenth": "sixteenth 16th",
    "sixteenths": "sixteenths 16ths",
    "fat": "fat",
    "fq": "fq fqs",
    "f8": "f8 f8s",
    "long quarter": "long|quarter long|quarters long|1/4 skinny|quarter skinny|quarters",
    "long eighth": "long|eighth long|eighths long|1/8 skinny|eighth skinny|eighths",
    "wide": "wide w",
    "long": "long l",
    "square": "square squares sq",
    "strip": "strip strips",
    "cut": "cut piece",
    "fabric": "fabric",
    "wof": "wof width|of|fabric width|of|the|fabric fabric|width full|width",
}
_NUMBER_WORDS: Final = "one two three four five six seven eight nine ten eleven twelve"
_WORDS: Final[dict[str, Token]] = {
    **{
        spelling.replace("|", " "): word
        for word, spellings in _SPELLINGS.items()
        for spelling in spellings.split()
    },
    **{word: Fraction(count) for count, word in enumerate(_NUMBER_WORDS.split(), 1)},
}
_LONGEST_FIRST: Final = sorted(_WORDS, key=len, reverse=True)

_TOKEN: Final = re.compile(
    rf"""
      (?P<space>\ )
    | (?P<word>{"|".join(map(re.escape, _LONGEST_FIRST))})(?:\.(?![0-9]))?
    | (?:(?P<whole>[0-9]+)(?:-\ ?|\ ))?(?P<over>[0-9]+)\ ?/\ ?(?P<under>[0-9]+)(?![.,]?[0-9])
    | (?P<number>[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+)(?![.,]?[0-9])
    """,
    re.VERBOSE,
)
_SAME_SIGN: Final = str.maketrans(
    {
        **dict.fromkeys("‐‑‒–—−", "-"),
        **dict.fromkeys("’‘ʹʼ′`´", "'"),
        **dict.fromkeys("“”„‟″〃", '"'),
        **dict.fromkeys("⁄∕÷", "/"),
    }
)
_HYPHEN: Final = re.compile(r"(?<=[0-9a-z\"'.])-(?=[a-z])")
_PART_OF_ONE: Final = re.compile(r"\b(two|three|five|seven|[2357])-(third|quarter|eighth)\b")
"""`three-quarter yard` is one size; without the hyphen it could be three quarter yards."""
_LAST_STOP: Final = re.compile(r"(?<=[0-9])\.$")
"""The full stop that a phone sets behind a number for two spaces."""
_THOUSANDS: Final = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")


def tokens(text: str) -> list[Token]:
    """Return the numbers and words of a typed size, in order.

    Raises:
        UnreadableError: a sign or word that no size has, a fraction that is none, too long.
    """
    typed = _LAST_STOP.sub("", text.strip())
    plain = _plain(typed) if len(typed) <= LONGEST else ""
    if not 0 < len(plain) <= LONGEST:
        raise UnreadableError("is far too long to be a size")
    found: list[Token] = []
    position = 0
    while position < len(plain):
        match = _TOKEN.match(plain, position)
        if match is None:
            raise UnreadableError(_why_not(plain, position))
        if match.lastgroup != "space":
            found.append(_token(match))
        position = match.end()
    return found


def _plain(text: str) -> str:
    """Return the text with one spelling for every space, dash, prime, fraction and letter."""
    spaced = "".join(
        f" {sign}" if _stand_apart(before, sign) else sign
        for before, sign in zip(f" {text}", text, strict=False)
    )
    folded = unicodedata.normalize("NFKC", spaced.translate(_SAME_SIGN)).casefold()
    one_line = " ".join(folded.translate(_SAME_SIGN).split())
    return _HYPHEN.sub(" ", _PART_OF_ONE.sub(r"\1 \2s", one_line))


def _stand_apart(before: str, sign: str) -> bool:
    """Tell whether two neighbouring signs belong to two numbers, as in 9⅞ and 9⁷⁄₈.

    Without a space, bringing all digits to one form would turn 9⅞ into 97/8.
    """
    kinds = unicodedata.category(before), unicodedata.category(sign)
    if kinds == ("No", "No"):
        return any("⁄" in unicodedata.normalize("NFKC", one) for one in (before, sign))
    return kinds in {("No", "Nd"), ("Nd", "No")}


def _token(match: re.Match[str]) -> Token:
    if word := match["word"]:
        return _WORDS[word]
    if number := match["number"]:
        if _THOUSANDS.fullmatch(number):
            raise UnreadableError(
                f"has a comma in {number} that could mean thousands or a decimal",
                f"Type “{number.replace(',', '')}” or “{number.replace(',', '.')}”.",
            )
        return Fraction(number.replace(",", "."))
    over, under = int(match["over"]), int(match["under"])
    if under == 0:
        raise UnreadableError("has a fraction over zero")
    if match["whole"] and over >= under:
        raise UnreadableError("has a whole number and a fraction that is not less than one")
    return int(match["whole"] or 0) + Fraction(over, under)


def _why_not(plain: str, position: int) -> str:
    if re.match(r"- ?[0-9.,]", plain[position:]) is None:
        return ""
    return "looks like a range, or like less than nothing" if position else "is less than nothing"
