"""The solver behind our settings reaches the published optimum of every instance.

Sources, named again in the file of numbers: Christofides and Whitlock 1977; Herz 1972; Beasley 1985
with the optima of Cintra; Oliveira and Ferreira 1990; Cung, Hifi and Le Cun 2000; Berkey and Wang
1987; Martello and Vigo 1998.
"""

from collections.abc import Iterator
from typing import Any

import pytest

from stashkeeper.cutting.engine import Engine
from stashkeeper.cutting.task import Answer, Item, Objective, Stock, Task
from tests.cutting.conftest import read_json
from tests.cutting.gilmore_gomory import full_table

INSTANCES = read_json("published_instances.json")["instances"]
UNLIMITED = [one for one in INSTANCES if one["rule"].startswith("unlimited")]
BINS = [one for one in INSTANCES if one["rule"].startswith("bin packing")]
ONE_PIECE = [one for one in INSTANCES if one not in BINS]
SECONDS = 1.0


def named(instance: dict[str, Any]) -> str:
    return f"{instance['name']}: {instance['rule']}"


def items(instance: dict[str, Any]) -> tuple[Item, ...]:
    width, length = instance["stock"]
    unlimited = instance["rule"].startswith("unlimited")
    fixed = "rotation" not in instance["rule"]
    return tuple(
        Item(w, x, width * length // (w * x) if unlimited else copies, fixed, profit)
        for w, x, copies, profit in instance["items"]
    )


def profit(instance: dict[str, Any], answer: Answer | None) -> float:
    assert answer is not None
    laid = [node.item for layout in answer for node in layout.nodes if node.item >= 0]
    most = [item.copies for item in items(instance)]
    assert all(laid.count(number) <= copies for number, copies in enumerate(most))
    return float(sum(instance["items"][number][3] for number in laid))


def asked(instance: dict[str, Any]) -> Iterator[tuple[int, int, str]]:
    """Yield each optimum with the stages and the first cut it stands for."""
    if "any stages" in instance["rule"]:
        yield instance["optimum"], 0, "Any"
    else:
        for optimum, first in zip(instance["optimum"], ("Horizontal", "Vertical"), strict=True):
            yield optimum, 2, first


@pytest.mark.parametrize("instance", ONE_PIECE, ids=named)
def test_one_piece_yields_the_published_optimum(engine: Engine, instance: dict[str, Any]) -> None:
    stock = (Stock(*instance["stock"]),)
    for optimum, stages, first in asked(instance):
        task = Task(Objective.MOST_ON_ONE, stock, items(instance), stages, first, SECONDS)
        assert profit(instance, engine.ask(task)) == optimum


@pytest.mark.parametrize("instance", BINS, ids=named)
def test_as_few_pieces_as_published_suffice(engine: Engine, instance: dict[str, Any]) -> None:
    width, length = instance["stock"]
    stock = (Stock(width, length, copies=len(instance["items"])),)
    task = Task(Objective.LEAST_COST, stock, items(instance), 3, "Horizontal", SECONDS)
    answer = engine.ask(task)
    assert answer is not None
    assert sum(layout.copies for layout in answer) == instance["optimum"]


@pytest.mark.parametrize("instance", UNLIMITED, ids=named)
def test_the_full_table_agrees_where_copies_are_unlimited(instance: dict[str, Any]) -> None:
    width, length = instance["stock"]
    kinds = [(w, x, float(profit)) for w, x, _, profit in instance["items"]]
    table = full_table(width, length, kinds, turning="rotation" in instance["rule"])
    assert table[width, length] == instance["optimum"]
