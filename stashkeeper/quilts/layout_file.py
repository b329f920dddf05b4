"""Layout files: small plain texts that a quilter can read, change and write.

A file names the layout, its roles, its units by one sign each, and draws the grid with the signs:

    layout: Friendship star
    grow: repeat

    roles:
      star: dark
      background: light

    units:
      . = square: background
      # = square: star
      a = half-square triangle: background top left, star bottom right

    grid:
      a . a
      . # .
      a . a

Spaces in the grid mean nothing. A unit that covers several cells is drawn with its sign in each.
Lines that begin with two hyphens are notes. The format is our own.
"""

from dataclasses import dataclass, field
from difflib import get_close_matches
from typing import Final

from stashkeeper.cloth.value import Value
from stashkeeper.errors import BadFileError, Mistake, quoted
from stashkeeper.quilts.layout import Growth, Layout, Role, Unit, owners
from stashkeeper.quilts.layout_grid import Cell, place_units
from stashkeeper.quilts.rearrange import plain
from stashkeeper.quilts.unit_words import WordsError, nearest, read_unit, write_unit

_HEADS: Final = ("layout", "about", "grow", "around")
_SECTIONS: Final = ("roles", "units", "grid")
_ANY: Final = "any"
_MOST_TOLD: Final = 100
_SIGNS: Final = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789"


def read_layout(text: str, name: str = "Layout") -> Layout:
    """Return the layout that a file describes.

    Args:
        text: the whole text of the file.
        name: what to call a layout whose file does not say.

    Raises:
        BadFileError: the text holds mistakes; all are told, with line and column.
    """
    reading = _Reading()
    for number, line in enumerate(text.removeprefix("\ufeff").splitlines(), 1):
        reading.read_line(number, line)
    placed = place_units(reading.grid, reading.units, reading.wrong)
    around = reading.around()
    if not reading.grid and not reading.mistakes:
        reading.wrong(0, 0, "The file draws no grid.")
    if reading.mistakes:
        raise _bad_file(reading.mistakes)
    return Layout(
        name=reading.heads.get("layout") or name,
        columns=len(reading.grid[0]),
        rows=len(reading.grid),
        placed=placed,
        values=tuple(reading.roles.items()),
        growth=Growth(reading.heads.get("grow") or Growth.REPEAT),
        around=around,
        about=reading.heads.get("about", ""),
    )


def write_layout(layout: Layout) -> str:
    """Return the text of a layout file; reading it gives the same layout.

    Raises:
        BadRequestError: the layout has sashing or stands on point, which a file does not hold.
    """
    plain(layout)
    units = list(dict.fromkeys(here.unit for here in layout.placed))
    signs = {unit: _sign(number) for number, unit in enumerate(units)}
    cells = [[signs[layout.placed[owner].unit] for owner in row] for row in owners(layout)]
    lines = [f"layout: {layout.name}"]
    lines += [f"about: {layout.about}"] if layout.about else []
    lines += [f"grow: {layout.growth}"]
    lines += [f"around: {layout.around}"] if layout.around else []
    lines += ["", "roles:", *(f"  {role}: {value or _ANY}" for role, value in layout.values)]
    lines += ["", "units:", *(f"  {sign} = {write_unit(unit)}" for unit, sign in signs.items())]
    lines += ["", "grid:", *("  " + " ".join(row) for row in cells)]
    return "\n".join(lines) + "\n"


@dataclass(slots=True)
class _Reading:
    """What has been read of a file so far."""

    section: str = ""
    heads: dict[str, str] = field(default_factory=dict)
    head_at: dict[str, tuple[int, int]] = field(default_factory=dict)
    roles: dict[str, Value | None] = field(default_factory=dict)
    units: dict[str, Unit] = field(default_factory=dict)
    grid: list[list[Cell]] = field(default_factory=list)
    mistakes: list[Mistake] = field(default_factory=list)

    def wrong(self, line: int, column: int, sentence: str) -> None:
        """Note a mistake; columns count from 0 here and from 1 for people."""
        where = f"column {column + 1}: " if line else ""
        self.mistakes.append(Mistake(line, where + sentence))

    def read_line(self, number: int, line: str) -> None:
        """Read one line of the file."""
        words = line.strip()
        start = len(line) - len(line.lstrip())
        if not words or words.startswith("--"):
            return
        key, colon, rest = words.partition(":")
        if colon and not rest.strip() and key.strip().casefold() in _SECTIONS:
            self.section = key.strip().casefold()
        elif not start and not rest.strip() and (meant := _section_meant(words, self.section)):
            self.wrong(number, start, f"{quoted(words)} begins no part. Did you mean “{meant}:”?")
            self.section = meant
        elif colon and self.section != "grid" and key.strip().casefold() in _HEADS:
            self._read_head(number, line, key.strip().casefold(), rest.strip())
        elif self.section == "roles":
            self._read_role(number, start, words)
        elif self.section == "units":
            self._read_unit(number, start, words)
        elif self.section == "grid":
            self.grid.append([Cell(s, number, c) for c, s in enumerate(line) if not s.isspace()])
        else:
            self.wrong(number, start, f"This line means nothing here. {_lines_known(key)}")

    def around(self) -> Role | None:
        """Return the role that fills what growing leaves over, if the file names one."""
        name = " ".join(self.heads.get("around", "").casefold().split())
        if name and name not in self.roles:
            hint = nearest(name, self.roles)
            self.wrong(*self.head_at["around"], f"There is no role {quoted(name)}. {hint}")
        return Role(name) if name in self.roles else None

    def _read_head(self, number: int, line: str, key: str, value: str) -> None:
        self.heads[key] = value.casefold() if key == "grow" else value
        self.head_at[key] = number, len(line.rstrip()) - len(value)
        ways = [str(way) for way in Growth]
        if key == "grow" and self.heads[key] not in ways:
            self.wrong(*self.head_at[key], f"No layout grows so. {nearest(value, ways)}")

    def _read_role(self, number: int, start: int, words: str) -> None:
        name, _, value = words.partition(":")
        name, value = " ".join(name.casefold().split()), value.strip().casefold()
        known = [*(str(group) for group in Value), _ANY]
        if not name or any(sign in name for sign in "(),="):
            self.wrong(number, start, "A role is a word or two without brackets, commas or =.")
        elif name in self.roles:
            self.wrong(number, start, f"The role {quoted(name)} is there already.")
        elif value and value not in known:
            at = start + len(words) - len(value)
            self.wrong(number, at, f"{quoted(value)} is no value. {nearest(value, known)}")
            self.roles[name] = None  # so that the units of this role are not called wrong as well
        else:
            self.roles[name] = Value(value) if value and value != _ANY else None

    def _read_unit(self, number: int, start: int, words: str) -> None:
        sign, equals, described = words.partition("=")
        sign = sign.strip()
        if words.startswith("==") or not equals or len(sign) != 1 or sign in "-:":
            self.wrong(number, start, "A unit begins with one sign and =, such as “a = square: …”.")
            if not equals and len(meant := words.split(maxsplit=1)[0]) == 1:
                self.units.setdefault(meant, _UNREADABLE)
            return
        if sign in self.units:
            self.wrong(number, start, f"The sign {quoted(sign)} has a unit already.")
        try:
            self.units[sign] = read_unit(described, self.roles)
        except WordsError as error:
            at = start + len(words) - len(described) + error.column
            self.wrong(number, at, error.sentence)
            self.units.setdefault(sign, _UNREADABLE)


_UNREADABLE: Final = read_unit("square: ?", {"?"})
"""Stands for a unit that could not be read, so that its sign is not called unknown as well."""


def _section_meant(words: str, section: str) -> str:
    """Return the part of the file that a line was to begin; empty where it was not to.

    Among rows of the grid no line begins one. Among roles it must be close: `rose:` is a role.
    """
    name, colon, _ = words.casefold().partition(":")
    if section == "grid" or not (colon or name in _SECTIONS):
        return ""
    among, cutoff = (_SECTIONS[1:], 0.85) if section == "roles" else (_SECTIONS, 0.6)
    return next(iter(get_close_matches(name, among, n=1, cutoff=cutoff)), "")


def _lines_known(key: str) -> str:
    return nearest(key.strip().casefold(), [*_HEADS, *_SECTIONS])


def _sign(number: int) -> str:
    return _SIGNS[number] if number < len(_SIGNS) else chr(0x4E00 + number - len(_SIGNS))


def _bad_file(mistakes: list[Mistake]) -> BadFileError:
    told = sorted(mistakes, key=lambda mistake: mistake.line)
    more = len(told) - _MOST_TOLD
    if more > 0:
        told = [*told[:_MOST_TOLD], Mistake(told[-1].line, f"and {more} more mistakes like these.")]
    one = len(mistakes) == 1
    return BadFileError(
        f"The layout holds {'a mistake' if one else f'{len(mistakes)} mistakes'}.",
        f"Put {'it' if one else 'them'} right in the file and read it again.",
        told,
        on_page=f"Put {'it' if one else 'them'} right in the text, and send it again.",
    )
