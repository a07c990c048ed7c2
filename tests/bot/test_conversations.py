"""Conversations: every file in demo/ is played, and each answer is the one written there."""

from pathlib import Path

import pytest

from tests.bot.conftest import Expected
from tests.conversations import written_out

DEMO = Path(__file__).parents[2] / "demo"

FILES = sorted(each for each in DEMO.glob("*.txt") if each.name != "readings.txt")


@pytest.mark.parametrize("file", FILES, ids=lambda each: each.stem)
def test_a_conversation_gets_the_answers_that_are_written_in_it(file: Path, expected: Expected) -> None:
    text = file.read_text(encoding="utf-8")

    made = written_out(text)

    expected(file, made)


def test_the_conversations_hold_150_lines_of_lifters() -> None:
    # Asked for by the issue that laid the house: at least 150 lines of our own over all families.
    said = [
        line for file in FILES for line in file.read_text(encoding="utf-8").splitlines() if line.startswith("tove> ")
    ]

    assert len(said) >= 150


@pytest.mark.parametrize("file", FILES, ids=lambda each: each.stem)
def test_a_conversation_says_in_its_first_line_what_it_shows(file: Path) -> None:
    first = file.read_text(encoding="utf-8").splitlines()[0]

    assert first.startswith("# ")
    assert first.endswith(".")


@pytest.mark.parametrize("file", FILES, ids=lambda each: each.stem)
def test_no_answer_is_longer_than_a_phone_shows(file: Path) -> None:
    # About 8 short lines (design of the answers), and a letter a choice on top of that.
    blocks: list[list[str]] = []
    for line in file.read_text(encoding="utf-8").splitlines():
        if line.startswith("bot>"):
            blocks.append([line])
        elif blocks and line.startswith("   |"):
            blocks[-1].append(line)
    told = [[line for line in each if not line[5:].startswith("  ")] for each in blocks]

    assert max((len(each) for each in told), default=0) <= 8
