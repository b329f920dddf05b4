"""What a person types about a preview: which fabric plays which role, and what else to try."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from stashkeeper.actions.project_words import ProjectWords
from stashkeeper.catalogue.codes import is_code, normalise_code
from stashkeeper.errors import BadRequestError, quoted

MOST_INSTEAD: Final = 3
"""So many other choices stand beside the first at most."""

type Cast = Mapping[str, tuple[str, ...]]
"""The codes of the fabrics of each role."""


@dataclass(frozen=True, slots=True)
class PreviewWords:
    """What is wanted in a preview, as typed.

    Attributes:
        name: a project, a traditional layout, or a layout file.
        fabrics: `star=A1`, or `background: A2, A3` each.
        instead: other choices to show beside the first, `star=A7; background=B1` each.
        making: unit, columns, rows and so on of a layout; nothing for a project.
        title: stands at its head; the name where empty.
        paper: a4 or letter; that of the settings where None.
        outline: whether only the lines are drawn, to be coloured by hand.
        text: the text of a layout file, instead of a name.
        files: whether the name may be that of a file of this computer; not so for a page.
    """

    name: str
    fabrics: Sequence[str] = ()
    instead: Sequence[str] = ()
    making: ProjectWords = field(default_factory=ProjectWords)
    title: str = ""
    paper: str | None = None
    outline: bool = False
    text: str = ""
    files: bool = True


def read_casts(words: PreviewWords, roles: Sequence[str], before: Cast) -> list[tuple[str, Cast]]:
    """Return every choice of fabrics with its title, the first one first.

    Args:
        words: what was typed.
        roles: the roles of the quilt, sets included in their names.
        before: the fabrics that are chosen already.

    Raises:
        BadRequestError: a role that the quilt does not have, no code, or too many choices.
    """
    first = {**before, **dict(_read(words.fabrics, roles))}
    found: list[tuple[str, Cast]] = [("In these fabrics", first)]
    if len(words.instead) > MOST_INSTEAD:
        raise BadRequestError(
            f"{len(words.instead)} other choices were given.",
            f"Look at {MOST_INSTEAD} at a time at most.",
        )
    for text in words.instead:
        other = dict(_read(re.split(r"\s*;\s*", text.strip()), roles))
        if not other:
            raise BadRequestError("No other fabric was named.", "Name one, as in star=A7.")
        named = {_bare(role): codes for role, codes in other.items()}
        title = ", ".join(f"{role}: {' '.join(codes)}" for role, codes in named.items())
        found.append((title, {**first, **other}))
    return found


def _read(texts: Iterable[str], roles: Sequence[str]) -> Iterator[tuple[str, tuple[str, ...]]]:
    for text in texts:
        if not text.strip():
            continue
        name, sign, rest = re.fullmatch(r"([^=:]*)([=:]?)(.*)", text, re.DOTALL).groups()  # type: ignore[union-attr]
        codes = tuple(normalise_code(part) for part in re.split(r"[,\s]+", rest) if part)
        if not sign or not codes:
            raise BadRequestError(
                f"{quoted(text)} does not say which fabric plays which role.",
                "Write it as star=A7.",
            )
        for code in codes:
            if not is_code(code):
                raise BadRequestError(
                    f"{quoted(code)} is no code of a piece.", "Name codes as on the labels: A7."
                )
        for role in _meant(name, roles):
            yield role, codes


def _meant(name: str, roles: Sequence[str]) -> list[str]:
    """Return the roles that a name means: one, or the same role in all sets."""
    wanted = " ".join(name.casefold().split())
    found = [role for role in roles if role == wanted] or [
        role for role in roles if _bare(role) == wanted
    ]
    if not found:
        raise BadRequestError(
            f"The quilt has no role {quoted(name.strip())}.", f"Its roles are {', '.join(roles)}."
        )
    return found


def _bare(role: str) -> str:
    return re.sub(r"\s*\(set \d+\)$", "", role)
