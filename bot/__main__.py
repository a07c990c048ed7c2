"""Start: the console script and `python -m bot`."""

from bot.cli import program


def main() -> None:
    """Run the command line."""
    program(prog_name="rackside")


if __name__ == "__main__":
    main()
