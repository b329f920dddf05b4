"""What a name may hold, and when two names are the same."""

import unicodedata
from collections.abc import Iterable
from typing import Final

from stashkeeper.errors import BadNameError

LONGEST_NAME: Final = 200
LONGEST_TAG: Final = 50
LONGEST_NOTES: Final = 20_000

_TURNING = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
"""Signs that turn the direction of the text after them too (Unicode Standard Annex 9)."""


def fold(text: str) -> str:
    """Return `text` as compared and searched: compatibility forms and letter case made equal."""
    return unicodedata.normalize("NFKC", unicodedata.normalize("NFKC", text).casefold())


def clean_name(text: str, what: str = "name", limit: int = LONGEST_NAME) -> str:
    """Return a name without blanks around it, in composed form (NFC).

    Args:
        text: as typed.
        what: what it names, for the sentence of an error.
        limit: the most signs it may have.

    Raises:
        BadNameError: it shows nothing, is too long, or holds a sign that cannot be shown.
    """
    name = unicodedata.normalize("NFC", " ".join(text.split(" ")).strip())
    _refuse_hidden_signs(name, what, allowed="")
    if not any(_shows(sign) for sign in name):
        raise BadNameError(f"The {what} is empty.", "Type at least one letter or digit.")
    return _short_enough(name, what, limit)


def clean_notes(text: str) -> str:
    """Return notes in composed form; lines and tabs are welcome, other hidden signs are not.

    Raises:
        BadNameError: they are too long, or hold a sign that cannot be shown.
    """
    notes = unicodedata.normalize("NFC", text.replace("\r\n", "\n").strip())
    _refuse_hidden_signs(notes, "notes", allowed="\n\t")
    return _short_enough(notes, "notes", LONGEST_NOTES)


def clean_optional(text: str | None, what: str) -> str | None:
    """Return a name that may be left out: None where nothing was typed.

    Raises:
        BadNameError: as `clean_name`.
    """
    return clean_name(text, what) if text and text.strip() else None


def clean_tags(tags: Iterable[str]) -> tuple[str, ...]:
    """Return tags cleaned, each once (letter case aside), in the order typed.

    A comma stands between two tags, in every place where tags are typed.

    Raises:
        BadNameError: a tag is empty, too long, or holds a sign that cannot be shown.
    """
    kept: dict[str, str] = {}
    for tag in separate_tags(tags):
        cleaned = clean_name(tag, "tag", LONGEST_TAG)
        kept.setdefault(fold(cleaned), cleaned)
    return tuple(kept.values())


def separate_tags(tags: Iterable[str]) -> tuple[str, ...]:
    """Return the tags of texts that may hold several with commas between."""
    return tuple(
        tag.strip() for text in tags for tag in text.split(",") if tag.strip() or "," not in text
    )


def _shows(sign: str) -> bool:
    return unicodedata.category(sign)[0] in "LNPS"


def _refuse_hidden_signs(text: str, what: str, allowed: str) -> None:
    for sign in text:
        category = unicodedata.category(sign)
        hidden = category in {"Cc", "Cs", "Zl", "Zp"} and sign not in allowed
        if hidden or sign in _TURNING:
            raise BadNameError(
                f"The {what} holds a sign that cannot be shown (U+{ord(sign):04X}).",
                "Type it again, without line breaks or copied control signs.",
            )


def _short_enough(text: str, what: str, limit: int) -> str:
    if len(text) > limit:
        raise BadNameError(
            f"The {what} “{text[:30]}…” is {len(text):,} signs long; at most {limit:,} fit.",
            "Shorten it; notes hold longer texts.",
        )
    return text
