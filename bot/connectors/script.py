"""Script: a conversation with times from a file, played as if it were typed."""

import hashlib
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from typing import assert_never


@dataclass(frozen=True, slots=True)
class SetClock:
    """The clock is set, or advanced to a time of day."""

    line: int
    at: datetime


@dataclass(frozen=True, slots=True)
class Says:
    """The lifter writes a message, the `number`th of the file from 1."""

    line: int
    number: int
    text: str


@dataclass(frozen=True, slots=True)
class Edits:
    """The lifter changes their `number`th message."""

    line: int
    number: int
    text: str


@dataclass(frozen=True, slots=True)
class Deletes:
    """The lifter deletes their `number`th message."""

    line: int
    number: int


@dataclass(frozen=True, slots=True)
class Taps:
    """The lifter taps the newest choice with this label."""

    line: int
    label: str


@dataclass(frozen=True, slots=True)
class Expects:
    """What the bot is written to answer; `replay` passes over it, the tests compare."""

    line: int
    text: str


Step = SetClock | Says | Edits | Deletes | Taps | Expects


class ScriptError(ValueError):
    """A line of a file that is no step of a conversation."""


def steps(text: str, *, start: datetime) -> Iterator[Step]:
    """The steps of a conversation file.

    Args:
        text: The whole file.
        start: Where the clock stands before the file sets it; naive, the lifter's local time.

    Raises:
        ScriptError: A line is none of the forms; the message names the line.

    """
    clock = start
    said = 0
    lines = text.splitlines()
    number = 0
    while number < len(lines):
        line = lines[number]
        number += 1
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        if found := _AT.fullmatch(line.strip()):
            clock = _moved(clock, found["date"], found["time"], number)
            yield SetClock(number, clock)
        elif found := _BARE.fullmatch(line):
            clock = _moved(clock, found["date"], found["time"], number)
            yield SetClock(number, clock)
            said += 1
            yield Says(number, said, found["text"])
        elif line.startswith("bot>"):
            first, more = number, _continued(lines, number)
            number += len(more)
            yield Expects(first, "\n".join([line.removeprefix("bot>").removeprefix(" "), *more]))
        elif found := _SAYS.fullmatch(line):
            first, more = number, _continued(lines, number)
            number += len(more)
            step = _step(first, "\n".join([found["text"], *more]), said + 1)
            said += isinstance(step, Says)
            yield step
        else:
            raise ScriptError(f"line {number}: neither a time, nor `name> text`, nor `bot> text`")


def key_of(text: str) -> str:
    """The part of an event key that is the same whenever the same file is played."""
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:16]


_AT = re.compile(r"@(?:(?P<date>\d{4}-\d\d-\d\d)T)?(?P<time>\d\d:\d\d(?::\d\d)?)")

_BARE = re.compile(r"(?P<date>\d{4}-\d\d-\d\d)T(?P<time>\d\d:\d\d(?::\d\d)?) (?P<text>.*)")

_SAYS = re.compile(r"\w+> ?(?P<text>.*)")

_EDIT = re.compile(r"edit (\d{1,6}): ?(.*)", re.DOTALL)

_DELETE = re.compile(r"delete (\d{1,6})")

_TAP = re.compile(r"tap (.+)")


def continues(line: str) -> bool:
    """Whether a line goes on with the message of the line before it: one that begins with a bar."""
    return line.lstrip().startswith("|")


def _continued(lines: Sequence[str], start: int) -> list[str]:
    """Lines from a place on that go on with one message, without their bars."""
    found = []
    for line in lines[start:]:
        if not continues(line):
            break
        found.append(line.lstrip().removeprefix("|").removeprefix(" "))
    return found


def _step(line: int, text: str, number: int) -> Step:
    if found := _EDIT.fullmatch(text):
        return Edits(line, int(found[1]), found[2])
    if found := _DELETE.fullmatch(text):
        return Deletes(line, int(found[1]))
    if found := _TAP.fullmatch(text):
        return Taps(line, found[1])
    return Says(line, number, text)


def _moved(clock: datetime, day: str | None, hour: str, line: int) -> datetime:
    try:
        at = time.fromisoformat(hour)
        if day is not None:
            return datetime.combine(datetime.fromisoformat(day).date(), at)
    except ValueError as wrong:
        raise ScriptError(f"line {line}: no such time: {hour if day is None else day + 'T' + hour}") from wrong
    moved = datetime.combine(clock.date(), at)
    # A time of day alone goes forwards: earlier than the clock, it is the next day's.
    return moved if moved >= clock else moved + timedelta(days=1)


def described(step: Step) -> str | None:
    """What the lifter did in a step, as an answer's `in` names it; None for what is nobody's doing."""
    match step:
        case Says(text=text):
            return text
        case Edits(number=number, text=text):
            return f"edit {number}: {text}"
        case Deletes(number=number):
            return f"delete {number}"
        case Taps(label=label):
            return f"tap {label}"
        case SetClock() | Expects():
            return None
        case _:
            assert_never(step)
