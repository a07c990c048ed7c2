"""Sets of the log, as rows."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime

import sqlalchemy as sa

from core.application.rows import (
    CountedRow,
)
from core.domain.sets import Counted, LoggedSet
from core.domain.units import Unit
from core.storage.set_rows import (
    COLUMNS,
    as_read,
    counted_from,
    in_order,
    row_of,
    set_from,
    with_counted,
    with_verdicts,
)
from core.storage.statements import Addition, Change, Link, Query, Value
from core.storage.tables import sessions, sets
from core.storage.traces import Traces
from core.strength.records import Record

ROWS_A_SESSION = 32
"""Rows of an exercise looked through for each session wanted; few sessions have more sets of one. [sets]"""

NAMES_AT_ONCE = 8
"""Exercises that one statement asks for; more are asked for in turn. [exercises]"""


class StoredSets:
    """Sets over an open connection.

    Args:
        link: The connection.
        traces: Told what was erased.

    """

    def __init__(self, link: Link, *, traces: Traces) -> None:
        self._link = link
        self._traces = traces

    def add(
        self, lifter_id: int, sets: Sequence[LoggedSet], *, days: Sequence[date], change: int
    ) -> Sequence[LoggedSet]:
        """Store sets under the inbox row that brought them; returned with their numbers."""
        known = _Known(self._link, lifter_id, sets)
        numbers = self._link.added(
            _ADD,
            [
                {**row_of(each, day=day), "lifter_id": lifter_id, "added_by": change}
                for each, day in zip(sets, days, strict=True)
            ],
        )
        added = [replace(each, id=number) for each, number in zip(sets, numbers, strict=True)]
        known.keep(added, days)
        return added

    def take_back(self, lifter_id: int, sets: Sequence[LoggedSet], *, change: int) -> None:
        """Take sets out of the log; `change` is the inbox row that did."""
        self._link.changes(_TAKE_BACK, [{**_told(lifter_id, each), "change": change} for each in sets])

    def last_change(self, lifter_id: int) -> int | None:
        """The newest inbox row that added or took back sets that still stand so."""
        added = self._link.first(_LAST_ADDED, lifter_id=lifter_id)
        taken_back = self._link.first(_LAST_TAKEN_BACK, lifter_id=lifter_id)
        return max((change for change in (added, taken_back) if change is not None), default=None)

    def added_by(self, lifter_id: int, change: int) -> Sequence[LoggedSet]:
        """Sets in the log that a change added, in order of position."""
        return self._link.rows(_ADDED_BY, lifter_id=lifter_id, change=change)

    def taken_back_by(self, lifter_id: int, change: int) -> Sequence[LoggedSet]:
        """Sets that a change took out of the log, in order of position."""
        return self._link.rows(_TAKEN_BACK_BY, lifter_id=lifter_id, change=change)

    def restore(self, ids: Sequence[int]) -> None:
        """Put sets that were taken back into the log again, and their sessions with them."""
        self._link.changes(_RESTORE, [{"set": each} for each in ids])
        self._link.changes(_RESTORE_SESSION, [{"set": each} for each in ids])

    def erase(self, ids: Sequence[int]) -> None:
        """Delete sets for good; a session that had left the log goes with the last of its sets."""
        self._link.changes(_ERASE_SESSION, [{"set": each} for each in ids])
        self._link.changes(_ERASE, [{"set": each} for each in ids])

    def erase_taken_back(self, lifter_id: int, root_key: str) -> None:
        """Delete for good what a message told and a correction took back."""
        self.erase(self._link.rows(_TAKEN_BACK_OF_ROOT, lifter_id=lifter_id, root_key=root_key))

    def forget_body_mass(self, lifter_id: int) -> Sequence[str]:
        """Erase what body mass was part of, in the log and out of it; the exercises that it was erased from."""
        self._traces.erased = True
        return list(dict.fromkeys(self._link.rows(_FORGET_BODY_MASS, lifter_id=lifter_id)))

    def of_root(self, lifter_id: int, root_key: str) -> Sequence[LoggedSet]:
        """Sets that one message told, in order of place; corrections of them included."""
        return self._link.rows(_OF_ROOT, lifter_id=lifter_id, root_key=root_key)

    def of_session(self, session_id: int, *, exercise: str | None = None) -> Sequence[LoggedSet]:
        """Sets of a session, of one exercise or of all, in order of position."""
        if exercise is None:
            return self._link.rows(_OF_SESSION, session_id=session_id)
        return self._link.rows(OF_EXERCISE_IN_SESSION, session_id=session_id, exercise=exercise)

    def of_exercises(
        self, lifter_id: int, exercises: Sequence[str], *, since: datetime | None = None
    ) -> Sequence[LoggedSet]:
        """Sets of some exercises in order of position, from an instant on."""
        since = _EVER if since is None else since
        names = list(dict.fromkeys(exercises))
        if len(names) == 1:
            return self._link.rows(_OF_EXERCISE, lifter_id=lifter_id, exercise=names[0], since=since)
        found: list[LoggedSet] = []
        for start in range(0, len(names), NAMES_AT_ONCE):
            asked = names[start : start + NAMES_AT_ONCE]
            asked += asked[-1:] * (NAMES_AT_ONCE - len(asked))
            values = {f"exercise_{place}": name for place, name in enumerate(asked)}
            found += self._link.rows(_OF_EXERCISES, lifter_id=lifter_id, since=since, **values)
        return found if len(names) <= NAMES_AT_ONCE else sorted(found, key=lambda each: each.position)

    def between(self, lifter_id: int, first: date, last: date) -> Sequence[LoggedSet]:
        """Sets of training days from `first` to `last`, both included, in order of position."""
        return self._link.rows(_BETWEEN, lifter_id=lifter_id, first=first, last=last)

    def judge(self, lifter_id: int, judged: Sequence[tuple[LoggedSet, Counted]]) -> None:
        """Write what some sets of the log count as."""
        known = _Known(self._link, lifter_id, [each for each, _ in judged])
        self._link.changes(_JUDGE, [{**_told(lifter_id, each), "counted": verdict} for each, verdict in judged])
        known.judge({each.id: verdict for each, verdict in judged})

    def imply(self, lifter_id: int, implied: Sequence[tuple[LoggedSet, float | None]]) -> None:
        """Write the reps left that the estimate from before each of some sets implies."""
        self._link.changes(_IMPLY, [{**_told(lifter_id, each), "left": left} for each, left in implied])

    def made(self, lifter_id: int, exercise: str) -> Sequence[Record]:
        """What was made of an exercise, each load and repetitions once, in order of their first set."""
        return self._link.rows(_MADE, lifter_id=lifter_id, exercise=exercise)

    def counted(self, lifter_id: int, first: date, last: date) -> Sequence[CountedRow]:
        """How many sets of each verdict there are, by session and exercise, on the days from first to last."""
        return self._link.rows(_COUNTED, lifter_id=lifter_id, first=first, last=last)

    def recent_sessions(
        self, lifter_id: int, exercise: str, *, limit: int
    ) -> Sequence[tuple[date, Sequence[LoggedSet]]]:
        """The last sessions that had an exercise, newest first, each with its day and its sets of it."""
        rows = max(1, limit) * ROWS_A_SESSION
        while True:
            found = self._link.rows(_NEWEST, lifter_id=lifter_id, exercise=exercise, rows=rows)
            session_ids = list(dict.fromkeys(found))
            if len(session_ids) > limit or len(found) < rows:
                break
            rows *= 4
        sessions_told: list[tuple[date, Sequence[LoggedSet]]] = []
        for session_id in session_ids[:limit]:
            told = self._link.rows(_OF_SESSION_AND_EXERCISE, session_id=session_id, exercise=exercise)
            sessions_told.append((told[0][0], [each for _, each in told]))
        return sessions_told


def _told(lifter_id: int, each: LoggedSet) -> dict[str, Value]:
    """Which set a change is of; told so that what is recalled of other lifters and sessions stays."""
    return {"set": each.id, "session_id": each.session_id, "lifter_id": lifter_id}


class _Known:
    """What is known of some sessions' sets and of a lifter's weeks before sets are added or judged, kept up after it."""

    __slots__ = ("_lifter_id", "_link", "_of_exercises", "_of_sessions", "_weeks")

    def __init__(self, link: Link, lifter_id: int, sets: Sequence[LoggedSet]) -> None:
        self._link = link
        self._lifter_id = lifter_id
        session_ids = {each.session_id for each in sets} if link.recalls else ()
        self._of_sessions = {each: dict(link.kept(_OF_SESSION, each)) for each in session_ids}
        self._of_exercises = {each: dict(link.kept(OF_EXERCISE_IN_SESSION, each)) for each in session_ids}
        self._weeks = dict(link.kept(_COUNTED, lifter_id)) if link.recalls else {}

    def judge(self, verdicts: Mapping[int, Counted]) -> None:
        """Take in what sets count as now; weeks are counted again when they are asked for."""
        for session_id, known in self._of_sessions.items():
            for there in known.values():
                self._link.now(_OF_SESSION, with_verdicts(there, verdicts), session_id=session_id)
        for session_id, by_exercise in self._of_exercises.items():
            for (_, name), there in by_exercise.items():
                told = {"session_id": session_id, "exercise": name}
                self._link.now(OF_EXERCISE_IN_SESSION, with_verdicts(there, verdicts), **told)

    def keep(self, added: Sequence[LoggedSet], days: Sequence[date]) -> None:
        """Take sets in that were added."""
        if not self._link.recalls:
            return
        stored = [(day, as_read(each)) for each, day in zip(added, days, strict=True)]
        for session_id, known in self._of_sessions.items():
            for there in known.values():
                mine = [each for _, each in stored if each.session_id == session_id]
                self._link.now(_OF_SESSION, in_order(there, mine), session_id=session_id)
        for session_id, by_exercise in self._of_exercises.items():
            for (_, name), there in by_exercise.items():
                mine = [each for _, each in stored if each.session_id == session_id and each.exercise == name]
                told = {"session_id": session_id, "exercise": name}
                self._link.now(OF_EXERCISE_IN_SESSION, in_order(there, mine), **told)
        for (_, first, last), rows in self._weeks.items():
            if not (isinstance(first, date) and isinstance(last, date)):
                continue
            mine_then = [(day, each) for day, each in stored if first <= day <= last]
            # Other weeks are seldom asked for again, and are read then.
            if mine_then:
                self._link.now(
                    _COUNTED, with_counted(rows, mine_then), lifter_id=self._lifter_id, first=first, last=last
                )


_DayAndSet = tuple[date, LoggedSet]


def _day_and_set(day: date, *values: object) -> _DayAndSet:
    return day, set_from(*values)  # type: ignore[arg-type]  # the columns of a set, in order


def _number(number: int) -> int:
    return number


def _record(reps: int | None, load_kg: float, load: float | None, unit: Unit) -> Record:
    return Record(reps or 0, load_kg, load or 0.0, unit)


def _name(exercise: str) -> str:
    return exercise


_EVER = datetime(1, 1, 1, tzinfo=UTC)

_POSITION = (sets.c.at, sets.c.root_key, sets.c.place, sets.c.id)
_READ = sa.select(*COLUMNS)
_IS_THEIRS = sets.c.lifter_id == sa.bindparam("lifter_id")
_IN_LOG = sets.c.taken_back_by.is_(None)
_IS_EXERCISE = sets.c.exercise == sa.bindparam("exercise")
_IS_SET = sets.c.id == sa.bindparam("set")
_IS_TOLD = (_IS_SET, sets.c.session_id == sa.bindparam("session_id"), _IS_THEIRS)

_ADD = Addition(
    sa.insert(sets).values(
        {column.name: sa.bindparam(column.name) for column in sets.c if column.name not in {"id", "taken_back_by"}}
    )
)
_TAKE_BACK = Change(sa.update(sets).where(*_IS_TOLD, _IN_LOG).values(taken_back_by=sa.bindparam("change")))
_RESTORE = Change(sa.update(sets).where(_IS_SET).values(taken_back_by=sa.null()))
_RESTORE_SESSION = Change(
    sa.update(sessions)
    .where(sessions.c.id == sa.select(sets.c.session_id).where(_IS_SET).scalar_subquery())
    .values(removed=sa.false())
)
_ERASE = Change(sa.delete(sets).where(_IS_SET))
_OTHER = sets.alias("other")
_ERASE_SESSION = Change(
    sa.delete(sessions).where(
        sessions.c.id == sa.select(sets.c.session_id).where(_IS_SET).scalar_subquery(),
        sessions.c.removed == sa.true(),
        ~sa.exists().where(_OTHER.c.session_id == sessions.c.id, _OTHER.c.id != sa.bindparam("set")),
    )
)
_LAST_ADDED = Query(
    sa.select(sets.c.added_by)
    .where(_IS_THEIRS, _IN_LOG)
    .order_by(sets.c.added_by.desc())
    .limit(sa.literal_column("1")),
    _number,
)
_LAST_TAKEN_BACK = Query(
    sa.select(sets.c.taken_back_by)
    .where(_IS_THEIRS, sets.c.taken_back_by.is_not(None))
    .order_by(sets.c.taken_back_by.desc())
    .limit(sa.literal_column("1")),
    _number,
)
_ADDED_BY = Query(
    _READ.where(_IS_THEIRS, _IN_LOG, sets.c.added_by == sa.bindparam("change")).order_by(*_POSITION), set_from
)
_TAKEN_BACK_BY = Query(
    _READ.where(_IS_THEIRS, sets.c.taken_back_by.is_not(None), sets.c.taken_back_by == sa.bindparam("change")).order_by(
        *_POSITION
    ),
    set_from,
)
_TAKEN_BACK_OF_ROOT = Query(
    sa.select(sets.c.id).where(
        _IS_THEIRS, sets.c.root_key == sa.bindparam("root_key"), sets.c.taken_back_by.is_not(None)
    ),
    _number,
)
_FORGET_BODY_MASS = Query(
    sa.update(sets)
    .where(_IS_THEIRS, sets.c.bodyweight == sa.true(), sets.c.moved_kg.is_not(None))
    .values(moved_kg=sa.null(), implied_left=sa.null())
    .returning(sets.c.exercise),
    _name,
)
_OF_ROOT = Query(
    _READ.where(_IS_THEIRS, _IN_LOG, sets.c.root_key == sa.bindparam("root_key")).order_by(sets.c.place, sets.c.id),
    set_from,
)
_OF_SESSION = Query(
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
_OF_EXERCISE = Query(_READ.where(_IS_THEIRS, _IN_LOG, _IS_EXERCISE, _SINCE).order_by(*_POSITION), set_from)
_OF_EXERCISES = Query(
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
_BETWEEN = Query(_READ.where(_IS_THEIRS, _IN_LOG, _IS_BETWEEN).order_by(*_POSITION), set_from)
_JUDGE = Change(sa.update(sets).where(*_IS_TOLD).values(counted=sa.bindparam("counted")))
_IMPLY = Change(sa.update(sets).where(*_IS_TOLD).values(implied_left=sa.bindparam("left")))
_COUNTED_BY = (sets.c.day, sets.c.session_id, sets.c.exercise, sets.c.counted)
_COUNTED = Query(
    sa.select(*_COUNTED_BY, sa.func.count())
    .where(_IS_THEIRS, _IN_LOG, _IS_BETWEEN)
    .group_by(*_COUNTED_BY)
    .order_by(*_COUNTED_BY),
    counted_from,
    scope="lifter_id",
)
_MADE_OF = (sets.c.reps, sets.c.load_kg, sets.c.load, sets.c.unit)
_MADE = Query(
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
_NEWEST = Query(
    sa.select(sets.c.session_id)
    .where(_IS_THEIRS, _IN_LOG, _IS_EXERCISE)
    .order_by(sets.c.at.desc())
    .limit(sa.bindparam("rows", type_=sa.Integer())),
    _number,
)
_OF_SESSION_AND_EXERCISE = Query(
    sa.select(sessions.c.day, *COLUMNS)
    .join(sessions, sessions.c.id == sets.c.session_id)
    .where(sets.c.session_id == sa.bindparam("session_id"), _IN_LOG, _IS_EXERCISE)
    .order_by(*_POSITION),
    _day_and_set,
)
