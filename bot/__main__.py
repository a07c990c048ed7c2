"""Start: the console script and `python -m bot`."""

import gc

from bot.loading import loading

YOUNG = 10_000
"""Objects more than before, from which Python looks for cycles among the newest. [objects]"""


def main() -> None:
    """Run the command line."""
    with loading():
        from bot.cli import program

    look_seldom_for_cycles()
    program(prog_name="rackside")


def look_seldom_for_cycles() -> None:
    """Leave alone what the start has made, which lives as long as the program, and look less often.

    An old set that is edited makes some ten thousand objects at once, and hardly any of ours are in cycles; a ninth of
    that time went into looking through all modules and tables again and again.
    """
    gc.freeze()
    gc.set_threshold(YOUNG, 10, 10)


if __name__ == "__main__":
    main()
