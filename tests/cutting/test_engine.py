"""A solver that finds nothing, hangs, dies or eats memory costs its answer and nothing else."""

import os
import time
from multiprocessing.connection import Connection

import pytest

from stashkeeper.cutting.check import prove
from stashkeeper.cutting.engine import Engine, serve
from stashkeeper.cutting.planner import plan_cuts
from stashkeeper.cutting.task import Item, Objective, Stock, Task
from tests.cutting.inches import cloth, cut

PIECES = [cloth("F1", 18, 21), cloth("F2", 10, 12), cloth("F3", 42, 36)]
CUTS = [cut("A", 4.5, 4.5, 12), cut("B", 2.5, 6.5, 10), cut("C", 3.5, 3.5, 7)]
EASY = Task(Objective.MOST_ON_ONE, (Stock(18, 21),), (Item(6, 7, 9, fixed=False),), seconds=0.1)


def finds_nothing(wire: Connection) -> None:
    wire.send("ready")
    while True:
        wire.recv()
        wire.send((None, True))


def hangs(wire: Connection) -> None:
    wire.send("ready")
    wire.recv()
    time.sleep(600)


def dies(wire: Connection) -> None:
    wire.send("ready")
    wire.recv()
    os._exit(11)


def never_gets_ready(wire: Connection) -> None:
    time.sleep(600)


def dies_at_once(wire: Connection) -> None:
    os._exit(11)


def talks_nonsense(wire: Connection) -> None:
    wire.send("ready")
    while True:
        wire.recv()
        wire.send("no answer at all")


def lies(wire: Connection) -> None:
    """Answer every task with a layout of somebody else's piece."""
    from stashkeeper.cutting.task import Layout, Node

    wire.send("ready")
    while True:
        wire.recv()
        root, leaf = Node(-1, 0, 999, 0, 999, -2), Node(0, 0, 999, 0, 999, 0)
        wire.send(((Layout(0, 1, (root, leaf)),), True))


def patience(solver: object) -> float:
    """Return how long to wait for a solver to get ready: not long where it never does."""
    return 0.2 if solver is never_gets_ready else 20


FAULTY = [finds_nothing, hangs, never_gets_ready, dies, dies_at_once, talks_nonsense, lies]


@pytest.mark.parametrize("solver", FAULTY)
def test_a_plan_is_made_and_proven_whatever_the_solver_does(solver) -> None:  # type: ignore[no-untyped-def]
    with Engine(solver=solver, grace=0.05, patience=patience(solver)) as engine:
        plans = plan_cuts(PIECES, CUTS, seconds=0.3, engine=engine)
    for plan in (plans.scraps_first, plans.least_cloth):
        prove(plan, PIECES, CUTS)


@pytest.mark.parametrize("solver", [hangs, dies, dies_at_once])
def test_a_solver_that_fails_three_times_is_not_asked_again(solver) -> None:  # type: ignore[no-untyped-def]
    with Engine(solver=solver, grace=0.05) as engine:
        assert [engine.ask(EASY) for _ in range(5)] == [None] * 5
        assert engine.failures == 3


def test_a_solver_that_died_once_is_started_anew() -> None:
    with Engine() as engine:
        assert engine.ask(EASY)
        engine.process.kill()
        assert engine.ask(EASY) is None
        assert engine.ask(EASY)


def test_a_stopped_search_gives_the_best_so_far_at_once() -> None:
    told: list[int] = []
    plans = plan_cuts(
        PIECES,
        CUTS,
        seconds=60,
        stop=lambda: bool(told),
        progress=lambda now: told.append(now.opened),
    )
    assert told
    prove(plans.scraps_first, PIECES, CUTS)


def test_areas_that_would_kill_the_solver_are_not_put_to_it() -> None:
    huge = Task(Objective.MOST_ON_ONE, (Stock(2**27, 2**27),), (Item(3, 3, 1, fixed=False),))
    with Engine() as engine:
        assert engine.ask(huge) is None
        assert engine.failures == 0


def test_a_task_the_solver_refuses_gets_no_answer_and_it_lives_on() -> None:
    refused = Task(Objective.MOST_ON_ONE, (Stock(18, 21),), EASY.items, first="Sideways")
    with Engine() as engine:
        assert engine.ask(refused) is None
        assert engine.ask(EASY)
        assert engine.failures == 0


def hungry(wire: Connection) -> None:
    """Take more memory than is allowed, under the real solver's own limits."""
    from stashkeeper.cutting import engine, task

    engine.solve = lambda *_: (task.Layout(0, len(bytearray(engine.MEMORY_LIMIT)), ()),)
    serve(wire)


@pytest.mark.skipif(os.name == "nt", reason="Windows has no memory limit for one process")
def test_a_solver_that_eats_memory_is_held_back() -> None:
    with Engine(solver=hungry) as engine:
        assert engine.ask(EASY) is None
        assert engine.failures == 0
