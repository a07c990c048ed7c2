"""Looking back: the session closed, the week, the maximum, the history."""

from collections.abc import Sequence
from datetime import date, timedelta

import pytest

from core.domain.exercises import Muscle
from core.domain.replies import Asked, Nothing, NothingThere
from core.domain.reviews import HistoryTold, MaxTold, SessionClosed, WeekTold
from core.domain.sets import Counted
from tests.core.application.chats import Chat, the


def test_the_week_counts_direct_sets_whole_and_indirect_ones_half(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")
    chat.say("80x5 rir1")

    week = the(WeekTold, chat.say("week"))

    # Pelland 2024: a direct set counts 1, an indirect one 0.5; the bench press trains the chest directly.
    counted = {each.muscle: (each.sets, each.sessions) for each in week.muscles}
    assert counted[Muscle.CHEST] == (2.0, 1)
    assert counted[Muscle.TRICEPS] == (1.0, 1)
    assert (week.first, week.last) == (date(2027, 1, 4), date(2027, 1, 10))


def test_the_week_tells_what_was_not_counted_and_why(chat: Chat) -> None:
    chat.say("bench 40x10 w")
    chat.say("bench 80x5 rir2")
    chat.say("bench 95x1 rir1")

    week = the(WeekTold, chat.say("week"))

    # Warm-ups never count; sets of 1 and 2 are strength exposure (the program's rule on hard sets).
    assert [(each.set.load, each.why) for each in week.not_counted] == [
        (40.0, Counted.WARM_UP),
        (95.0, Counted.STRENGTH),
    ]


def test_last_weeks_sets_are_not_this_weeks(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")
    chat.now += timedelta(days=7)

    assert the(WeekTold, chat.say("week")).sets == 0


def test_the_closed_session_lists_work_sets_by_exercise(chat: Chat) -> None:
    chat.say("bench 40x10 w")
    chat.say("bench 80x5 rir2")
    chat.now += timedelta(minutes=12)
    chat.say("row 60x10")

    closed = the(SessionClosed, chat.say("done 7"))

    assert [(each.exercise, len(each.sets)) for each in closed.exercises] == [("bench press", 1), ("barbell row", 1)]
    assert (closed.minutes, closed.effort) == (12, 7.0)


def test_the_last_set_can_bring_the_word_that_closes_the_session(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")

    replies = chat.say("80x5, done 7")

    closed = the(SessionClosed, replies)
    assert [len(each.sets) for each in closed.exercises] == [2]
    assert closed.effort == 7.0


def test_a_set_in_doubt_closes_its_session_once_it_is_settled(chat: Chat) -> None:
    asked = the(Asked, chat.say("bench 100x5x3, done 7"))

    closed = the(SessionClosed, chat.tap(asked, 0))

    # As the lifter chose: three sets of five.
    assert [len(each.sets) for each in closed.exercises] == [3]


def test_the_maximum_has_one_item_a_session_as_it_was_estimated_then(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")
    first = the(MaxTold, chat.say("max bench"))
    chat.now += timedelta(days=2)
    chat.say("bench 85x5 rir2")

    second = the(MaxTold, chat.say("max bench"))

    assert len(second.history) == 2
    assert second.history[0] == first.history[0]
    assert second.history[1].estimate_kg > second.history[0].estimate_kg


def test_the_maximum_without_a_name_is_the_last_exercises(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")
    chat.say("squat 100x5 rir2")

    assert the(MaxTold, chat.say("max")).told.exercise == "squat"


def test_what_was_never_done_has_no_maximum_and_no_history(chat: Chat) -> None:
    chat.say("bench 80x5")

    assert the(NothingThere, chat.say("max squat")).why is Nothing.NO_ESTIMATE
    assert the(NothingThere, chat.say("history squat")).why is Nothing.LOGGED_OF_EXERCISE


def test_the_history_is_newest_first(chat: Chat) -> None:
    chat.say("bench 80x5")
    chat.now += timedelta(days=2)
    chat.say("bench 85x5")

    told = the(HistoryTold, chat.say("history bench"))

    assert [(day, sets[0].load) for day, sets in told.sessions] == [(date(2027, 1, 6), 85.0), (date(2027, 1, 4), 80.0)]


def test_one_lifter_never_sees_anothers_sets(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")
    other = Chat(chat.store, name="another")

    assert the(NothingThere, other.say("max bench")).why is Nothing.NO_ESTIMATE
    assert the(NothingThere, other.say("history bench")).why is Nothing.LOGGED_OF_EXERCISE
    assert the(WeekTold, other.say("week")).sets == 0
    assert the(NothingThere, other.say("undo")).why is Nothing.TO_UNDO
    assert len(chat.sets) == 1


def weeks_of_bench(chat: Chat, loads: Sequence[float]) -> None:
    for load in loads:
        for _ in range(3):
            chat.say(f"bench {load}x5 rir2")
        chat.now += timedelta(weeks=1)


def test_a_lift_that_rises_is_told_so_with_how_sure_that_is(chat: Chat) -> None:
    weeks_of_bench(chat, [80 + 1.25 * week for week in range(10)])
    told = the(MaxTold, chat.say("max bench"))

    # By hand: 1.25 kg a week of about 85 kg is 1.5 %; the estimate follows with caution.
    assert told.weekly is not None
    assert told.rising is not None
    assert 0.005 < told.weekly < 0.02
    assert told.rising > 0.9
    assert told.told.change_kg is not None
    assert told.told.change_kg > 0


def test_a_lift_that_stands_still_is_not_told_as_up_or_down(chat: Chat) -> None:
    weeks_of_bench(chat, [80] * 10)

    assert the(MaxTold, chat.say("max bench")).told.change_kg is None


def test_no_trend_is_told_of_two_sessions(chat: Chat) -> None:
    weeks_of_bench(chat, [80, 85])

    told = the(MaxTold, chat.say("max bench"))

    assert (told.weekly, told.rising, told.told.change_kg) == (None, None, None)


def test_an_estimate_rests_on_the_most_telling_sets_of_the_last_sessions(chat: Chat) -> None:
    chat.say("bench 70x5 rir4")
    weeks_of_bench(chat, [80, 82.5, 85])

    told = the(MaxTold, chat.say("max bench"))

    assert [each.load for each in told.rests_on] == [85, 82.5, 80]


def test_an_easy_set_of_a_sore_day_is_not_what_an_estimate_rests_on(chat: Chat) -> None:
    weeks_of_bench(chat, [80, 82.5])
    chat.say("bench 40x5 rir8")

    told = the(MaxTold, chat.say("max bench"))

    assert [each.load for each in told.rests_on] == [82.5, 80]


def test_a_miss_is_among_what_an_estimate_rests_on(chat: Chat) -> None:
    weeks_of_bench(chat, [80])
    chat.say("bench 80x5")
    chat.say("bench 102.5x0 failed")

    told = the(MaxTold, chat.say("max bench"))

    assert [(each.load, each.failed) for each in told.rests_on] == [(102.5, True), (80.0, False)]


def test_the_older_equations_are_told_of_the_set_that_they_are_of(chat: Chat) -> None:
    weeks_of_bench(chat, [90])
    chat.say("bench 95x1")

    told = the(MaxTold, chat.say("max bench"))

    # 90 kg x 5 with 2 left, r = 7 (computed): Epley with r/30 says 111 kg.
    assert told.compared is not None
    assert (told.compared.load, told.compared.reps) == (90.0, 5)
    assert dict(told.equations)["epley"] == pytest.approx(111.0)


def test_without_body_mass_a_lift_that_moves_it_says_why_it_has_no_estimate(chat: Chat) -> None:
    chat.say("pull ups 8")

    assert the(NothingThere, chat.say("max pull ups")).why is Nothing.ESTIMATE_WITHOUT_BODY_MASS


def test_what_was_estimated_after_a_session_is_never_changed_by_later_ones(chat: Chat) -> None:
    weeks_of_bench(chat, [80, 80, 80])
    before = the(MaxTold, chat.say("max bench")).history

    weeks_of_bench(chat, [90, 90])

    assert the(MaxTold, chat.say("max bench")).history[:3] == before


def test_a_maximum_confirmed_by_a_tap_is_the_estimate(chat: Chat) -> None:
    weeks_of_bench(chat, [80] * 6)
    asked = the(Asked, chat.say("bench 112x1 max"))
    chat.tap(asked, 0)

    # Test-retest of a measured maximum: median coefficient of variation 4.2 % (Grgic et al. 2020).
    told = the(MaxTold, chat.say("max bench")).told
    assert told.estimate_kg == pytest.approx(112, rel=0.042)


def test_lifts_with_body_mass_are_told_as_what_is_added_and_help_takes_away(chat: Chat) -> None:
    chat.tap(the(Asked, chat.say("bw 80 kg")), 0)
    chat.say("pull ups +10x5 rir2")
    chat.say("assisted pull up 20x8 rir2")

    added = the(MaxTold, chat.say("max pull ups")).told
    helped = the(MaxTold, chat.say("max assisted pull up")).told

    # Epley with r/30 of body mass and 10 kg, seven repetitions: 111 kg, 31 kg of them added. With 20 kg of help and ten
    # repetitions it says 80 kg of 60 kg: nothing added; the pull-up, of which it is a variation, says somewhat more.
    assert added.estimate_kg == pytest.approx(31, abs=8)
    assert -8 < helped.estimate_kg < added.estimate_kg - 10


def test_dumbbells_are_told_for_each_hand(chat: Chat) -> None:
    chat.say("db bench 30x8 rir2")

    told = the(MaxTold, chat.say("max db bench")).told

    # Epley with r/30 of 30 kg and ten repetitions says 40 kg.
    assert told.estimate_kg == pytest.approx(40, rel=0.1)
