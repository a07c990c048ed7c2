"""Sessions: opened by the first set, closed by a word or by three hours, one past midnight."""

from datetime import UTC, date, datetime, timedelta

import pytest

from core.domain.replies import Nothing, NothingThere
from core.domain.reviews import SessionClosed
from tests.core.application.chats import MONDAY, Chat, the


def sessions(chat: Chat) -> int:
    return len({each.session_id for each in chat.sets})


def test_a_session_past_midnight_stays_one_and_counts_for_the_evening(chat: Chat) -> None:
    chat.now = datetime(2027, 1, 4, 23, 30, tzinfo=UTC)
    chat.say("bench 80x5")
    chat.now = datetime(2027, 1, 5, 1, 15, tzinfo=UTC)
    chat.say("80x5")

    closed = the(SessionClosed, chat.say("done"))

    assert sessions(chat) == 1
    assert closed.day == date(2027, 1, 4)
    # From 23:30 to 01:15.
    assert closed.minutes == 105


@pytest.mark.parametrize(("pause", "number"), [(timedelta(hours=2, minutes=59), 1), (timedelta(hours=3, minutes=1), 2)])
def test_three_hours_after_the_last_set_a_session_is_over(pause: timedelta, number: int, chat: Chat) -> None:
    chat.say("bench 80x5")
    chat.now += pause

    chat.say("bench 80x5")

    assert sessions(chat) == number


def test_a_set_after_done_opens_another_session(chat: Chat) -> None:
    chat.say("bench 80x5")
    chat.say("done")
    chat.now += timedelta(minutes=5)

    chat.say("bench 80x5")

    assert sessions(chat) == 2


def test_done_without_an_open_session_says_so(chat: Chat) -> None:
    chat.say("bench 80x5")
    chat.say("done")

    assert the(NothingThere, chat.say("done")).why is Nothing.TO_CLOSE


def test_sets_of_a_day_gone_by_join_that_day(chat: Chat) -> None:
    chat.say("bench 80x5")
    chat.now = MONDAY + timedelta(days=2)
    chat.say("bench 85x5")

    chat.say("mon bench 82.5x5")

    assert [(each.at.date(), each.load) for each in chat.sets] == [
        (date(2027, 1, 4), 80.0),
        (date(2027, 1, 4), 82.5),
        (date(2027, 1, 6), 85.0),
    ]
    assert sessions(chat) == 2


def test_a_late_set_between_two_sessions_makes_one_of_them(chat: Chat) -> None:
    chat.say("bench 80x5")
    chat.now += timedelta(hours=5)
    chat.say("squat 100x5")

    chat.say("bench 82.5x5", at=MONDAY + timedelta(hours=2, minutes=30))

    assert sessions(chat) == 1
    assert [each.load for each in chat.sets] == [80.0, 82.5, 100.0]


def test_a_session_that_one_set_held_together_is_two_without_it(chat: Chat) -> None:
    chat.say("bench 80x5")
    chat.now += timedelta(hours=2, minutes=30)
    chat.say("bench 82.5x5")
    chat.now += timedelta(hours=2, minutes=30)
    chat.say("bench 85x5")

    chat.delete(2)

    assert sessions(chat) == 2


def test_a_late_set_does_not_join_what_done_had_closed(chat: Chat) -> None:
    chat.say("bench 80x5")
    chat.now += timedelta(minutes=10)
    chat.say("done")
    chat.now += timedelta(hours=3)
    chat.say("bench 85x5")

    chat.say("bench 82.5x5", at=MONDAY + timedelta(hours=1))

    # The late one was done after the word, two hours and more before the set that came next.
    first, late, last = (each.session_id for each in chat.sets)
    assert late != first
    assert late == last


def test_a_late_set_before_the_day_begins_takes_its_session_to_the_evening_before(chat: Chat) -> None:
    chat.now = datetime(2027, 1, 5, 4, 30, tzinfo=UTC)
    chat.say("bench 80x5")

    chat.say("bench 75x5", at=datetime(2027, 1, 5, 3, 50, tzinfo=UTC))

    assert the(SessionClosed, chat.say("done")).day == date(2027, 1, 4)
