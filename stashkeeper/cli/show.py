"""Answers, as words, tables and JSON."""

import dataclasses
import json
import re
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime
from enum import Enum
from pathlib import Path
from typing import Any
from uuid import UUID

import typer

from stashkeeper.lengths.length import Length


def say(*sentences: str) -> None:
    """Print sentences, one to a line; empty ones are left out, a blank makes an empty line."""
    for sentence in sentences:
        if sentence:
            typer.echo(sentence.rstrip())


def answer(data: object, as_json: bool, sentences: Iterable[str]) -> None:
    """Print `data` as JSON where that was asked for, else the sentences."""
    if as_json:
        typer.echo(json.dumps(plain(data), ensure_ascii=False, indent=2))
    else:
        say(*sentences)


def table(headings: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Return rows under their headings, columns aligned, numbers (and only they) to the right."""
    cells = [tuple(headings), *(tuple(row) for row in rows)]
    widths = [max(map(_shown_width, column)) for column in zip(*cells, strict=True)]
    numeric = [all(_is_number(cell) for cell in column[1:]) for column in zip(*cells, strict=True)]
    return "\n".join(
        "  ".join(
            _padded(cell, width, right)
            for cell, width, right in zip(row, widths, numeric, strict=True)
        ).rstrip()
        for row in cells
    )


def plain(data: Any) -> Any:  # noqa: PLR0911 - one return a kind is the plainest form
    """Return `data` as JSON knows it: dataclasses as objects, lengths in inches and millimetres."""
    match data:
        case Length():
            return {"inches": float(data.inches), "millimetres": float(data.millimetres)}
        case Enum():
            return data.value
        case UUID() | Path():
            return str(data)
        case datetime() | date():
            return data.isoformat()
        case Mapping():
            return {str(plain(key)): plain(value) for key, value in data.items()}
        case str() | int() | float() | None:
            return data
        case Sequence() | set() | frozenset():
            return [plain(item) for item in data]
    if dataclasses.is_dataclass(data):
        return {
            field.name: plain(getattr(data, field.name))
            for field in dataclasses.fields(data)
            if not field.name.startswith("_")
        }
    raise TypeError(f"{type(data).__name__} has no JSON form here")


def _shown_width(cell: str) -> int:
    if cell.isascii():
        return len(cell)
    from rich.cells import cell_len

    return cell_len(cell)


def _padded(cell: str, width: int, right: bool) -> str:
    space = " " * (width - _shown_width(cell))
    return space + cell if right else cell + space


def _is_number(cell: str) -> bool:
    return re.fullmatch(r"[~−-]?[0-9]*(\.[0-9]+)?( ±[0-9.]+)?", cell) is not None
