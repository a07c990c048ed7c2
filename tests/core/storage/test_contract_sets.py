"""What every engine must do alike: sets of the log."""

from dataclasses import fields, replace
from datetime import date, timedelta

import pytest

from core.application.ports import Store
from core.application.rows import CountedRow
from core.domain.sets import Counted, LoggedSet, Part
from core.domain.units import Unit
from core.strength.records import Record
from tests.core.storage.rows import (
    TODAY,
    bench,
    done,
    minutes,
    new_lifter,
    new_session,
    stored,
)


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

    done(store, lambda work: work.sets.judge(lifter.id, [(one, counted)]))

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
    of_both = done(store, lambda work: work.sets.of_session(session.id, exercise="bench press"))
    of_none = done(store, lambda work: work.sets.of_session(session.id, exercise="back squat"))
    of_exercise = done(store, lambda work: work.sets.of_exercises(lifter.id, ["bench press"]))
    between = done(store, lambda work: work.sets.between(lifter.id, TODAY, TODAY))

    in_order = [(minutes(at), key, place) for at, key, place in sorted(positions)]
    assert [each.position for each in of_session] == in_order
    assert list(of_both) == list(of_session)
    assert list(of_none) == []
    assert [each.position for each in of_exercise] == in_order
    assert [each.position for each in between] == in_order


def test_a_set_taken_back_is_seen_by_nothing_but_what_took_it_back(store: Store) -> None:
    lifter = new_lifter(store)
    session = new_session(store, lifter)
    one, two = stored(store, lifter, bench(session), bench(session, place=1), change=7)

    done(store, lambda work: work.sets.take_back(lifter.id, [one], change=8))

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
    done(store, lambda work: work.sets.take_back(lifter.id, [old], change=12))
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

    done(store, lambda work: work.sets.take_back(lifter.id, [one], change=12))

    assert done(store, lambda work: work.sets.last_change(lifter.id)) == 12


def test_a_set_already_taken_back_keeps_the_change_that_did(store: Store) -> None:
    lifter = new_lifter(store)
    session = new_session(store, lifter)
    [one] = stored(store, lifter, bench(session))
    done(store, lambda work: work.sets.take_back(lifter.id, [one], change=8))

    done(store, lambda work: work.sets.take_back(lifter.id, [one], change=9))

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
    done(store, lambda work: work.sets.imply(lifter.id, [(one, 2.5), (two, 1.25)]))

    done(store, lambda work: work.sets.imply(lifter.id, [(two, None)]))

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


def test_what_was_made_comes_once_each_in_order_of_its_first_set(store: Store) -> None:
    lifter = new_lifter(store)
    session = new_session(store, lifter)
    heavy = replace(bench(session, at=minutes(5), key="m3"), load=100.0, load_kg=100.0, reps=3)
    none_of_these = [
        replace(heavy, root_key="m4", warmup=True, reps=4),
        replace(heavy, root_key="m5", helped=True, reps=4),
        replace(heavy, root_key="m6", failed=True, reps=0),
        replace(heavy, root_key="m7", reps=None, seconds=30.0),
        replace(heavy, root_key="m8", exercise="squat", reps=4),
    ]
    taken_back = replace(heavy, root_key="m9", reps=9)
    *_, last = stored(
        store,
        lifter,
        heavy,
        bench(session, at=minutes(1), key="m1"),
        bench(session, at=minutes(3), key="m2"),
        *none_of_these,
        taken_back,
    )
    done(store, lambda work: work.sets.take_back(lifter.id, [last], change=8))

    found = done(store, lambda work: work.sets.made(lifter.id, "bench press"))

    assert found == [Record(5, 80.0, 80.0, Unit.KG), Record(3, 100.0, 100.0, Unit.KG)]


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
    done(store, lambda work: work.sets.take_back(lifter.id, [], change=1))
    done(store, lambda work: work.sets.judge(lifter.id, []))

    assert stored(store, lifter) == []
