"""Short codes that people read, write on labels and say aloud: A1 to A99, B1 to Z99, AA1 and on.

The letters I and O are left out, for they look like digits. A code is given out once for good.
"""

import re
import unicodedata
from difflib import get_close_matches
from typing import Final

from sqlalchemy import update
from sqlmodel import Session, col, or_, select

from stashkeeper.catalogue.tables import Counter, Piece

_LETTERS: Final = "ABCDEFGHJKLMNPQRSTUVWXYZ"
_NUMBERS_A_LETTER: Final = 99
_CODE = re.compile(r"([A-Z]+)([0-9]+)", re.ASCII)


def normalise_code(text: str) -> str:
    """Return a code as it is kept: `" a 07 "` is `A7`. What is no code comes back in capitals."""
    code = "".join(unicodedata.normalize("NFKC", text).split()).upper()
    match = _CODE.fullmatch(code)
    return f"{match[1]}{match[2].lstrip('0') or '0'}" if match else code


def is_code(text: str) -> bool:
    """Tell whether a normalised text has the form of a code."""
    return len(text) <= 12 and _CODE.fullmatch(text) is not None


def code_of(order: int) -> str:
    """Return the code that is given out as number `order`, from 1: A1 is 1, B1 is 100."""
    block, number = divmod(order - 1, _NUMBERS_A_LETTER)
    letters = ""
    block += 1
    while block:
        block, letter = divmod(block - 1, len(_LETTERS))
        letters = _LETTERS[letter] + letters
    return f"{letters}{number + 1}"


def order_of(code: str) -> int:
    """Return the number that a code was given out as: of A1 it is 1, of B1 100."""
    letters = code.rstrip("0123456789")
    block = 0
    for letter in letters:
        block = block * len(_LETTERS) + _LETTERS.index(letter) + 1
    return (block - 1) * _NUMBERS_A_LETTER + int(code[len(letters) :])


def next_codes(session: Session, count: int) -> list[tuple[int, str]]:
    """Give out the next `count` codes, each with its number, inside the running transaction."""
    last = next_number(session, "code", count)
    return [(order, code_of(order)) for order in range(last - count + 1, last + 1)]


def next_number(session: Session, counter: str, count: int = 1) -> int:
    """Move a counter on by `count` and return where it stands now."""
    statement = (
        update(Counter)
        .where(col(Counter.name) == counter)
        .values(last=col(Counter.last) + count)
        .returning(col(Counter.last))
        .execution_options(synchronize_session=False)
    )
    return int(session.execute(statement).scalar_one())


def near_codes(session: Session, code: str, limit: int = 3) -> list[str]:
    """Return codes in use that look like `code`, nearest first."""
    match = _CODE.fullmatch(code)
    if not match or not is_code(code):
        return []
    alike = or_(col(Piece.code).like(f"{match[1]}%"), col(Piece.code).like(f"%{match[2]}"))
    codes = session.exec(select(Piece.code).where(alike).limit(2_000)).all()
    return get_close_matches(code, codes, n=limit, cutoff=0.5)
