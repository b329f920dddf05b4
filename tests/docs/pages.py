"""The pages people read: README.md and docs/, with their code blocks and links."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

CHECKOUT = Path(__file__).resolve().parents[2]
DOCS = CHECKOUT / "docs"
PAGES = [
    CHECKOUT / "README.md",
    CHECKOUT / "DEVELOPERS.md",
    *sorted(DOCS.rglob("*.md")),
]

_BLOCK = re.compile(r"^```(?P<info>[^\n]*)\n(?P<text>.*?)^```\s*$", re.MULTILINE | re.DOTALL)
_LINK = re.compile(r"!?\[[^\]]*\]\(([^)\s]+)\)")


@dataclass(frozen=True)
class Block:
    """A fenced block: the line it starts in, the words after its fence, and its text."""

    line: int
    info: tuple[str, ...]
    text: str


def blocks(page: str) -> Iterator[Block]:
    """Yield every fenced block of a page, in order."""
    for match in _BLOCK.finditer(page):
        line = page.count("\n", 0, match.start()) + 1
        yield Block(line, tuple(match["info"].split()), match["text"])


def links(page: str) -> Iterator[str]:
    """Yield where every link and picture outside fenced blocks leads."""
    yield from _LINK.findall(_BLOCK.sub("", page))


def anchors(page: str) -> set[str]:
    """Return the names that the headings of a page answer to, as Markdown viewers make them."""
    headings = re.findall(r"^#+ (.+)$", _BLOCK.sub("", page), re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", text.lower()).strip().replace(" ", "-") for text in headings}
