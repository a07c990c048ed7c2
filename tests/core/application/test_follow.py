"""What follows: records told and taken back, and the same state whatever order sets arrive in."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta

import pytest

from core.application.ports import Store
from core.domain.replies import Logged, TakenBack
from core.domain.reviews import MaxTold, WeekTold
from tests.core.application.chats import MONDAY, Chat, the


def test_a_record_is_told_when_it_is_broken_and_not_in_the_first_session(chat: Chat) -> None:
    first = the(Logged, chat.say("bench 75x5"))
    ramp = the(Logged, chat.say("bench 80x5"))
    chat.now += timedelta(days=2)
    same = the(Logged, chat.say("bench 80x5"))
    heavier = the(Logged, chat.say("bench 82.5x5"))

    assert first.records == ramp.records == same.records == ()
    assert [(each.reps, each.load.amount) for each in heavier.records] == [(5, 82.5)]


def test_what_was_never_told_as_a_record_is_not_taken_back_as_one(chat: Chat) -> None:
    chat.say("bench 80x5")
    chat.say("bench 82.5x5")

    assert the(TakenBack, chat.say("undo")).records == ()


def test_a_record_is_taken_back_with_the_set_that_held_it(chat: Chat) -> None:
    chat.say("bench 80x5")
    chat.now += timedelta(days=2)
    chat.say("bench 82.5x5")

    back = the(TakenBack, chat.say("undo"))
    again = the(Logged, chat.say("bench 81x5"))

    assert back.records == ("bench press",)
    assert [each.load.amount for each in again.records] == [81.0]


def test_a_warm_up_holds_no_record(chat: Chat) -> None:
    chat.say("bench 80x5")
    chat.now += timedelta(days=2)

    assert the(Logged, chat.say("bench 90x5 w")).records == ()


SETS = (
    ("000001", timedelta(), "bench 80x5 rir2"),
    ("000002", timedelta(minutes=4), "bench 80x5"),
    ("000003", timedelta(minutes=8), "bench 80x4 rir0"),
    ("000004", timedelta(days=2), "bench 82.5x5 rir1"),
    ("000005", timedelta(days=2, minutes=5), "close grip bench 70x8 rir1"),
    ("000006", timedelta(days=4), "bench 85x3 rir1"),
    ("000007", timedelta(days=4, minutes=6), "bench 75x8 rir2"),
)

ORDERS = ((6, 5, 4, 3, 2, 1, 0), (3, 4, 0, 1, 2, 6, 5), (0, 6, 2, 4, 1, 5, 3))


def told(store: Store, name: str, order: Sequence[int]) -> tuple[MaxTold, WeekTold, list[tuple[object, ...]]]:
    """What stands after the sets have arrived in an order."""
    chat = Chat(store, name=name, now=MONDAY + timedelta(days=5))
    for place in order:
        key, after, text = SETS[place]
        chat.say(text, at=MONDAY + after, key=key)
    return (
        the(MaxTold, chat.say("max bench")),
        the(WeekTold, chat.say("week")),
        [(each.at, each.exercise, each.load, each.reps, each.counted, each.implied_left) for each in chat.sets],
    )


@pytest.mark.parametrize("order", ORDERS)
def test_sets_that_arrive_out_of_order_give_the_same_state_as_in_order(order: Sequence[int], store: Store) -> None:
    in_order, week, sets = told(store, "in order", range(len(SETS)))

    late, late_week, late_sets = told(store, "late", order)

    assert late.told == in_order.told
    assert late.history == in_order.history
    assert late.records == in_order.records
    assert late_week.muscles == week.muscles
    assert late_sets == sets


def test_sets_told_for_a_day_gone_by_give_the_same_estimate_as_if_told_in_time(store: Store) -> None:
    in_time = Chat(store, name="in time")
    in_time.say("bench 80x5 rir2")
    in_time.now += timedelta(days=2)
    in_time.say("bench 82.5x5 rir1")

    late = Chat(store, name="late", now=MONDAY + timedelta(days=2))
    late.say("bench 82.5x5 rir1")
    late.say("mon bench 80x5 rir2")

    expected = the(MaxTold, in_time.say("max bench"))
    found = the(MaxTold, late.say("max bench"))
    assert found.told == expected.told
    assert found.history == expected.history


def test_undo_leaves_the_state_as_if_the_set_had_never_been(store: Store) -> None:
    without = Chat(store, name="without")
    without.say("bench 80x5 rir2", key="000001")
    without.say("bench 77.5x6 rir1", key="000003")

    undone = Chat(store, name="undone")
    undone.say("bench 80x5 rir2", key="000001")
    undone.say("bench 95x5 rir0", key="000002")
    undone.say("undo", key="000004")
    undone.say("bench 77.5x6 rir1", key="000003")

    expected = the(MaxTold, without.say("max bench"))
    found = the(MaxTold, undone.say("max bench"))
    assert found.told == expected.told
    assert found.records == expected.records
    assert [replace(each, id=0, session_id=0) for each in found.rests_on] == [
        replace(each, id=0, session_id=0) for each in expected.rests_on
    ]
