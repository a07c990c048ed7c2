"""Statements on sets of the log: what is read of them, and what is changed."""

from datetime import UTC, date, datetime

import sqlalchemy as sa

from core.domain.sets import LoggedSet
from core.domain.units import Unit
from core.storage.set_rows import COLUMNS, counted_from, set_from
from core.storage.statements import Addition, Change, Query
from core.storage.tables import sessions, sets
from core.strength.records import Record

NAMES_AT_ONCE = 8
"""Exercises that one statement asks for; more are asked for in turn. [exercises]"""

_DayAndSet = tuple[date, LoggedSet]


def _day_and_set(day: date, *values: object) -> _DayAndSet:
    return day, set_from(*values)  # type: ignore[arg-type]  # the columns of a set, in order


def _number(number: int) -> int:
    return number


def _record(reps: int | None, load_kg: float, load: float | None, unit: Unit) -> Record:
    return Record(reps or 0, load_kg, load or 0.0, unit)


def _name(exercise: str) -> str:
    return exercise


EVER = datetime(1, 1, 1, tzinfo=UTC)

_POSITION = (sets.c.at, sets.c.root_key, sets.c.place, sets.c.id)
_READ = sa.select(*COLUMNS)
_IS_THEIRS = sets.c.lifter_id == sa.bindparam("lifter_id")
_IN_LOG = sets.c.taken_back_by.is_(None)
_IS_EXERCISE = sets.c.exercise == sa.bindparam("exercise")
_IS_SET = sets.c.id == sa.bindparam("set")
_IS_TOLD = (_IS_SET, sets.c.session_id == sa.bindparam("session_id"), _IS_THEIRS)

ADD = Addition(
    sa.insert(sets).values(
        {column.name: sa.bindparam(column.name) for column in sets.c if column.name not in {"id", "taken_back_by"}}
    )
)
TAKE_BACK = Change(sa.update(sets).where(*_IS_TOLD, _IN_LOG).values(taken_back_by=sa.bindparam("change")))
RESTORE = Change(sa.update(sets).where(_IS_SET).values(taken_back_by=sa.null()))
RESTORE_SESSION = Change(
    sa.update(sessions)
    .where(sessions.c.id == sa.select(sets.c.session_id).where(_IS_SET).scalar_subquery())
    .values(removed=sa.false())
)
ERASE = Change(sa.delete(sets).where(_IS_SET))
_OTHER = sets.alias("other")
ERASE_SESSION = Change(
    sa.delete(sessions).where(
        sessions.c.id == sa.select(sets.c.session_id).where(_IS_SET).scalar_subquery(),
        sessions.c.removed == sa.true(),
        ~sa.exists().where(_OTHER.c.session_id == sessions.c.id, _OTHER.c.id != sa.bindparam("set")),
    )
)
LAST_ADDED = Query(
    sa.select(sets.c.added_by)
    .where(_IS_THEIRS, _IN_LOG)
    .order_by(sets.c.added_by.desc())
    .limit(sa.literal_column("1")),
    _number,
)
LAST_TAKEN_BACK = Query(
    sa.select(sets.c.taken_back_by)
    .where(_IS_THEIRS, sets.c.taken_back_by.is_not(None))
    .order_by(sets.c.taken_back_by.desc())
    .limit(sa.literal_column("1")),
    _number,
)
ADDED_BY = Query(
    _READ.where(_IS_THEIRS, _IN_LOG, sets.c.added_by == sa.bindparam("change")).order_by(*_POSITION), set_from
)
TAKEN_BACK_BY = Query(
    _READ.where(_IS_THEIRS, sets.c.taken_back_by.is_not(None), sets.c.taken_back_by == sa.bindparam("change")).order_by(
        *_POSITION
    ),
    set_from,
)
TAKEN_BACK_OF_ROOT = Query(
    sa.select(sets.c.id).where(
        _IS_THEIRS, sets.c.root_key == sa.bindparam("root_key"), sets.c.taken_back_by.is_not(None)
    ),
    _number,
)
FORGET_BODY_MASS = Query(
    sa.update(sets)
    .where(_IS_THEIRS, sets.c.bodyweight == sa.true(), sets.c.moved_kg.is_not(None))
    .values(moved_kg=sa.null(), implied_left=sa.null())
    .returning(sets.c.exercise),
    _name,
)
OF_ROOT = Query(
    _READ.where(_IS_THEIRS, _IN_LOG, sets.c.root_key == sa.bindparam("root_key")).order_by(sets.c.place, sets.c.id),
    set_from,
)
OF_SESSION = Query(
    _READ.where(sets.c.session_id == sa.bindparam("session_id"), _IN_LOG).order_by(*_POSITION),
    set_from,
    scope="session_id",
)
OF_EXERCISE_IN_SESSION = Query(
    _READ.where(sets.c.session_id == sa.bindparam("session_id"), _IN_LOG, _IS_EXERCISE).order_by(*_POSITION),
    set_from,
    scope="session_id",
)
_SINCE = sets.c.at >= sa.bindparam("since")
OF_EXERCISE = Query(_READ.where(_IS_THEIRS, _IN_LOG, _IS_EXERCISE, _SINCE).order_by(*_POSITION), set_from)
OF_EXERCISES = Query(
    _READ.where(
        _IS_THEIRS,
        _IN_LOG,
        sets.c.exercise.in_(
            [sa.bindparam(f"exercise_{place}", type_=sets.c.exercise.type) for place in range(NAMES_AT_ONCE)]
        ),
        _SINCE,
    ).order_by(*_POSITION),
    set_from,
)
_IS_BETWEEN = sets.c.day.between(sa.bindparam("first"), sa.bindparam("last"))
BETWEEN = Query(_READ.where(_IS_THEIRS, _IN_LOG, _IS_BETWEEN).order_by(*_POSITION), set_from)
JUDGE = Change(sa.update(sets).where(*_IS_TOLD).values(counted=sa.bindparam("counted")))
IMPLY = Change(sa.update(sets).where(*_IS_TOLD).values(implied_left=sa.bindparam("left")))
_COUNTED_BY = (sets.c.day, sets.c.session_id, sets.c.exercise, sets.c.counted)
COUNTED = Query(
    sa.select(*_COUNTED_BY, sa.func.count())
    .where(_IS_THEIRS, _IN_LOG, _IS_BETWEEN)
    .group_by(*_COUNTED_BY)
    .order_by(*_COUNTED_BY),
    counted_from,
    scope="lifter_id",
)
_MADE_OF = (sets.c.reps, sets.c.load_kg, sets.c.load, sets.c.unit)
MADE = Query(
    sa.select(*_MADE_OF)
    .where(
        _IS_THEIRS,
        _IN_LOG,
        _IS_EXERCISE,
        sets.c.warmup == sa.false(),
        sets.c.helped == sa.false(),
        sets.c.seconds.is_(None),
        sets.c.reps > sa.literal_column("0"),
    )
    .group_by(*_MADE_OF)
    .order_by(sa.func.min(sets.c.at), *_MADE_OF),
    _record,
)
NEWEST = Query(
    sa.select(sets.c.session_id)
    .where(_IS_THEIRS, _IN_LOG, _IS_EXERCISE)
    .order_by(sets.c.at.desc())
    .limit(sa.bindparam("rows", type_=sa.Integer())),
    _number,
)
OF_SESSION_AND_EXERCISE = Query(
    sa.select(sessions.c.day, *COLUMNS)
    .join(sessions, sessions.c.id == sets.c.session_id)
    .where(sets.c.session_id == sa.bindparam("session_id"), _IN_LOG, _IS_EXERCISE)
    .order_by(*_POSITION),
    _day_and_set,
)
