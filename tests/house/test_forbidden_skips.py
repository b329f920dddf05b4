"""A run that forbids skips fails on one, and says why."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests import conftest


def run_with_a_skip(folder: Path, reason: str, **environment: str) -> tuple[int, str]:
    """Run pytest on one test that skips for `reason`; return its exit status and what it said."""
    shutil.copy(conftest.__file__, folder / "conftest.py")
    test = f"import pytest\n\ndef test_one():\n    pytest.skip({reason!r})\n"
    (folder / "test_skips.py").write_text(test, encoding="utf-8")
    ours = (conftest.CHECK_PHOTOS, conftest.FORBID_SKIPS)
    inherited = {name: value for name, value in os.environ.items() if name not in ours}
    run = subprocess.run(
        [sys.executable, "-m", "pytest", "-p", "no:cacheprovider", "-c", os.devnull, folder],
        env=inherited | environment, capture_output=True, text=True, check=False,
    )  # fmt: skip
    return run.returncode, run.stdout


@pytest.mark.parametrize(
    ("reason", "environment", "status"),
    [
        ("no browser here", {}, 0),
        ("no browser here", {conftest.FORBID_SKIPS: "1"}, 1),
        (conftest.NO_CHECK_PHOTOS, {conftest.FORBID_SKIPS: "1"}, 0),
        (conftest.NO_CHECK_PHOTOS, {conftest.FORBID_SKIPS: "1", conftest.CHECK_PHOTOS: "x"}, 1),
    ],
)
def test_a_skip_fails_the_run_where_skips_are_forbidden(
    tmp_path: Path, reason: str, environment: dict[str, str], status: int
) -> None:
    returned, said = run_with_a_skip(tmp_path, reason, **environment)
    assert returned == status, said
    assert (reason in said) == (status == 1)
