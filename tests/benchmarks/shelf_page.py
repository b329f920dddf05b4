"""The shelf page as the shelf grows: bytes of the first view, time and memory.

Each shelf is served by a program of its own and looked at by a real browser, at the width of a
desk and of a phone. Bytes are what came over the wire until the network was quiet: page, style,
script, type, and the swatches in and near the view. CPU time of making a page is beside that of
its floor, `select_pieces` of the whole shelf; both are medians of interleaved rounds.

Run: uv run python tests/benchmarks/shelf_page.py [pieces …]
"""

import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import Browser, sync_playwright

CHECKOUT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(CHECKOUT))

from stashkeeper.actions.shelf import Shelf  # noqa: E402
from stashkeeper.actions.stash import Stash, open_stash  # noqa: E402
from stashkeeper.catalogue.filters import Search  # noqa: E402
from stashkeeper.catalogue.photo_files import photo_path  # noqa: E402
from stashkeeper.catalogue.shelf import select_pieces  # noqa: E402
from stashkeeper.catalogue.thresholds import Thresholds  # noqa: E402
from stashkeeper.settings.load import load_settings  # noqa: E402
from tests.benchmarks.shelf_growth import fill  # noqa: E402
from tests.browser.conftest import ARGUMENTS  # noqa: E402
from tests.web.made import client_of  # noqa: E402

SHELVES = (100, 1_000, 5_000, 20_000)
ROUNDS = 5
PICTURED = 240
"""Fabrics from the light end that get a photo file; further ones are never looked at."""

SCREENS = {
    "desk 1440": (1440, 1000, 1.0),
    "desk 1440 ×2": (1440, 1000, 2.0),
    "phone 390 ×2": (390, 844, 2.0),
}


@dataclass(frozen=True)
class View:
    """One look at a page: bytes over the wire, requests, seconds until all of it was there."""

    bytes: int
    requests: int
    seconds: float


def shelf_of(folder: Path, pieces: int) -> Stash:
    """Return an invented shelf, with photos of the sample cloth where the first pages show them."""
    stash = open_stash(load_settings(folder, {}))
    fill(folder / "stash.db", pieces)
    photos = sorted((CHECKOUT / "sample_photos").glob("*.jpg"))
    with stash.reading() as session:
        rows = select_pieces(session, Search(), Thresholds())
    rows.sort(key=lambda row: -(row.lightness or 0))
    for number, row in enumerate(rows[:PICTURED]):
        file = photo_path(folder, row.checksum or "", row.photo_format or "")
        file.parent.mkdir(parents=True, exist_ok=True)
        if not file.exists():
            shutil.copy(photos[number // 2 % len(photos)], file)
    return stash


def cpu(act: Callable[[], object]) -> float:
    """Return the CPU seconds that `act` takes, on all threads."""
    start = time.process_time()
    act()
    return time.process_time() - start


def floor(stash: Stash) -> int:
    """Fetch the rows of the whole shelf and do nothing with them."""
    with stash.reading() as session:
        return len(select_pieces(session, Search(), Thresholds()))


def made(stash: Stash) -> tuple[float, float, float]:
    """Return the CPU seconds of the floor, of a page after a deed, and of turning the page."""
    client = client_of(stash)
    rounds = []
    for _ in range(ROUNDS):
        client.app.state.shelf = Shelf(stash)  # type: ignore[attr-defined]
        rounds.append(
            (
                cpu(lambda: floor(stash)),
                cpu(lambda: client.get("/")),
                cpu(lambda: client.get("/?page=2")),
            )
        )
    first, second, third = (statistics.median(column) for column in zip(*rounds, strict=True))
    return first, second, third


@contextmanager
def serving(folder: Path) -> Iterator[tuple[str, int]]:
    """Serve a stash by a program of its own; give its address and process."""
    command = [sys.executable, "-m", "stashkeeper", "--stash", str(folder), "serve", "--port", "0"]
    program = subprocess.Popen(command, stdout=subprocess.PIPE, text=True, cwd=CHECKOUT)
    assert program.stdout is not None
    said = program.stdout.readline()
    address = re.search(r"is at (\S+)", said)
    assert address is not None, said
    try:
        yield address[1], program.pid
    finally:
        program.terminate()
        program.wait()


def megabytes(process: int, what: str) -> float:
    """Return the memory of a process in MB: `VmRSS` now, `VmHWM` at its highest."""
    status = Path(f"/proc/{process}/status").read_text(encoding="ascii")
    found = re.search(rf"^{what}:\s+(\d+) kB", status, re.MULTILINE)
    assert found is not None
    return int(found[1]) / 1024


def seen(browser: Browser, address: str, width: int, height: int, scale: float) -> View:
    """Look at a page with nothing remembered from before."""
    context = browser.new_context(
        viewport={"width": width, "height": height}, device_scale_factor=scale
    )
    page = context.new_page()
    wire = context.new_cdp_session(page)
    wire.send("Network.enable")
    sizes: list[int] = []
    wire.on("Network.loadingFinished", lambda event: sizes.append(int(event["encodedDataLength"])))
    start = time.perf_counter()
    page.goto(address, wait_until="networkidle")
    seconds = time.perf_counter() - start - 0.5  # networkidle waits half a second of silence
    context.close()
    return View(sum(sizes), len(sizes), seconds)


def measure(browser: Browser, pieces: int) -> None:
    """Print a line for each screen."""
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        with shelf_of(folder, pieces) as stash:
            bare, cold, turned = made(stash)
        with serving(folder) as (address, process):
            for name, screen in SCREENS.items():
                seen(browser, address, *screen)  # draws the previews
                view = seen(browser, address, *screen)
                now, highest = megabytes(process, "VmRSS"), megabytes(process, "VmHWM")
                print(
                    f"{pieces:>7,}  {name:<13}{view.bytes / 1000:>6.0f} KB {view.requests:>4}"
                    f"  {view.seconds:>5.2f} s {bare * 1000:>7.0f} ms {cold * 1000:>6.0f} ms"
                    f" {cold / bare:>5.1f}× {turned * 1000:>6.1f} ms"
                    f" {now:>6.0f} MB {highest:>5.0f} MB",
                    flush=True,
                )


def main() -> None:
    """Measure every shelf."""
    print(
        " pieces  screen      first view  req    seen      floor  page after a deed   turned"
        "   memory  highest"
    )
    program = shutil.which("chromium")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=list(ARGUMENTS))
        for pieces in [int(word) for word in sys.argv[1:]] or SHELVES:
            measure(browser, pieces)


if __name__ == "__main__":
    main()
