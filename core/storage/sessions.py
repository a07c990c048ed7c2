"""Training sessions, as rows."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import sqlalchemy as sa

from core.domain.sessions import Session
from core.storage.statements import Change, Link, Query, Value
from core.storage.tables import checkpoints, session_estimates, sessions, sets

NEAR = timedelta(days=3)
"""How far from an instant a session that is near it may have opened."""


class StoredSessions:
    """Sessions over an open connection.

    Args:
        link: The connection.
        foreseen: Told the last session when it is read: most messages are about it.

    """

    def __init__(self, link: Link, *, foreseen: Callable[[Session], None] | None = None) -> None:
        self._link = link
        self._foreseen = foreseen

    def add(self, session: Session) -> Session:
        """Store a new session; returned with its number."""
        last = self._known_last(session.lifter_id)
        [number] = self._link.rows(_ADD, **_values(session))
        added = replace(session, id=number)
        if self._link.recalls and (last is None or last.last_set_at < added.last_set_at):
            self._is_last(added)
        return added

    def save(self, session: Session) -> None:
        """Write all of a session's fields."""
        last = self._known_last(session.lifter_id)
        self._link.change(_SAVE, session_id=session.id, **_values(session))
        if _stays_last(session, last):
            self._is_last(session)

    def go_on(self, session: Session) -> None:
        """Write when the last set of a session was, and of what exercise: nothing else of it has changed.

        SQLite writes an index anew for each column that a statement names, whatever its value was; every set comes here.
        """
        last = self._known_last(session.lifter_id)
        self._link.change(
            _GO_ON,
            session_id=session.id,
            lifter_id=session.lifter_id,
            last_set_at=session.last_set_at,
            exercise=session.exercise,
        )
        if last is not None and _stays_last(session, last):
            self._is_last(replace(last, last_set_at=session.last_set_at, exercise=session.exercise))

    def last(self, lifter_id: int) -> Session | None:
        """The session with the latest last set."""
        found = self._link.first(LAST_SESSION, lifter_id=lifter_id)
        if found is not None and self._foreseen is not None:
            self._foreseen(found)
        return found

    def _known_last(self, lifter_id: int) -> Session | None:
        return self._link.first(LAST_SESSION, lifter_id=lifter_id) if self._link.recalls else None

    def _is_last(self, session: Session) -> None:
        self._link.now(LAST_SESSION, [_as_read(session)], lifter_id=session.lifter_id)

    def near(self, lifter_id: int, at: datetime) -> Sequence[Session]:
        """Sessions opened within three days of an instant, in order of opening."""
        return self._link.rows(_OPENED, lifter_id=lifter_id, first=at - NEAR, last=at + NEAR)

    def on_day(self, lifter_id: int, day: date) -> Sequence[Session]:
        """Sessions of a training day, in order of opening."""
        return self._link.rows(_ON_DAY, lifter_id=lifter_id, day=day)

    def by_id(self, lifter_id: int, session_id: int) -> Session | None:
        """One session of this lifter."""
        return self._link.first(_BY_ID, lifter_id=lifter_id, session_id=session_id)

    def hand_over(self, session_id: int, to: int, *, day: date, since: datetime) -> None:
        """Put the sets of a session from an instant on, those taken back too, into another one and its day."""
        self._link.change(_HAND_OVER, session_id=session_id, to=to, to_day=day, since=since)

    def remove(self, session_id: int) -> None:
        """Delete a session that has no sets left, and what was estimated after it.

        A session whose sets were taken back only leaves the log, and comes back with the first set that is restored.
        One with sets in the log stays.
        """
        self._link.change(_HIDE, session_id=session_id)
        self._link.change(_DROP_ESTIMATES, session_id=session_id)
        self._link.change(_DROP_CHECKPOINTS, session_id=session_id)
        self._link.change(_DROP, session_id=session_id)


def _values(session: Session) -> dict[str, Value]:
    return {
        "lifter_id": session.lifter_id,
        "day": session.day,
        "opened_at": session.opened_at,
        "last_set_at": session.last_set_at,
        "closed_at": session.closed_at,
        "exercise": session.exercise,
        "effort": session.effort,
    }


def _session(
    id_: int,
    lifter_id: int,
    day: date,
    opened_at: datetime,
    last_set_at: datetime,
    closed_at: datetime | None,
    exercise: str | None,
    effort: float | None,
) -> Session:
    return Session(
        id=id_,
        lifter_id=lifter_id,
        day=day,
        opened_at=opened_at,
        last_set_at=last_set_at,
        closed_at=closed_at,
        exercise=exercise,
        effort=effort,
    )


def _stays_last(session: Session, last: Session | None) -> bool:
    return last is not None and last.id == session.id and last.last_set_at <= session.last_set_at


def _as_read(session: Session) -> Session:
    """A session as it is read back: its instants in UTC."""
    closed_at = session.closed_at
    if session.opened_at.tzinfo is session.last_set_at.tzinfo is UTC and (closed_at is None or closed_at.tzinfo is UTC):
        return session
    return replace(
        session,
        opened_at=session.opened_at.astimezone(UTC),
        last_set_at=session.last_set_at.astimezone(UTC),
        closed_at=None if closed_at is None else closed_at.astimezone(UTC),
    )


def _number(number: int) -> int:
    return number


_IN_LOG = sessions.c.removed == sa.false()
_IS_SESSION = sessions.c.id == sa.bindparam("session_id")
_IS_THEIRS = sessions.c.lifter_id == sa.bindparam("lifter_id")
_READ = sa.select(*[column for column in sessions.c if column.name != "removed"]).where(_IN_LOG)

_GIVEN = [column for column in sessions.c if column.name not in {"id", "removed"}]
_ADD = Query(
    sa.insert(sessions)
    .values({column.name: sa.bindparam(column.name) for column in _GIVEN})
    .values(removed=sa.false())
    .returning(sessions.c.id),
    _number,
)
_SAVE = Change(
    sa.update(sessions)
    .where(_IS_SESSION, _IS_THEIRS)
    .values({column.name: sa.bindparam(column.name) for column in _GIVEN if column.name != "lifter_id"})
)
_GO_ON = Change(
    sa.update(sessions)
    .where(_IS_SESSION, _IS_THEIRS)
    .values(last_set_at=sa.bindparam("last_set_at"), exercise=sa.bindparam("exercise")),
    columns=frozenset({"last_set_at", "exercise"}),
)
LAST_SESSION = Query(
    _READ.where(_IS_THEIRS).order_by(sessions.c.last_set_at.desc(), sessions.c.id.desc()).limit(sa.literal_column("1")),
    _session,
    scope="lifter_id",
)
_OPENED = Query(
    _READ.where(_IS_THEIRS, sessions.c.opened_at.between(sa.bindparam("first"), sa.bindparam("last"))).order_by(
        sessions.c.opened_at, sessions.c.id
    ),
    _session,
)
_ON_DAY = Query(
    _READ.where(_IS_THEIRS, sessions.c.day == sa.bindparam("day")).order_by(sessions.c.opened_at, sessions.c.id),
    _session,
)
_BY_ID = Query(_READ.where(_IS_THEIRS, _IS_SESSION), _session)

_HAND_OVER = Change(
    sa.update(sets)
    .where(sets.c.session_id == sa.bindparam("session_id"), sets.c.at >= sa.bindparam("since"))
    .values(session_id=sa.bindparam("to"), day=sa.bindparam("to_day"))
)
_HAS_SETS = sa.exists().where(sets.c.session_id == sessions.c.id)
_HIDE = Change(
    sa.update(sessions)
    .where(_IS_SESSION, ~sa.exists().where(sets.c.session_id == sessions.c.id, sets.c.taken_back_by.is_(None)))
    .values(removed=sa.true())
)
_IS_HIDDEN = sa.exists().where(_IS_SESSION, sessions.c.removed == sa.true())
_DROP_ESTIMATES = Change(
    sa.delete(session_estimates).where(session_estimates.c.session_id == sa.bindparam("session_id"), _IS_HIDDEN)
)
_DROP_CHECKPOINTS = Change(
    sa.delete(checkpoints).where(checkpoints.c.session_id == sa.bindparam("session_id"), _IS_HIDDEN)
)
_DROP = Change(sa.delete(sessions).where(_IS_SESSION, sessions.c.removed == sa.true(), ~_HAS_SETS))
