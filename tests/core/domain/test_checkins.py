"""Check-ins hold what was answered and refuse what cannot be."""

from datetime import date
from math import inf, nan

import pytest

from core.domain.checkins import MUSCLES_AT, Ache, CheckIn, Item, Pain, Place
from core.domain.exercises import Muscle

MONDAY = date(2027, 1, 4)
ALL_GOOD = dict.fromkeys(Item, 5)


def test_there_are_five_questions() -> None:
    # McLean et al. 2010, IJSPP 5:367-383: fatigue, sleep quality, muscle soreness, stress and mood.
    assert len(Item) == 5


def test_an_empty_check_in_has_all_questions_open() -> None:
    check_in = CheckIn(week=MONDAY)

    assert check_in.unanswered == tuple(Item)
    assert check_in.pains is None


def test_answers_may_come_in_any_order_and_the_rest_stays_open() -> None:
    check_in = CheckIn(week=MONDAY).with_answer(Item.MOOD, 4).with_answer(Item.SLEEP, 2)

    assert dict(check_in.answers) == {Item.MOOD: 4, Item.SLEEP: 2}
    assert check_in.unanswered == (Item.ENERGY, Item.MUSCLES, Item.CALM)


def test_an_answer_can_be_changed_without_touching_the_check_in_before() -> None:
    before = CheckIn(week=MONDAY, answers=ALL_GOOD, pains=(), body_mass_kg=81.5)

    after = before.with_answer(Item.SLEEP, 1)

    assert before.answers[Item.SLEEP] == 5
    assert after == CheckIn(week=MONDAY, answers={**ALL_GOOD, Item.SLEEP: 1}, pains=(), body_mass_kg=81.5)


def test_a_check_in_keeps_its_answers_when_the_mapping_it_was_made_from_changes() -> None:
    answers = {Item.SLEEP: 3}
    check_in = CheckIn(week=MONDAY, answers=answers)

    answers[Item.SLEEP] = 1

    assert check_in.answers[Item.SLEEP] == 3


@pytest.mark.parametrize("answer", [1, 2, 3, 4, 5])
def test_answers_from_1_to_5_are_taken(answer: int) -> None:
    # McLean et al. 2010, IJSPP 5:367-383: each 1 to 5.
    assert CheckIn(week=MONDAY).with_answer(Item.CALM, answer).answers[Item.CALM] == answer


@pytest.mark.parametrize("answer", [-1, 0, 6, 7, True])
def test_any_other_answer_is_refused(answer: int) -> None:
    with pytest.raises(ValueError, match=r"calm: an answer lies between 1 and 5"):
        CheckIn(week=MONDAY, answers={Item.CALM: answer})


@pytest.mark.parametrize("mass_kg", [0.0, -80.0, 19.9, 400.1, inf, nan])
def test_an_impossible_body_mass_is_refused(mass_kg: float) -> None:
    with pytest.raises(ValueError, match=r"not a body mass"):
        CheckIn(week=MONDAY, body_mass_kg=mass_kg)


def test_a_place_is_told_once() -> None:
    twice = (Pain(Place.KNEE, Ache.FADES), Pain(Place.KNEE, Ache.SHARP))

    with pytest.raises(ValueError, match=r"once"):
        CheckIn(week=MONDAY, pains=twice)


def test_every_place_has_muscles_that_load_it_and_an_unnamed_one_has_all() -> None:
    assert set(MUSCLES_AT) == set(Place)
    assert all(MUSCLES_AT.values())
    assert MUSCLES_AT[Place.ELSEWHERE] == frozenset(Muscle)


@pytest.mark.parametrize(
    ("place", "muscle"),
    [
        # Anatomy: pectoralis major, latissimus and the long heads of biceps and triceps cross the shoulder; quadriceps,
        # hamstrings and gastrocnemius the knee; gluteus maximus, hamstrings and rectus femoris the hip.
        (Place.SHOULDER, Muscle.CHEST),
        (Place.SHOULDER, Muscle.LATS),
        (Place.SHOULDER, Muscle.TRICEPS),
        (Place.SHOULDER, Muscle.BICEPS),
        (Place.ELBOW, Muscle.TRICEPS),
        (Place.WRIST, Muscle.FOREARMS),
        (Place.KNEE, Muscle.QUADRICEPS),
        (Place.KNEE, Muscle.HAMSTRINGS),
        (Place.KNEE, Muscle.CALVES),
        (Place.HIP, Muscle.GLUTES),
        (Place.HIP, Muscle.QUADRICEPS),
        (Place.ANKLE, Muscle.CALVES),
    ],
)
def test_muscles_that_cross_a_joint_load_it(place: Place, muscle: Muscle) -> None:
    assert muscle in MUSCLES_AT[place]


def test_a_sore_knee_leaves_the_upper_body_alone() -> None:
    assert not MUSCLES_AT[Place.KNEE] & {Muscle.CHEST, Muscle.LATS, Muscle.TRICEPS, Muscle.BICEPS}
