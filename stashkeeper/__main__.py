"""`python -m stashkeeper`: the same as the `stashkeeper` command."""


def main() -> None:
    """Run the command line."""
    import gc

    # A command makes many objects that live until its answer: to look for rubbish among them every
    # 700 new ones takes a fifth of its time at 10,000 pieces (tests/benchmarks/commands_growth.py).
    gc.set_threshold(50_000, 20, 20)
    from stashkeeper.cli.app import app

    app()


if __name__ == "__main__":
    main()
