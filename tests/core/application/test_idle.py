"""Idle: a lifter who has not written for eleven months is warned once, and erased after twelve."""

from datetime import UTC, date, datetime, timedelta

import pytest

from core.application.callings import CALLINGS
from core.application.due import Fired
from core.application.idle import looked_through
from core.application.ports import Store
from core.domain.reminded import IdleWarned
from core.domain.reminders import Kind
from tests.core.application.chats import MONDAY, Chat
from tests.core.application.test_due import fired

DAY = timedelta(days=1)


@pytest.fixture
def store(chat: Chat) -> Store:
    """The store that this lifter is kept in."""
    return chat.store


# Design, section 10: after 12 idle months, warned once. MONDAY is the 4th of January 2027, at 18:00 in UTC.
WARNED = datetime(2027, 12, 6, 12, tzinfo=UTC)
"""Noon after eleven months: 335 days are over on 5 December at 18:00."""

GONE = date(2028, 1, 5)
"""The warning's day and thirty more: the first on which a year is over too."""


def night(store: Store, at: datetime) -> None:
    """The nightly look at all lifters."""
    after: int | None = 0
    while after is not None:
        after = store.submit(looked_through(after, at)).result()


def nights(store: Store, first: datetime, last: datetime) -> list[Fired]:
    """Night after night at three, and what comes by the clock until one in the afternoon."""
    found = []
    at = datetime.combine(first.date(), datetime.min.time(), tzinfo=UTC) + timedelta(hours=3)
    while at <= last:
        night(store, at)
        found += fired(store, at + timedelta(hours=10), callings=CALLINGS)
        at += DAY
    return found


def test_a_lifter_is_warned_once_a_month_ahead_and_erased_after_a_year(store: Store, chat: Chat) -> None:
    chat.say("bench 80x5")

    before = nights(store, MONDAY + DAY * 300, WARNED - DAY)
    found = nights(store, WARNED, datetime(2028, 1, 5, 2, tzinfo=UTC))
    last = chat.lifter
    night(store, datetime(2028, 1, 6, 3, tzinfo=UTC))

    assert before == []
    assert [each.replies for each in found] == [[IdleWarned(GONE)]]
    assert [each.due.at for each in found] == [WARNED]
    assert last is not None
    assert chat.lifter is None


def test_a_word_after_the_warning_keeps_everything(store: Store, chat: Chat) -> None:
    chat.say("bench 80x5")
    nights(store, WARNED - DAY, WARNED)
    chat.now = WARNED + DAY * 3
    chat.say("week")

    found = nights(store, WARNED + DAY * 3, WARNED + DAY * 60)

    assert found == []
    assert chat.lifter is not None


def test_a_word_before_the_warning_came_withdraws_it(store: Store, chat: Chat) -> None:
    chat.say("bench 80x5")
    night(store, WARNED - timedelta(hours=9))
    chat.now = WARNED - timedelta(hours=1)
    chat.say("week")

    assert fired(store, WARNED, callings=CALLINGS) == []


def test_after_a_long_downtime_nobody_is_erased_within_a_month_of_the_warning(store: Store, chat: Chat) -> None:
    # given a program that stood still for two years
    chat.say("bench 80x5")
    back = datetime(2029, 1, 10, 3, tzinfo=UTC)

    found = nights(store, back, back + DAY * 29)
    meanwhile = chat.lifter
    nights(store, back + DAY * 30, back + DAY * 31)

    assert [each.replies for each in found] == [[IdleWarned(date(2029, 2, 9))]]
    assert meanwhile is not None
    assert chat.lifter is None


def test_whom_nothing_reaches_is_erased_all_the_same(store: Store, chat: Chat) -> None:
    chat.say("bench 80x5")
    store.submit(lambda work: work.lifters.unreachable(chat.address, at=chat.now)).result()

    found = nights(store, WARNED - DAY, datetime(2028, 1, 8, tzinfo=UTC))

    assert found == []
    assert chat.lifter is None


def test_a_silent_lifter_is_warned_too(store: Store, chat: Chat) -> None:
    # given a lifter who said yes to check-ins, never answered one and fell silent
    chat.say("consent on")
    for week in range(8):
        fired(store, MONDAY + timedelta(weeks=week, hours=-1), callings=CALLINGS)

    found = nights(store, WARNED - DAY, WARNED)

    assert [each.due.kind for each in found] == [Kind.IDLE]


def test_every_lifter_is_looked_at_and_only_the_idle_ones_go(store: Store) -> None:
    idle = [Chat(store, name=f"idle {number}") for number in range(3)]
    for each in idle:
        each.say("bench 80x5")
    other = Chat(store, name="other", now=MONDAY + DAY * 200)
    other.say("bench 80x5")

    nights(store, WARNED - DAY, datetime(2028, 1, 8, tzinfo=UTC))

    assert [each.lifter for each in idle] == [None] * 3
    assert other.lifter is not None
