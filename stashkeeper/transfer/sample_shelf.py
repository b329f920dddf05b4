"""The sample photos that come with the program, and the truth about the fabrics in them."""

import csv
import shutil
from dataclasses import dataclass
from pathlib import Path

from stashkeeper.cloth.value import Value
from stashkeeper.errors import CannotWriteError, NotFoundError
from stashkeeper.transfer.photo_folder import PHOTO_ENDINGS

SIZES = "sizes.csv"
"""What the guild's librarian wrote beside the photos: a list of sizes."""
TRUTH = "expected.csv"
"""What only the maker of invented fabrics can know: their true lightness."""


@dataclass(frozen=True, slots=True)
class SampleFabric:
    """An invented fabric: its name, true L*, and its group in the sample project, if any."""

    name: str
    lightness: float
    group: Value | None


def sample_folder() -> Path:
    """Return the folder of sample photos, inside the installed package or beside it.

    Raises:
        NotFoundError: the program was installed without them.
    """
    package = Path(__file__).resolve().parent.parent
    for folder in (package / "sample_photos", package.parent / "sample_photos"):
        if (folder / TRUTH).is_file():
            return folder
    raise NotFoundError(
        "The sample photos are not where the program is installed.",
        "Install Stashkeeper again, from its wheel or its checkout.",
    )


def copy_samples(to: Path) -> Path:
    """Copy the sample photos and their list of sizes into a folder, and return it.

    Raises:
        NotFoundError: as `sample_folder`.
        CannotWriteError: the folder cannot be written.
    """
    try:
        to.mkdir(parents=True, exist_ok=True)
        for file in sorted(sample_folder().iterdir()):
            if file.name == SIZES or file.suffix in PHOTO_ENDINGS:
                shutil.copyfile(file, to / file.name)
    except OSError as fault:
        raise CannotWriteError(
            f"“{to}” cannot be written ({(fault.strerror or str(fault)).lower()}).",
            "Name another folder for the demo.",
        ) from fault
    return to


def sample_fabrics() -> dict[str, SampleFabric]:
    """Return the sample fabrics by their name, with the truth about them."""
    with (sample_folder() / TRUTH).open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    groups = {value.value: value for value in Value}
    return {
        row["name"]: SampleFabric(
            row["name"], float(row["true_lightness"]), groups.get(row["group"])
        )
        for row in rows
    }
