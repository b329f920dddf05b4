"""Pieces on the command line: add, list, show, change, end."""

from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Annotated

import typer

from stashkeeper.cli.options import Code, Crop, Json, StashFolder, Words, open_stash, taking
from stashkeeper.cli.show import answer

Size = Annotated[
    str | None,
    typer.Option(
        "--size",
        "-s",
        metavar="SIZE",
        help="Width × length: 18 x 21, 9 7/8 x 10, 25 x 50 cm, fat quarter, half yard, 1 1/2 yd.",
    ),
]
Place = Annotated[
    str | None,
    typer.Option("--at", metavar="PLACE", help='Where it lies: "Shelf 2 / Blue box".'),
]
Tags = Annotated[
    list[str] | None, typer.Option("--tag", "-t", metavar="TAG", help="A word to find it by.")
]
Note = Annotated[str | None, typer.Option("--note", help="Anything worth remembering.")]
Fibre = Annotated[str | None, typer.Option("--fibre", help="Cotton, linen, flannel, wool …")]
Source = Annotated[str | None, typer.Option("--source", help="Where it came from.")]
Cost = Annotated[str | None, typer.Option("--cost", help="What it cost, as you like to note it.")]
PrintDirection = Annotated[
    str | None,
    typer.Option("--direction", help="Print direction: along, across, both ways, or none."),
]
Repeat = Annotated[
    str | None, typer.Option("--repeat", metavar="LENGTH", help="The repeat of the print.")
]
Washed = Annotated[
    bool | None, typer.Option("--washed/--unwashed", help="Whether it has been washed.")
]
Squared = Annotated[
    bool | None, typer.Option("--squared/--raw", help="Whether its edges are squared up.")
]
Selvedges = Annotated[
    int | None,
    typer.Option("--selvedges", min=0, max=2, help="How many of its long edges are selvedge."),
]


@dataclass(frozen=True, slots=True)
class Described:
    """What can be said of a piece when it is logged and when it is changed."""

    at: Place = None
    tags: Tags = None
    about: Annotated[bool, typer.Option("--about", help="The size is a guess.")] = False
    nominal: Annotated[bool, typer.Option("--nominal", help="The size is as bought.")] = False
    squared: Squared = None
    washed: Washed = None
    selvedges: Selvedges = None
    fibre: Fibre = None
    source: Source = None
    cost: Cost = None
    direction: PrintDirection = None
    repeat: Repeat = None
    note: Note = None


@taking(Described, "said")
def add(
    context: typer.Context,
    name: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="NAME",
            help="What you call the fabric; proposed when left out.",
            show_default=False,
        ),
    ] = None,
    size: Size = None,
    photo: Annotated[
        list[Path] | None,
        typer.Option("--photo", "-p", metavar="FILE", help="A photo of it; may be repeated."),
    ] = None,
    each: Annotated[
        bool, typer.Option("--each", help="Each photo shows a piece of its own.")
    ] = False,
    crop: Crop = None,
    count: Annotated[int, typer.Option("--count", help="How many alike.")] = 1,
    fabric: Annotated[
        str | None,
        typer.Option("--fabric", metavar="CODE", help="The same fabric as this piece."),
    ] = None,
    lightness: Annotated[
        str | None,
        typer.Option("--lightness", metavar="L", help="Its L*, 0 (black) to 100 (white)."),
    ] = None,
    *,
    said: Described,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """Log a piece of fabric: its size, and a photo if you have one."""
    from stashkeeper.actions.add import add as add_pieces
    from stashkeeper.actions.piece_words import PieceWords

    words = PieceWords(name=" ".join(name) if name else None, size=size, **asdict(said))
    with open_stash(context, stash) as shelf:
        added = add_pieces(
            shelf, words, photos=photo or [], each=each, crop=crop, count=count, fabric=fabric,
            lightness=lightness,
        )  # fmt: skip
    answer(added.pieces if each else added.piece, as_json, added.sentences)


def list_pieces(
    context: typer.Context, words: Words = None, as_json: Json = False, stash: StashFolder = None
) -> None:
    """List the pieces that answer to search words; all that are not ended without any."""
    from stashkeeper.actions import pieces
    from stashkeeper.cli.show import table

    with open_stash(context, stash) as shelf:
        found = pieces.list_pieces(shelf, words or [])
    rows = found.rows()
    answer(found, as_json, [table(found.headings, rows) if rows else "", found.sentence])


def show(
    context: typer.Context, code: Code, as_json: Json = False, stash: StashFolder = None
) -> None:
    """Show one piece: size, what can be cut from it, place, readings, photos."""
    from stashkeeper.actions import pieces

    with open_stash(context, stash) as shelf:
        piece = pieces.show(shelf, code)
    answer(piece, as_json, piece.sentences)


@taking(Described, "said")
def change(
    context: typer.Context,
    code: Code,
    name: Annotated[str | None, typer.Option("--name", help="A new name.")] = None,
    size: Annotated[
        str | None, typer.Option("--size", "-s", help="A new size; measured unless said.")
    ] = None,
    untag: Annotated[
        list[str] | None, typer.Option("--untag", metavar="TAG", help="Take a tag off.")
    ] = None,
    measured: Annotated[bool, typer.Option("--measured", help="The size was measured.")] = False,
    *,
    said: Described,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """Change what is written down about a piece or its fabric."""
    from stashkeeper.actions import pieces
    from stashkeeper.actions.piece_words import PieceWords

    words = PieceWords(name=name, size=size, untag=untag, measured=measured, **asdict(said))
    with open_stash(context, stash) as shelf:
        changed = pieces.change(shelf, code, words)
    answer(changed.piece, as_json, changed.sentences)


def end(
    context: typer.Context,
    code: Code,
    how: Annotated[
        str | None,
        typer.Option("--how", help="all cut, given, sold, lost, or entered by mistake."),
    ] = None,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """Take a piece off the shelf, saying how it ended; nothing about it is deleted."""
    from stashkeeper.actions import pieces

    with open_stash(context, stash) as shelf:
        ended = pieces.end(shelf, code, how or "")
    answer(ended.piece, as_json, ended.sentences)
