"""Correcting: fix, undo, edits and deletions, in any order."""

from datetime import date, timedelta

import pytest

from core.domain.replies import Acknowledged, Ask, Asked, Done, Logged, Nothing, NothingThere, TakenBack
from tests.core.application.chats import MONDAY, Chat, the

SUNDAY = date(2027, 1, 3)


def loads(chat: Chat) -> list[tuple[float | None, int | None]]:
    return [(each.load, each.reps) for each in chat.sets]


def test_fix_changes_what_is_told_and_keeps_the_rest(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")

    fixed = the(Logged, chat.say("fix 82.5"))

    assert fixed.replaced
    assert [(each.load, each.reps, each.rir) for each in chat.sets] == [(82.5, 5, 2.0)]


def test_a_fix_far_above_the_estimate_is_asked_about_before_it_counts(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")
    chat.say("80x5 rir2")
    before = chat.sets

    asked = the(Asked, chat.say("fix 180x5"))
    unanswered = chat.sets
    chat.tap(asked, 1)
    declined = chat.sets
    chat.tap(the(Asked, chat.say("fix 180x5")), 0)

    assert asked.about is Ask.HEAVY
    assert unanswered == before
    assert declined == before
    assert loads(chat) == [(80.0, 5), (180.0, 5)]


def test_an_edit_far_above_the_estimate_is_asked_about_before_it_counts(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")
    chat.say("80x5 rir2")

    asked = the(Asked, chat.edit(2, "180x5 rir2"))
    unanswered = loads(chat)
    chat.tap(asked, 0)

    assert asked.about is Ask.HEAVY
    assert unanswered == [(80.0, 5), (80.0, 5)]
    assert loads(chat) == [(80.0, 5), (180.0, 5)]


def test_a_slip_that_was_too_light_is_corrected_without_a_question(chat: Chat) -> None:
    chat.say("bench 30x5")
    first = the(Logged, chat.say("fix 80x5"))
    chat.say("bench 30x5")

    second = the(Logged, chat.say("fix 82.5x5"))

    assert first.replaced
    assert second.replaced
    assert loads(chat) == [(80.0, 5), (82.5, 5)]


def test_undo_of_a_fix_brings_back_what_it_replaced_and_a_second_undo_takes_that_too(chat: Chat) -> None:
    chat.say("bench 80x5")
    chat.say("fix 82.5x5")

    first = the(TakenBack, chat.say("undo"))
    after_first = loads(chat)
    second = the(TakenBack, chat.say("undo"))

    assert [each.load for each in first.removed] == [82.5]
    assert [each.load for each in first.restored] == [80.0]
    assert after_first == [(80.0, 5)]
    assert [each.load for each in second.removed] == [80.0]
    assert loads(chat) == []


def test_undo_takes_back_all_sets_of_a_message(chat: Chat) -> None:
    chat.say("bench 80x5")
    chat.say("bench 3x5 @ 82.5")

    chat.say("undo")

    assert loads(chat) == [(80.0, 5)]


def test_an_edit_puts_the_new_sets_in_the_place_of_the_old(chat: Chat) -> None:
    chat.say("bench 80x5")
    chat.say("bench 85x3")

    chat.edit(1, "bench 82.5x5")

    assert loads(chat) == [(82.5, 5), (85.0, 3)]


def test_an_edit_wins_over_an_earlier_fix(chat: Chat) -> None:
    chat.say("bench 80x5")
    chat.say("fix 85x5")

    chat.edit(1, "bench 82.5x6")

    assert loads(chat) == [(82.5, 6)]


def test_an_edit_may_move_a_set_to_another_exercise(chat: Chat) -> None:
    chat.say("bench 80x5")

    chat.edit(1, "squat 100x5")

    assert [each.exercise for each in chat.sets] == ["squat"]


def test_an_edited_command_is_not_run_again(chat: Chat) -> None:
    chat.say("bench 80x5")
    chat.say("week")

    told = the(Acknowledged, chat.edit(2, "undo"))

    assert told.done is Done.EDITED_COMMAND
    assert loads(chat) == [(80.0, 5)]


def test_a_message_that_was_not_understood_is_read_anew_when_edited(chat: Chat) -> None:
    chat.say("bench 80gk x 5")

    chat.edit(1, "bench 80kg x 5")

    assert loads(chat) == [(80.0, 5)]


def test_a_deleted_message_takes_its_sets_and_their_corrections_along(chat: Chat) -> None:
    chat.say("bench 80x5")
    chat.say("bench 85x3")
    chat.say("fix 87.5x3")

    chat.delete(2)

    assert loads(chat) == [(80.0, 5)]


def test_nothing_of_a_deleted_message_comes_back(chat: Chat) -> None:
    chat.say("bench 80x5")
    chat.say("bench 85x3")
    chat.say("fix 87.5x3")
    chat.say("fix 90x3")

    chat.delete(2)
    lifter = chat.lifter
    assert lifter is not None
    with chat.store.read() as work:
        left = [each for change in range(1, 10) for each in work.sets.taken_back_by(lifter.id, change)]
    chat.say("undo")

    assert left == []
    assert loads(chat) == []


def test_deleting_a_message_without_sets_says_nothing(chat: Chat) -> None:
    chat.say("week")

    assert [each for each in chat.delete(1) if isinstance(each, TakenBack)] == []


def test_a_session_without_sets_goes_with_the_last_of_them(chat: Chat) -> None:
    chat.say("bench 80x5")
    chat.delete(1)
    lifter = chat.lifter
    assert lifter is not None

    assert chat.store.submit(lambda work: work.sessions.last(lifter.id)).result() is None


def test_the_last_repetition_missed_is_asked_about_for_it_may_have_been_counted(chat: Chat) -> None:
    chat.say("bench 82.5x5")

    asked = the(Asked, chat.say("i failed the last rep"))
    fixed = the(Logged, chat.tap(asked, 0))

    assert asked.about is Ask.LAST_REP
    assert fixed.replaced
    assert [(each.load, each.reps, each.failed) for each in chat.sets] == [(82.5, 4, True)]


def test_a_repetition_missed_after_those_told_leaves_their_number(chat: Chat) -> None:
    chat.say("bench 82.5x5")

    chat.tap(the(Asked, chat.say("missed the last rep")), 1)

    assert [(each.load, each.reps, each.failed) for each in chat.sets] == [(82.5, 5, True)]


def test_a_set_told_with_a_pain_says_little_about_strength_after_a_correction_too(chat: Chat) -> None:
    chat.say("bench 80x5, shoulder hurts")
    told = [each.weak for each in chat.sets]

    chat.edit(1, "bench 82.5x5, shoulder hurts")
    edited = [(each.load, each.weak) for each in chat.sets]
    chat.say("fix 80x5")

    assert told == [True]
    assert edited == [(82.5, True)]
    assert [(each.load, each.weak) for each in chat.sets] == [(80.0, True)]


def test_a_pain_that_an_edit_no_longer_tells_of_is_gone(chat: Chat) -> None:
    chat.say("bench 80x5, shoulder hurts")

    chat.edit(1, "bench 80x5")

    assert [each.weak for each in chat.sets] == [False]


def days(chat: Chat) -> list[tuple[date, float | None]]:
    return [(each.at.date(), each.load) for each in chat.sets]


@pytest.mark.parametrize("told", ["yesterday", "2027-01-03", "3 jan"])
def test_a_day_that_an_edit_tells_of_moves_the_sets_there(chat: Chat, told: str) -> None:
    chat.say("bench 80x5 rir2")

    moved = the(Logged, chat.edit(1, f"{told} bench 82.5x5 rir2"))

    assert (moved.replaced, moved.day) == (True, SUNDAY)
    assert days(chat) == [(SUNDAY, 82.5)]
    assert [each.sets for each in moved.week] == [1]


def test_undo_of_such_an_edit_brings_the_sets_back_to_their_day(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")
    chat.edit(1, "yesterday bench 82.5x5 rir2")

    chat.say("undo")

    assert days(chat) == [(MONDAY.date(), 80.0)]


def test_a_day_that_can_not_be_meant_leaves_the_sets_where_they_are(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")

    refused = the(NothingThere, chat.edit(1, "2027-02-01 bench 82.5x5 rir2"))

    assert refused.why is Nothing.DAY_AHEAD
    assert days(chat) == [(MONDAY.date(), 80.0)]


def test_yesterday_in_an_edit_of_the_day_after_is_still_seen_from_the_message(chat: Chat) -> None:
    chat.say("yesterday bench 80x5 rir2")
    chat.now += timedelta(days=1)

    chat.edit(1, "yesterday bench 82.5x5 rir2")

    assert days(chat) == [(SUNDAY, 82.5)]


@pytest.mark.parametrize("text", ["bench 100x1 max", "fix 100x1 max"])
def test_a_maximum_that_a_correction_tells_of_counts_as_measured_after_one_tap(chat: Chat, text: str) -> None:
    chat.say("bench 100x1")

    asked = the(Asked, chat.say(text) if text.startswith("fix") else chat.edit(1, text))
    unanswered = [each.measured for each in chat.sets]
    chat.tap(asked, 0)

    assert asked.about is Ask.MEASURED
    assert unanswered == [False]
    assert [each.measured for each in chat.sets] == [True]


def test_a_first_record_that_was_told_to_nobody_is_not_told_to_be_gone(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")
    chat.now += timedelta(days=7)
    silent = the(Logged, chat.say("bench 70x8"))

    undone = the(TakenBack, chat.say("undo"))

    # Nothing was made for eight repetitions before: a first record is silent (coaching, section 10).
    assert (silent.records, undone.records) == ((), ())
