"""Time and memory of measuring a 12-megapixel JPEG, as ratios to ways run in the same loop.

Run it by `uv run python tests/benchmarks/measure_photo.py`. Targets: at most 1.5 times (aim 1.25)
the CPU time of a bare Pillow decode, 15 times faster than scikit-image and 50 times than
colour-science over the whole image, and a peak of at most 60 MiB over the baseline.

Every ratio is the median of the ratios of its rounds, with the least and the most beside it: the
runs of one round share the mood of the machine. "In a thread" is how the program measures: there
the memory of the last photo serves the next, which makes the floor lower and the ratio to it
higher, while the main thread gets new memory from the system for every photo.
"""

import re
import resource
import statistics
import subprocess
import sys
import tempfile
import time
import warnings
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np
from PIL import Image

from stashkeeper.luminance.decode import open_photo
from stashkeeper.luminance.measure import measure
from stashkeeper.luminance.region import WHOLE_FRAME

ROUNDS = 25
SLOW_ROUNDS = 7
WIDTH, HEIGHT = 4000, 3000


def make_photo(path: Path) -> None:
    """Write a printed cloth with weave and noise at 12 megapixels.

    Its size, a third of a byte to the pixel, is that of real close-up photos of cloth.
    """
    y, x = np.mgrid[0:HEIGHT, 0:WIDTH].astype(np.float32)
    print_ = 40 * np.sin(x / 90) * np.sin(y / 70) + 6 * np.sin(x * 1.7) * np.sin(y * 1.6)
    noise = np.random.default_rng(12).normal(0, 7, (HEIGHT, WIDTH, 3)).astype(np.float32)
    tint = np.array([120, 100, 140], dtype=np.float32)
    codes = np.clip(tint + print_[..., np.newaxis] + noise, 0, 255).astype(np.uint8)
    Image.fromarray(codes).save(path, quality=92)


def bare_decode(path: Path) -> None:
    """Decode and do nothing else: the floor."""
    with Image.open(path) as image:
        image.load()


def stashkeeper(path: Path) -> None:
    """Open and measure, as the program does."""
    measure(open_photo(path))


def whole_frame(path: Path) -> None:
    """Open and measure all of the photo, without leaving out a margin."""
    measure(open_photo(path), WHOLE_FRAME)


def in_a_thread(way: Callable[[Path], None]) -> Callable[[Path], None]:
    """Return a way as it runs in a thread that has decoded photos before."""
    thread = ThreadPoolExecutor(1)
    return lambda path: thread.submit(way, path).result()


def scikit_image(path: Path) -> None:
    """Mean L* over the whole image by scikit-image."""
    from skimage.color import rgb2lab

    with Image.open(path) as image:
        rgb2lab(np.asarray(image)).mean(axis=(0, 1))


def colour_science(path: Path) -> None:
    """Mean L* over the whole image by colour-science."""
    import colour

    with Image.open(path) as image:
        codes = np.asarray(image) / 255
    colour.XYZ_to_Lab(colour.sRGB_to_XYZ(codes)).mean(axis=(0, 1))


FLOOR, OURS = "bare Pillow decode", "stashkeeper"
FLOOR_IN_THREAD, OURS_IN_THREAD = f"{FLOOR}, in a thread", f"{OURS}, in a thread"
FAST: dict[str, Callable[[Path], None]] = {
    FLOOR: bare_decode,
    OURS: stashkeeper,
    "stashkeeper, whole frame": whole_frame,
    FLOOR_IN_THREAD: in_a_thread(bare_decode),
    OURS_IN_THREAD: in_a_thread(stashkeeper),
}
SLOW: dict[str, Callable[[Path], None]] = {
    "scikit-image": scikit_image,
    "colour-science": colour_science,
}


def cpu_time(way: Callable[[Path], None], path: Path) -> float:
    """Return the CPU seconds of one run, in all threads."""
    start = time.process_time()
    way(path)
    return time.process_time() - start


def times(path: Path, small: Path) -> dict[str, list[float]]:
    """Return the CPU time of each run of each way, the ways in turn and warmed up."""
    found: dict[str, list[float]] = {name: [] for name in FAST | SLOW}
    for way in (FAST | SLOW).values():
        way(small)
    for number in range(ROUNDS):
        for name, way in (FAST | (SLOW if number < SLOW_ROUNDS else {})).items():
            found[name].append(cpu_time(way, path))
    return found


def ratios(took: list[float], others: list[float]) -> str:
    """Return the median, the least and the most of the ratios of the rounds, to be read."""
    rounds = sorted(one / other for one, other in zip(took, others, strict=False))
    return f"{statistics.median(rounds):6.2f} ({rounds[0]:.2f} to {rounds[-1]:.2f})"


def peak_bytes() -> int:
    """Return the most memory this process has held at once since the last `forget_peak`."""
    status = Path("/proc/self/status")
    if status.exists():
        match = re.search(r"VmHWM:\s+(\d+) kB", status.read_text())
        if match:
            return int(match[1]) * 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024


def forget_peak() -> None:
    """Let the peak start again from what is held now, where the system can."""
    forget = Path("/proc/self/clear_refs")
    if forget.exists():
        forget.write_text("5")


def memory_of_one(name: str, path: Path, small: Path) -> None:
    """Print how many bytes a way needs over what the warmed-up process holds."""
    way = (FAST | SLOW)[name]
    way(small)
    forget_peak()
    before = peak_bytes()
    way(path)
    print(peak_bytes() - before)


def memory(name: str, path: Path, small: Path) -> float:
    """Return the peak of a way over the baseline in MiB, in a process of its own."""
    command = [sys.executable, __file__, name, str(path), str(small)]
    told = subprocess.run(command, check=True, capture_output=True, text=True)
    return int(told.stdout) / 2**20


def main() -> None:
    """Make the photos, run all ways, print the table."""
    with tempfile.TemporaryDirectory() as folder:
        path, small = Path(folder, "cloth.jpg"), Path(folder, "small.jpg")
        make_photo(path)
        with Image.open(path) as image:
            image.resize((320, 240)).save(small)
        print(f"12-megapixel JPEG of {path.stat().st_size / 1e6:.1f} MB")
        took = times(path, small)
        print(f"{'way':32} {'CPU ms':>7} {'× decode':>24} {'× ours':>24} {'peak MiB':>9}")
        for name, runs in took.items():
            threaded = name in {FLOOR_IN_THREAD, OURS_IN_THREAD}
            floor, ours = (FLOOR_IN_THREAD, OURS_IN_THREAD) if threaded else (FLOOR, OURS)
            print(
                f"{name:32} {statistics.median(runs) * 1e3:7.0f} {ratios(runs, took[floor]):>24} "
                f"{ratios(runs, took[ours]):>24} {memory(name, path, small):9.0f}"
            )


if __name__ == "__main__":
    warnings.filterwarnings("ignore", module="colour")
    if len(sys.argv) > 1:
        memory_of_one(sys.argv[1], Path(sys.argv[2]), Path(sys.argv[3]))
    else:
        main()
