"""Time of finding and reading the reference card in 12 megapixels, beside a bare decode.

Run it by `uv run python -m tests.benchmarks.find_card`. Target: opening, finding and reading take
at most twice the CPU time of a bare Pillow decode plus 0.1 s.
"""

import io
import statistics
import time
from collections.abc import Callable

from PIL import Image

from stashkeeper.luminance.card_finder import find_card
from stashkeeper.luminance.card_layout import usual_lightness
from stashkeeper.luminance.card_reading import read_card
from stashkeeper.luminance.decode import open_photo
from tests.simulated_phone.posed import Pose, seen

ROUNDS = 9
POSES = {
    "card large in the photo": Pose(300, turn=10, tilt=8, width=4000, height=3000),
    "card of middle size": Pose(170, turn=20, tilt=12, width=4000, height=3000),
    "card small in the photo": Pose(90, turn=40, tilt=15, width=4000, height=3000),
}


def cpu_time(way: Callable[[bytes], object], file: bytes) -> float:
    """Return the CPU seconds of one run, in all threads."""
    start = time.process_time()
    way(file)
    return time.process_time() - start


def bare_decode(file: bytes) -> None:
    """Decode and do nothing else: the floor."""
    with Image.open(io.BytesIO(file)) as image:
        image.load()


def found_and_read(file: bytes) -> None:
    """Open, find and read, as the program does."""
    photo = open_photo(io.BytesIO(file))
    read_card(photo, find_card(photo), usual_lightness())


def main() -> None:
    """Print a table."""
    print(f"{'12 megapixels':<26}{'bare decode':>13}{'found and read':>16}{'allowed':>10}")
    for name, pose in POSES.items():
        packed = io.BytesIO()
        seen(pose).image.save(packed, "JPEG", quality=92)
        file = packed.getvalue()
        rounds = [
            (cpu_time(bare_decode, file), cpu_time(found_and_read, file)) for _ in range(ROUNDS)
        ]
        floor, ours = (statistics.median(times) for times in zip(*rounds, strict=True))
        allowed = 2 * floor + 0.1
        verdict = "ok" if ours <= allowed else "TOO SLOW"
        print(f"{name:<26}{floor:>11.3f} s{ours:>14.3f} s{allowed:>8.3f} s  {verdict}")


if __name__ == "__main__":
    main()
