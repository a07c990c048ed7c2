"""Questions: answered once, by their own lifter, in time; an answer is a habit."""

from datetime import timedelta

import pytest

from core.application.questions import OPEN_FOR
from core.domain.commands import Done as Finished
from core.domain.guidance import DayChange
from core.domain.replies import (
    Acknowledged,
    Ask,
    Asked,
    Done,
    Logged,
    Nothing,
    NothingThere,
    Refused,
    TapDidNothing,
    TapRefusal,
)
from core.domain.units import Unit
from tests.core.application.chats import Chat, the
from tests.core.application.guided import asked, planned_lifter, today_told


def test_nothing_is_stored_while_a_doubt_is_open(chat: Chat) -> None:
    the(Asked, chat.say("bench 80 3 5"))

    assert chat.sets == []


def test_a_tap_logs_the_chosen_reading_at_the_time_of_the_message(chat: Chat) -> None:
    sent = chat.now
    asked = the(Asked, chat.say("bench 80 3 5"))
    chat.now += timedelta(minutes=10)

    chat.tap(asked, 1)

    assert {each.at for each in chat.sets} == {sent}
    assert len(chat.sets) > 0


def test_an_answer_is_not_asked_for_again(chat: Chat) -> None:
    chat.tap(the(Asked, chat.say("bench 80 3 5")), 1)
    told = [(each.load, each.reps) for each in chat.sets]

    again = the(Logged, chat.say("bench 80 3 5"))

    assert [(each.load, each.reps) for each in again.sets] == told


def test_a_second_tap_changes_nothing_and_says_what_was_chosen(chat: Chat) -> None:
    asked = the(Asked, chat.say("bench 80 3 5"))
    chat.tap(asked, 1)
    sets = chat.sets

    second = the(TapDidNothing, chat.tap(asked, 0))

    assert second.why is TapRefusal.ALREADY
    assert second.chosen
    assert chat.sets == sets


def test_others_taps_do_nothing(chat: Chat) -> None:
    asked = the(Asked, chat.say("bench 80 3 5"))
    other = Chat(chat.store, name="another")

    tapped = the(TapDidNothing, other.tap(asked, 0))

    assert tapped.why is TapRefusal.NOT_YOURS
    assert chat.sets == other.sets == []
    assert len(chat.tap(asked, 0)) == 1


def test_a_tap_after_the_question_has_expired_is_too_late(chat: Chat) -> None:
    asked = the(Asked, chat.say("bench 80 3 5"))
    chat.now += OPEN_FOR

    assert the(TapDidNothing, chat.tap(asked, 0)).why is TapRefusal.TOO_LATE
    assert chat.sets == []


def test_a_letter_after_the_question_has_expired_is_too_late_as_well(chat: Chat) -> None:
    the(Asked, chat.say("bench 80 3 5"))
    chat.now += OPEN_FOR

    assert the(TapDidNothing, chat.say("a")).why is TapRefusal.TOO_LATE
    assert chat.sets == []


def test_a_letter_answers_the_newest_question_and_a_number_is_repetitions(chat: Chat) -> None:
    chat.say("squat 100x5")
    chat.say("bench 80 3 5")

    number = the(Logged, chat.say("1"))
    letter = the(Logged, chat.say("B)"))

    assert [(each.exercise, each.reps) for each in number.sets] == [("squat", 1)]
    assert letter.sets[0].exercise == "bench press"


def test_an_edit_withdraws_the_question_about_the_text_before(chat: Chat) -> None:
    asked = the(Asked, chat.say("bench 80 3 5"))

    chat.edit(1, "bench 80x5")

    assert the(TapDidNothing, chat.tap(asked, 0)).why is TapRefusal.UNKNOWN
    assert [(each.load, each.reps) for each in chat.sets] == [(80.0, 5)]


def test_leaving_one_question_keeps_another_open(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")
    heavy = the(Asked, chat.say("bench 200x5"))
    order = the(Asked, chat.say("bench 80 3 5"))

    left = the(Acknowledged, chat.tap(heavy, 1))
    logged = the(Logged, chat.tap(order, 1))

    assert left.done is Done.CANCELLED
    assert logged.sets


def test_never_mind_without_a_question_says_that_none_is_open(chat: Chat) -> None:
    chat.say("bench 80x5")

    assert the(NothingThere, chat.say("never mind")).why is Nothing.OPEN_QUESTION


@pytest.mark.parametrize(("word", "unit"), [("kg", Unit.KG), ("lb", Unit.LB), ("Pounds!", Unit.LB)])
def test_a_unit_answers_the_question_which_unit_was_meant(chat: Chat, word: str, unit: Unit) -> None:
    the(Asked, chat.say("bench 135x5"))

    chat.say(word)

    assert [(each.load, each.unit) for each in chat.sets] == [(135.0, unit)]


def test_the_words_of_an_option_answer_it(chat: Chat) -> None:
    chat.labels = lambda asked: ("The First", "the second")[: len(asked.options)]
    chat.say("bench 80 3 5")

    chosen = the(Logged, chat.say("the first."))

    assert len(chosen.sets) > 0
    assert isinstance(the(Refused, chat.say("the second")), Refused)


def test_a_bare_number_is_repetitions_even_where_an_option_reads_so(chat: Chat) -> None:
    chat.labels = lambda asked: tuple([str(place) for place in range(5, 5 + len(asked.options))])
    chat.say("squat 100x3")
    chat.say("bench 80 3 5")

    chat.say("5")

    assert [(each.exercise, each.reps) for each in chat.sets] == [("squat", 3), ("squat", 5)]


def test_a_letter_answers_the_question_shown_last_while_the_clock_stands_still(chat: Chat) -> None:
    tove = planned_lifter(chat)
    tove.say("70x8")  # the taps of the next set, and then how many were left
    asked(tove.say("tired"), Ask.TIRED)

    told = today_told(tove.say("b"))

    assert told.change is DayChange.FEWER_SETS


def test_a_bare_number_behind_the_question_for_the_effort_of_a_session_is_asked_about(chat: Chat) -> None:
    chat.say("bench 80x5")
    chat.say("done")

    asked = the(Asked, chat.say("7"))
    chat.tap(asked, 0)

    assert asked.options[0].command == Finished(7)
    assert [each.reps for each in chat.sets] == [5]


def test_a_bare_number_may_be_the_repetitions_of_a_further_set_all_the_same(chat: Chat) -> None:
    chat.say("bench 80x5")
    chat.say("done")

    chat.tap(the(Asked, chat.say("7")), 1)

    assert [each.reps for each in chat.sets][:1] == [5]
    assert len(chat.sets) <= 2
