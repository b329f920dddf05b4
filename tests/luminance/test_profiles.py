"""Colour profiles are honoured: checked against littleCMS, published primaries and real files."""

import io
import struct
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageCms

from stashkeeper.cloth.reading import Doubt
from stashkeeper.luminance.colour_space import SRGB_TO_XYZ, display_p3, srgb_tone
from stashkeeper.luminance.decode import open_photo
from stashkeeper.luminance.measure import measure
from stashkeeper.luminance.profile import NotMatrixError, matrix_space
from stashkeeper.luminance.region import WHOLE_FRAME, Crop
from tests.luminance.made import cie_lightness, measured, photo_of, solid, srgb_light

COLOURS = [
    (255, 0, 0), (0, 255, 0), (0, 0, 255), (200, 60, 90), (30, 120, 70), (90, 90, 200),
    (250, 240, 200), (60, 40, 20),
]  # fmt: skip


def littlecms_profile() -> bytes:
    """Return the sRGB profile that littleCMS makes by itself."""
    return ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()


def curve(*numbers: int) -> bytes:
    """Return a tone curve of an ICC profile: none is a straight line, one a gamma in 1/256."""
    return struct.pack(f">4sII{len(numbers)}H", b"curv", 0, len(numbers), *numbers)


def with_tags(changes: dict[bytes, bytes]) -> bytes:
    """Return littleCMS's sRGB profile with some tags put in place of its own (ICC.1:2022, 7)."""
    profile = littlecms_profile()
    (count,) = struct.unpack_from(">I", profile, 128)
    tags = {}
    for place in range(132, 132 + 12 * count, 12):
        name, start, size = struct.unpack_from(">4sII", profile, place)
        tags[name] = profile[start : start + size]
    tags |= changes
    body, table = b"", struct.pack(">I", len(tags))
    for name, data in tags.items():
        table += struct.pack(">4sII", name, 132 + 12 * len(tags) + len(body), len(data))
        body += data + bytes(-len(data) % 4)
    whole = profile[:128] + table + body
    return struct.pack(">I", len(whole)) + whole[4:]


def test_an_srgb_profile_changes_nothing() -> None:
    for colour in COLOURS:
        plain = measured(solid(colour))
        tagged = measured(solid(colour), icc_profile=littlecms_profile())
        assert tagged.lightness == pytest.approx(plain.lightness, abs=0.03)
        assert (tagged.a, tagged.b) == pytest.approx((plain.a, plain.b), abs=0.15)


def test_srgb_colorants_come_back_from_d50_to_d65() -> None:
    """The stored, D50-adapted blue row is off by 1.3 L*; IEC 61966-2-1 has the true one."""
    found = matrix_space(littlecms_profile())
    assert found.to_xyz == pytest.approx(np.array(SRGB_TO_XYZ), abs=8e-4)
    assert found.tones[1] == pytest.approx(srgb_tone(np.arange(256) / 255), abs=2e-5)


def test_display_p3_has_its_published_primaries() -> None:
    """SMPTE EG 432-1 with D65: x and y of red, green, blue and white."""
    columns = [*display_p3().to_xyz.T, display_p3().to_xyz.sum(axis=1)]
    found = [(x / (x + y + z), y / (x + y + z)) for x, y, z in columns]
    published = [(0.680, 0.320), (0.265, 0.690), (0.150, 0.060), (0.3127, 0.3290)]
    assert np.array(found) == pytest.approx(np.array(published), abs=1e-4)


def test_a_display_p3_profile_is_read_as_display_p3(check_photos: Path) -> None:
    found = matrix_space((check_photos / "DisplayP3-v4.icc").read_bytes())
    assert found.to_xyz == pytest.approx(display_p3().to_xyz, abs=8e-4)
    assert found.tones == pytest.approx(display_p3().tones, abs=2e-5)


def test_display_p3_read_as_srgb_would_be_wrong(check_photos: Path) -> None:
    """By littleCMS, which turns the tagged colour into sRGB: both must measure the same."""
    profile = (check_photos / "DisplayP3-v4.icc").read_bytes()
    source = ImageCms.getOpenProfile(io.BytesIO(profile))
    for colour in [(180, 110, 90), (90, 150, 110), (110, 120, 170), (200, 190, 120)]:
        turned = ImageCms.profileToProfile(
            Image.new("RGB", (1, 1), colour), source, ImageCms.createProfile("sRGB")
        )
        assert turned is not None
        tagged = measured(solid(colour), icc_profile=profile)
        expected = measured(np.asarray(turned))
        assert tagged.lightness == pytest.approx(expected.lightness, abs=0.3)
        assert (tagged.a, tagged.b) == pytest.approx((expected.a, expected.b), abs=1.0)


@pytest.mark.parametrize("name", ["p3_bars.jpg", "p3_blue.jpg", "p3_red.jpg"])
def test_real_display_p3_photos_agree_with_littlecms(check_photos: Path, name: str) -> None:
    """Only roughly: littleCMS must clip colours outside sRGB, the measurement need not."""
    photo = open_photo(check_photos / name)
    turned = measured(np.asarray(photo.image))
    assert measure(photo, WHOLE_FRAME).lightness == pytest.approx(turned.lightness, abs=1.5)


def test_a_profile_that_swaps_channels_is_not_ignored(check_photos: Path) -> None:
    photo, corner = open_photo(check_photos / "icc_swapped_channels.jpg"), Crop(0, 0, 0.5, 0.5)
    found = measure(photo, corner)
    honoured = measured(np.asarray(photo.image), corner)
    ignored = measured(np.asarray(photo.pixels.stored), corner)
    assert found.lightness == pytest.approx(honoured.lightness, abs=0.1)
    assert (found.a, found.b) == pytest.approx((honoured.a, honoured.b), abs=0.2)
    assert abs(found.lightness - ignored.lightness) > 20


@pytest.mark.parametrize("gamma", [1.0, 1.8, 2.2])
def test_a_gamma_is_read(gamma: float) -> None:
    tags = {name: curve(round(gamma * 256)) for name in (b"rTRC", b"gTRC", b"bTRC")}
    found = measured(solid((128, 128, 128)), icc_profile=with_tags(tags))
    exact = cie_lightness((128 / 255) ** (round(gamma * 256) / 256))
    assert found.lightness == pytest.approx(exact, abs=0.02)


def test_a_straight_tone_curve_is_read() -> None:
    tags = dict.fromkeys((b"rTRC", b"gTRC", b"bTRC"), curve())
    found = measured(solid((128, 128, 128)), icc_profile=with_tags(tags))
    assert found.lightness == pytest.approx(cie_lightness(128 / 255), abs=0.02)


def test_a_tabled_tone_curve_is_read() -> None:
    table = [round(65535 * srgb_light(255 * step / 1023)) for step in range(1024)]
    tags = dict.fromkeys((b"rTRC", b"gTRC", b"bTRC"), curve(*table))
    found = measured(solid((128, 128, 128)), icc_profile=with_tags(tags))
    assert found.lightness == pytest.approx(53.585, abs=0.02)  # IEC 61966-2-1, CIE 015


@pytest.mark.parametrize(
    ("kind", "numbers", "light"),
    [
        (0, (2.0,), 0.25),
        (1, (2.0, 0.5, 0.25), 0.25),
        (2, (2.0, 0.5, 0.25, 0.1), 0.35),
        (3, (2.0, 0.5, 0.25, 0.5, 0.75), 0.375),
        (4, (2.0, 0.5, 0.25, 0.5, 0.75, 0.1, 0.2), 0.575),
    ],
)
def test_every_kind_of_parametric_curve(
    kind: int, numbers: tuple[float, ...], light: float
) -> None:
    """By hand from ICC.1:2022, table 68, at half the scale: 0.5·0.5 + 0.25 = 0.5, squared 0.25.

    Kinds 3 and 4 bend at 0.75, so half the scale lies on their straight part.
    """
    fixed = [round(number * 65536) for number in numbers]
    data = struct.pack(f">4sIHH{len(fixed)}i", b"para", 0, kind, 0, *fixed)
    if kind in {3, 4}:
        data = data[:12] + struct.pack(">5i", *fixed[:4], 49152) + data[32:]
        light = 0.25 if kind == 3 else 0.45
    tones = matrix_space(with_tags({b"rTRC": data})).tones[0]
    assert np.interp(0.5, np.arange(256) / 255, tones) == pytest.approx(light, abs=2e-3)


def test_a_grey_profile_is_read() -> None:
    tags = {b"kTRC": curve(256 * 2), b"rXYZ": b"", b"gXYZ": b"", b"bXYZ": b""}
    profile = bytearray(with_tags(tags).replace(b"rXYZ", b"xxxx"))
    profile[16:20] = b"GRAY"
    found = measured(solid(128), icc_profile=bytes(profile))
    assert found.lightness == pytest.approx(cie_lightness((128 / 255) ** 2), abs=0.02)
    assert (found.a, found.b) == pytest.approx((0, 0), abs=0.05)


@pytest.mark.parametrize(
    "profile", [b"junk", b"\0" * 600, littlecms_profile()[:200], littlecms_profile()[:-300]]
)
def test_an_unreadable_profile_is_doubted_and_the_photo_taken_as_srgb(profile: bytes) -> None:
    found = measured(solid((128, 128, 128)), icc_profile=profile)
    assert found.lightness == pytest.approx(53.585, abs=0.001)
    assert Doubt.COLOUR_PROFILE in found.doubts


def test_a_photo_without_a_profile_is_no_reason_for_doubt() -> None:
    assert Doubt.COLOUR_PROFILE not in measured(solid((128, 128, 128))).doubts


def test_a_profile_cut_off_is_not_a_matrix() -> None:
    with pytest.raises(NotMatrixError):
        matrix_space(littlecms_profile()[:300])


def test_a_profile_for_other_pixels_is_doubted() -> None:
    """A colour profile in a grey picture, or the other way round, means nothing."""
    lab = ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB")).tobytes()
    found = measured(solid((128, 128, 128)), icc_profile=lab)
    assert found.lightness == pytest.approx(53.585, abs=0.001)
    assert Doubt.COLOUR_PROFILE in found.doubts


def test_the_picture_for_showing_is_in_srgb(check_photos: Path) -> None:
    profile = (check_photos / "DisplayP3-v4.icc").read_bytes()
    photo = photo_of(solid((200, 80, 80)), icc_profile=profile)
    red, green, blue = np.asarray(photo.image)[0, 0].tolist()
    assert red > 205
    assert green < 80
    assert blue < 82
