"""The pages, started from the command line: nothing else starts them."""

from typing import Annotated

import typer

from stashkeeper.cli.options import StashFolder, open_stash
from stashkeeper.cli.show import say


def serve(
    context: typer.Context,
    port: Annotated[
        int, typer.Option("--port", min=0, max=65535, help="The port; 0 takes any that is free.")
    ] = 8737,
    lan: Annotated[
        bool,
        typer.Option("--lan", help="Let phones of the home network in, each by a one-time key."),
    ] = False,
    open_page: Annotated[
        bool, typer.Option("--open", help="Open the page in this computer's browser.")
    ] = False,
    stash: StashFolder = None,
) -> None:
    """Open the pages: the shelf in your browser, and on your phone with --lan."""
    from stashkeeper.web.serving import listen
    from stashkeeper.web.serving import serve as answer_browsers

    with open_stash(context, stash) as shelf:
        listening = listen(port, lan=lan)
        say(f"Your stash is at {listening.address} on this computer.")
        access = listening.access(lambda key: _show_key(listening.entrance(key)))
        if lan:
            say(
                "The way to a phone is not encrypted: good for home, not for a café or a classroom."
            )
        say("Stop with Ctrl-C.")
        if open_page:
            typer.launch(listening.address)
        answer_browsers(shelf, listening, access)


def _show_key(address: str) -> None:
    """Show the code by which one more device enters; it opens once."""
    import io

    import segno

    code = io.StringIO()
    segno.make(address, error="m", micro=False).terminal(code, border=2, compact=True)
    say("To let one more phone in, scan this with its camera (each code opens once):")
    typer.echo(code.getvalue())
    say(f"or type {address}")
