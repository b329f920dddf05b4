"""A phone's tone curve on the command line."""

from typing import Annotated

import typer

from stashkeeper.cli.options import Crop, Json, StashFolder, open_stash
from stashkeeper.cli.show import answer


def phone(
    context: typer.Context,
    words: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="learn PHOTOS",
            help="“learn” and photos of one plain grey cloth at several exposures; without words, "
            "the phones that are known.",
            show_default=False,
        ),
    ] = None,
    crop: Crop = None,
    as_json: Json = False,
    stash: StashFolder = None,
) -> None:
    """Learn how your phone bends tones, for surer sittings (an experiment)."""
    from stashkeeper.actions import phone as deeds

    with open_stash(context, stash) as shelf:
        done: deeds.Phones | deeds.LearntPhone
        if not words:
            done = deeds.phones(shelf)
        else:
            learnt = deeds.look_at_bracket(deeds.bracket_of(words), crop=crop)
            done = deeds.keep_phone(shelf, learnt)
    answer(done, as_json, done.sentences)
