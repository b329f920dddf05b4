"""A disk that is full or read-only, and databases that are not for this program."""

import errno
import os
import resource
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

from tests.cli.patches import photo_of
from tests.cli.terminal import Terminal


def test_a_full_disk_keeps_no_half_photo(run: Terminal, monkeypatch: pytest.MonkeyPatch) -> None:
    photo_of(Path("sage.png"), 55)

    def full(_file: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", full)
        said = run.refused("add Sage --size fq --photo sage.png")
        assert "No space left on device" in said
        Path("shots").mkdir()
        photo_of(Path("shots/moss.png"), 40)
        assert "No space left on device" in run.refused("intake shots")
    assert run.json("intake shots")["pieces"][0]["name"] == "moss"


def limited(home: Path, most: int, *words: str) -> subprocess.CompletedProcess[str]:
    """Run the program so that no file may grow beyond `most` bytes, as on a disk running full.

    Beyond a limit the system sends SIGXFSZ, which Python ignores, and answers EFBIG (setrlimit(2)).
    """

    def limit() -> None:
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))

    return subprocess.run(
        [sys.executable, "-m", "stashkeeper", "--stash", str(home), *words],
        capture_output=True, text=True, check=False, preexec_fn=limit,
    )  # fmt: skip


def test_no_room_for_the_database_or_a_photo(run: Terminal) -> None:
    """The shelf.

    | name |
    | Moss |
    """
    before = run.all_of_it()
    size = (run.home / "stash.db").stat().st_size
    ended = limited(run.home, size, "add", "Fern", "--size", "fq", "--count", "900")
    assert ended.returncode == 1, ended
    assert "Traceback" not in ended.stderr
    assert len(ended.stderr.splitlines()) == 2, ended.stderr
    assert run.all_of_it() == before
    Path("noise.bmp").write_bytes(noise())
    ended = limited(run.home, 200_000, "add", "Fern", "--size", "fq", "--photo", "noise.bmp")
    assert ended.returncode == 1, ended
    assert "File too large" in ended.stderr
    assert len(ended.stderr.splitlines()) == 2, ended.stderr
    assert run.all_of_it() == before
    run("add Fern --size fq --photo noise.bmp")


def noise() -> bytes:
    """Return a picture of 480,054 bytes (BMP: 54 bytes of head, 3 bytes a pixel)."""
    size = 400 * 400 * 3
    head = b"BM" + (54 + size).to_bytes(4, "little") + bytes(4) + (54).to_bytes(4, "little")
    info = [(40, 4), (400, 4), (400, 4), (1, 2), (24, 2), (0, 4), (size, 4)]
    fields = b"".join(number.to_bytes(width, "little") for number, width in info) + bytes(16)
    return head + fields + bytes(range(256)) * (size // 256)


@pytest.fixture
def small_disk(run: Terminal, tmp_path: Path) -> Path:
    """Return a folder on a disk of its own of one megabyte, or skip where none can be made."""
    disk = tmp_path / "small disk"
    disk.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=1m", "tmpfs", str(disk)]
    try:
        made = subprocess.run(mount, capture_output=True, check=False).returncode == 0
    except FileNotFoundError:
        made = False
    if not made:
        pytest.skip("only the system's owner can mount a small disk")
    return disk


def test_a_disk_that_runs_full(run: Terminal, small_disk: Path) -> None:
    try:
        stash = small_disk / "stash"
        there = Terminal(stash)
        there(f"add Moss --size fq --stash '{stash}'")
        used = sum(path.stat().st_size for path in stash.iterdir())
        (small_disk / "ballast").write_bytes(bytes(1_000_000 - used - 120_000))
        Path("noise.bmp").write_bytes(noise())
        refusals, note = 0, "y" * 9999
        for number in range(16):
            answer = there.type(f"add Fern{number} --size fq --stash '{stash}'", "--note", note)
            if answer.status:
                assert "The disk is full" in answer.errors, answer
                refusals += 1
        assert refusals, "it never ran full"
        assert "No space left" in there.refused(
            f"add Plum --size fq --stash '{stash}' --photo noise.bmp"
        )
        whole = there.json(f"list --stash '{stash}'")["pieces"]
        assert len(whole) == 17 - refusals
        (small_disk / "ballast").unlink()
        there(f"add Plum --size fq --stash '{stash}'")
    finally:
        subprocess.run(["umount", str(small_disk)], check=True)


def test_a_sheet_that_cannot_be_written(run: Terminal, tmp_path: Path) -> None:
    """The shelf.

    | name  | lightness |
    | Cream | 90        |
    """
    (tmp_path / "shelf.pdf").mkdir()
    assert "cannot be written" in run.refused("sheet shelf.pdf")
    Path("file").write_text("in the way")
    assert "cannot be written" in run.refused("sheet file/shelf.pdf")
    assert "cannot be written" in run.refused("sheet /proc/shelf.pdf")


def test_a_read_only_stash_is_read_but_not_changed(run: Terminal) -> None:
    """The shelf.

    | name  | lightness |
    | Cream | 90        |
    """
    disk = run.home
    mounted = subprocess.run(
        ["mount", "--bind", "-o", "ro", str(disk), str(disk)], capture_output=True, check=False
    )
    if mounted.returncode:
        pytest.skip("only the system's owner can mount a folder read-only")
    try:
        assert run.codes() == ["A1"]
        assert "Cream" in run("sort")
        for words in (
            "add Moss --size fq", "change A1 --at Attic", "end A1 --how sold", "lightness A1 5",
            "undo", "bands --dark-below 30",
        ):  # fmt: skip
            assert "The stash is read-only here, so nothing was changed." in run.refused(words)
        assert "cannot be written" in run.refused("settings measure cm")
        photo_of(Path("sage.png"), 55)
        run.refused("add Sage --size fq --photo sage.png")
    finally:
        subprocess.run(["umount", str(disk)], check=True)


def test_a_stash_of_a_newer_program_is_left_alone(run: Terminal) -> None:
    """The shelf.

    | name |
    | Moss |
    """
    with closing(sqlite3.connect(run.home / "stash.db")) as database, database:
        database.execute("UPDATE alembic_version SET version_num = '9999_from_the_future'")
    for words in ("list", "add Fern --size fq", "show A1", "undo", "migrate", "intake ."):
        said = run.refused(words)
        assert "newer Stashkeeper" in said
    assert sorted(path.name for path in run.home.iterdir()) == ["stash.db"]


@pytest.mark.parametrize(
    "content", [b"this is no database", b"\0" * 5000, b"SQLite format 3\0junk"]
)
def test_a_file_that_is_no_stash_is_left_alone(run: Terminal, content: bytes) -> None:
    file = run.home / "stash.db"
    file.write_bytes(content)
    answer = run.type("list")
    assert answer.status == 1, answer
    assert "damaged, or is not a stash at all" in answer.errors
    assert file.read_bytes() == content


def test_an_empty_database_file_becomes_a_stash(run: Terminal) -> None:
    (run.home / "stash.db").write_bytes(b"")
    run("add Moss --size fq")
    assert run.codes() == ["A1"]


def test_a_stash_where_a_file_is_in_the_way(run: Terminal, tmp_path: Path) -> None:
    Path("file").write_text("x")
    assert "is a file, and a stash lives in a folder" in run.refused("list --stash file")
    assert "cannot be made" in run.refused("list --stash /proc/nowhere/stash")
    long = "x" * 300
    assert run.type(f"list --stash {long}").status == 1


def test_a_busy_stash_is_waited_for_and_then_told(
    run: Terminal, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The shelf.

    | name |
    | Moss |
    """
    monkeypatch.setattr("stashkeeper.catalogue.database.SECONDS_TO_WAIT", 0.2)
    with closing(sqlite3.connect(run.home / "stash.db", isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        answer = run.type("add Fern --size fq")
        assert answer.status == 1, answer
        assert "busy" in answer.errors
        other.execute("ROLLBACK")
    run("add Fern --size fq")


def test_a_fault_of_the_program_itself_is_told_without_a_traceback(
    run: Terminal, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The shelf.

    | name |
    | Moss |
    """

    def broken(*_: object) -> None:
        raise RuntimeError("a fault of ours")

    monkeypatch.setattr("stashkeeper.actions.pieces.listing", broken)
    answer = run.type("list")
    assert answer.status == 70
    first, second = answer.errors.splitlines()
    assert first == "This is a fault in Stashkeeper, not yours: RuntimeError."
    details = Path(second.rsplit(" ", 1)[1])
    assert "a fault of ours" in details.read_text()
    details.unlink()
