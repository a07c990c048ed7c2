"""The day's session in the chat: given out, done set by set, and told as done."""

from dataclasses import replace
from datetime import timedelta

import pytest

from core.domain.guidance import (
    LastLiftDone,
    NextLiftTold,
    NextSetTold,
    NoSession,
    NoSessionTold,
    WhyTold,
)
from core.domain.plans import DayKind
from core.domain.prescriptions import AtShare, DayState, Estimated, Rounded, ToFind
from core.domain.replies import Ask, Asked, Guided, Logged, Nothing, NothingThere, Reply
from core.domain.sets import Counted
from core.domain.setups import Away
from core.planning.undulation import STRENGTH, VOLUME
from tests.core.application.chats import MONDAY, Chat, the
from tests.core.application.guided import KNOWN, asked, coming, planned_lifter, planned_today, taps, today_told
from tests.core.application.plans import set_up

SETS_BEFORE = sum("x" in text for text in KNOWN)


@pytest.fixture
def tove(chat: Chat) -> Chat:
    return planned_lifter(chat)


def test_today_tells_the_main_lift_first_and_keeps_what_it_gave_out(tove: Chat) -> None:
    today = today_told(tove.say("today"))

    first = today.lifts[0].lift
    assert first.exercise == "bench press"
    assert first.sets[0].reps == VOLUME.reps
    assert first.sets[0].left == VOLUME.left
    assert today.cue is not None
    day = planned_today(tove)
    assert (day.state, day.session_id) == (DayState.OPEN, None)
    assert day.prescription is not None
    assert [each.exercise for each in day.prescription.lifts] == [each.lift.exercise for each in today.lifts]


def test_one_technique_reminder_a_session(tove: Chat) -> None:
    assert today_told(tove.say("today")).cue is not None
    assert today_told(tove.say("today")).cue is None


def test_a_number_alone_is_repetitions_of_the_planned_set(tove: Chat) -> None:
    load = today_told(tove.say("today")).lifts[0].lift.sets[0].load
    assert load is not None

    replies = tove.say("8")

    [one] = the(Logged, replies).sets
    assert (one.exercise, one.load_kg, one.reps) == ("bench press", load.kg, 8)
    assert coming(replies).number == 2


def test_sets_are_done_by_the_plan_even_if_nobody_asked_for_it(tove: Chat) -> None:
    replies = tove.say("8")

    assert the(Logged, replies).sets[0].exercise == "bench press"
    assert planned_today(tove).state is DayState.DONE


def test_one_tap_logs_the_planned_set(tove: Chat) -> None:
    replies = tove.say("today")
    load = today_told(replies).lifts[0].lift.sets[0].load
    assert load is not None
    tove.now += timedelta(minutes=10)

    done = tove.tap(taps(replies), 0)
    fewer = tove.tap(taps(done), 1)

    [one] = the(Logged, done).sets
    assert (one.load_kg, one.reps, one.at) == (load.kg, 8, tove.now)
    assert the(Logged, fewer).sets[0].reps == 7


def test_a_tap_on_a_set_that_is_past_does_nothing(tove: Chat) -> None:
    replies = tove.say("today")
    tove.say("8")

    tove.tap(taps(replies), 0)

    assert len(tove.sets) == 1 + SETS_BEFORE


def test_a_missed_set_asks_how_many_were_made(tove: Chat) -> None:
    question = the(Asked, tove.tap(taps(tove.say("today")), 2))
    assert question.about is Ask.REPS_MADE

    tove.tap(question, 1)  # the second choice: two fewer than the eight asked for

    assert (tove.sets[-1].reps, tove.sets[-1].failed) == (6, True)


def test_effort_is_asked_after_the_first_and_the_last_set_only(tove: Chat) -> None:
    tove.say("today")

    asked = [any(isinstance(each, Asked) and each.about is Ask.LEFT for each in tove.say("8")) for _ in range(3)]

    assert asked == [True, False, True]


def test_effort_told_is_not_asked(tove: Chat) -> None:
    tove.say("today")

    assert not any(isinstance(each, Asked) for each in tove.say("8 rir2"))


def test_an_effort_tapped_late_is_of_its_own_set(tove: Chat) -> None:
    tove.say("today")
    question = next(each for each in tove.say("8") if isinstance(each, Asked))
    tove.say("8")

    tove.tap(question, 3)

    first, second = tove.sets[-2:]
    assert (first.rir, second.rir) == (3.0, None)


def test_a_far_easier_first_set_raises_the_second_when_its_effort_is_told(tove: Chat) -> None:
    tove.say("today")
    tove.say("8")

    replies = tove.say("fix rir 7")
    after = coming(replies)

    assert after.changed
    assert after.load.kg > the(Logged, replies).sets[0].load_kg


def test_an_undo_takes_the_session_back_to_where_it_was(tove: Chat) -> None:
    tove.say("today")
    tove.say("8")
    assert planned_today(tove).state is DayState.DONE

    tove.say("undo")

    day = planned_today(tove)
    assert (day.state, day.session_id) == (DayState.OPEN, None)
    assert coming(tove.say("8")).number == 2


def test_after_the_last_set_of_a_lift_the_next_one_is_told_and_takes_the_numbers(tove: Chat) -> None:
    second = today_told(tove.say("today")).lifts[1].lift.exercise
    for _ in range(2):
        tove.say("8 rir2")

    replies = tove.say("8 rir2")
    after = the(Logged, replies).coming

    assert isinstance(after, NextLiftTold)
    assert after.lift.lift.exercise == second
    assert the(Logged, replies).estimates  # told at the lift's last set
    tove.say("30x8 rir5")
    assert tove.sets[-1].exercise == second


def test_the_load_of_the_lift_just_done_is_asked_about(tove: Chat) -> None:
    tove.say("today")
    for _ in range(3):
        tove.say("8 rir2")
    load = tove.sets[-1].load_kg

    question = the(Asked, tove.say(f"{load:g}x8"))
    tove.tap(question, 0)

    assert question.about is Ask.WHICH_LIFT
    assert tove.sets[-1].exercise == "bench press"


def test_steps_towards_a_load_that_is_to_be_found_are_warm_ups(tove: Chat) -> None:
    second = today_told(tove.say("today")).lifts[1].lift
    assert second.sets[0].load is None
    for _ in range(3):
        tove.say("8 rir2")

    tove.say(f"{second.exercise} 20x8 rir6")
    up = coming(tove.say(f"{second.exercise} 40x8 rir4"))
    found = coming(tove.say(f"{second.exercise} 50x8 rir2"))

    assert up.finding
    assert not found.finding
    assert (found.number, found.load.kg) == (2, 50)
    assert [each.warmup for each in tove.sets[-3:]] == [True, True, False]


def test_an_effort_told_later_finds_the_load(tove: Chat) -> None:
    second = today_told(tove.say("today")).lifts[1].lift
    tove.say(f"{second.exercise} 50x8")
    before = tove.sets[-1]

    replies = tove.say("fix rir 2")

    assert (before.warmup, tove.sets[-1].warmup) == (True, False)
    assert coming(replies).load.kg == 50


def test_while_a_load_is_found_the_reps_left_are_asked_of_the_set_that_was_told(tove: Chat) -> None:
    second = today_told(tove.say("today")).lifts[1].lift.exercise

    question = asked(tove.say(f"{second} 40x8"), Ask.LEFT)
    again = asked(tove.say("did it"), Ask.LEFT)
    on_the_way = tove.sets
    replies = tove.tap(again, 2)

    assert question.options == again.options
    assert (on_the_way[-1].load, on_the_way[-1].warmup) == (40.0, True)
    assert len(tove.sets) == len(on_the_way)  # no second set
    assert (tove.sets[-1].load, tove.sets[-1].rir, tove.sets[-1].warmup) == (40.0, 2.0, False)
    assert coming(replies).load.kg == 40


def test_all_sets_done_end_in_done(tove: Chat) -> None:
    lifts = today_told(tove.say("today")).lifts
    replies: list[Reply] = []
    for each in lifts:
        for _ in each.lift.sets:
            replies = tove.say(f"{each.lift.exercise} 30x{each.lift.sets[0].reps} rir2")

    assert isinstance(the(Logged, replies).coming, LastLiftDone)
    again = the(Guided, tove.say("today")).told
    assert isinstance(again, NoSessionTold)
    assert (again.why, again.next_day) == (NoSession.DONE, MONDAY.date() + timedelta(days=2))


def test_without_a_plan_today_says_so(chat: Chat) -> None:
    assert the(Guided, chat.say("today")).told == NoSessionTold(why=NoSession.NO_PLAN)
    assert chat.say("did it") == [NothingThere(Nothing.PLANNED)]
    assert chat.say("missed it") == [NothingThere(Nothing.PLANNED)]
    assert chat.say("why") == [NothingThere(Nothing.NEXT_PLANNED)]


def test_a_rest_day_names_the_next_session(tove: Chat) -> None:
    tove.say("8")
    tove.say("done")
    tove.now += timedelta(days=1)

    rest = the(Guided, tove.say("today")).told

    assert isinstance(rest, NoSessionTold)
    assert (rest.why, rest.next_day) == (NoSession.REST, MONDAY.date() + timedelta(days=2))


def test_a_pause_and_an_illness_have_no_session(tove: Chat) -> None:
    set_up(tove, lambda setup: replace(setup, away=Away(since=MONDAY.date())))
    assert the(Guided, tove.say("today")).told == NoSessionTold(why=NoSession.AWAY)

    set_up(tove, lambda setup: replace(setup, away=Away(since=MONDAY.date(), sick=True)))
    assert the(Guided, tove.say("today")).told == NoSessionTold(why=NoSession.SICK)


def test_a_warning_sign_stops_every_suggestion(tove: Chat) -> None:
    tove.say("8")
    tove.say("chest pain")

    assert the(Guided, tove.say("today")).told == NoSessionTold(why=NoSession.STOPPED)
    assert the(Logged, tove.say("bench 60x5")).coming is None
    assert tove.say("why") == [NothingThere(Nothing.NEXT_PLANNED)]


def test_a_set_far_below_what_was_expected_asks_for_pain_before_anything_else(tove: Chat) -> None:
    tove.say("today")

    replies = tove.say("4")  # eight were asked for

    assert the(Logged, replies).coming is None
    question = the(Asked, replies)
    assert question.about is Ask.HURTS
    assert isinstance(the(Guided, tove.tap(question, 0)).told, NextSetTold)


def test_why_tells_the_chain_from_the_estimate_to_the_plates(tove: Chat) -> None:
    tove.say("today")

    chain = the(Guided, tove.say("why")).told

    assert isinstance(chain, WhyTold)
    assert [type(each) for each in chain.why] == [Estimated, AtShare, Rounded]
    assert chain.exercise == "bench press"


def test_why_of_a_load_to_be_found_says_that_nothing_is_known(tove: Chat) -> None:
    second = today_told(tove.say("today")).lifts[1].lift.exercise
    tove.say(f"{second} 20x8 rir6")

    chain = the(Guided, tove.say("why")).told

    assert isinstance(chain, WhyTold)
    assert chain.exercise == second
    assert chain.load is None
    assert ToFind() in chain.why


def test_why_after_a_set_tells_what_the_set_changed(tove: Chat) -> None:
    tove.say("today")
    tove.say("7")

    chain = the(Guided, tove.say("why")).told

    assert isinstance(chain, WhyTold)
    assert len(chain.since) == 1


def test_a_week_later_the_load_follows_the_last_one_of_its_kind_of_day(tove: Chat) -> None:
    first = today_told(tove.say("today")).lifts[0].lift.sets[0].load
    assert first is not None
    for _ in range(3):
        tove.say("8 rir3")
    tove.say("done 7")
    tove.now += timedelta(days=7)

    load = today_told(tove.say("today")).lifts[0].lift.sets[0].load

    # Coaching: presses go up by at most 2.5 % a week, or by the smallest step (2.5 kg here).
    assert load is not None
    assert first.kg <= load.kg <= max(first.kg + 2.5, 1.025 * first.kg)


def test_a_reduced_week_is_lighter_and_told_as_one(tove: Chat) -> None:
    normal = today_told(tove.say("today")).lifts[0].lift
    for _ in range(4):
        # Light as it is, it is no time away.
        tove.now += timedelta(weeks=1)
        tove.say("bench 20x5 w")
    tove.now += timedelta(weeks=1)  # a block is five weeks and a reduced one

    reduced = today_told(tove.say("today"))
    first = reduced.lifts[0].lift

    assert reduced.reduced
    assert len(first.sets) == -(-len(normal.sets) // 2)
    assert first.sets[0].load is not None
    assert normal.sets[0].load is not None
    # A tenth less; the estimate has not moved, rounding takes at most one step of 2.5 kg more.
    assert 0.9 * normal.sets[0].load.kg - 2.5 <= first.sets[0].load.kg <= 0.9 * normal.sets[0].load.kg + 2.5


def test_a_strength_day_asks_for_fives(tove: Chat) -> None:
    tove.now += timedelta(days=4)

    first = today_told(tove.say("today")).lifts[0].lift

    assert first.sets[0].reps == STRENGTH.reps


def test_a_load_that_the_lifter_took_instead_is_told_in_the_why(chat: Chat) -> None:
    planned_lifter(chat)
    chat.say("75x8 2 left")

    told = the(Guided, chat.say("why")).told

    assert isinstance(told, WhyTold)
    assert (told.taken, told.load) == (told.load, told.taken)
    assert told.taken is not None
    assert told.taken.kg == 75.0


def test_who_turns_out_to_press_alone_gets_the_session_anew(tove: Chat) -> None:
    tove.say("my own mon: bench 5x5 0 left")
    before = today_told(tove.say("today")).lifts[0].lift.sets[0]

    after = today_told(tove.say("safety neither")).lifts[0].lift.sets[0]

    # Coaching, section 8: no prescribed set of a free-weight barbell press below 2 left.
    assert (before.left, after.left) == (0.0, 2.0)
    assert before.load is not None
    assert after.load is not None
    assert after.load.kg < before.load.kg
    tove.say("made it")
    assert tove.sets[-1].load == after.load.amount


def test_a_power_set_is_not_told_to_be_too_easy(tove: Chat) -> None:
    tove.say("skip session")
    tove.now += timedelta(days=2)
    power = today_told(tove.say("today"))

    logged = the(Logged, tove.say("done as planned"))

    assert power.kind is DayKind.POWER
    assert logged.sets[-1].counted is Counted.TOO_EASY
    assert logged.not_hard is None
