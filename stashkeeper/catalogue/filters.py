"""Search words, read once for every face: `blue tag:batik at:"Shelf 2" value:light -washed:yes`."""

import re
import unicodedata
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from stashkeeper.catalogue.columns import End
from stashkeeper.errors import BadSearchError, quoted
from stashkeeper.lengths.length import Measure, Rounding
from stashkeeper.lengths.parse import parse_size
from stashkeeper.lengths.size import Size

COLOURS: Final = (
    "red",
    "orange",
    "yellow",
    "green",
    "turquoise",
    "blue",
    "purple",
    "pink",
    "brown",
    "beige",
    "cream",
    "white",
    "grey",
    "black",
)
"""The colour words a fabric can be searched by; luminance gives each measured fabric one."""

_ENDS: Final = {
    "yes": "yes",
    "no": "no",
    "any": "any",
    "cut": End.ALL_CUT.value,
    "mistake": End.MISTAKE.value,
    **{end.value: end.value for end in End},
}
_COLOURS: Final = {"gray": "grey", **{colour: colour for colour in COLOURS}}
_VALUES: Final = {word: word for word in ("light", "medium", "dark", "unknown")}
_YES_NO: Final = {"yes": "yes", "no": "no"}
_FIXED: Final = {"value": _VALUES, "colour": _COLOURS, "washed": _YES_NO, "ended": _ENDS}
_SYNONYMS: Final = {"color": "colour", "min": "size"}
_EXAMPLES: Final = {
    "tag": "tag:blue",
    "at": 'at:"Shelf 2"',
    "code": "code:A7,A9",
    "size": "size:10x10",
}

KEYS: Final = (*_EXAMPLES, *_FIXED)
"""The keys a search word may have before its colon; `min` and `color` are taken too."""

LONGEST_SEARCH: Final = 1_000
MOST_WORDS: Final = 50


@dataclass(frozen=True, slots=True)
class Term:
    """One search word.

    Attributes:
        key: one of `KEYS`, or `text` for a word looked for in name, code, notes and tags.
        words: what is looked for; any of them will do.
        size: of the key `size`: what the piece must be at least, straight or turned.
        excluded: whether pieces that answer to it are left out instead.
    """

    key: str
    words: tuple[str, ...]
    size: Size | None = None
    excluded: bool = False


@dataclass(frozen=True, slots=True)
class Search:
    """Search words that all must hold; none at all find every piece on the shelf."""

    terms: tuple[Term, ...] = ()

    @property
    def speaks_of_ends(self) -> bool:
        """Whether a word says what to do with pieces that ended; otherwise they are left out."""
        return any(term.key == "ended" for term in self.terms)


def parse_search(words: str | Sequence[str], measure: Measure) -> Search:
    """Read search words.

    Args:
        words: one text, with quotes around what belongs together, or words already parted.
        measure: gives sizes without a unit theirs.

    Raises:
        BadSearchError: a word has an unknown key or a value its key does not take.
        BadSizeError: a size cannot be read.
    """
    parts = (
        list(_split(words))
        if isinstance(words, str)
        else [part for word in words for part in _parts_of(word)]
    )
    if len(parts) > MOST_WORDS or sum(map(len, parts)) > LONGEST_SEARCH:
        raise BadSearchError(
            "The search is too long.",
            f"Use at most {MOST_WORDS} words of {LONGEST_SEARCH:,} signs together.",
        )
    return Search(tuple(_term(part, measure) for part in parts))


EVERY_ONE: Final = "Pieces on the shelf, every one."
"""What a search without words finds."""


def explain(search: Search) -> str:
    """Return one sentence on what a search finds."""
    if not search.terms:
        return EVERY_ONE
    which = "Pieces" if search.speaks_of_ends else "Pieces on the shelf"
    told = [_SAYINGS[term.key](term) for term in search.terms]
    sentence = "; ".join(
        f"not {saying}" if term.excluded else saying
        for term, saying in zip(search.terms, told, strict=True)
    )
    return f"{which}: {sentence}."


_WORD = re.compile(r"""(?P<sign>-?)(?:(?P<key>[^\W\d_]+):)?(?P<rest>.*)""", re.DOTALL)
_SPLIT = re.compile(r"""(-?(?:[^\W\d_]+:)?"[^"]*"(?=\s|$)|\S+)""")
_KEYED = re.compile(rf"""\s-?(?:{"|".join((*KEYS, *_SYNONYMS))}):""", re.IGNORECASE)


def _split(text: str) -> Iterator[str]:
    """Part a text at blanks outside quotes. Inside a word a quote is an inch sign: 18"×21"."""
    straight = text.translate(str.maketrans("“”„«»", '"""""'))
    for part in _SPLIT.findall(straight):
        opened = _WORD.fullmatch(part)
        if opened and opened["rest"].startswith('"') and not _closed(opened["rest"]):
            raise BadSearchError(
                f"The quote in {quoted(part)} is not closed.", 'Write it as at:"Shelf 2".'
            )
        yield part


def _parts_of(word: str) -> Iterator[str]:
    """Part one word of the command line, where the shell has taken the quotes already."""
    if _KEYED.search(word) or '"' in word:
        yield from _split(word)
    elif word.strip():
        yield word.strip()


def _closed(rest: str) -> bool:
    return len(rest) > 1 and rest.endswith('"')


def _term(part: str, measure: Measure) -> Term:
    if any(unicodedata.category(sign) in {"Cc", "Cs"} for sign in part):
        raise BadSearchError(
            f"The search word {quoted(part)} holds a sign that cannot be shown.",
            "Type it again without it.",
        )
    match = _WORD.fullmatch(part)
    assert match is not None, "every text is a word"
    excluded = bool(match["sign"]) and bool(match["rest"])
    rest = match["rest"].strip()
    if match["key"] is None:
        text = _unquoted(rest if excluded else part)
        return Term("text", (text,), excluded=excluded)
    key = match["key"].casefold()
    return _keyed(_SYNONYMS.get(key, key), _unquoted(rest), part, excluded, measure)


def _keyed(key: str, value: str, part: str, excluded: bool, measure: Measure) -> Term:
    if key not in KEYS:
        raise BadSearchError(
            f"{quoted(part)} begins with no key there is.",
            f"The keys are {', '.join(f'{one}:' for one in KEYS)}; "
            f'a word that holds a colon goes in quotes, as in "{part[:40]}".',
        )
    if not value:
        example = _EXAMPLES.get(key, f"{key}:{next(iter(_FIXED.get(key, {'': ''})))}")
        raise BadSearchError(f"{quoted(part)} lacks its value.", f"Write it as {example}.")
    if key == "size":
        size = parse_size(value, measure, Rounding.UP).size
        return Term(key, (value,), size, excluded)
    if key in _FIXED:
        return Term(key, tuple(_fixed(key, word, part) for word in _listed(value)), None, excluded)
    words = tuple(_listed(value)) if key == "code" else (value,)
    return Term(key, words, None, excluded)


def _fixed(key: str, word: str, part: str) -> str:
    known = _FIXED[key]
    folded = word.casefold()
    if folded not in known:
        raise BadSearchError(
            f"{quoted(part)}: {key} cannot be {quoted(word)}.",
            f"It can be {', '.join(dict.fromkeys(known.values()))}.",
        )
    return known[folded]


def _listed(value: str) -> Iterator[str]:
    return (word.strip() for word in value.split(",") if word.strip())


def _unquoted(text: str) -> str:
    return text[1:-1].strip() if text.startswith('"') and _closed(text) else text


def _any_of(words: Sequence[str]) -> str:
    return " or ".join(words)


_ENDED: Final[dict[tuple[str, ...], str]] = {
    ("yes",): "that ended",
    ("no",): "that have not ended",
    ("any",): "ended or not",
}
_SAYINGS: Final[dict[str, Callable[[Term], str]]] = {
    "text": lambda term: f"with “{term.words[0]}” in name, code, notes or tags",
    "tag": lambda term: f"tagged “{term.words[0]}”",
    "at": lambda term: f"at “{term.words[0]}” or inside it",
    "code": lambda term: f"with the code {_any_of(term.words)}",
    "size": lambda term: f"at least {term.words[0]}",
    "value": lambda term: f"of {_any_of(term.words)} value",
    "colour": lambda term: f"of {_any_of(term.words)} colour",
    "washed": lambda term: "washed" if term.words == ("yes",) else "not washed",
    "ended": lambda term: _ENDED.get(term.words, f"that ended as {_any_of(term.words)}"),
}
