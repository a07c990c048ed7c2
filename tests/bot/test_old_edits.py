"""Old edits: a change far back in the log is worked out before the transaction that writes it, and holds there."""

from collections.abc import Callable
from concurrent.futures import Future
from contextlib import AbstractContextManager
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from functools import partial
from typing import TypeVar

import pytest

from bot.messages import Arrived, Deleted, Edited, Event
from core.application.ports import Hint, Store, UnitOfWork
from core.application.replay import MOST_AT_ONCE
from core.domain.profile import Address
from tests.conversations import dispatch_on

T = TypeVar("T")

BEGIN = datetime(2027, 1, 4, 18, 0, tzinfo=UTC)

NOW = BEGIN + timedelta(days=365)

SESSIONS = MOST_AT_ONCE // 3 + 2
"""Sessions of three sets each: more sets than are taken in while others wait. [sessions]"""

USUAL = "bench 80x5 rir3, 80x5, 80x5 rir1"
CHANGED = "bench 82.5x5 rir2, 80x6, 80x5 rir0"


@dataclass(slots=True)
class Interrupted:
    """A store in which something else is done before each further try of a work.

    Args:
        store: Does what is asked.
        between: What is done, one before each try but the first.
        tries: Works handed in so far.

    """

    store: Store
    between: list[Callable[[], object]] = field(default_factory=list)
    tries: int = 0

    def submit(self, work: Callable[[UnitOfWork], T], *, live: bool = True) -> Future[T]:
        self.tries += 1
        if self.tries > 1 and self.between:
            self.between.pop(0)()
        return self.store.submit(work, live=live)

    def read(self) -> AbstractContextManager[UnitOfWork]:
        return self.store.read()

    def watch(self, told: Callable[[Hint], None]) -> None:
        self.store.watch(told)

    def close(self) -> None:
        self.store.close()


def arrived(name: str, number: int, text: str) -> Arrived:
    key = f"{name} {number:03d}"
    at = BEGIN + timedelta(days=2 * number)
    return Arrived(address=Address("replay", name), event_key=key, sent_at=at, text=text, message_key=key)


def edited(name: str, number: int, text: str) -> Edited:
    key = f"{name} {number:03d}"
    return Edited(address=Address("replay", name), event_key=f"{key} edited", sent_at=NOW, text=text, message_key=key)


def text(store: Store, *events: Event) -> None:
    dispatch = dispatch_on(store, lambda: NOW)
    for event in events:
        dispatch.take(event, name=event.address.chat)


def stands(store: Store, name: str) -> tuple[list[tuple[object, ...]], list[tuple[object, ...]]]:
    """What stands of each set and of each session's estimate, to the last bit."""
    with store.read() as work:
        lifter = work.lifters.at_address(Address("replay", name))
        assert lifter is not None
        sets = work.sets.between(lifter.id, date.min, date.max)
        history = work.estimates.history(lifter.id, "bench press")
    return (
        [(each.at, each.load, each.reps, each.rir, each.counted, each.implied_left) for each in sets],
        [(each.at, each.estimate_kg, each.low_kg, each.high_kg) for each in history],
    )


def test_an_old_edit_leaves_what_texting_it_in_time_would_have_left(store: Store) -> None:
    text(store, *[arrived("in time", each, USUAL if each else CHANGED) for each in range(SESSIONS)])
    text(store, *[arrived("late", each, USUAL) for each in range(SESSIONS)])
    watched = Interrupted(store)

    text(watched, edited("late", 0, CHANGED))

    assert stands(store, "late") == stands(store, "in time")
    # Once to find out how much there is to work out, and once to write it.
    assert watched.tries == 2


def test_an_edit_of_late_is_worked_out_at_once(store: Store) -> None:
    text(store, *[arrived("tove", each, USUAL) for each in range(SESSIONS)])
    watched = Interrupted(store)

    text(watched, edited("tove", SESSIONS - 1, CHANGED))

    assert watched.tries == 1


def test_what_comes_in_while_an_old_edit_is_worked_out_counts(store: Store) -> None:
    text(store, *[arrived("in time", each, USUAL if each else CHANGED) for each in range(SESSIONS + 1)])
    text(store, *[arrived("late", each, USUAL) for each in range(SESSIONS)])
    watched = Interrupted(store, [lambda: text(store, arrived("late", SESSIONS, USUAL))])

    text(watched, edited("late", 0, CHANGED))

    assert stands(store, "late") == stands(store, "in time")
    assert watched.tries == 3


def test_a_log_that_changes_all_the_time_is_worked_out_in_the_end(store: Store) -> None:
    further = 6
    text(store, *[arrived("in time", each, USUAL if each else CHANGED) for each in range(SESSIONS + further)])
    text(store, *[arrived("late", each, USUAL) for each in range(SESSIONS)])
    coming = [arrived("late", SESSIONS + each, USUAL) for each in range(further)]
    watched = Interrupted(store, [partial(text, store, each) for each in coming])

    text(watched, edited("late", 0, CHANGED))
    text(store, *coming[further - len(watched.between) :])

    assert stands(store, "late") == stands(store, "in time")
    assert watched.between  # it did not go on for ever


@pytest.mark.parametrize("number", [0, 1])
def test_an_old_message_deleted_leaves_what_never_texting_it_would_have_left(store: Store, number: int) -> None:
    kept = [each for each in range(SESSIONS + 1) if each != number]
    text(store, *[arrived("never", each, USUAL) for each in kept])
    text(store, *[arrived("deleted", each, USUAL) for each in range(SESSIONS + 1)])
    key = f"deleted {number:03d}"

    text(
        store,
        Deleted(address=Address("replay", "deleted"), event_key=f"{key} gone", sent_at=NOW, message_key=key),
    )

    assert stands(store, "deleted") == stands(store, "never")
