"""Lines: how a message looks where there are no buttons, and keys for typed ones."""

from collections.abc import Iterator
from functools import cache
from itertools import count

from bot.messages import OutgoingMessage
from core.domain.exercises import catalogue

COMMANDS = (
    "bar ",
    "bw ",
    "chart ",
    "check-in",
    "consent off",
    "consent on",
    "done",
    "fix ",
    "forget me",
    "help",
    "history ",
    "load",
    "max ",
    "morning ",
    "privacy",
    "quiet ",
    "reduced week",
    "reminders",
    "rest ",
    "same",
    "settings",
    "start",
    "undo",
    "units kg",
    "units lb",
    "week",
    "why advice",
    "zone ",
)
"""Beginnings of what can be typed."""


def shown(message: OutgoingMessage) -> str:
    """A message with its choices as lettered lines: a letter answers, for a number would be repetitions."""
    letters = (chr(ord("a") + place) for place in range(len(message.choices)))
    lines = [f"  {letter}) {choice.label}" for letter, choice in zip(letters, message.choices, strict=True)]
    return "\n".join([message.text, *lines])


@cache
def completions() -> list[str]:
    """What the tab key offers: commands and names of exercises; worked out at its first press."""
    return [*COMMANDS, *sorted(exercise.name for exercise in catalogue())]


def numbered_keys(run: str) -> Iterator[str]:
    """Keys that sort in the order of typing."""
    return (f"{run}:{number:09d}" for number in count(1))
