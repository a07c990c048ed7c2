# ruff: noqa: FBT001 - a row's values are given by position
"""Rows of sets: what a set of the log is in its row, and a row as a set."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime

from core.application.rows import CountedRow
from core.domain.sets import Counted, LoggedSet, Part
from core.domain.units import Unit
from core.storage.statements import Value
from core.storage.tables import sets

COLUMNS = [column for column in sets.c if column.name not in {"lifter_id", "day", "added_by", "taken_back_by"}]
"""Columns that a set is read from, in order."""


def row_of(each: LoggedSet, *, day: date) -> dict[str, Value]:
    """Values of a new set's row, but for whose it is and what brought it."""
    return {
        "session_id": each.session_id,
        "day": day,
        "at": each.at,
        "root_key": each.root_key,
        "place": each.place,
        "exercise": each.exercise,
        "load": each.load,
        "unit": each.unit,
        "load_kg": each.load_kg,
        "moved_kg": each.moved_kg,
        "reps": each.reps,
        "rir": each.rir,
        "rpe": each.rpe,
        "at_least": each.at_least,
        "failed": each.failed,
        "warmup": each.warmup,
        "bodyweight": each.bodyweight,
        "bar": each.bar,
        "per_side": each.per_side,
        "load_per_side": each.load_per_side,
        "seconds": each.seconds,
        "helped": each.helped,
        "measured": each.measured,
        "weak": each.weak,
        "parts": json.dumps([(part.load, part.reps) for part in each.parts]) if each.parts else None,
        "counted": each.counted,
        "implied_left": each.implied_left,
    }


def set_from(
    id_: int,
    session_id: int,
    at: datetime,
    root_key: str,
    place: int,
    exercise: str,
    load: float | None,
    unit: Unit,
    load_kg: float,
    moved_kg: float | None,
    reps: int | None,
    rir: float | None,
    rpe: float | None,
    at_least: bool,
    failed: bool,
    warmup: bool,
    bodyweight: bool,
    bar: bool,
    per_side: bool,
    load_per_side: bool,
    seconds: float | None,
    helped: bool,
    measured: bool,
    weak: bool,
    parts: str | None,
    counted: Counted,
    implied_left: float | None,
) -> LoggedSet:
    """A set from the values of its row, in the order of `COLUMNS`."""
    return LoggedSet(
        id=id_,
        session_id=session_id,
        at=at,
        root_key=root_key,
        place=place,
        exercise=exercise,
        load=load,
        unit=unit,
        load_kg=load_kg,
        moved_kg=moved_kg,
        reps=reps,
        rir=rir,
        rpe=rpe,
        at_least=at_least,
        failed=failed,
        warmup=warmup,
        bodyweight=bodyweight,
        bar=bar,
        per_side=per_side,
        load_per_side=load_per_side,
        seconds=seconds,
        helped=helped,
        measured=measured,
        weak=weak,
        parts=() if parts is None else tuple(Part(part_load, part_reps) for part_load, part_reps in json.loads(parts)),
        counted=counted,
        implied_left=implied_left,
    )


def counted_from(day: date, session_id: int, exercise: str, counted: Counted, number: int) -> CountedRow:
    """How many sets have one verdict, from the values of a row that counts them."""
    return CountedRow(day=day, session_id=session_id, exercise=exercise, counted=counted, sets=number)


def as_read(each: LoggedSet) -> LoggedSet:
    """A set as it is read back: its instant in UTC."""
    return each if each.at.tzinfo is UTC else replace(each, at=each.at.astimezone(UTC))


def in_order(sets: Sequence[LoggedSet], added: Sequence[LoggedSet]) -> list[LoggedSet]:
    """Sets in order of position, with some that were added."""
    if not added or (len(added) == 1 and (not sets or sets[-1].position < added[0].position)):
        return [*sets, *added]
    return sorted([*sets, *added], key=lambda each: (*each.position, each.id))


def with_verdicts(sets: Sequence[LoggedSet], verdicts: Mapping[int, Counted]) -> list[LoggedSet]:
    """Sets with what some of them, by number, count as now."""
    return [replace(each, counted=verdicts[each.id]) if each.id in verdicts else each for each in sets]


def with_counted(rows: Sequence[CountedRow], added: Sequence[tuple[date, LoggedSet]]) -> list[CountedRow]:
    """Counts of verdicts, with some sets more, in the order of the statement that counts them."""
    found = list(rows)
    for day, each in added:
        for place, row in enumerate(found):
            if (row.session_id, row.exercise, row.counted, row.day) == (
                each.session_id,
                each.exercise,
                each.counted,
                day,
            ):
                found[place] = replace(row, sets=row.sets + 1)
                break
        else:
            found.append(counted_from(day, each.session_id, each.exercise, each.counted, 1))
            found.sort(key=lambda row: (row.day, row.session_id, row.exercise, row.counted.name))
    return found
