"""The reference card on the command line: drawn, and told what its greys are."""

from pathlib import Path
from typing import Annotated

import typer

from stashkeeper.cli.options import Json, StashFolder, open_stash
from stashkeeper.cli.show import answer


def card(
    context: typer.Context,
    words: Annotated[
        list[str],
        typer.Argument(
            metavar="OUT | known CARD PAPER G1…G6",
            help="The file to draw: card.pdf. Or “known”, the card's name and L* of its paper and "
            "six greys, from light to dark: known 7F3K 94 83 72 60 49 37 27.",
        ),
    ],
    paper: Annotated[
        str | None,
        typer.Option("--paper", metavar="PAPER", help="a4 or letter.", show_default=False),
    ] = None,
    name: Annotated[
        str | None,
        typer.Option(
            "--name", metavar="CARD", help="Print this card once more.", show_default=False
        ),
    ] = None,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """Draw the reference card to print, or tell what the greys of a printed one are."""
    from stashkeeper.actions import card as deeds

    with open_stash(context, stash) as shelf:
        done: deeds.KnownCard | deeds.DrawnCard
        if words[0] == "known":
            done = deeds.card_known(shelf, words[1] if words[1:] else "", words[2:])
        else:
            drawn = deeds.card(shelf, paper=paper, card_id=name)
            done = deeds.write_card(drawn, Path(" ".join(words)))
    answer(done, as_json, done.sentences)
