"""Photos that are none, or not as they should be: each with its sentence, and nothing kept."""

import struct
import zlib
from pathlib import Path

import pytest
from PIL import Image

from tests.cli.patches import photo_of
from tests.cli.terminal import Terminal


def png(width: int, height: int, data: bytes) -> bytes:
    """Return a PNG of black and white pixels (PNG specification, sections 5 and 11)."""

    def chunk(kind: bytes, content: bytes) -> bytes:
        return (
            struct.pack(">I", len(content)) + kind + content
            + struct.pack(">I", zlib.crc32(kind + content))
        )  # fmt: skip

    head = struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    signature = b"\x89PNG\r\n\x1a\n"
    return signature + chunk(b"IHDR", head) + chunk(b"IDAT", data) + chunk(b"IEND", b"")


def bomb(side: int) -> bytes:
    """Return a tiny PNG that unpacks to `side` × `side` pixels."""
    return png(side, side, zlib.compress(b"\0" * ((side // 8 + 1) * side), 9))


@pytest.fixture
def photo(run: Terminal) -> bytes:
    """Return a good JPEG."""
    return photo_of(Path("good.jpg"), 50).read_bytes()


def refused(run: Terminal, name: str, content: bytes) -> str:
    """Write a file and try to add it as a photo, alone and to a piece on record."""
    Path(name).write_bytes(content)
    run("add Moss --size fq")
    said = run.refused("add Fern --size fq --photo", name)
    assert run.refused("photo A1", name) == said
    return said


def test_an_empty_file(run: Terminal) -> None:
    assert refused(run, "a.jpg", b"").startswith("a.jpg is empty: it holds no bytes at all.\n")


def test_a_text_called_jpg(run: Terminal) -> None:
    said = refused(run, "a.jpg", b"Dear diary, today I bought cloth.\n")
    assert said.startswith("a.jpg is not a photo: it holds text.\n")


def test_a_pdf_called_jpg(run: Terminal) -> None:
    assert refused(run, "a.jpg", b"%PDF-1.7\n...").startswith("a.jpg is not a photo: it is a PDF.")


@pytest.mark.parametrize("share", [0.02, 0.1, 0.5, 0.9, 0.99])
def test_a_photo_cut_off(run: Terminal, photo: bytes, share: float) -> None:
    said = refused(run, "a.jpg", photo[: int(len(photo) * share)])
    assert "damaged" in said.splitlines()[0] or "not a photo" in said.splitlines()[0]


@pytest.mark.parametrize("kind", ["PNG", "WEBP", "TIFF", "HEIF"])
def test_other_kinds_cut_off(run: Terminal, photo: bytes, kind: str) -> None:
    if kind == "HEIF":
        import pillow_heif

        pillow_heif.register_heif_opener()
    with Image.open("good.jpg") as image:
        image.save("whole", kind)
    whole = Path("whole").read_bytes()
    assert refused(run, f"a.{kind.lower()}", whole[: len(whole) // 2]).startswith("a.")


def test_a_photo_with_the_wrong_ending_is_read_by_what_it_is(run: Terminal, photo: bytes) -> None:
    Path("really-jpeg.png").write_bytes(photo)
    piece = run.json("add Moss --size fq --photo really-jpeg.png")
    assert piece["photos"][0]["format"] == "JPEG"
    assert piece["reading"]["lightness"] == pytest.approx(50, abs=0.3)


def test_a_bomb_of_100_megapixels_is_not_unpacked(run: Terminal) -> None:
    content = bomb(10_000)
    assert len(content) < 100_000, "small enough to slip into any folder"
    said = refused(run, "a.png", content)
    assert said.splitlines()[0].endswith("million.")
    # One that no decoder warns of: just over what the program opens.
    assert "million" in refused(run, "b.png", bomb(8_960))


def test_a_bomb_in_a_folder_spoils_nothing_else(run: Terminal) -> None:
    Path("shots").mkdir()
    Path("shots/bomb.png").write_bytes(bomb(12_000))
    photo_of(Path("shots/good.png"), 50)
    taken = run.json("intake shots")
    assert [piece["photo"] for piece in taken["pieces"]] == ["good.png"]
    assert "million" in taken["problems"][0]["problem"]


def test_a_junk_colour_profile_is_a_doubt_not_a_refusal(run: Terminal, photo: bytes) -> None:
    with Image.open("good.jpg") as image:
        image.save("junk.jpg", quality=95, icc_profile=b"this is no profile at all")
    piece = run.json("add Moss --size fq --photo junk.jpg")
    assert piece["reading"]["lightness"] == pytest.approx(50, abs=0.5)
    assert "colour profile" in " ".join(piece["reading"]["doubts"])


def test_a_folder_called_jpg(run: Terminal) -> None:
    Path("a.jpg").mkdir()
    assert run.refused("add Moss --size fq --photo a.jpg").startswith("a.jpg is a folder")


def test_a_file_that_is_not_there(run: Terminal) -> None:
    said = run.refused("add Moss --size fq --photo 'my photos/a.jpg'")
    assert said.startswith("There is no file my photos/a.jpg.\n")


def test_a_file_that_may_not_be_read(run: Terminal, monkeypatch: pytest.MonkeyPatch) -> None:
    # The one who runs the tests may read everything, so the system's answer is put in its mouth.
    photo_of(Path("locked.png"), 50)
    opened = Path.open

    def locked(path: Path, *words: object, **more: object) -> object:
        if path.name == "locked.png":
            raise PermissionError(13, "Permission denied")
        return opened(path, *words, **more)  # type: ignore[call-overload]

    monkeypatch.setattr(Path, "open", locked)
    said = run.refused("add Moss --size fq --photo locked.png")
    assert said.startswith("locked.png cannot be read: permission denied.\n")
    Path("shots").mkdir()
    Path("locked.png").rename("shots/locked.png")
    photo_of(Path("shots/good.png"), 40)
    taken = run.json("intake shots")
    assert [piece["photo"] for piece in taken["pieces"]] == ["good.png"]
    assert "permission denied" in taken["problems"][0]["problem"].lower()


@pytest.mark.parametrize(
    "crop",
    ["0,0,2,1", "0.5,0,0.2,1", "-0.1,0,1,1", "0,0,nan,1", "0,0,1", "left", "0,0,0,0", "1,1,1,1",
     "0;0;1;1", ""],
)  # fmt: skip
def test_an_impossible_crop(run: Terminal, photo: bytes, crop: str) -> None:
    said = run.refused("add Moss --size fq --photo good.jpg", f"--crop={crop}")
    assert "crop" in said.splitlines()[0]
    assert "left,top,right,bottom" in said


def test_a_crop_of_a_sliver_still_measures_a_pixel(run: Terminal, photo: bytes) -> None:
    piece = run.json("add Moss --size fq --photo good.jpg --crop 0.5,0.5,0.500001,0.500001")
    assert piece["reading"]["lightness"] == pytest.approx(50, abs=1)


def test_a_photo_of_one_pixel(run: Terminal) -> None:
    Image.new("RGB", (1, 1), (119, 119, 119)).save("dot.png")
    piece = run.json("add Moss --size fq --photo dot.png")
    # sRGB code 119 is L* 50.034 (IEC 61966-2-1, CIE 15).
    assert piece["reading"]["lightness"] == pytest.approx(50.034, abs=0.001)


@pytest.mark.parametrize("name", ["with blanks é.png", "-dash.png", "藍染 🧵.png", 'it\'s "q".png'])
def test_a_photo_with_any_name(run: Terminal, name: str) -> None:
    photo_of(Path(name), 50)
    piece = run.json("add Moss --size fq", f"--photo={name}")
    assert piece["photos"][0]["file_name"] == name
