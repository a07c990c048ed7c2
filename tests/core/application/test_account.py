"""The account: what goes with the body mass, and exercises of the lifter's own."""

import pytest

from core.domain.exercises import Equipment, Exercise, Muscle
from core.domain.replies import Asked, Logged, Nothing, NothingThere
from core.domain.reviews import MaxTold
from tests.core.application.chats import Chat, the
from tests.core.application.plans import in_turn


def own(chat: Chat, name: str) -> Exercise:
    lifter = chat.lifter
    assert lifter is not None
    [found] = chat.store.submit(lambda work: work.exercises.all(lifter.id)).result()
    assert found.name == name
    return found


def kept(chat: Chat, family: str) -> tuple[str | None, int]:
    """The state kept of a family, and how many session estimates."""
    lifter = chat.lifter
    assert lifter is not None
    state = chat.store.submit(lambda work: work.estimates.state(lifter.id, family)).result()
    history = chat.store.submit(lambda work: work.estimates.history(lifter.id, family)).result()
    return state, len(history)


@pytest.mark.parametrize("text", ["bw off", "consent off"])
def test_what_was_worked_out_from_an_erased_body_mass_goes_with_it(chat: Chat, text: str) -> None:
    chat.say("consent on")
    chat.say("bw 80")
    chat.say("pull ups bw+20x5 rir2")
    chat.say("bw+20x5 rir1")
    chat.say("fix bw+20x6")
    chat.say("bench 80x5 rir2")
    before = [each.moved_kg for each in chat.sets]
    known = the(MaxTold, chat.say("max pull ups"))

    chat.say(text)

    assert all(each is not None for each in before)
    assert known.told.added_to_body
    assert [each.moved_kg for each in chat.sets if each.exercise == "pull-up"] == [None, None]
    assert [each.implied_left for each in chat.sets if each.exercise == "pull-up"] == [None, None]
    assert the(NothingThere, chat.say("max pull ups")).why is Nothing.ESTIMATE_WITHOUT_BODY_MASS
    assert "pull-up" not in (kept(chat, "pull-up")[0] or "")
    assert kept(chat, "pull-up")[1] == 0
    # What body mass was no part of stays.
    assert the(MaxTold, chat.say("max bench")).told.estimate_kg > 80
    # Nor does it come back with a set that a fix had taken out.
    chat.say("undo")
    chat.say("undo")
    assert {each.moved_kg for each in chat.sets if each.exercise == "pull-up"} <= {None}


def test_an_own_exercise_is_loaded_with_what_its_name_says(chat: Chat) -> None:
    asked = the(Asked, chat.say("cable windmill 20x12"))
    legs = next(place for place, each in enumerate(asked.options) if str(Muscle.QUADRICEPS) in str(each.command))

    chat.tap(asked, legs)

    found = own(chat, "cable windmill")
    assert found.equipment is Equipment.CABLE
    assert found.direct == {Muscle.QUADRICEPS}
    assert found.lower_body


def test_an_own_exercise_told_without_a_load_needs_none(chat: Chat) -> None:
    asked = the(Asked, chat.say("10 burpees"))

    told = the(Logged, chat.tap(asked, 0))
    again = the(Logged, chat.say("burpees 8"))

    assert own(chat, "burpee").equipment is Equipment.BODYWEIGHT
    assert [(each.exercise, each.load, each.reps) for each in told.sets] == [("burpee", None, 10)]
    assert [(each.exercise, each.load, each.reps) for each in again.sets] == [("burpee", None, 8)]


@pytest.mark.parametrize("text", ["bw off", "consent off"])
def test_what_was_told_of_health_is_in_no_raw_text_either(chat: Chat, text: str) -> None:
    chat.say("consent on")
    chat.say("bw 81.5")
    chat.say("bench 80x5, shoulder hurts")
    before = chat.texts

    chat.say(text)

    assert before == ["consent on", "bw 81.5", "bench 80x5, shoulder hurts"]
    assert chat.texts == [None, None, None, text]
    assert [each.load for each in chat.sets] == [80.0]


def test_that_a_time_away_was_for_an_illness_goes_with_the_word_on_health(chat: Chat) -> None:
    chat.say("consent on")
    chat.say("sick")

    chat.say("consent off")

    away = in_turn(chat, lambda turn: turn.setup.away)
    assert away is not None
    assert not away.sick
