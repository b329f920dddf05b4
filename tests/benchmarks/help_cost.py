"""What `--help` and the first commands cost: CPU time of whole processes, floors beside them.

Run it by `uv run python tests/benchmarks/help_cost.py`. Targets: `--help` at most 2 times the CPU
time of a Python that imports typer and rich and nothing else; commands that open the stash about
1 s. Processes of all kinds alternate; the median of each is shown.
"""

import os
import resource
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

ROUNDS = 11
HELP_TARGET, COMMAND_TARGET = 2.0, 1.0
FLOOR = "import typer, typer.rich_utils"
"""Typer, and of rich all that its help needs; typer itself loads the second when help is asked."""
BARE_FLOOR = "import typer, rich.console, rich.panel, rich.table"
"""Typer, and of rich only what any table needs."""
PROGRAM = "from stashkeeper.__main__ import main; main()"


def cpu_seconds(code: str, *words: str) -> float:
    """Return the CPU time of a Python process that runs `code` with these words."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([sys.executable, "-c", code, *words], check=True, stdout=subprocess.DEVNULL)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main() -> None:
    """Run all processes in turn and print the table."""
    with tempfile.TemporaryDirectory() as home:
        os.environ["STASHKEEPER_HOME"] = str(Path(home, "stash"))
        cpu_seconds(PROGRAM, "add", "Moss", "--size", "18 x 21", "--lightness", "50")
        kinds: dict[str, tuple[str, ...]] = {
            "bare Python": ("pass",),
            "import typer and rich": (FLOOR,),
            "the same, less of rich": (BARE_FLOOR,),
            "--help": (PROGRAM, "--help"),
            "add --help": (PROGRAM, "add", "--help"),
            "--version": (PROGRAM, "--version"),
            "list": (PROGRAM, "list"),
            "show A1": (PROGRAM, "show", "A1"),
            "sort": (PROGRAM, "sort"),
            "history A1": (PROGRAM, "history", "A1"),
            "add": (PROGRAM, "add", "Fern", "--size", "fq"),
        }
        took: dict[str, list[float]] = {name: [] for name in kinds}
        for _ in range(ROUNDS):
            for name, words in kinds.items():
                took[name].append(cpu_seconds(*words))
    middle = {name: statistics.median(times) for name, times in took.items()}
    floor = middle["import typer and rich"]
    print(f"{'process':24} {'CPU ms':>8} {'× floor':>8}")
    for name, seconds in middle.items():
        print(f"{name:24} {1e3 * seconds:8.0f} {seconds / floor:8.2f}")
    print(
        f"Targets: --help × {HELP_TARGET:g} of the floor; "
        f"commands about {1e3 * COMMAND_TARGET:.0f} ms."
    )


if __name__ == "__main__":
    main()
