"""Looking back: the session closed, the week, the maximum, the history."""

from datetime import date, timedelta

from core.domain.exercises import Muscle
from core.domain.replies import Nothing, NothingThere
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
