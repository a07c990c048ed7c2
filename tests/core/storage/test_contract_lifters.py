"""What every engine must do alike: lifters, their own exercises, and questions to them."""

from collections.abc import Sequence
from dataclasses import fields, replace
from datetime import UTC, datetime, timedelta
from functools import partial

import pytest

from core.application.ports import Store, UnitOfWork
from core.application.rows import AskedQuestion
from core.domain.exercises import Basis, Equipment, Exercise, Muscle, Pattern, catalogue
from core.domain.profile import Address, Consent, Lifter
from core.domain.units import Load, Unit
from tests.core.storage.rows import (
    KIM,
    NOW,
    TOVE,
    asked,
    done,
    minutes,
    new_lifter,
    new_session,
)

# Lifters


def test_nobody_writes_from_a_new_address(store: Store) -> None:
    found = done(store, lambda work: work.lifters.at_address(TOVE))

    assert found is None


def test_a_new_lifter_is_found_at_their_address_with_what_is_usual(store: Store) -> None:
    created = new_lifter(store)

    found = done(store, lambda work: work.lifters.at_address(TOVE))

    assert found == created
    assert created == Lifter(id=created.id, name="Tove", created_at=NOW, zone="Europe/Oslo")


def test_lifters_are_walked_through_by_number_with_when_each_last_wrote(store: Store) -> None:
    tove, kim = new_lifter(store), new_lifter(store, KIM, name="Kim")
    done(store, lambda work: work.lifters.wrote(KIM, at=minutes(5)))

    first = done(store, lambda work: work.lifters.written_after(0, limit=1))
    rest = done(store, lambda work: work.lifters.written_after(tove.id, limit=9))
    none = done(store, lambda work: work.lifters.written_after(kim.id, limit=9))

    assert first == [(tove.id, NOW)]
    assert rest == [(kim.id, minutes(5))]
    assert none == []


def test_every_field_of_a_lifter_is_kept_and_the_version_rises(store: Store) -> None:
    created = new_lifter(store)
    changed = replace(
        created,
        name="Tove 🏋 \u05d0",
        unit=Unit.LB,
        unit_told=True,
        bar=Load(45.0, Unit.LB),
        zone="America/New_York",
        day_begins_hour=5,
        habits={"order": "load reps", "at": "rpe", "æ": "ø"},
        body_mass_kg=81.5,
        body_mass_off=True,
        introduced=True,
        consent=Consent(given=True, at=minutes(1), version="2027-01"),
        stopped_at=minutes(2),
    )

    done(store, lambda work: work.lifters.save(changed))

    found = done(store, lambda work: work.lifters.at_address(TOVE))
    assert found == replace(changed, version=created.version + 1)
    assert all(
        getattr(changed, each.name) != getattr(created, each.name)
        for each in fields(Lifter)
        if each.name not in {"id", "created_at", "version"}
    )


def test_a_refused_consent_is_not_the_same_as_none(store: Store) -> None:
    created = new_lifter(store)
    refused = Consent(given=False, at=NOW, version="2027-01")

    done(store, lambda work: work.lifters.save(replace(created, consent=refused)))

    found = done(store, lambda work: work.lifters.at_address(TOVE))
    assert found is not None
    assert found.consent == refused


def test_lifters_of_one_name_are_found_oldest_first(store: Store) -> None:
    first = new_lifter(store)
    second = new_lifter(store, KIM)
    new_lifter(store, Address("matrix", "!room"), name="Ada")

    found = done(store, lambda work: work.lifters.find("Tove"))

    assert [each.id for each in found] == [first.id, second.id]


def test_a_number_of_a_forgotten_lifter_is_not_given_out_again(store: Store) -> None:
    first = new_lifter(store)
    done(store, lambda work: work.lifters.erase(first.id))

    second = new_lifter(store, KIM)

    assert second.id != first.id


def test_an_instant_keeps_its_microseconds_and_its_moment_in_any_zone(store: Store) -> None:
    created = new_lifter(store)
    oslo = datetime(2027, 1, 4, 19, 0, 0, 123457, tzinfo=created.local(NOW).tzinfo)

    session = new_session(store, created, at=oslo)

    found = done(store, lambda work: work.sessions.by_id(created.id, session.id))
    assert found is not None
    # Oslo is an hour ahead of UTC in winter.
    assert found.opened_at == datetime(2027, 1, 4, 18, 0, 0, 123457, tzinfo=UTC)
    assert found.opened_at.utcoffset() == timedelta(0)


def test_a_naive_instant_is_refused(store: Store) -> None:
    created = new_lifter(store)
    naive = NOW.replace(tzinfo=None)

    with pytest.raises(TypeError):
        new_session(store, created, at=naive)


# Own exercises


def test_every_field_of_an_own_exercise_is_kept(store: Store) -> None:
    lifter = new_lifter(store)
    plain = Exercise(
        name="sled push",
        equipment=Equipment.SLED,
        pattern=Pattern.WHOLE_BODY,
        direct=frozenset(),
        multi_joint=False,
        lower_body=False,
    )
    told = Exercise(
        name="ring dip, feet up",
        aliases=("rdf", "dip på ringer"),
        equipment=Equipment.RINGS,
        pattern=Pattern.VERTICAL_PRESS,
        direct=frozenset({Muscle.CHEST, Muscle.TRICEPS}),
        indirect=frozenset({Muscle.FRONT_SHOULDERS}),
        multi_joint=True,
        lower_body=True,
        basis=Basis.CONVENTION,
        one_side=True,
        per_hand=True,
        body_share=0.9,
        step_kg=1.25,
        variation_of="dip",
        ratio=0.8,
        timed=True,
        assisted=True,
    )

    done(store, lambda work: work.exercises.add(lifter.id, plain))
    done(store, lambda work: work.exercises.add(lifter.id, told))

    assert list(done(store, lambda work: work.exercises.all(lifter.id))) == [told, plain]
    # A full bar and a load per hand exclude each other, so the bar is kept by the next test.
    assert all(getattr(told, each.name) != getattr(plain, each.name) for each in fields(Exercise) if each.name != "bar")


def test_any_exercise_of_the_catalogue_can_be_kept_as_ones_own(store: Store) -> None:
    lifter = new_lifter(store)

    def keep(work: UnitOfWork) -> None:
        for each in catalogue():
            work.exercises.add(lifter.id, each)

    done(store, keep)

    kept = done(store, lambda work: work.exercises.all(lifter.id))
    assert list(kept) == sorted(catalogue(), key=lambda each: each.name)


def test_an_own_exercise_told_again_is_replaced_and_is_nobody_elses(store: Store) -> None:
    lifter, other = new_lifter(store), new_lifter(store, KIM)
    [first, second] = list(catalogue())[:2]
    second = replace(second, name=first.name, variation_of=None, ratio=None)

    done(store, lambda work: work.exercises.add(lifter.id, first))
    done(store, lambda work: work.exercises.add(lifter.id, second))

    assert list(done(store, lambda work: work.exercises.all(lifter.id))) == [second]
    assert list(done(store, lambda work: work.exercises.all(other.id))) == []


# Questions


def test_a_question_is_kept_whole_and_found_by_its_id(store: Store) -> None:
    lifter = new_lifter(store)
    question = replace(asked(lifter), labels=("80 kg ✅", "80 lb"))

    done(store, lambda work: work.questions.ask(question))

    assert done(store, lambda work: work.questions.get("q1")) == question
    assert done(store, lambda work: work.questions.get("q2")) is None


def test_open_questions_come_newest_first_without_the_answered(store: Store) -> None:
    lifter, other = new_lifter(store), new_lifter(store, KIM)
    first, second, third = (asked(lifter, question_id=f"q{each}", at=minutes(each)) for each in (1, 2, 3))
    done(store, partial(_ask, [first, second, third, asked(other, question_id="q4")]))

    done(store, lambda work: work.questions.answer("q2", 1))

    assert list(done(store, lambda work: work.questions.open(lifter.id))) == [third, first]
    assert done(store, lambda work: work.questions.get("q2")) == replace(second, chosen=1)


def test_withdrawing_deletes_the_open_questions_about_one_message(store: Store) -> None:
    lifter = new_lifter(store)
    keys = ("m1", "m1", "m2")
    done(store, partial(_ask, [asked(lifter, question_id=f"q{number}", key=key) for number, key in enumerate(keys)]))
    done(store, lambda work: work.questions.answer("q0", 0))

    done(store, lambda work: work.questions.withdraw(lifter.id, "m1"))

    assert [each.id for each in done(store, lambda work: work.questions.open(lifter.id))] == ["q2"]
    assert done(store, lambda work: work.questions.get("q0")) is not None


def _ask(questions: Sequence[AskedQuestion], work: UnitOfWork) -> None:
    for question in questions:
        work.questions.ask(question)
