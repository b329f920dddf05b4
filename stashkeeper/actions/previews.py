"""Previews drawn for a page: begun, looked after, kept in the stash folder for a while."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from threading import Lock
from typing import Any, ClassVar, Final

from stashkeeper.actions.background import Report, Work
from stashkeeper.actions.layout_preview import draw, see, weak_words
from stashkeeper.actions.preview_fabrics import scale_sentences
from stashkeeper.actions.preview_typed import Typed, asked_quilt, preview_words
from stashkeeper.actions.works import Kind, Looked, Works
from stashkeeper.errors import NotFoundError
from stashkeeper.luminance.contrast import Verdict
from stashkeeper.pictures.layout_preview import LayoutPreview
from stashkeeper.pictures.preview_scene import PreviewFabric, Scene, Stage
from stashkeeper.pictures.web_preview import RULES, WebScene, draw_web_scene
from stashkeeper.whole_file import write_whole

QUILTS: Final = Kind(
    "previewed",
    20,
    ("This preview is not here, or no longer.", "Draw it again."),
    ("The drawing was stopped before it was finished.", "Draw it again."),
)
"""Previews that are drawn."""

TONES: Final = ("colour", "grey")

_NOT_IN_NAMES = re.compile(r'[\x00-\x1f\x7f<>:"/\\|?*]+')


@dataclass(frozen=True, slots=True)
class ShownScene:
    """A choice of fabrics that was drawn.

    Attributes:
        title: what tells it from the others.
        width, height: of its pictures, in pixels.
        fabrics: code, name and roles of each fabric, and lightness in words.
        signs: where the letters of weak pairs stand: letter, percent from the left, from the top.
        weak: letter and sentence of every weak pair.
        verdict: what to say of all seams together, where none is weak.
    """

    title: str
    width: int
    height: int
    fabrics: tuple[tuple[str, str, str, str], ...]
    signs: tuple[tuple[str, float, float], ...]
    weak: tuple[tuple[str, str], ...]
    verdict: str


@dataclass(frozen=True, slots=True)
class Previewed:
    """A preview on its way, or drawn.

    Attributes:
        number: by which it is known.
        typed: what was wanted, as typed.
        work: how far it is; None where it is drawn, or was stopped.
        title, subtitle: of the quilt.
        scenes: the choices of fabrics, the first one first.
        sentences: how sure the scale of the prints is.
        trouble: what was wrong and what to do, where it could not be drawn.
    """

    number: str
    typed: Typed
    work: Work | None = None
    title: str = ""
    subtitle: str = ""
    scenes: tuple[ShownScene, ...] = ()
    sentences: tuple[str, ...] = ()
    trouble: tuple[str, str] | None = None

    @property
    def name(self) -> str:
        """How its file is called, without its ending."""
        return _NOT_IN_NAMES.sub("-", self.title[:80]).strip(" .-") or "preview"


@dataclass(frozen=True, slots=True)
class Previews(Works):
    """The previews drawn for the pages of a stash."""

    kind: ClassVar[Kind] = QUILTS
    _saving: Lock = field(default_factory=Lock)

    def begin(self, typed: Typed) -> str:
        """Begin to draw, and return the number by which the preview is known.

        Raises:
            StashkeeperError: as `layout_preview.preview`; then nothing is begun.
        """
        asked_quilt(self.stash, typed)
        see(self.stash, preview_words(typed))
        return self.start(dict(typed), lambda number, report: self._draw(number, typed, report))

    def look(self, number: str, patience: float = 0.0) -> Previewed:
        """Return a preview as far as it is, after waiting a little for it to be finished.

        Raises:
            NotFoundError: there is none of this number, or no longer.
        """
        return _previewed(number, self.seen(number, patience))

    def picture(self, number: str, scene: int, tone: str) -> bytes:
        """Return a picture of a choice of fabrics, in `colour` or `grey`, as a WebP file.

        Raises:
            NotFoundError: there is none, or it is not drawn yet.
        """
        return self._file(number, f"{scene}-{tone}.webp", tone in TONES)

    def rule(self, number: str, scene: int, name: str) -> bytes:
        """Return the value rule of a choice of fabrics, `narrow` or `wide`, as an SVG picture.

        Raises:
            NotFoundError: there is none, or it is not drawn yet.
        """
        return self._file(number, f"{scene}-{name}.svg", name in RULES)

    def saved(self, number: str, kind: str, outline: bool = False) -> bytes:
        """Return a preview, or its outline, as a `pdf`, `png` or `svg` file to save.

        Raises:
            StashkeeperError: there is none of this number, or it cannot be drawn any longer.
        """
        typed = self.records.read(number)["words"]
        path = self.records.home(number) / f"{'outline' if outline else 'preview'}.{kind}"
        if not path.is_file():
            words = preview_words(typed, outline=outline)
            with self._saving:  # one at a time: a large quilt takes much memory
                write_whole(path, [draw(self.stash, words, kind)[0]])
        return path.read_bytes()

    def _draw(self, number: str, typed: Typed, report: Report) -> Mapping[str, object]:
        shown, _ = see(self.stash, preview_words(typed))
        return {
            "title": shown.title,
            "subtitle": shown.subtitle,
            "sentences": scale_sentences(_fabrics(shown.scenes)),
            "scenes": self._draw_scenes(number, shown, report),
        }

    def _draw_scenes(
        self, number: str, shown: LayoutPreview, report: Report
    ) -> list[dict[str, Any]]:
        stage, told = Stage(shown.quilt), []
        for at, scene in enumerate(shown.scenes):
            report(at, len(shown.scenes), scene.title)
            drawn = draw_web_scene(stage, scene, shown.scenes)
            folder = self.records.home(number)
            write_whole(folder / f"{at}-colour.webp", [drawn.colour])
            write_whole(folder / f"{at}-grey.webp", [drawn.grey])
            for name, rule in drawn.rules.items():
                write_whole(folder / f"{at}-{name}.svg", [rule.encode()])
            told.append(_told(stage, scene, drawn))
        return told

    def _file(self, number: str, name: str, known: bool) -> bytes:
        if not known:
            raise NotFoundError(*self.kind.gone)
        return self.records.content(number, name)


def _told(stage: Stage, scene: Scene, drawn: WebScene) -> dict[str, Any]:
    """Return what is kept of a choice of fabrics, as JSON knows it."""
    return {
        "title": scene.title,
        "width": drawn.size[0],
        "height": drawn.size[1],
        "fabrics": _cast(stage, scene),
        "signs": [
            [sign, round(100 * x, 2), round(100 * y, 2)] for sign, (x, y) in drawn.places.items()
        ],
        "weak": weak_words(scene),
        "verdict": _verdict(scene),
    }


def _verdict(scene: Scene) -> str:
    """Return what to say of all seams together, where none is weak."""
    found = [met.contrast.verdict for met in scene.meetings]
    unsure = found.count(Verdict.CANNOT_TELL)
    if any(met.weak for met in scene.meetings):
        return ""
    if unsure:
        return f"None is surely weak; of {unsure} the readings cannot tell."
    known = any(one is not Verdict.NO_PIECES for one in found)
    return "No weak seam where these fabrics meet." if known else ""


def _cast(stage: Stage, scene: Scene) -> list[list[str]]:
    roles: dict[str, list[str]] = {}
    by_code = {one.code: one for some in scene.cast.values() for one in some}
    for role in stage.roles:
        for fabric in scene.cast.get(role, ()):
            roles.setdefault(fabric.code, []).append(role)
    return [
        [code, by_code[code].name, ", ".join(names), _lightness(by_code[code])]
        for code, names in roles.items()
    ]


def _lightness(fabric: PreviewFabric) -> str:
    if fabric.lightness is None:
        return "not measured yet"
    return f"{fabric.lightness:.0f} ±{fabric.uncertainty or 0.0:.0f}"


def _fabrics(scenes: Sequence[Scene]) -> list[PreviewFabric]:
    return [one for scene in scenes for some in scene.cast.values() for one in some]


def _previewed(number: str, seen: Looked) -> Previewed:
    answer = seen.answer
    return Previewed(
        number,
        seen.words,
        seen.work,
        answer.get("title", ""),
        answer.get("subtitle", ""),
        tuple(ShownScene(**one) for one in answer.get("scenes", ())),
        answer.get("sentences", ()),
        seen.trouble,
    )
