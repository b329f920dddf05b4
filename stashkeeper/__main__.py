"""`python -m stashkeeper`: the same as the `stashkeeper` command."""


def main() -> None:
    """Run the command line."""
    from stashkeeper.cli.app import app

    app()


if __name__ == "__main__":
    main()
