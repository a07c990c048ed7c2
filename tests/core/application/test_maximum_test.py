"""A tested maximum: guided, at most three attempts, one miss ends it, refused where it is not safe."""

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from itertools import pairwise

import pytest

from core.domain.checkins import Ache
from core.domain.equipment import mass_ng, usual_gym
from core.domain.guidance import (
    AttemptTold,
    MaximumEnd,
    MaximumOver,
    MaximumRefusal,
    MaximumRefused,
    MaximumTold,
)
from core.domain.plans import Wishes
from core.domain.prescriptions import Care, Place, Safety
from core.domain.replies import Ask, Asked, Guided, Reply
from core.domain.setups import Hurting, Setup
from core.domain.units import Unit
from core.planning.loading import loads
from tests.core.application.chats import Chat, the
from tests.core.application.guided import asked, planned_lifter, today_told
from tests.core.application.plans import set_up, with_plan
from tests.core.planning.gyms import lift


@pytest.fixture
def tove(chat: Chat) -> Chat:
    return planned_lifter(chat)


def told(replies: list[Reply]) -> MaximumTold:
    found = the(Guided, replies).told
    assert isinstance(found, MaximumTold)
    return found


def attempts(replies: list[Reply]) -> Asked:
    taps = next(each.taps for each in replies if isinstance(each, Guided))
    assert taps is not None
    assert taps.about is Ask.ATTEMPT
    return taps


def refusal(replies: list[Reply]) -> MaximumRefusal:
    found = the(Guided, replies).told
    assert isinstance(found, MaximumRefused)
    return found.why


def test_the_steps_go_up_to_the_first_attempt_and_can_be_loaded(tove: Chat) -> None:
    test = told(tove.say("test bench"))

    ways = [each.load.kg for each in (*test.steps, test.first)]
    assert ways == sorted(set(ways))
    available = loads(lift("bench press"), usual_gym(Unit.KG))
    assert all(available.exactly(mass_ng(each.load)) is not None for each in (*test.steps, test.first))
    assert [each.reps for each in test.steps] == [5, 3, 2, 1][: len(test.steps)]  # the protocol's repetitions
    assert test.under_the_bar


def test_three_attempts_made_end_the_test_and_the_best_counts_as_measured_after_one_tap(tove: Chat) -> None:
    replies = tove.say("test bench")
    loads_tried = []
    for _ in range(3):
        replies = tove.tap(attempts(replies), 0)
        loads_tried.append(tove.sets[-1].load_kg)

    over = next(each.told for each in replies if isinstance(each, Guided) and isinstance(each.told, MaximumOver))
    assert isinstance(over, MaximumOver)
    assert (over.why, over.best is not None and over.best.kg) == (MaximumEnd.ATTEMPTS, loads_tried[-1])
    # Common practice: 2 to 4 % more each time, or the smallest step where that is larger.
    assert all(1.0 < later / before <= 1.045 for before, later in pairwise(loads_tried))
    assert not tove.sets[-1].measured
    tove.tap(asked(replies, Ask.MEASURED), 0)
    assert tove.sets[-1].measured


def test_one_miss_ends_it_and_only_what_was_made_is_offered_as_measured(tove: Chat) -> None:
    first = tove.tap(attempts(tove.say("test bench")), 0)
    made = tove.sets[-1].load_kg

    replies = tove.tap(attempts(first), 1)

    over = next(each.told for each in replies if isinstance(each, Guided))
    assert isinstance(over, MaximumOver)
    assert over.why is MaximumEnd.MISSED
    assert over.best is not None
    assert over.best.kg == made
    assert tove.sets[-1].failed
    assert len(asked(replies, Ask.MEASURED).options) == 2


def test_attempts_can_be_told_by_words_or_by_the_set_itself(tove: Chat) -> None:
    tove.say("test bench")

    tove.now += timedelta(minutes=5)
    second = tove.say("made it")
    attempt = next(each.told for each in second if isinstance(each, Guided))
    assert isinstance(attempt, AttemptTold)
    tove.now += timedelta(minutes=5)
    third = tove.say(f"bench {attempt.load.amount:g}x1")
    following = next(each.told for each in third if isinstance(each, Guided) and isinstance(each.told, AttemptTold))
    tove.now += timedelta(minutes=5)
    over = tove.say("missed")

    assert isinstance(following, AttemptTold)
    assert following.number == 3
    assert any(isinstance(each, Guided) and isinstance(each.told, MaximumOver) for each in over)


def test_a_test_does_not_eat_into_the_sets_of_the_day(tove: Chat) -> None:
    tove.say("today")
    tove.tap(attempts(tove.say("test bench")), 0)

    after = today_told(tove.say("today")).lifts[0]

    assert (after.lift.exercise, after.done) == ("bench press", 0)


@pytest.mark.parametrize(
    ("change", "why"),
    [
        (lambda setup: replace(setup, care=Care(safety=Safety.NEITHER, screened=False)), MaximumRefusal.ALONE),
        (lambda setup: replace(setup, care=Care(safety=Safety.ARMS, screened=True)), MaximumRefusal.SCREENED),
        (lambda setup: replace(setup, cautious=True), MaximumRefusal.SCREENED),
    ],
)
def test_it_is_refused_alone_and_after_the_screening(
    tove: Chat, change: Callable[[Setup], Setup], why: MaximumRefusal
) -> None:
    set_up(tove, change)

    assert refusal(tove.say("test bench")) is why


def test_a_spotter_today_allows_it(tove: Chat) -> None:
    set_up(tove, lambda setup: replace(setup, care=Care(safety=Safety.NEITHER, screened=False)))
    tove.say("spotter today")

    assert told(tove.say("test bench")).exercise == "bench press"


def test_it_is_refused_while_the_place_hurts_in_a_reduced_week_and_after_a_warning_sign(tove: Chat) -> None:
    def hurting(setup: Setup) -> Setup:
        return replace(setup, hurting=(Hurting(Place.SHOULDER, Ache.FADES, tove.now.date()),))

    set_up(tove, hurting)
    assert refusal(tove.say("test bench")) is MaximumRefusal.HURTS
    set_up(tove, lambda setup: replace(setup, hurting=()))
    tove.now += timedelta(weeks=5)  # a block is five weeks and a reduced one
    assert refusal(tove.say("test bench")) is MaximumRefusal.REDUCED_WEEK
    tove.say("chest pain")
    assert refusal(tove.say("test bench")) is MaximumRefusal.STOPPED


def test_after_twelve_weeks_without_a_word_it_is_refused_until_screening_is_asked_again(tove: Chat) -> None:
    tove.now += timedelta(weeks=13)

    assert refusal(tove.say("test bench")) is MaximumRefusal.SCREENED


def test_of_sessions_in_line_the_round_that_they_have_come_to_is_reduced_and_not_the_calendars_week(chat: Chat) -> None:
    in_line = planned_lifter(chat)
    with_plan(in_line, Wishes(sessions=3))
    for _ in range(5):
        in_line.now += timedelta(weeks=1)
        in_line.say("bench 80x5 rir2")
        in_line.say("done 7")

    # By the calendar the sixth week is the reduced one; five sessions are the second round of three.
    assert told(in_line.say("test bench")).exercise == "bench press"


def test_it_is_refused_for_what_was_never_logged_and_for_small_lifts(tove: Chat) -> None:
    assert refusal(tove.say("test squat")) is MaximumRefusal.NO_ESTIMATE
    assert refusal(tove.say("test curl")) is MaximumRefusal.NOT_THIS_LIFT


def test_an_attempt_is_refused_once_something_stands_against_it(tove: Chat) -> None:
    open_one = attempts(tove.say("test bench"))
    tove.say("chest pain")

    assert refusal(tove.tap(open_one, 0)) is MaximumRefusal.STOPPED


def test_an_estimate_that_is_not_sure_is_told_before_the_test_and_its_best_is_no_maximum(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")
    chat.say("done")
    chat.now += timedelta(days=2)
    set_up(chat, lambda setup: replace(setup, care=Care(safety=Safety.ARMS, screened=False)))

    test = told(chat.say("test bench"))
    replies: list[Reply] = []
    for number in range(3):
        replies = chat.tap(attempts(replies or chat.say("test bench")), 0)
        assert chat.sets[-1].reps == 1, number

    # One set has an interval of a sixth on either side (the spread of repetitions at a load); three attempts from its low
    # end, 4 % apart at most, come to 8 % above it.
    assert test.reach is not None
    assert test.first.load.kg < test.reach.kg <= test.first.load.kg * 1.045**2
    over = next(each.told for each in replies if isinstance(each, Guided) and isinstance(each.told, MaximumOver))
    assert isinstance(over, MaximumOver)
    assert over.more_there
    assert not any(isinstance(each, Asked) and each.about is Ask.MEASURED for each in replies)


def test_a_sure_estimate_is_reached_by_the_attempts(tove: Chat) -> None:
    for _ in range(3):
        tove.now += timedelta(days=1)
        for text in ("bench 92.5x3 rir0", "92.5x3 rir0", "done"):
            tove.say(text)

    assert told(tove.say("test bench")).reach is None
