"""A progress bar with the time left, on the error stream so that answers stay clean."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager

Report = Callable[[int, int, str], None]
"""Called with how many are done, how many there are, and the name of the one just done."""


@contextmanager
def progress_bar(doing: str, hidden: bool) -> Iterator[Report]:
    """Show a bar while work goes on; give the function that moves it."""
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn
    from rich.progress import TimeRemainingColumn as TimeLeft

    console = Console(stderr=True)
    columns = (
        TextColumn(doing),
        BarColumn(),
        MofNCompleteColumn(),
        TimeLeft(),
        "{task.fields[at]}",
    )
    quiet = hidden or not console.is_terminal
    with Progress(*columns, console=console, disable=quiet, transient=True) as bar:
        task = bar.add_task(doing, total=None, at="")

        def report(done: int, total: int, name: str) -> None:
            bar.update(task, completed=done, total=total, at=name)

        yield report
