"""One quilt in one choice of fabrics: what it is painted from, and the picture in two tones."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from PIL import Image, ImageDraw

from stashkeeper.choosing.quilt_needs import role_name
from stashkeeper.choosing.seam_contrast import Holds, SeamContrast
from stashkeeper.lengths.length import TICKS_PER_INCH
from stashkeeper.lengths.size import Size
from stashkeeper.pictures.greys import ACCENT, WHITE, Colour, grey
from stashkeeper.pictures.patchwork import Line, Painted, Patchwork, image_of, paint
from stashkeeper.pictures.print_scale import Cloth, cloth_at_scale, plain_cloth
from stashkeeper.pictures.seam_lines import hatched, middle_of, outlines
from stashkeeper.pictures.value_rule import Mark
from stashkeeper.quilts.quilt import Quilt, finished_size
from stashkeeper.quilts.quilt_patches import QuiltPatch, quilt_patches
from stashkeeper.quilts.quilt_seams import quilt_seams

type Look = tuple[Image.Image, Image.Image]
"""A look at cloth in colour, and its grey twin."""

GOLDEN: Final = 0.6180339887
HATCH: Final = 12.0
"""The widest band that marks a weak seam, in dots."""
FINER: Final = 2
MOST_MARKED: Final = 4000
"""More weak seams than this are not marked one by one, lest nothing else be seen."""


@dataclass(frozen=True, slots=True, eq=False)
class PreviewFabric:
    """A fabric as a quilt shows it.

    Attributes:
        code: of its piece.
        name: of the fabric.
        lightness: its reading's L*; None where it is not measured.
        uncertainty: 95 %, ± L*; None where it is not measured.
        mark: how its reading is marked.
        look: the region of its photo; None without a photo.
        inches: how wide the cloth is that the look shows.
        assumed: why that width is only assumed, in words; empty where it is known.
        colour: what stands for it without a photo.
    """

    code: str
    name: str
    lightness: float | None
    uncertainty: float | None
    mark: Mark
    look: Image.Image | None = None
    inches: float = 0.0
    assumed: str = ""
    colour: Colour = (128, 128, 128)


@dataclass(frozen=True, slots=True, eq=False)
class Scene:
    """One choice of fabrics for a quilt.

    Attributes:
        title: what tells it from the others.
        cast: the fabrics of each role, set included in its name; several take turns.
        wished: the lightness that stands for a role without a fabric.
        seams: every pair of roles that meet, judged, the worst first.
        alike: pairs of roles that are meant to have the same value, so that they may be weak.
    """

    title: str
    cast: Mapping[str, Sequence[PreviewFabric]]
    wished: Mapping[str, float]
    seams: Sequence[SeamContrast] = ()
    alike: frozenset[frozenset[str]] = frozenset()

    @property
    def meetings(self) -> list["Meeting"]:
        """Every two roles that meet, the worst first; sets with the same fabrics are one."""
        alike: dict[tuple[str, str, str, str], list[SeamContrast]] = {}
        for one in self.seams:
            roles = without_set(one.seam.one), without_set(one.seam.other)
            alike.setdefault((*roles, one.lighter, one.darker), []).append(one)
        letters = iter("abcdefghijklmnopqrstuvwxyz")
        return [
            Meeting(
                f"{_named([one.seam.one for one in some])} – "
                f"{_named([one.seam.other for one in some])}",
                some[0],
                frozenset(frozenset((one.seam.one, one.seam.other)) for one in some),
                weak := some[0].weak and not self._meant(some[0]),
                next(letters, "") if weak else "",
            )
            for some in alike.values()
        ]

    def _meant(self, one: SeamContrast) -> bool:
        return frozenset((one.seam.one, one.seam.other)) in self.alike


@dataclass(frozen=True, slots=True)
class Meeting:
    """Two roles that meet, in one or in several sets, with the same two fabrics.

    Attributes:
        words: the roles.
        contrast: the judgement.
        pairs: the roles with their sets.
        weak: whether they are weak in grey and not meant to be alike.
        sign: the letter that marks their seams where they are weak; empty elsewhere.
    """

    words: str
    contrast: SeamContrast
    pairs: frozenset[frozenset[str]]
    weak: bool
    sign: str

    @property
    def held(self) -> bool:
        """Whether colour holds a weak pair apart."""
        return self.weak and self.contrast.holds is Holds.COLOUR


def without_set(role: str) -> str:
    """Return the name of a role without its set."""
    return re.sub(r" \(set \d+\)$", "", role)


def _named(roles: Sequence[str]) -> str:
    """Return one role for all of its sets, or the role itself where there is only one."""
    names = list(dict.fromkeys(roles))
    return names[0] if len(names) == 1 else without_set(names[0])


class Stage:
    """The patches and seams of a quilt, worked out once for all its scenes."""

    def __init__(self, quilt: Quilt) -> None:
        """Work out where everything lies.

        Raises:
            BadSizeError: a unit, a sash or a quilt of a size that none has.
        """
        self.size: Size = finished_size(quilt)
        self.patches: list[QuiltPatch] = list(quilt_patches(quilt))
        self.lines = list(outlines(patch.outline for patch in self.patches))
        self.roles = list(dict.fromkeys(role_name(patch.role) for patch in self.patches))
        self._quilt = quilt

    @property
    def shape(self) -> float:
        """Its width in relation to its length."""
        return self.size.width.ticks / self.size.length.ticks

    def weak_lines(self, met: Sequence[Meeting]) -> list[tuple[Meeting, list[Line]]]:
        """Return where the weak seams of each meeting run, in ticks."""
        found = [(one, list[Line]()) for one in met if one.weak]
        where = {pair: lines for one, lines in found for pair in one.pairs}
        for seam in quilt_seams(self._quilt) if found else ():
            lines = where.get(frozenset((role_name(seam.one), role_name(seam.other))))
            if lines is not None:
                lines.append((seam.start, seam.end))
        return found


@dataclass(frozen=True, slots=True, eq=False)
class Shown:
    """A scene painted.

    Attributes:
        patchwork: in colour and in grey, weak seams marked in the grey one.
        places: where the letter of each weak pair stands, in shares of width and height.
    """

    patchwork: Patchwork
    places: Mapping[str, tuple[float, float]]


def show_scene(stage: Stage, scene: Scene, size: tuple[int, int]) -> Shown:
    """Return a scene painted into a picture of `size` (width, height) in dots."""
    scale = size[0] / stage.size.width.ticks
    cloths, numbers = _cloths(stage, scene, scale * TICKS_PER_INCH)
    painted = [
        Painted(tuple((x * scale, y * scale) for x, y in patch.outline), number)
        for patch, number in zip(stage.patches, _chosen(stage.patches, numbers), strict=True)
    ]
    seams = [_scaled(line, scale) for line in stage.lines]
    work = paint(size, painted, cloths, seams)
    weak = [
        (met, [_scaled(line, scale) for line in lines])
        for met, lines in stage.weak_lines(scene.meetings)
        if lines
    ]
    band = min(HATCH, 0.5 * (size[0] * size[1] / max(len(painted), 1)) ** 0.5)
    marked = _marked(work.grey, weak, band)
    places = {met.sign: _nearest_middle(lines, size) for met, lines in weak if met.sign}
    return Shown(Patchwork(work.colour, marked), places)


def tile_looks(fabrics: Sequence[PreviewFabric], size: tuple[int, int]) -> dict[str, Look]:
    """Return looks at fabrics in colour and in grey, by their codes, all at one scale of print.

    It is the smallest scale at which none of them has to be repeated to fill `size` in dots.
    """
    scales = [
        max(size[0], size[1] * one.look.width / one.look.height) / one.inches
        for one in fabrics
        if one.look is not None
    ]
    made = {one.code: _cloth(one, max(scales, default=1.0)) for one in fabrics}
    return {
        code: (image_of(cloth.colour, size), image_of(cloth.grey, size))
        for code, cloth in made.items()
    }


def _cloths(
    stage: Stage, scene: Scene, dots_per_inch: float
) -> tuple[list[Cloth], dict[str, list[int]]]:
    """Return every cloth at the scale of the picture, and the numbers of those of each role."""
    cloths: list[Cloth] = []
    known: dict[str, int] = {}
    numbers: dict[str, list[int]] = {}
    for role in stage.roles:
        fabrics = scene.cast.get(role, ())
        for fabric in fabrics:
            if fabric.code not in known:
                known[fabric.code] = len(cloths)
                cloths.append(_cloth(fabric, dots_per_inch))
            numbers.setdefault(role, []).append(known[fabric.code])
        if not fabrics:
            numbers[role] = [len(cloths)]
            lightness = scene.wished.get(role, 50.0)
            cloths.append(plain_cloth(grey(lightness), lightness))
    return cloths, numbers


def _cloth(fabric: PreviewFabric, dots_per_inch: float) -> Cloth:
    if fabric.look is None:
        lightness = 50.0 if fabric.lightness is None else fabric.lightness
        return plain_cloth(fabric.colour, lightness)
    return cloth_at_scale(fabric.look, fabric.inches, dots_per_inch, fabric.lightness)


def _chosen(patches: Sequence[QuiltPatch], numbers: Mapping[str, Sequence[int]]) -> list[int]:
    """Return the number of each patch's cloth; a role with several takes them in turns by unit."""
    chosen = []
    unit, last = 0, None
    for patch in patches:
        if patch.placed is not last or patch.placed is None:
            unit, last = unit + 1, patch.placed
        have = numbers[role_name(patch.role)]
        chosen.append(have[int(unit * GOLDEN % 1.0 * len(have))])
    return chosen


def _marked(
    picture: Image.Image, weak: Sequence[tuple[Meeting, Sequence[Line]]], band: float
) -> Image.Image:
    """Return the grey picture with its weak seams hatched; those held by colour more sparsely."""
    if not weak or sum(len(lines) for _, lines in weak) > MOST_MARKED:
        return picture
    strokes = [
        stroke
        for met, lines in weak
        for line in lines
        for stroke in hatched(line, band, band * (1.4 if met.held else 0.7))
    ]
    marked = picture.convert("RGB")
    # White below the accent, so that it is seen on dark cloth too.
    for ink, thickness in ((WHITE, 4), (ACCENT, 2)):
        marked.paste(ink, mask=_drawn(strokes, picture.size, thickness))
    return marked


def _drawn(strokes: Sequence[Line], size: tuple[int, int], thickness: int) -> Image.Image:
    """Return strokes with smooth edges, so many dots thick."""
    mask = Image.new("L", (size[0] * FINER, size[1] * FINER), 0)
    draw = ImageDraw.Draw(mask)
    for (x1, y1), (x2, y2) in strokes:
        ends = (x1 * FINER, y1 * FINER, x2 * FINER, y2 * FINER)
        draw.line(ends, fill=255, width=thickness * FINER)
    return mask.reduce(FINER)


def _nearest_middle(lines: Sequence[Line], size: tuple[int, int]) -> tuple[float, float]:
    """Return the middle of the seam that lies nearest to the middle, in shares of the picture."""
    places = [middle_of(line) for line in lines]
    x, y = min(places, key=lambda at: (at[0] - size[0] / 2) ** 2 + (at[1] - size[1] / 2) ** 2)
    return x / size[0], y / size[1]


def _scaled(line: Line, scale: float) -> Line:
    (x1, y1), (x2, y2) = line
    return (x1 * scale, y1 * scale), (x2 * scale, y2 * scale)
