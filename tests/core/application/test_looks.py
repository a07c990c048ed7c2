"""Questions about strength are answered from the estimate, with what is not known said, and never a promise."""

from datetime import timedelta

import pytest

from core.domain.guidance import MaximumRefusal, MaximumRefused
from core.domain.replies import Guided, Nothing, NothingThere
from core.domain.reviews import ConvertedTold, GoodTold, MaxTold, Reach, ReachTold, ThenTold
from core.domain.units import Load, Unit
from tests.core.application.chats import Chat, the


def test_a_load_lies_below_within_or_above_the_interval(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")
    told = the(MaxTold, chat.say("max bench")).told
    assert told.low_kg is not None
    assert told.high_kg is not None

    asked = {
        reach: the(ReachTold, chat.say(f"can i do {load:.1f} kg"))
        for reach, load in (
            (Reach.BELOW, told.low_kg - 1),
            (Reach.WITHIN, told.estimate_kg - 1),
            (Reach.ABOVE, told.high_kg + 1),
        )
    }

    assert {reach: each.reach for reach, each in asked.items()} == {reach: reach for reach in Reach}
    assert asked[Reach.WITHIN].likelier


def test_a_load_is_taken_in_the_lifters_own_unit(chat: Chat) -> None:
    chat.say("units lb")
    chat.say("bench 185x5 rir2")

    assert the(ReachTold, chat.say("can i bench 225")).load.unit is Unit.LB


def test_who_may_not_test_a_maximum_is_told_so_beside_the_figures(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")

    replies = chat.say("can i do 100")

    # Unanswered screening counts as yes: no maximal tests (the program's rule of care).
    assert not the(ReachTold, replies).tested
    assert Guided(MaximumRefused("bench press", MaximumRefusal.SCREENED)) in replies


def test_after_a_warning_sign_no_load_is_spoken_of(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")
    chat.say("chest pain")

    assert chat.say("can i do 100") == [Guided(MaximumRefused("bench press", MaximumRefusal.STOPPED))]


@pytest.mark.parametrize("text", ["can i squat 140", "how strong was my squat last month"])
def test_without_an_estimate_nothing_is_said_of_strength(chat: Chat, text: str) -> None:
    chat.say("bench 80x5 rir2")

    assert chat.say(text) == [NothingThere(Nothing.NO_ESTIMATE, "squat")]


def test_an_earlier_day_has_the_estimate_of_the_last_session_before_it(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")
    first = the(MaxTold, chat.say("max bench")).told.estimate_kg
    chat.now += timedelta(days=20)
    chat.say("bench 85x5 rir2")
    chat.now += timedelta(days=20)
    chat.say("bench 90x5 rir2")

    # 30 days before the third session only the first had been done, 40 days before.
    then = the(ThenTold, chat.say("how strong was i last month"))
    assert then.then.estimate_kg == pytest.approx(first)
    assert not then.first
    assert the(ThenTold, chat.say("how strong was i a year ago")).first


def test_nobody_is_told_whether_they_are_good(chat: Chat) -> None:
    assert chat.say("is that good?")[0] == GoodTold(None)
    chat.say("bench 80x5 rir2")
    assert chat.say("is that good?") == [GoodTold("bench press")]


def test_a_load_is_told_in_the_other_unit(chat: Chat) -> None:
    assert chat.say("225 lb in kg")[:1] == [ConvertedTold(Load(225.0, Unit.LB))]
    assert chat.say("what is 100 kg in pounds") == [ConvertedTold(Load(100.0, Unit.KG))]
