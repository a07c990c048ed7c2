from datetime import datetime

from bot.connectors.script import Edits, Expects, Says, SetClock, steps

START = datetime(2027, 1, 4, 18, 0)  # noqa: DTZ001 - a wall clock


def test_a_message_goes_on_over_lines_that_begin_with_a_bar() -> None:
    text = "tove> my own\n   | mon: bench 5x5\n   | thu: squat 5x5\nbot> noted\n   | twice\ntove> plan\n"

    found = list(steps(text, start=START))

    assert found == [
        Says(1, 1, "my own\nmon: bench 5x5\nthu: squat 5x5"),
        Expects(4, "noted\ntwice"),
        Says(6, 2, "plan"),
    ]


def test_a_corrected_message_goes_on_over_lines_too() -> None:
    found = list(steps("@18:05\ntove> edit 1: bench 80x5\n| squat 100x5\n", start=START))

    assert found == [SetClock(1, datetime(2027, 1, 4, 18, 5)), Edits(2, 1, "bench 80x5\nsquat 100x5")]  # noqa: DTZ001
