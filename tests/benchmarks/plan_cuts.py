"""Merit and time of plans for the cloth cases, beside a plain packing by a general library.

Run it by `uv run python tests/benchmarks/plan_cuts.py`. Targets: at least the best known merit
within 3 %, at most 2 s a case (3 s for 60 pieces), 5 s for 1,000 pieces. The library (rectpack, its
guillotine packing, pieces in ascending order) knows neither fixed grain nor what an off-cut is
worth, gives no order of cuts, and is scored with nothing left over but untouched pieces. Last come
the published instances: profit or pieces reached, and the time the solver took.
"""

import math
import random
import sys
import time
from pathlib import Path
from typing import Any

import rectpack

from stashkeeper.cloth.cloth import Cloth
from stashkeeper.cloth.cut import Cut
from stashkeeper.cutting.engine import Engine
from stashkeeper.cutting.planner import Plans, plan_cuts
from stashkeeper.cutting.task import Item, Objective, Stock, Task
from stashkeeper.errors import NoPlanError

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.cutting.inches import cloth, cut
from tests.cutting.test_cloth_cases import CASES, cuts, merit, named, shelf, worth
from tests.cutting.test_published_instances import BINS, ONE_PIECE, asked, items, profit
from tests.cutting.test_published_instances import named as instance_named


def plain_packing(pieces: list[Cloth], wanted: list[Cut]) -> tuple[float, int, float]:
    """Return the merit, the pieces opened and the seconds of the library's packing."""
    start = time.perf_counter()
    packer = rectpack.newPacker(
        mode=rectpack.PackingMode.Offline,
        bin_algo=rectpack.PackingBin.BFF,
        pack_algo=rectpack.GuillotineBssfSas,
        sort_algo=rectpack.SORT_AREA,
        rotation=not any(one.directional for one in wanted),
    )
    for piece in sorted(pieces, key=lambda piece: piece.size.area):
        packer.add_bin(piece.size.width.ticks, piece.size.length.ticks, bid=piece.code)
    for one in wanted:
        for _ in range(one.count):
            packer.add_rect(one.size.width.ticks, one.size.length.ticks)
    packer.pack()
    seconds = time.perf_counter() - start
    opened = [packed.bid for packed in packer if len(packed)]
    if len(packer.rect_list()) < sum(one.count for one in wanted):
        return math.inf, len(opened), seconds
    whole = {piece.code: piece.whole for piece in pieces}
    cost = sum(worth(whole[code].width, whole[code].length) for code in opened)
    return cost, len(opened), seconds


def planned(pieces: list[Cloth], wanted: list[Cut]) -> tuple[Plans | None, float]:
    """Return our plans and the seconds they took, the start of the solver included."""
    start = time.perf_counter()
    try:
        plans = plan_cuts(pieces, wanted)
    except NoPlanError:
        return None, time.perf_counter() - start
    return plans, time.perf_counter() - start


def thousand() -> dict[str, Any]:
    """Return a shelf of 1,000 scraps and fat quarters, and twelve cuts."""
    chance = random.Random(3)
    sides = [5, 7, 9, 10, 12, 14, 18, 42]
    pieces = [
        cloth(f"P{n}", chance.choice(sides), chance.randint(20, 160) / 4) for n in range(1000)
    ]
    short, long = [1.5, 2.5, 3.5, 4.5, 6.5], [1.5, 2.5, 4.5, 8.5, 12.5]
    wanted = [
        cut(f"C{n}", chance.choice(short), chance.choice(long), chance.randint(5, 40),
            directional=chance.random() < 0.3)
        for n in range(12)
    ]  # fmt: skip
    return {"pieces": pieces, "cuts": wanted}


def cloth_cases() -> None:
    """Print the cloth cases."""
    print(f"{'case':40} {'best':>6} {'merit':>6} {'over':>6} {'opened':>7} {'cuts':>5} "
          f"{'settings':>8} {'stages':>6} {'s':>5} | {'library':>7} {'opened':>6}")  # fmt: skip
    for case in CASES:
        show(named(case), case["best_known_merit"], shelf(case), cuts(case))
    more = thousand()
    show("1,000 pieces, 12 cuts", "-", more["pieces"], more["cuts"])


def show(name: str, best: Any, pieces: list[Cloth], wanted: list[Cut]) -> None:
    """Print one case."""
    plans, seconds = planned(pieces, wanted)
    if plans is None:
        print(f"{name[:40]:40} {'':6} no plan in {seconds:.2f} s ({best})")
        return
    plan = plans.scraps_first
    known = best if isinstance(best, int) else math.nan
    theirs, opened, _ = plain_packing(pieces, wanted)
    print(
        f"{name[:40]:40} {known:>6} {merit(plan):>6.0f} {merit(plan) / known - 1:>6.1%}"
        f" {plan.opened:>7} {plan.lines:>5} {plan.ruler_settings:>8} {plan.stages:>6}"
        f" {seconds:>5.2f} | {theirs:>7.0f} {opened:>6}"
    )


def published(engine: Engine) -> None:
    """Print the published instances."""
    for instance in ONE_PIECE:
        stock = (Stock(*instance["stock"]),)
        for optimum, stages, first in asked(instance):
            start = time.perf_counter()
            task = Task(Objective.MOST_ON_ONE, stock, items(instance), stages, first, 0.9)
            reached = profit(instance, engine.ask(task))
            tell(instance_named(instance), first, optimum, reached, time.perf_counter() - start)
    for instance in BINS:
        width, length = instance["stock"]
        kinds = items(instance)
        start = time.perf_counter()
        task = Task(
            Objective.LEAST_COST, (Stock(width, length, copies=20),), kinds, 3, "Horizontal", 0.9
        )
        opened = sum(layout.copies for layout in engine.ask(task) or ())
        tell(instance_named(instance), "bins", instance["optimum"], opened,
             time.perf_counter() - start)  # fmt: skip


def tell(name: str, first: str, optimum: float, reached: float, seconds: float) -> None:
    """Print one published instance."""
    print(f"{name[:60]:60} {first:>10} {optimum:>8.0f} {reached:>8.0f} {seconds:>6.2f} s")


def main() -> None:
    """Print both tables."""
    cloth_cases()
    print()
    with Engine() as engine:
        engine.ask(Task(Objective.MOST_ON_ONE, (Stock(9, 9),), (Item(4, 4, 4, fixed=True),)))
        published(engine)


if __name__ == "__main__":
    main()
