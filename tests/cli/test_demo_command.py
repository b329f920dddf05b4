"""The demo: the whole main job on invented cloth whose truth is known."""

import csv
import json
import shlex
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from PIL import Image
from typer.testing import CliRunner

from stashkeeper.cli.app import app

CHECKOUT = Path(__file__).resolve().parents[2]
TOO_CLOSE = 5.0


@dataclass(frozen=True)
class Shown:
    """What the demo said, its folder, and the truth about its fabrics by name (expected.csv)."""

    words: str
    data: Any
    folder: Path
    truth: dict[str, float]
    elsewhere: Path

    def lightness(self, code: str) -> float:
        """Return the true L* of a piece of the shelf."""
        names = {piece["code"]: piece["name"] for piece in self.data["shelf"]["pieces"]}
        return self.truth[names[code]]

    def group(self, value: str) -> list[str]:
        """Return the codes of a group of the sample project."""
        pieces: list[str] = self.data["project"]["groups"][value]["pieces"]
        return pieces


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shown]:
    """Run the demo twice: the first time as a person does, then as a program."""
    base = tmp_path_factory.mktemp("demo")
    elsewhere = base / "own stash"
    folder = base / "the démo folder"
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("STASHKEEPER_HOME", str(elsewhere))
        patch.setenv("STASHKEEPER_DATABASE", f"sqlite:///{elsewhere}/other.db")
        patch.setenv("HOME", str(base / "home"))
        patch.setenv("COLUMNS", "200")
        patch.chdir(base)
        first = CliRunner().invoke(app, ["demo", str(folder)])
        assert first.exit_code == 0, first.output
        second = CliRunner().invoke(app, ["demo", str(folder), "--json"])
        assert second.exit_code == 0, second.output
    with (CHECKOUT / "sample_photos" / "expected.csv").open(encoding="utf-8", newline="") as file:
        truth = {row["name"]: float(row["true_lightness"]) for row in csv.DictReader(file)}
    yield Shown(first.stdout, json.loads(second.stdout), folder, truth, elsewhere)
    shutil.rmtree(base)


def test_it_writes_inside_its_folder_and_nowhere_else(demo: Shown) -> None:
    assert list(demo.folder.parent.iterdir()) == [demo.folder]
    assert not demo.elsewhere.exists()
    assert {path.name for path in demo.folder.iterdir()} == {
        "photos", "stash", "shelf.pdf", "shelf.png", "harbour-quilt.pdf", "harbour-quilt.png",
    }  # fmt: skip


def test_it_takes_in_at_least_two_dozen_fabrics(demo: Shown) -> None:
    names = {piece["name"] for piece in demo.data["shelf"]["pieces"]}
    assert len(names) >= 24
    assert names == set(demo.truth)
    assert f"Took in {len(names)} fabrics from" in demo.words


def test_run_again_it_takes_nothing_in_twice(demo: Shown) -> None:
    assert demo.data["intake"]["pieces"] == []
    assert demo.data["intake"]["known"] >= len(demo.truth)
    assert demo.data["intake"]["problems"] == []
    assert demo.data["intake"]["mistakes"] == []


def test_it_prints_the_ranking_in_three_groups(demo: Shown) -> None:
    for value in ("light", "medium", "dark"):
        group = demo.data["shelf"]["groups"][value]
        assert f"{value.upper()}  {group['count']} pieces" in demo.words
        assert group["count"] >= 3
    for piece in demo.data["shelf"]["pieces"]:
        assert piece["name"] in demo.words


def test_every_fabric_is_read_within_what_it_claims(demo: Shown) -> None:
    # The claim is 95 % inside ±25; here the truth is known.
    pieces = demo.data["shelf"]["pieces"]
    errors = [abs(piece["lightness"] - demo.truth[piece["name"]]) for piece in pieces]
    inside = [error <= piece["uncertainty"] for error, piece in zip(errors, pieces, strict=True)]
    assert sum(inside) >= 0.95 * len(inside)
    assert demo.data["truth"]["worst_error"] == pytest.approx(max(errors))


def test_the_weak_pair_it_names_is_really_there(demo: Shown) -> None:
    weak = [judged for judged in demo.data["project"]["contrast"] if judged["verdict"] == "weak"]
    assert weak, "the demo shows a weak gap"
    for judged in weak:
        pair = judged["pairs"][0]
        assert demo.lightness(pair["lighter"]) - demo.lightness(pair["darker"]) < TOO_CLOSE
        for code in (pair["lighter"], pair["darker"]):
            assert code in demo.words
    # And it is the truth that sets the groups apart elsewhere: no weak gap goes unnamed.
    for judged in demo.data["project"]["contrast"]:
        lighter, darker = judged["between"]
        gap = true_gap(demo, demo.group(lighter), demo.group(darker))
        assert (gap < TOO_CLOSE) == (judged["verdict"] == "weak")


def true_gap(demo: Shown, lighter: list[str], darker: list[str]) -> float:
    """Return the gap between two groups by the truth."""
    return min(map(demo.lightness, lighter)) - max(map(demo.lightness, darker))


def test_its_first_cure_cures_it_in_truth(demo: Shown) -> None:
    for judged in demo.data["project"]["contrast"]:
        if judged["verdict"] != "weak":
            continue
        cure = judged["cures"][0]
        groups = []
        for value in judged["between"]:
            kept = [code for code in demo.group(value) if code not in cure["leave_out"]]
            replaced = cure["instead"] and len(kept) < len(demo.group(value))
            groups.append([*kept, cure["instead"]] if replaced else kept)
        assert true_gap(demo, *groups) >= TOO_CLOSE
        assert cure["instead"] in demo.words


def test_what_it_says_of_the_truth_holds(demo: Shown) -> None:
    pieces = demo.data["project"]["pieces"]
    apart = wrong = 0
    for index, one in enumerate(pieces):
        for other in pieces[index + 1 :]:
            really = demo.truth[one["name"]] - demo.truth[other["name"]]
            if abs(really) >= 10:
                apart += 1
                wrong += really * (one["lightness"] - other["lightness"]) < 0
    assert (demo.data["truth"]["pairs"], demo.data["truth"]["wrong_pairs"]) == (apart, wrong)
    assert f"{wrong} of {apart} pairs" in demo.words


def test_its_sheets_open(demo: Shown) -> None:
    for name in ("shelf", "harbour-quilt"):
        document = pypdfium2.PdfDocument(demo.folder / f"{name}.pdf")
        words = document[0].get_textpage().get_text_bounded()
        document.close()
        assert "L*" in words or "light" in words.lower()
        with Image.open(demo.folder / f"{name}.png") as sheet:
            sheet.load()
            assert min(sheet.size) > 1000
        assert str(demo.folder / f"{name}.pdf") in demo.words


def test_what_it_says_to_type_next_works_as_it_stands(
    demo: Shown, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(demo.folder.parent)
    lines = [line.strip() for line in demo.words.splitlines()]
    told = [line for line in lines if line.startswith("stashkeeper ") and "--stash" in line]
    assert len(told) == 3
    for line in told:
        result = CliRunner().invoke(app, shlex.split(line)[1:])
        assert result.exit_code == 0, result.output
        assert "No piece" not in result.output
    assert 'stashkeeper add "navy dots" --size "fat quarter" --photo my-photo.jpg' in lines


def test_a_folder_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    result = CliRunner().invoke(app, ["demo", str(tmp_path / "file")])
    assert result.exit_code == 1
    assert "cannot be written" in result.stderr
    assert "Name another folder for the demo." in result.stderr
