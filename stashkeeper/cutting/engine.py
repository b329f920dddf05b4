"""The solver, at arm's length: the only file that knows it.

The solver runs in a process of its own, with a memory limit, and is stopped when its time is up:
whatever it does there (finds nothing, hangs, dies) can only cost its answer. Everything it says is
checked again by whoever asked.
"""

import multiprocessing
import signal
from collections.abc import Callable, Iterator
from contextlib import suppress
from multiprocessing.connection import Connection
from typing import Any, Final, Self

from stashkeeper.cutting.task import Answer, Layout, Node, Objective, Task

LARGEST_AREA: Final = 2**53
"""The solver dies on areas of 2⁶³ and reckons in doubles before that."""

MEMORY_LIMIT: Final = 2 << 30
"""Bytes the solver's process may use, itself included (Linux and macOS)."""

GRACE_SECONDS: Final = 1.0
"""How long after its time is up the solver may still answer before it counts as hanging."""

START_SECONDS: Final = 20.0
"""How long the solver's process may take to get ready, on a busy machine."""

MOST_FAILURES: Final = 3
"""A solver that hung or died so often is not asked again."""

_LOOK_SECONDS: Final = 0.05
_WORTH_TELLING: Final = 0.2


type Solver = Callable[[Connection], None]


def _never() -> bool:
    return False


class Engine:
    """The solver's process, started when first asked and ended with the `with` block.

    Args:
        stop: asked many times a second; once it says yes, every answer is what was found so far.
        solver: what runs in the process; tests put in solvers that hang or die.
        grace: seconds to wait for an answer beyond the time it may take.
        patience: seconds the process may take to get ready.
    """

    def __init__(
        self,
        stop: Callable[[], bool] = _never,
        solver: Solver | None = None,
        grace: float = GRACE_SECONDS,
        patience: float = START_SECONDS,
    ) -> None:
        self.stop = stop
        self.grace = grace
        self.patience = patience
        self.failures = 0
        self.process: Any = None
        self._solver = solver or serve
        self._wire: Connection | None = None

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def get_ready(self) -> None:
        """Start the process now, so that the time of the first question is not lost on it."""
        if self.failures < MOST_FAILURES and not self.stop():
            try:
                self._start()
            except (OSError, EOFError):
                self.failures += 1
                self.close()

    def ask(self, task: Task) -> Answer | None:
        """Return the best answer found in the task's time, or None: no word on why.

        A solver that hangs or dies is ended, and started anew for the next question; after three
        failures it is not asked again.
        """
        if self.failures >= MOST_FAILURES or self.stop() or not _within_limits(task):
            return None
        best: Answer | None = None
        try:
            self._start().send(task)
            for answer, last in self._answers(task.seconds):
                best = answer if answer is not None else best
                if last:
                    return best
        except (OSError, EOFError, ValueError, TypeError):
            pass
        if not self.stop():
            self.failures += 1
        self.close()
        return best

    def close(self) -> None:
        """End the solver's process."""
        process, wire = self.process, self._wire
        self.process = self._wire = None
        if wire is not None:
            wire.close()
        if process is not None:
            process.kill()
            process.join()
            process.close()

    def _start(self) -> Connection:
        """Return the wire to a process that is ready."""
        if self._wire is not None:
            return self._wire
        spawn = multiprocessing.get_context("spawn")
        self._wire, theirs = spawn.Pipe()
        process = spawn.Process(target=self._solver, args=(theirs,), daemon=True)
        process.start()
        self.process = process
        theirs.close()
        if not self._wait(self.patience):
            raise OSError("the solver's process did not get ready")
        self._wire.recv()
        return self._wire

    def _answers(self, seconds: float) -> Iterator[tuple[Answer | None, bool]]:
        """Yield answers as they get better, the last one marked, until time is up."""
        wire = self._wire
        while wire is not None and self._wait(seconds + self.grace):
            yield wire.recv()

    def _wait(self, seconds: float) -> bool:
        """Wait until the process says something; tell whether it did, in time and unstopped."""
        for _ in range(int(seconds / _LOOK_SECONDS) + 1):
            if self._wire is not None and self._wire.poll(_LOOK_SECONDS):
                return True
            if self.stop():
                return False
        return False


def _within_limits(task: Task) -> bool:
    return bool(task.items and task.stock) and all(
        0 < stock.width * stock.length < LARGEST_AREA for stock in task.stock
    )


def serve(wire: Connection) -> None:
    """Answer tasks until the wire is closed. Runs in the solver's own process."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _limit_memory()
    wire.send("ready")
    with suppress(EOFError, OSError):
        while True:
            task: Task = wire.recv()
            wire.send((_solved(task, wire), True))


def _limit_memory() -> None:
    try:
        import resource
    except ImportError:
        return
    with suppress(ValueError, OSError):
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY_LIMIT, MEMORY_LIMIT))


def _solved(task: Task, wire: Connection) -> Answer | None:
    """Return the answer; none where the solver gives up with an error of its own."""
    try:
        return solve(task, wire)
    except (ArithmeticError, AttributeError, MemoryError, RuntimeError, TypeError, ValueError):
        return None


def solve(task: Task, wire: Connection) -> Answer | None:
    """Put the task to the solver, sending better answers as they come. Its own process only."""
    import packingsolver.rectangleguillotine as solver

    builder = solver.InstanceBuilder()
    builder.set_objective(getattr(solver.Objective, task.objective.value))
    for stock in task.stock:
        builder.add_bin_type(stock.width, stock.length, copies=stock.copies, cost=stock.cost)
    for item in task.items:
        builder.add_item_type(
            item.width, item.length, copies=item.copies, oriented=item.fixed, profit=item.profit
        )
    if task.stages:
        builder.set_number_of_stages(task.stages)
    else:
        builder.set_number_of_stages_unlimited()
    builder.set_first_stage_orientation(getattr(solver.CutOrientation, task.first))
    found = solver.optimize(builder.build(), _parameters(solver, task, wire)).solution
    return _answer(found)


def _parameters(solver: Any, task: Task, wire: Connection) -> Any:
    parameters = solver.OptimizeParameters()
    parameters.time_limit = task.seconds
    parameters.verbosity_level = 0
    if task.stages == 0:
        parameters.use_tree_search_hypergraph = True
    if task.objective is Objective.LEAST_COST:
        parameters.use_sequential_single_knapsack = True
        parameters.use_dichotomic_search = True
    if task.effort:
        parameters.optimization_mode = solver.OptimizationMode.NotAnytimeDeterministic
        parameters.not_anytime_tree_search_queue_size = task.effort
        parameters.not_anytime_tree_search_maximal_spaces_queue_size = task.effort
    if task.effort or task.seconds < _WORTH_TELLING:
        return parameters
    parameters.new_solution_callback = lambda output: _tell(wire, output.solution)
    return parameters


def _tell(wire: Connection, solution: Any) -> None:
    wire.send((_answer(solution), False))


def _answer(solution: Any) -> Answer | None:
    layouts = []
    for number in range(solution.number_of_different_bins()):
        found = solution.bin(number)
        nodes = tuple(
            Node(node.f, node.l, node.r, node.b, node.t, node.item_type_id if node.d > 0 else -2)
            for node in found.nodes
        )
        if any(node.item >= 0 for node in nodes):
            layouts.append(Layout(found.bin_type_id, found.copies, nodes))
    return tuple(layouts) or None
