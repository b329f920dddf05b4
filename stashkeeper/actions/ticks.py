"""Ticks on the steps of a plan: how far a person is with ruler and cutter.

They are no deed: they change nothing on the shelf, and nobody wants them in the history. So they
lie beside the catalogue, a small file a plan, and survive a reload, another browser and a restart.
"""

import json
from collections.abc import Mapping
from pathlib import Path
from threading import Lock

from stashkeeper.actions.stash import Stash
from stashkeeper.whole_file import write_whole

_LOCK = Lock()


def ticks(stash: Stash, number: int) -> dict[str, frozenset[int]]:
    """Return the steps that are ticked, by the piece or stack they belong to."""
    try:
        kept = json.loads(_file(stash, number).read_bytes())
        return {str(part): frozenset(map(int, steps)) for part, steps in kept.items()}
    except (OSError, ValueError, TypeError, AttributeError):
        return {}  # nothing is ticked yet, or the file is damaged: ticks are only a comfort


def tick(stash: Stash, number: int, part: str, step: int, *, done: bool) -> frozenset[int]:
    """Tick a step, or take its tick away; return the steps of the part that are ticked now.

    Args:
        stash: the open stash.
        number: of a plan that is there.
        part: the code of a piece, or the name of a stack.
        step: its number there.
        done: whether it is done.

    Raises:
        CannotWriteError: the file cannot be written.
    """
    with _LOCK:
        known: Mapping[str, frozenset[int]] = ticks(stash, number)
        before = known.get(part, frozenset())
        now = before | {step} if done else before - {step}
        all_of_it = {**known, part: now}
        content = {one: sorted(steps) for one, steps in all_of_it.items() if steps}
        write_whole(_file(stash, number), [json.dumps(content).encode()])
    return now


def _file(stash: Stash, number: int) -> Path:
    return stash.home / "ticks" / f"plan-{number}.json"
