"""Plays demo/readings.txt: each line of it is read as it says."""

from pathlib import Path

import pytest

from core.domain.commands import Question, Reading
from core.domain.problems import Problem
from core.notation.canonical import canonical
from core.notation.messages import Context, read
from core.notation.words import catalogue_names

FILE = Path(__file__).parents[3] / "demo" / "readings.txt"
ARROW = "  ->  "
PLAIN = Context(names=catalogue_names())


def lines() -> list[tuple[str, str]]:
    found: list[tuple[str, str]] = []
    for line in FILE.read_text(encoding="utf-8").splitlines():
        if ARROW in line and not line.startswith("#"):
            text, _, expected = line.partition(ARROW)
            found.append((text, expected.rstrip()))
    return found


def told(reading: Reading) -> str:
    match reading.outcome:
        case Problem() as problem:
            said = f"! {problem.kind}: {problem.word}" + (f" => {problem.remedy}" if problem.remedy else "")
        case Question() as question:
            choices = " | ".join(canonical(choice.command) for choice in question.choices)
            said = f"? {question.doubt}: {choices}"
        case command:
            said = canonical(command)
    signs = "".join(f" {{{each.sign}{'?' if each.doubtful else ''}}}" for each in reading.warned)
    return said + signs


@pytest.mark.parametrize(("text", "expected"), lines())
def test_a_line_is_read_as_the_page_says(text: str, expected: str) -> None:
    reading = read(text.replace("\\n", "\n"), PLAIN)

    assert told(reading).replace("\n", "\\n") == expected


def test_the_page_covers_at_least_150_lines() -> None:
    assert len(lines()) >= 150
