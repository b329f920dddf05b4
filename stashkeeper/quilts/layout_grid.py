"""From the signs drawn in a layout file to units placed in a grid."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from stashkeeper.errors import quoted
from stashkeeper.quilts.layout import LONGEST_SIDE, Placed, Unit


@dataclass(frozen=True, slots=True)
class Cell:
    """One sign of the grid, its line (from 1) and its column in the file (from 0)."""

    sign: str
    line: int
    column: int


type Tell = Callable[[int, int, str], None]
type Grid = Sequence[Sequence[Cell]]


def place_units(grid: Grid, units: Mapping[str, Unit], wrong: Tell) -> tuple[Placed, ...]:
    """Return every unit that the grid draws, from top left to bottom right.

    Mistakes go to `wrong(line, column, sentence)`; then the result is not to be used.
    """
    if _is_too_large(grid, wrong):
        return ()
    even, known = _is_even(grid, wrong), _is_known(grid, units, wrong)
    if not (even and known):
        return ()
    placed: list[Placed] = []
    taken: set[tuple[int, int]] = set()
    for row, cells in enumerate(grid):
        for column, cell in enumerate(cells):
            if (row, column) in taken:
                taken.remove((row, column))
                continue
            unit = units[cell.sign]
            placed.append(Placed(unit, column, row))
            if (unit.columns, unit.rows) != (1, 1):
                _cover(grid, row, column, unit, taken, wrong)
    return tuple(placed)


def _cover(
    grid: Grid, row: int, column: int, unit: Unit, taken: set[tuple[int, int]], wrong: Tell
) -> None:
    """Note the cells that a large unit covers; tell if they do not all bear its sign."""
    cell = grid[row][column]
    for r in range(row, row + unit.rows):
        for c in range(column, column + unit.columns):
            inside = r < len(grid) and c < len(grid[r])
            if not inside or grid[r][c].sign != cell.sign or (r, c) in taken:
                wrong(
                    cell.line,
                    cell.column,
                    f"{quoted(cell.sign)} covers {unit.columns} x {unit.rows} cells from here, "
                    "but they do not all bear its sign.",
                )
                return
            if (r, c) != (row, column):
                taken.add((r, c))


def _is_too_large(grid: Grid, wrong: Tell) -> bool:
    if not grid or max(len(grid), len(grid[0])) <= LONGEST_SIDE:
        return False
    wrong(grid[0][0].line, 0, f"A grid has at most {LONGEST_SIDE} columns and rows.")
    return True


def _is_even(grid: Grid, wrong: Tell) -> bool:
    first, even = len(grid[0]) if grid else 0, True
    for cells in grid:
        if len(cells) != first:
            even = False
            last = cells[-1]
            wrong(
                last.line,
                last.column,
                f"This row has {len(cells)} sign{'' if len(cells) == 1 else 's'}, "
                f"but the first row has {first}.",
            )
    return even


def _is_known(grid: Grid, units: Mapping[str, Unit], wrong: Tell) -> bool:
    """Tell whether every sign stands for a unit; a sign that does not is told once."""
    unknown: dict[str, list[Cell]] = {}
    for cells in grid:
        for cell in cells:
            if cell.sign not in units:
                unknown.setdefault(cell.sign, []).append(cell)
    for sign, cells in unknown.items():
        more = f" It is drawn {len(cells)} times." if len(cells) > 1 else ""
        wrong(cells[0].line, cells[0].column, f"The sign {quoted(sign)} stands for no unit.{more}")
    return not unknown
