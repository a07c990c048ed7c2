"""Start: the console script and `python -m bot`."""

from bot.loading import loading


def main() -> None:
    """Run the command line."""
    with loading():
        from bot.cli import program

    program(prog_name="rackside")


if __name__ == "__main__":
    main()
