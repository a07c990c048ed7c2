"""What every engine must do alike: lifters, sessions, sets, exercises, estimates, records and questions."""

from collections.abc import Sequence
from dataclasses import fields, replace
from datetime import UTC, date, datetime, timedelta
from functools import partial

import pytest

from core.application.ports import Store, UnitOfWork
from core.application.rows import (
    AskedQuestion,
    Checkpoint,
    CountedRow,
    SessionEstimate,
)
from core.domain.exercises import Basis, Equipment, Exercise, Muscle, Pattern, catalogue
from core.domain.profile import Address, Consent, Lifter
from core.domain.sessions import Session
from core.domain.sets import Counted, LoggedSet, Part
from core.domain.units import Load, Unit
from tests.core.storage.rows import (
    NOW,
    TODAY,
    TOVE,
    asked,
    bench,
    done,
    minutes,
    new_lifter,
    new_session,
    stored,
)

KIM = Address("terminal", "kim")


# Lifters


def test_nobody_writes_from_a_new_address(store: Store) -> None:
    found = done(store, lambda work: work.lifters.at_address(TOVE))

    assert found is None


def test_a_new_lifter_is_found_at_their_address_with_what_is_usual(store: Store) -> None:
    created = new_lifter(store)

    found = done(store, lambda work: work.lifters.at_address(TOVE))

    assert found == created
    assert created == Lifter(id=created.id, name="Tove", created_at=NOW, zone="Europe/Oslo")


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


# Sessions


def test_every_field_of_a_session_is_kept(store: Store) -> None:
    lifter = new_lifter(store)
    session = new_session(store, lifter)
    changed = Session(
        id=session.id,
        lifter_id=lifter.id,
        day=date(2027, 1, 3),
        opened_at=minutes(-5),
        last_set_at=minutes(40),
        closed_at=minutes(41),
        exercise="squat",
        effort=7.5,
    )

    done(store, lambda work: work.sessions.save(changed))

    assert done(store, lambda work: work.sessions.by_id(lifter.id, session.id)) == changed


def test_the_last_session_is_the_one_with_the_latest_set(store: Store) -> None:
    lifter = new_lifter(store)
    late = new_session(store, lifter, at=minutes(600))
    new_session(store, lifter, at=minutes(0))

    assert done(store, lambda work: work.sessions.last(lifter.id)) == late


def test_sessions_near_an_instant_opened_within_three_days_of_it(store: Store) -> None:
    lifter = new_lifter(store)
    days = [-4, -3, 0, 3, 4]
    made = {day: new_session(store, lifter, at=NOW + timedelta(days=day)) for day in reversed(days)}

    near = done(store, lambda work: work.sessions.near(lifter.id, NOW))

    assert list(near) == [made[-3], made[0], made[3]]


def test_sessions_of_a_day_come_in_order_of_opening(store: Store) -> None:
    lifter = new_lifter(store)
    second = new_session(store, lifter, at=minutes(300))
    first = new_session(store, lifter, at=minutes(0))
    new_session(store, lifter, at=minutes(1500), day=date(2027, 1, 5))

    assert list(done(store, lambda work: work.sessions.on_day(lifter.id, TODAY))) == [first, second]


def test_nobody_elses_session_is_found(store: Store) -> None:
    lifter = new_lifter(store)
    other = new_lifter(store, KIM, name="Kim")
    session = new_session(store, lifter)

    assert done(store, lambda work: work.sessions.by_id(other.id, session.id)) is None
    assert done(store, lambda work: work.sessions.last(other.id)) is None


def test_a_session_without_sets_is_deleted_with_its_estimates(store: Store) -> None:
    lifter = new_lifter(store)
    session = new_session(store, lifter)
    _estimated(store, lifter, session)

    done(store, lambda work: work.sessions.remove(session.id))

    assert done(store, lambda work: work.sessions.last(lifter.id)) is None
    assert list(done(store, lambda work: work.estimates.history(lifter.id, "bench press"))) == []
    assert done(store, lambda work: work.estimates.last_checkpoint(lifter.id, "bench press")) is None


def test_a_session_with_sets_in_the_log_stays(store: Store) -> None:
    lifter = new_lifter(store)
    session = new_session(store, lifter)
    stored(store, lifter, bench(session))
    _estimated(store, lifter, session)

    done(store, lambda work: work.sessions.remove(session.id))

    assert done(store, lambda work: work.sessions.last(lifter.id)) == session
    assert len(done(store, lambda work: work.estimates.history(lifter.id, "bench press"))) == 1


def test_a_session_comes_back_with_its_set(store: Store) -> None:
    lifter = new_lifter(store)
    session = new_session(store, lifter)
    [one] = stored(store, lifter, bench(session))
    done(store, lambda work: work.sets.take_back([one.id], change=8))

    done(store, lambda work: work.sessions.remove(session.id))
    gone = done(store, lambda work: work.sessions.last(lifter.id))
    done(store, lambda work: work.sets.restore([one.id]))
    back = done(store, lambda work: work.sessions.last(lifter.id))

    assert gone is None
    assert back == session
    assert list(done(store, lambda work: work.sets.of_session(session.id))) == [one]


# Sets


def test_every_field_of_a_set_is_kept(store: Store) -> None:
    lifter = new_lifter(store)
    session = new_session(store, lifter)
    told = LoggedSet(
        session_id=session.id,
        at=minutes(3),
        root_key="ключ",
        place=3,
        exercise="pull-up",
        load=-20.5,
        unit=Unit.LB,
        load_kg=-9.298643585,
        moved_kg=72.25,
        reps=8,
        rir=1.5,
        rpe=8.5,
        at_least=True,
        failed=True,
        warmup=True,
        bodyweight=True,
        bar=True,
        per_side=True,
        load_per_side=True,
        seconds=40.5,
        helped=True,
        measured=True,
        weak=True,
        parts=(Part(60.0, 8), Part(None, 3)),
        counted=Counted.TOO_EASY,
        implied_left=3.25,
    )

    [added] = stored(store, lifter, told)

    assert added == replace(told, id=added.id)
    assert list(done(store, lambda work: work.sets.of_session(session.id))) == [added]
    plain = bench(session)
    assert all(
        getattr(told, each.name) != getattr(plain, each.name)
        for each in fields(LoggedSet)
        if each.name not in {"id", "session_id"}
    )


def test_what_was_not_told_stays_untold(store: Store) -> None:
    lifter = new_lifter(store)
    session = new_session(store, lifter)
    told = replace(bench(session), load=None, moved_kg=None, reps=None, rir=None)

    [added] = stored(store, lifter, told)

    assert list(done(store, lambda work: work.sets.of_session(session.id))) == [replace(told, id=added.id)]


@pytest.mark.parametrize("counted", list(Counted))
def test_every_verdict_is_kept(store: Store, counted: Counted) -> None:
    lifter = new_lifter(store)
    session = new_session(store, lifter)
    [one] = stored(store, lifter, bench(session))

    done(store, lambda work: work.sets.judge({one.id: counted}))

    assert [each.counted for each in done(store, lambda work: work.sets.of_session(session.id))] == [counted]


def test_sets_come_in_order_of_position_whatever_order_they_came_in(store: Store) -> None:
    lifter = new_lifter(store)
    session = new_session(store, lifter)
    # Keys of one instant are ordered by code point: capitals before small letters, "é" after "z".
    positions = [
        (1, "b", 0),
        (1, "Z", 1),
        (1, "Z", 0),
        (0, "z", 0),
        (1, "é", 0),
        (1, "z", 0),
        (1, "a-1", 0),
        (1, "a1", 0),
    ]
    stored(store, lifter, *[bench(session, at=minutes(at), key=key, place=place) for at, key, place in positions])

    of_session = done(store, lambda work: work.sets.of_session(session.id))
    of_exercise = done(store, lambda work: work.sets.of_exercises(lifter.id, ["bench press"]))
    between = done(store, lambda work: work.sets.between(lifter.id, TODAY, TODAY))

    in_order = [(minutes(at), key, place) for at, key, place in sorted(positions)]
    assert [each.position for each in of_session] == in_order
    assert [each.position for each in of_exercise] == in_order
    assert [each.position for each in between] == in_order


def test_a_set_taken_back_is_seen_by_nothing_but_what_took_it_back(store: Store) -> None:
    lifter = new_lifter(store)
    session = new_session(store, lifter)
    one, two = stored(store, lifter, bench(session), bench(session, place=1), change=7)

    done(store, lambda work: work.sets.take_back([one.id], change=8))

    with store.read() as work:
        assert list(work.sets.of_session(session.id)) == [two]
        assert list(work.sets.of_root(lifter.id, "m1")) == [two]
        assert list(work.sets.of_exercises(lifter.id, ["bench press"])) == [two]
        assert list(work.sets.between(lifter.id, TODAY, TODAY)) == [two]
        assert list(work.sets.added_by(lifter.id, 7)) == [two]
        assert [each.sets for each in work.sets.counted(lifter.id, TODAY, TODAY)] == [1]
        assert list(work.sets.recent_sessions(lifter.id, "bench press", limit=3)) == [(TODAY, [two])]
        assert list(work.sets.taken_back_by(lifter.id, 8)) == [one]
        assert list(work.sets.taken_back_by(lifter.id, 7)) == []


def test_the_last_change_is_the_newest_that_still_stands(store: Store) -> None:
    lifter = new_lifter(store)
    session = new_session(store, lifter)
    none = done(store, lambda work: work.sets.last_change(lifter.id))
    [old] = stored(store, lifter, bench(session), change=11)
    added = done(store, lambda work: work.sets.last_change(lifter.id))

    # A correction: change 12 takes the old set back and adds a new one.
    done(store, lambda work: work.sets.take_back([old.id], change=12))
    [new] = stored(store, lifter, bench(session, reps=6), change=12)
    corrected = done(store, lambda work: work.sets.last_change(lifter.id))
    # Undone again.
    done(store, lambda work: work.sets.erase([new.id]))
    done(store, lambda work: work.sets.restore([old.id]))
    undone = done(store, lambda work: work.sets.last_change(lifter.id))

    assert (none, added, corrected, undone) == (None, 11, 12, 11)
    assert list(done(store, lambda work: work.sets.of_session(session.id))) == [old]


def test_a_change_that_only_took_back_is_a_change(store: Store) -> None:
    lifter = new_lifter(store)
    session = new_session(store, lifter)
    [one] = stored(store, lifter, bench(session), change=11)

    done(store, lambda work: work.sets.take_back([one.id], change=12))

    assert done(store, lambda work: work.sets.last_change(lifter.id)) == 12


def test_a_set_already_taken_back_keeps_the_change_that_did(store: Store) -> None:
    lifter = new_lifter(store)
    session = new_session(store, lifter)
    [one] = stored(store, lifter, bench(session))
    done(store, lambda work: work.sets.take_back([one.id], change=8))

    done(store, lambda work: work.sets.take_back([one.id], change=9))

    assert [each.id for each in done(store, lambda work: work.sets.taken_back_by(lifter.id, 8))] == [one.id]


def test_the_sets_of_a_message_come_by_place_with_corrections(store: Store) -> None:
    lifter = new_lifter(store)
    session = new_session(store, lifter)
    two, one, _ = stored(
        store, lifter, bench(session, place=1), bench(session, place=0), bench(session, key="m2"), change=7
    )
    [three] = stored(store, lifter, bench(session, place=2, at=minutes(-1)), change=9)

    assert list(done(store, lambda work: work.sets.of_root(lifter.id, "m1"))) == [one, two, three]


def test_sets_of_many_exercises_come_in_one_order(store: Store) -> None:
    lifter = new_lifter(store)
    session = new_session(store, lifter)
    names = [f"lift {number}" for number in range(20)]
    sets = [replace(bench(session, at=minutes(-number)), exercise=name) for number, name in enumerate(names)]
    stored(store, lifter, *sets)

    every = done(store, lambda work: work.sets.of_exercises(lifter.id, [*names, "lift 3", "none"]))
    few = done(store, lambda work: work.sets.of_exercises(lifter.id, names[:3]))
    none = done(store, lambda work: work.sets.of_exercises(lifter.id, []))

    assert [each.exercise for each in every] == names[::-1]
    assert [each.exercise for each in few] == ["lift 2", "lift 1", "lift 0"]
    assert list(none) == []


def test_sets_since_an_instant_include_the_ones_at_it(store: Store) -> None:
    lifter = new_lifter(store)
    session = new_session(store, lifter)
    _, at, after = stored(store, lifter, *[bench(session, at=minutes(each), key=f"m{each}") for each in (0, 1, 2)])

    found = done(store, lambda work: work.sets.of_exercises(lifter.id, ["bench press"], since=minutes(1)))

    assert list(found) == [at, after]


def test_days_are_asked_with_both_ends(store: Store) -> None:
    lifter = new_lifter(store)
    session = new_session(store, lifter)
    for number in range(4):
        stored(store, lifter, bench(session, at=minutes(number)), day=TODAY + timedelta(days=number))

    found = done(store, lambda work: work.sets.between(lifter.id, TODAY + timedelta(days=1), TODAY + timedelta(days=2)))

    assert [each.at for each in found] == [minutes(1), minutes(2)]


def test_what_is_implied_is_written_and_taken_away(store: Store) -> None:
    lifter = new_lifter(store)
    session = new_session(store, lifter)
    one, two = stored(store, lifter, bench(session), bench(session, place=1))
    done(store, lambda work: work.sets.imply({one.id: 2.5, two.id: 1.25}))

    done(store, lambda work: work.sets.imply({two.id: None}))

    found = done(store, lambda work: work.sets.of_session(session.id))
    assert [each.implied_left for each in found] == [2.5, None]


def test_sets_are_counted_by_day_session_exercise_and_verdict(store: Store) -> None:
    lifter = new_lifter(store)
    session = new_session(store, lifter)
    hard, squat = bench(session), replace(bench(session), exercise="squat")
    easy = replace(hard, counted=Counted.TOO_EASY)
    stored(store, lifter, hard, hard, hard, easy, squat)
    stored(store, lifter, hard, day=TODAY + timedelta(days=1))
    stored(store, lifter, hard, day=TODAY + timedelta(days=2))

    rows = done(store, lambda work: work.sets.counted(lifter.id, TODAY, TODAY + timedelta(days=1)))

    assert sorted(rows, key=lambda row: (row.day, row.exercise, row.counted)) == [
        CountedRow(day=TODAY, session_id=session.id, exercise="bench press", counted=Counted.HARD, sets=3),
        CountedRow(day=TODAY, session_id=session.id, exercise="bench press", counted=Counted.TOO_EASY, sets=1),
        CountedRow(day=TODAY, session_id=session.id, exercise="squat", counted=Counted.HARD, sets=1),
        CountedRow(
            day=TODAY + timedelta(days=1),
            session_id=session.id,
            exercise="bench press",
            counted=Counted.HARD,
            sets=1,
        ),
    ]


def test_recent_sessions_come_newest_first_with_all_their_sets_of_the_exercise(store: Store) -> None:
    lifter = new_lifter(store)
    # More sets in one session than a first look takes in.
    many = 150
    for number in range(4):
        day = TODAY + timedelta(days=number)
        session = new_session(store, lifter, at=minutes(1440 * number), day=day)
        at = [minutes(1440 * number + each) for each in range(many if number == 3 else 2)]
        stored(store, lifter, *[bench(session, at=each, key=str(each)) for each in at], day=day)
        stored(store, lifter, replace(bench(session), exercise="squat"), day=day)

    recent = done(store, lambda work: work.sets.recent_sessions(lifter.id, "bench press", limit=3))
    every = done(store, lambda work: work.sets.recent_sessions(lifter.id, "bench press", limit=9))
    none = done(store, lambda work: work.sets.recent_sessions(lifter.id, "deadlift", limit=3))

    assert [(day, len(sets)) for day, sets in recent] == [
        (date(2027, 1, 7), many),
        (date(2027, 1, 6), 2),
        (date(2027, 1, 5), 2),
    ]
    assert [each.at for each in recent[1][1]] == [minutes(2880), minutes(2881)]
    assert len(every) == 4
    assert list(none) == []


def test_erased_sets_are_gone_and_others_stay(store: Store) -> None:
    lifter = new_lifter(store)
    session = new_session(store, lifter)
    one, two = stored(store, lifter, bench(session), bench(session, place=1))

    done(store, lambda work: work.sets.erase([one.id]))

    assert list(done(store, lambda work: work.sets.of_session(session.id))) == [two]


def test_nothing_to_do_does_nothing(store: Store) -> None:
    lifter = new_lifter(store)

    done(store, lambda work: work.sets.erase([]))
    done(store, lambda work: work.sets.take_back([], change=1))
    done(store, lambda work: work.sets.judge({}))

    assert stored(store, lifter) == []


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


# Estimates and records


def test_the_state_of_a_family_is_written_replaced_and_deleted(store: Store) -> None:
    lifter = new_lifter(store)
    seen: list[str | None] = []
    for state in ("a", "b", None, None):
        done(store, partial(_save_state, lifter, state))
        seen.append(done(store, lambda work: work.estimates.state(lifter.id, "bench press")))

    other = done(store, lambda work: work.estimates.state(lifter.id, "squat"))

    assert seen == ["a", "b", None, None]
    assert other is None


def test_the_last_checkpoint_is_the_newest_not_after_an_instant(store: Store) -> None:
    lifter = new_lifter(store)
    points = [
        Checkpoint(session_id=new_session(store, lifter).id, at=minutes(at), state=f"before {at}") for at in (0, 10, 20)
    ]
    again = replace(points[0], at=minutes(1), state="anew")

    def keep(work: UnitOfWork) -> None:
        for point in (*reversed(points), again):
            work.estimates.checkpoint(lifter.id, "bench press", point)

    done(store, keep)

    with store.read() as work:
        assert work.estimates.last_checkpoint(lifter.id, "bench press") == points[2]
        assert work.estimates.last_checkpoint(lifter.id, "bench press", until=minutes(10)) == points[1]
        assert work.estimates.last_checkpoint(lifter.id, "bench press", until=minutes(9.9)) == again
        assert work.estimates.last_checkpoint(lifter.id, "bench press", until=minutes(0)) is None
        assert work.estimates.last_checkpoint(lifter.id, "squat") is None


def test_what_was_estimated_after_a_session_is_replaced_by_the_same_session_only(store: Store) -> None:
    lifter = new_lifter(store)
    sessions = [new_session(store, lifter, at=minutes(100 * number)) for number in range(3)]
    items = [_estimated(store, lifter, session, at=session.opened_at) for session in sessions]
    better = replace(items[1], estimate_kg=101.0, low_kg=None, high_kg=None, at=minutes(130))

    done(store, lambda work: work.estimates.note(lifter.id, "bench press", better))

    with store.read() as work:
        assert list(work.estimates.history(lifter.id, "bench press")) == [items[0], better, items[2]]
        assert work.estimates.before(lifter.id, "bench press", session_id=sessions[2].id) == better
        assert work.estimates.before(lifter.id, "bench press", session_id=sessions[1].id) == items[0]
        assert work.estimates.before(lifter.id, "bench press", session_id=sessions[0].id) is None
        assert list(work.estimates.history(lifter.id, "squat")) == []


def test_a_family_is_forgotten_from_an_instant_on(store: Store) -> None:
    lifter = new_lifter(store)
    sessions = [new_session(store, lifter, at=minutes(100 * number)) for number in range(3)]
    items = [_estimated(store, lifter, session, at=session.opened_at) for session in sessions]
    other = _estimated(store, lifter, sessions[2], at=minutes(200), family="squat")

    done(store, lambda work: work.estimates.forget_from(lifter.id, "bench press", minutes(100)))

    with store.read() as work:
        assert list(work.estimates.history(lifter.id, "bench press")) == items[:1]
        assert list(work.estimates.history(lifter.id, "squat")) == [other]
        checkpoint = work.estimates.last_checkpoint(lifter.id, "bench press")
        assert checkpoint is not None
        assert checkpoint.at == minutes(0)


def test_a_family_is_forgotten_from_the_beginning_of_time(store: Store) -> None:
    lifter = new_lifter(store)
    _estimated(store, lifter, new_session(store, lifter))

    done(store, lambda work: work.estimates.forget_from(lifter.id, "bench press", datetime.min.replace(tzinfo=UTC)))

    assert list(done(store, lambda work: work.estimates.history(lifter.id, "bench press"))) == []


def test_records_are_written_replaced_and_deleted(store: Store) -> None:
    lifter = new_lifter(store)
    seen: list[str | None] = []
    for table in ("5: 80 kg", "5: 82.5 kg\n3: 90 kg", None):
        done(store, partial(_save_records, lifter, table))
        seen.append(done(store, lambda work: work.records.table(lifter.id, "bench press")))

    assert seen == ["5: 80 kg", "5: 82.5 kg\n3: 90 kg", None]


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


def _save_state(lifter: Lifter, state: str | None, work: UnitOfWork) -> None:
    work.estimates.save_state(lifter.id, "bench press", state)


def _save_records(lifter: Lifter, table: str | None, work: UnitOfWork) -> None:
    work.records.save(lifter.id, "bench press", table)


def _ask(questions: Sequence[AskedQuestion], work: UnitOfWork) -> None:
    for question in questions:
        work.questions.ask(question)


def _estimated(
    store: Store, lifter: Lifter, session: Session, *, at: datetime = NOW, family: str = "bench press"
) -> SessionEstimate:
    item = SessionEstimate(session_id=session.id, exercise=family, at=at, estimate_kg=98.5, low_kg=94.25, high_kg=103.0)
    checkpoint = Checkpoint(session_id=session.id, at=at, state="before")
    done(store, lambda work: work.estimates.note(lifter.id, family, item))
    done(store, lambda work: work.estimates.checkpoint(lifter.id, family, checkpoint))
    return item
