"""A line to type on the command line, offered where a page offers a button."""

import re
import shlex
from collections.abc import Sequence
from typing import Final

_ODD: Final = re.compile(r"""[^\w .,/:=+′⁄×-]""")
"""What a shell may read another way, even between quotation marks."""


def command_line(words: Sequence[str]) -> str:
    """Return words as they are typed on a command line."""
    return " ".join(
        shlex.quote(word) if _ODD.search(word) else f'"{word}"' if " " in word else word
        for word in words
    )
