"""Records: the heaviest load for so many repetitions or more."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from core.domain.sets import LoggedSet
from core.domain.units import Unit
from core.strength.records import RecordTable, candidate, table_from, table_of, with_set

BEGIN = datetime(2027, 1, 4, 18, 0, tzinfo=UTC)


def logged(load: float, reps: int, *, minute: int = 0) -> LoggedSet:
    return LoggedSet(
        at=BEGIN + timedelta(minutes=minute),
        root_key=f"{minute:04d}",
        place=0,
        exercise="bench press",
        load=load,
        unit=Unit.KG,
        load_kg=load,
        moved_kg=load,
        reps=reps,
    )


def of(sets: Iterable[LoggedSet]) -> RecordTable:
    return table_of([made for each in sets if (made := candidate(each)) is not None])


def test_a_first_record_is_silent() -> None:
    table, told = with_set(RecordTable(), logged(80, 5))

    assert told is None
    assert table.heaviest_for(5) is not None


def test_a_heavier_load_for_as_many_repetitions_is_told() -> None:
    table, _ = with_set(RecordTable(), logged(80, 5))

    table, told = with_set(table, logged(82.5, 5, minute=3))

    assert told is not None
    assert (told.reps, told.load_kg) == (5, 82.5)


def test_more_repetitions_stand_for_fewer() -> None:
    # By the definition "n or more": a set of 8 is also the heaviest for 5 until something heavier comes.
    table = of([logged(80, 8)])

    found = table.heaviest_for(5)

    assert found is not None
    assert found.load_kg == 80
    assert table.heaviest_for(9) is None


def test_a_lighter_set_changes_nothing() -> None:
    table = of([logged(100, 5)])

    assert with_set(table, logged(90, 5, minute=3)) == (table, None)


def test_warm_ups_holds_and_sets_with_help_are_no_records() -> None:
    plain = logged(120, 5)

    for each in (replace(plain, warmup=True), replace(plain, helped=True), replace(plain, reps=None, seconds=30.0)):
        assert candidate(each) is None


@given(st.lists(st.tuples(st.integers(20, 200), st.integers(1, 12)), max_size=25))
def test_the_table_is_the_heaviest_of_all_sets_in_any_order(sets: list[tuple[int, int]]) -> None:
    done = [logged(float(load), reps, minute=place) for place, (load, reps) in enumerate(sets)]

    table = of(done)

    assert of(reversed(done)) == table
    assert table_from(table.text()) == table
    for reps in range(1, 13):
        enough = [each.load_kg for each in done if (each.reps or 0) >= reps]
        found = table.heaviest_for(reps)
        assert (None if found is None else found.load_kg) == max(enough, default=None)
