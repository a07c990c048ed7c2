"""Conversations from files, played on a store in memory and written out with the answers that they get."""

from collections.abc import Callable
from datetime import datetime
from itertools import count

from bot.connectors.replay import StandingClock, play, printed
from bot.connectors.script import SetClock, continues
from bot.dispatch import Dispatch
from bot.rendering.replies import House
from core.application.ports import Store
from tests.checked_store import checked_store

ZONE = "Europe/Oslo"
"""Where the lifter of the conversations trains."""

START = datetime(2027, 1, 4, 18, 0)  # noqa: DTZ001 - a wall clock; the zone is beside it
"""A Monday evening, where a file does not set the clock."""

HOUSE = House(operator="Tove", contact="tove@example.org", place="in sqlite:///rackside.db")


def numbered_tokens() -> Callable[[], str]:
    """Ids of questions that are the same in every run."""
    numbers = count(1)
    return lambda: f"question{next(numbers)}"


def dispatch_on(store: Store, clock: Callable[[], datetime]) -> Dispatch:
    """The way of a message with nothing random in it."""
    return Dispatch(store, clock=clock, house=HOUSE, zone=ZONE, token=numbered_tokens())


def written_out(text: str, *, opened: Callable[[], Store] = checked_store) -> str:
    """The conversation with its `bot>` blocks as they are now, on an empty store; all other lines stay."""
    lines = text.splitlines()
    answers: dict[int, list[str]] = {}
    clock = StandingClock(zone=ZONE, local=START)
    store = opened()
    try:
        for played in play(text, dispatch_on(store, clock), clock=clock, name="tove"):
            if not isinstance(played.step, SetClock) or played.due:
                answers.setdefault(played.step.line, []).extend(map(block, printed(played)))
    finally:
        store.close()
    made: list[str] = []
    in_block = False
    waiting: list[str] = []
    for number, line in enumerate(lines, start=1):
        in_block = line.startswith("bot>") or (in_block and continues(line))
        if in_block:
            continue
        if not continues(line):
            # A message may go on over several lines: its answers come after the last of them.
            made += waiting
            waiting = answers.get(number, [])
        made.append(line)
    made += waiting
    return "\n".join(made) + "\n"


def block(answer: str) -> str:
    """An answer as a conversation file holds it."""
    first, *rest = answer.split("\n")
    return "\n".join([f"bot> {first}".rstrip(), *(f"   | {line}".rstrip() for line in rest)])
