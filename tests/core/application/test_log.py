"""Logging: loads as typed and in kilograms, what is taken over, and what keeps sets out of the log."""

from datetime import timedelta

import pytest

from core.domain.replies import Ask, Asked, Logged, Nothing, NothingThere
from tests.core.application.chats import Chat, the


def test_a_load_is_kept_as_typed_and_in_kilograms(chat: Chat) -> None:
    chat.say("bench 185lb x 5")

    [only] = chat.sets
    assert (only.load, only.unit) == (185.0, "lb")
    # 1 lb = 0.45359237 kg exactly (NIST SP 811): 185 lb = 83.91458845 kg.
    assert only.load_kg == pytest.approx(83.91458845, abs=1e-9)


def test_a_set_without_name_and_load_takes_those_of_the_set_before(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")

    logged = the(Logged, chat.say("5"))

    assert [(each.exercise, each.load, each.reps, each.rir) for each in logged.sets] == [("bench press", 80.0, 5, None)]
    assert logged.number == 2


def test_same_repeats_the_last_set_without_its_effort(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")

    chat.say("same")
    chat.say("same rir1")

    assert [(each.load, each.reps, each.rir) for each in chat.sets] == [(80.0, 5, 2.0), (80.0, 5, None), (80.0, 5, 1.0)]


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("80x5", Nothing.WHICH_EXERCISE),
        ("same", Nothing.TO_REPEAT),
        ("fix 80x5", Nothing.TO_FIX),
        ("undo", Nothing.TO_UNDO),
    ],
)
def test_nothing_is_logged_where_nothing_is_there_to_build_on(text: str, why: Nothing, chat: Chat) -> None:
    assert the(NothingThere, chat.say(text)).why is why
    assert chat.sets == []


def test_a_warm_up_has_no_number_among_the_work_sets(chat: Chat) -> None:
    warm_up = the(Logged, chat.say("bench 40x10 w"))
    work = the(Logged, chat.say("bench 80x5"))

    assert (warm_up.number, work.number) == (0, 1)


def test_a_load_far_above_the_estimate_is_asked_about_before_it_counts(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")
    chat.say("80x5 rir2")

    asked = the(Asked, chat.say("bench 200x5"))
    stored_before = len(chat.sets)
    chat.tap(asked, 0)

    assert asked.about is Ask.HEAVY
    assert stored_before == 2
    assert [each.load for each in chat.sets] == [80.0, 80.0, 200.0]


def test_what_the_session_has_shown_is_not_asked_about_again(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")
    chat.tap(the(Asked, chat.say("bench 200x5")), 0)

    repeated = chat.say("200x5")
    fewer = chat.say("195x4")
    more = chat.say("400kg x 5")

    assert the(Logged, repeated).sets[0].load == 200.0
    assert the(Logged, fewer).sets[0].load == 195.0
    assert the(Asked, more).about is Ask.HEAVY


def test_a_first_way_up_from_the_empty_bar_is_not_asked_about_but_a_digit_too_many_is(chat: Chat) -> None:
    for text in ("bench 20x10", "60x5", "100x5", "140x5"):
        assert the(Logged, chat.say(text)).sets

    assert the(Asked, chat.say("1400x5")).about is Ask.HEAVY


def test_a_very_first_load_beyond_every_record_is_asked_about(chat: Chat) -> None:
    """The heaviest bench press in competition is below 400 kg (from memory); a slip of a digit makes 80 kg 800."""
    assert the(Asked, chat.say("bench 800x5")).about is Ask.HEAVY
    assert the(Logged, chat.say("leg press 300x10")).sets[0].load == 300.0
    assert the(Logged, chat.say("deadlift 250x5")).sets[0].load == 250.0


def test_a_load_far_above_a_first_set_whose_effort_was_told_is_asked_about(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")

    assert the(Asked, chat.say("140x5")).about is Ask.HEAVY


def test_a_lighter_load_is_never_questioned(chat: Chat) -> None:
    chat.say("bench 100x5 rir0")

    assert the(Logged, chat.say("bench 20x5")).sets[0].load == 20.0


def test_the_first_unit_typed_is_the_lifters_unit(chat: Chat) -> None:
    chat.say("bench 185lb x 5")
    chat.say("190x5")

    assert [each.unit for each in chat.sets] == ["lb", "lb"]


def test_a_set_sent_before_the_clock_counts_when_it_was_sent(chat: Chat) -> None:
    sent = chat.now - timedelta(minutes=40)

    chat.say("bench 80x5", at=sent)
    chat.say("80x5", at=chat.now + timedelta(hours=1))

    assert [each.at for each in chat.sets] == [sent, chat.now]


@pytest.mark.parametrize("text", ["1890-01-01 bench 80x5", "29 feb bench 80x5"])
def test_a_day_that_cannot_be_meant_is_refused(chat: Chat, text: str) -> None:
    # In January 2027 the last 29 February lies almost three years back.
    replies = chat.say(text)

    assert chat.sets == []
    assert the(NothingThere, replies).why is Nothing.DAY_LONG_GONE


def test_a_day_that_has_not_come_is_refused(chat: Chat) -> None:
    replies = chat.say("2027-02-01 bench 80x5")

    assert chat.sets == []
    assert the(NothingThere, replies).why is Nothing.DAY_AHEAD


def test_a_time_alone_is_no_set_of_a_lift_that_nobody_holds(chat: Chat) -> None:
    chat.say("bench 80x5")

    told = the(NothingThere, chat.say("20 mins"))

    assert told.why is Nothing.WHICH_EXERCISE
    assert [(each.exercise, each.seconds) for each in chat.sets] == [("bench press", None)]


def test_a_time_alone_goes_on_with_a_lift_that_is_held(chat: Chat) -> None:
    chat.say("plank 60s")
    chat.say("45s")

    assert [(each.exercise, each.seconds) for each in chat.sets] == [("plank", 60.0), ("plank", 45.0)]


def test_same_repeats_no_miss(chat: Chat) -> None:
    chat.say("bench 80x4 failed")
    chat.say("same")

    assert [(each.reps, each.failed) for each in chat.sets] == [(4, True), (4, False)]


def test_a_lift_that_did_not_go_up_is_not_done_again_without_a_word_on_repetitions(chat: Chat) -> None:
    chat.say("bench 120xF")

    told = the(NothingThere, chat.say("same"))

    assert told.why is Nothing.WHICH_REPS
    assert [(each.reps, each.failed) for each in chat.sets] == [(0, True)]
