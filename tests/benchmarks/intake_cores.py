"""Folder intake on two cores and on one: the same photos, taken in from the first to the last.

Run it by `uv run python tests/benchmarks/intake_cores.py [photos [rounds]]`. Target: two cores at
least 1.7 times as fast as one. Intakes on one core and on two alternate, and with them a bare
Pillow decode of the same photos in one thread and in two, which shows what this machine's second
core is worth in the same minutes: on a busy or virtual machine that is less than 2.

"One core" keeps the whole process on one core, as on a machine that has no other; "one worker" lets
the record be kept on the other core while the one worker measures.
"""

import os
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from PIL import Image

from stashkeeper.actions.intake import intake
from stashkeeper.actions.stash import open_stash
from stashkeeper.settings.load import load_settings
from tests.benchmarks.measure_photo import make_photo

PHOTOS = 24
ROUNDS = 5
TARGET = 1.7


def make_folder(folder: Path, count: int) -> list[Path]:
    """Write so many 12-megapixel JPEGs: one picture, each with a comment of its own."""
    folder.mkdir()
    make_photo(folder / "cloth.jpg")
    whole = (folder / "cloth.jpg").read_bytes()
    (folder / "cloth.jpg").unlink()
    photos = [folder / f"cloth {number:02}.jpg" for number in range(count)]
    for number, photo in enumerate(photos):
        text = f"photo {number}".encode()
        # A comment segment after the start of the image (JPEG, ITU-T T.81, B.2.4.5).
        comment = b"\xff\xfe" + (len(text) + 2).to_bytes(2) + text
        photo.write_bytes(whole[:2] + comment + whole[2:])
    return photos


def take_in(folder: Path, workers: int) -> float:
    """Take the folder into a fresh stash; return the wall time of the intake alone."""
    with (
        tempfile.TemporaryDirectory() as home,
        open_stash(load_settings(Path(home), {})) as stash,
    ):
        start = time.perf_counter()
        taken = intake(stash, folder, size="fat quarter", workers=workers)
        took = time.perf_counter() - start
        assert len(taken.pieces) == len(list(folder.iterdir())), taken.sentences
        return took


def decode(photo: Path) -> None:
    """Decode and do nothing else: the floor."""
    with Image.open(photo) as image:
        image.load()


def decode_all(photos: list[Path], workers: int) -> float:
    """Decode every photo in so many threads; return the wall time."""
    with ThreadPoolExecutor(workers) as pool:
        start = time.perf_counter()
        list(pool.map(decode, photos))
        return time.perf_counter() - start


def seconds(cores: set[int], work: Callable[[], float]) -> float:
    """Return the wall time of some work on these cores, as the work tells it."""
    if hasattr(os, "sched_setaffinity"):
        os.sched_setaffinity(0, cores)
    return work()


def main() -> None:
    """Make the photos, run all ways in turn, print the table."""
    asked = [int(word) for word in sys.argv[1:]]
    count, rounds = [*asked, *(PHOTOS, ROUNDS)[len(asked) :]]
    every = os.sched_getaffinity(0) if hasattr(os, "sched_getaffinity") else set(range(2))
    two = set(sorted(every)[:2])
    one = {min(two)}
    with tempfile.TemporaryDirectory() as base:
        folder = Path(base, "photos")
        photos = make_folder(folder, count)
        ways: dict[str, tuple[set[int], Callable[[], float]]] = {
            "intake, one core": (one, lambda: take_in(folder, 1)),
            "intake, one worker": (two, lambda: take_in(folder, 1)),
            "intake, two cores": (two, lambda: take_in(folder, 2)),
            "bare decode, one core": (one, lambda: decode_all(photos, 1)),
            "bare decode, two cores": (two, lambda: decode_all(photos, 2)),
        }
        took: dict[str, list[float]] = {name: [] for name in ways}
        decode_all(photos[:2], 2)
        for _ in range(rounds):
            for name, (cores, work) in ways.items():
                took[name].append(seconds(cores, work))
    middle = {name: statistics.median(times) for name, times in took.items()}
    print(f"{count} JPEGs of 12 megapixels, median wall time of {rounds} rounds")
    for name, times in took.items():
        print(f"{name:24} {middle[name]:7.2f} s   {min(times):7.2f} s at best")
    best = {name: min(times) for name, times in took.items()}
    for told, found in (("median", middle), ("best", best)):
        ours = found["intake, one core"] / found["intake, two cores"]
        worker = found["intake, one worker"] / found["intake, two cores"]
        floor = found["bare decode, one core"] / found["bare decode, two cores"]
        print(
            f"by {told}: two cores × {ours:.2f} of one core (target {TARGET}), "
            f"× {worker:.2f} of one worker; bare decode × {floor:.2f}"
        )


if __name__ == "__main__":
    main()
