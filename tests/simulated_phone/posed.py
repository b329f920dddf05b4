"""The reference card on a table beside a piece of cloth, seen by a pinhole camera in any pose."""

import io
from dataclasses import dataclass
from functools import cache

import numpy as np
from PIL import Image, ImageFilter

from stashkeeper.lengths.paper import Paper
from stashkeeper.luminance.card_layout import HEIGHT, WIDTH
from stashkeeper.luminance.decode import Photo, open_photo
from stashkeeper.luminance.perspective import Perspective, perspective_through
from stashkeeper.pictures.canvas import page_images
from stashkeeper.pictures.card import TOP, draw_card
from stashkeeper.pictures.paper import DOTS_PER_INCH

CARD_ID = "7F3K"
TABLE = 420.0, 320.0
"""The part of the table that is drawn, in millimetres."""
CARD_AT = 40.0, 110.0
PIECE = 152.4
"""The side of the piece of cloth: 6 in."""
PIECE_AT = 215.0, 80.0
CARD_CORNERS = np.array([(0.0, 0.0), (WIDTH, 0.0), (WIDTH, HEIGHT), (0.0, HEIGHT)])


@cache
def card_face(dots_per_inch: int, card_id: str = CARD_ID) -> Image.Image:
    """Return the card as a perfect printer prints it, cut out of its page."""
    page = page_images(draw_card(card_id, Paper.A4))[0]
    dots = DOTS_PER_INCH / 25.4
    left = (page.width / dots - WIDTH) / 2
    edges = (left * dots, TOP * dots, (left + WIDTH) * dots, (TOP + HEIGHT) * dots)
    size = round(WIDTH / 25.4 * dots_per_inch), round(HEIGHT / 25.4 * dots_per_inch)
    return page.resize(size, Image.Resampling.BOX, box=edges)


def table(dots_per_inch: int, seed: int, card: bool = True) -> Image.Image:
    """Return the table from straight above: a grainy ground, the card, a piece of printed cloth."""
    random = np.random.default_rng(seed)
    dots = dots_per_inch / 25.4
    size = round(TABLE[0] * dots), round(TABLE[1] * dots)
    grain = random.integers(103, 118, (size[1] // 6 + 1, size[0] // 6 + 1), dtype=np.uint8)
    picture = Image.fromarray(grain).resize(size, Image.Resampling.BICUBIC).convert("RGB")
    tint = tuple(int(code) for code in random.integers(30, 220, 3))
    side = round(PIECE * dots)
    cloth = Image.new("RGB", (side, side), tint)
    picture.paste(cloth, (round(PIECE_AT[0] * dots), round(PIECE_AT[1] * dots)))
    if card:
        picture.paste(
            card_face(dots_per_inch), (round(CARD_AT[0] * dots), round(CARD_AT[1] * dots))
        )
    return picture


@dataclass(frozen=True)
class Pose:
    """How the camera looks at the table, and what it makes of it.

    Attributes:
        per_inch: pixels to the inch in the middle of the table.
        turn, tilt, towards: angles in degrees: about the line of sight, off the upright, and
            the direction it is off to.
        width, height: of the photo in pixels.
        blur, noise, quality: of the lens in pixels, of the sensor in codes, of the JPEG.
    """

    per_inch: float
    turn: float = 0.0
    tilt: float = 0.0
    towards: float = 0.0
    width: int = 2400
    height: int = 1800
    blur: float = 0.6
    noise: float = 3.0
    quality: int = 88

    @property
    def place(self) -> Perspective:
        """From millimetres on the table to pixels: a camera of 28 mm (full frame) above it."""
        focal = 28 / 36 * self.width
        distance = focal / (self.per_inch / 25.4)
        tilt, towards, turn = np.radians((self.tilt, self.towards, self.turn))
        axis = np.array([np.cos(towards), np.sin(towards), 0.0])
        lean = _turned(axis, tilt) @ _turned(np.array([0.0, 0.0, 1.0]), turn)
        middle = np.array(TABLE) / 2
        corners = np.array([(0, 0), (TABLE[0], 0), TABLE, (0, TABLE[1])], dtype=np.float64)
        seen = np.column_stack([corners - middle, np.zeros(4)]) @ lean.T + (0, 0, distance)
        pixels = focal * seen[:, :2] / seen[:, 2:] + (self.width / 2, self.height / 2)
        return perspective_through(corners, pixels)


def pose_at_random(random: np.random.Generator, per_inch: tuple[float, float]) -> Pose:
    """Return a pose as of a hand-held phone: any turn, up to 25° off the upright."""
    return Pose(
        per_inch=float(random.uniform(*per_inch)),
        turn=float(random.uniform(0, 360)),
        tilt=float(random.uniform(0, 25)),
        towards=float(random.uniform(0, 360)),
        blur=float(random.uniform(0.3, 0.9)),
        noise=float(random.uniform(1, 6)),
        quality=int(random.integers(75, 96)),
    )


def seen(pose: Pose, seed: int = 0, card: bool = True) -> Photo:
    """Return the photo of the table in a pose."""
    dots_per_inch = min(240, max(40, round(1.3 * pose.per_inch / 10) * 10))
    flat = table(dots_per_inch, seed, card)
    dots = dots_per_inch / 25.4
    back = pose.place.back.matrix
    matrix = np.diag([dots, dots, 1.0]) @ back
    terms = (matrix / matrix[2, 2]).ravel()[:8]
    size = pose.width, pose.height
    picture = flat.transform(
        size,
        Image.Transform.PERSPECTIVE,
        tuple(terms),
        Image.Resampling.BICUBIC,
        fillcolor=(110, 110, 110),
    )
    picture = picture.filter(ImageFilter.GaussianBlur(pose.blur))
    return compressed(noisy(picture, pose.noise, seed), pose.quality)


def noisy(picture: Image.Image, deviation: float, seed: int) -> Image.Image:
    """Return a picture with noise."""
    random = np.random.default_rng(seed)
    codes = np.asarray(picture, dtype=np.float32)
    noise = random.standard_normal(codes.shape[:2], dtype=np.float32)[..., np.newaxis]
    return Image.fromarray(np.clip(codes + deviation * noise, 0, 255).astype(np.uint8))


def compressed(picture: Image.Image, quality: int = 90) -> Photo:
    """Write a picture as a JPEG and open it again."""
    file = io.BytesIO()
    picture.save(file, "JPEG", quality=quality)
    file.seek(0)
    return open_photo(file)


def piece_corners(pose: Pose) -> np.ndarray:
    """Return where the corners of the piece of cloth lie, in pixels."""
    left, top = PIECE_AT
    unit = np.array([(0, 0), (1, 0), (1, 1), (0, 1)], dtype=np.float64)
    return np.asarray(pose.place(unit * PIECE + (left, top)))


def _turned(axis: np.ndarray, angle: float) -> np.ndarray:
    """Return the rotation about an axis (Rodrigues)."""
    x, y, z = axis
    cross = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
    return np.asarray(np.eye(3) + np.sin(angle) * cross + (1 - np.cos(angle)) * cross @ cross)
