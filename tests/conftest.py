"""What every room's tests share: the checkout, the photos to check against, and no silent skips."""

import functools
import gc
import os
from pathlib import Path

import pytest
import typer.main
import typer.testing
from hypothesis import settings

settings.register_profile("seeded", derandomize=True)
settings.register_profile("exploring", derandomize=False)
settings.load_profile("seeded")  # a run tells of the change at hand, not of the luck of the day

# The commands are the same for every word typed; to build them anew takes longer than most answers.
typer.testing._get_command = functools.cache(typer.main.get_command)  # type: ignore[attr-defined]

CHECK_PHOTOS = "STASHKEEPER_CHECK_PHOTOS"
FORBID_SKIPS = "STASHKEEPER_FORBID_SKIPS"
NO_CHECK_PHOTOS = f"{CHECK_PHOTOS} names no folder of photos to check against"

checkout = Path(__file__).resolve().parent.parent


def pytest_collection_finish() -> None:
    """Look for rubbish as rarely as the program does, and not among what lives till the end."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 20)


@pytest.fixture(scope="session")
def check_photos() -> Path:
    """Return the folder of real photos with known properties, or skip where there is none."""
    folder = os.environ.get(CHECK_PHOTOS, "")
    if not folder or not Path(folder).is_dir():
        pytest.skip(NO_CHECK_PHOTOS)
    return Path(folder)


def forbidden(reason: str) -> bool:
    """Tell whether a skip counts as a failure: all do, except photos nobody said were there."""
    allowed = NO_CHECK_PHOTOS in reason and not os.environ.get(CHECK_PHOTOS)
    return not allowed


def forbidden_skips(config: pytest.Config) -> list[str]:
    """Return "where: why" for every skip that this run forbids."""
    reporter = config.pluginmanager.get_plugin("terminalreporter")
    if reporter is None or os.environ.get(FORBID_SKIPS) != "1":
        return []
    skipped = [
        (report.nodeid, str(report.longrepr)) for report in reporter.stats.get("skipped", [])
    ]
    return [f"{where}: {why}" for where, why in skipped if forbidden(why)]


def pytest_sessionfinish(session: pytest.Session) -> None:
    """Fail a run that skipped what it must not."""
    if forbidden_skips(session.config):
        session.exitstatus = pytest.ExitCode.TESTS_FAILED


def pytest_terminal_summary(
    terminalreporter: pytest.TerminalReporter, config: pytest.Config
) -> None:
    """Say which skips failed the run."""
    skips = forbidden_skips(config)
    if skips:
        terminalreporter.section("skips are forbidden in this run", red=True)
        for line in skips:
            terminalreporter.line(line)
