"""Estimates and records, as rows."""

from collections.abc import Sequence
from datetime import UTC, datetime

import sqlalchemy as sa
from sqlalchemy.dialects.postgresql import insert

from core.application.rows import (
    Checkpoint,
    SessionEstimate,
)
from core.storage.statements import Change, Link, Query
from core.storage.tables import checkpoints, estimates, records, session_estimates


class StoredEstimates:
    """State of the estimator over an open connection.

    Args:
        link: The connection.

    """

    def __init__(self, link: Link) -> None:
        self._link = link

    def state(self, lifter_id: int, family: str) -> str | None:
        """The state after the last set."""
        return self._link.first(STATE, lifter_id=lifter_id, family=family)

    def save_state(self, lifter_id: int, family: str, state: str | None) -> None:
        """Write the state after the last set; None deletes it."""
        if state is None:
            self._link.change(_DROP_STATE, lifter_id=lifter_id, family=family)
        else:
            self._link.change(_SAVE_STATE, lifter_id=lifter_id, family=family, state=state)
            self._link.now(STATE, [state], lifter_id=lifter_id, family=family)

    def checkpoint(self, lifter_id: int, family: str, checkpoint: Checkpoint) -> None:
        """Write the state before the first set of a session; the same session again replaces it."""
        self._link.change(
            _CHECKPOINT,
            lifter_id=lifter_id,
            family=family,
            session_id=checkpoint.session_id,
            at=checkpoint.at,
            state=checkpoint.state,
        )

    def last_checkpoint(self, lifter_id: int, family: str, *, until: datetime | None = None) -> Checkpoint | None:
        """The newest checkpoint whose instant is not after `until`; without `until`, the newest."""
        until = _FOR_EVER if until is None else until
        return self._link.first(_LAST_CHECKPOINT, lifter_id=lifter_id, family=family, until=until)

    def note(self, lifter_id: int, family: str, item: SessionEstimate) -> None:
        """Write what was estimated at the end of a session; the same session and exercise again replaces it."""
        self._link.change(
            _NOTE,
            lifter_id=lifter_id,
            family=family,
            session_id=item.session_id,
            exercise=item.exercise,
            at=item.at,
            estimate_kg=item.estimate_kg,
            low_kg=item.low_kg,
            high_kg=item.high_kg,
        )

    def forget_from(self, lifter_id: int, family: str, at: datetime) -> None:
        """Delete checkpoints and session estimates of a family from an instant on."""
        self._link.change(_FORGET_CHECKPOINTS, lifter_id=lifter_id, family=family, at=at)
        self._link.change(_FORGET_ESTIMATES, lifter_id=lifter_id, family=family, at=at)

    def history(self, lifter_id: int, exercise: str) -> Sequence[SessionEstimate]:
        """What was estimated after each session, oldest first."""
        return self._link.rows(_HISTORY, lifter_id=lifter_id, exercise=exercise)

    def before(self, lifter_id: int, exercise: str, *, until: datetime) -> SessionEstimate | None:
        """What was estimated after the last session that is not after an instant."""
        return self._link.first(_BEFORE, lifter_id=lifter_id, exercise=exercise, until=until)


class StoredRecords:
    """Records over an open connection.

    Args:
        link: The connection.

    """

    def __init__(self, link: Link) -> None:
        self._link = link

    def table(self, lifter_id: int, exercise: str) -> str | None:
        """The records of an exercise."""
        return self._link.first(RECORDS, lifter_id=lifter_id, exercise=exercise)

    def save(self, lifter_id: int, exercise: str, table: str | None) -> None:
        """Write the records of an exercise; None deletes them."""
        if table is None:
            self._link.change(_DROP_RECORDS, lifter_id=lifter_id, exercise=exercise)
        else:
            self._link.change(_SAVE_RECORDS, lifter_id=lifter_id, exercise=exercise, held=table)
            self._link.now(RECORDS, [table], lifter_id=lifter_id, exercise=exercise)


def _text(text: str) -> str:
    return text


def _checkpoint(session_id: int, at: datetime, state: str) -> Checkpoint:
    return Checkpoint(session_id=session_id, at=at, state=state)


def _session_estimate(
    session_id: int, exercise: str, at: datetime, estimate_kg: float, low_kg: float | None, high_kg: float | None
) -> SessionEstimate:
    return SessionEstimate(
        session_id=session_id, exercise=exercise, at=at, estimate_kg=estimate_kg, low_kg=low_kg, high_kg=high_kg
    )


_FOR_EVER = datetime(9999, 12, 31, tzinfo=UTC)

_IS_FAMILY = sa.and_(estimates.c.lifter_id == sa.bindparam("lifter_id"), estimates.c.family == sa.bindparam("family"))
STATE = Query(sa.select(estimates.c.state).where(_IS_FAMILY), _text, scope="lifter_id")
_STATE_GIVEN = insert(estimates).values({column.name: sa.bindparam(column.name) for column in estimates.c})
_SAVE_STATE = Change(
    _STATE_GIVEN.on_conflict_do_update(
        index_elements=["lifter_id", "family"], set_={"state": _STATE_GIVEN.excluded.state}
    )
)
_DROP_STATE = Change(sa.delete(estimates).where(_IS_FAMILY))

_CHECKPOINT_GIVEN = insert(checkpoints).values({column.name: sa.bindparam(column.name) for column in checkpoints.c})
_CHECKPOINT = Change(
    _CHECKPOINT_GIVEN.on_conflict_do_update(
        index_elements=["lifter_id", "family", "session_id"],
        set_={"at": _CHECKPOINT_GIVEN.excluded.at, "state": _CHECKPOINT_GIVEN.excluded.state},
    )
)
_IS_CHECKPOINT = sa.and_(
    checkpoints.c.lifter_id == sa.bindparam("lifter_id"), checkpoints.c.family == sa.bindparam("family")
)
_LAST_CHECKPOINT = Query(
    sa.select(checkpoints.c.session_id, checkpoints.c.at, checkpoints.c.state)
    .where(_IS_CHECKPOINT, checkpoints.c.at <= sa.bindparam("until"))
    .order_by(checkpoints.c.at.desc(), checkpoints.c.session_id.desc())
    .limit(sa.literal_column("1")),
    _checkpoint,
)
_FORGET_CHECKPOINTS = Change(sa.delete(checkpoints).where(_IS_CHECKPOINT, checkpoints.c.at >= sa.bindparam("at")))

_NOTE_GIVEN = insert(session_estimates).values(
    {column.name: sa.bindparam(column.name) for column in session_estimates.c}
)
_NOTE = Change(
    _NOTE_GIVEN.on_conflict_do_update(
        index_elements=["lifter_id", "exercise", "session_id"],
        set_={
            "family": _NOTE_GIVEN.excluded.family,
            "at": _NOTE_GIVEN.excluded.at,
            "estimate_kg": _NOTE_GIVEN.excluded.estimate_kg,
            "low_kg": _NOTE_GIVEN.excluded.low_kg,
            "high_kg": _NOTE_GIVEN.excluded.high_kg,
        },
    )
)
_FORGET_ESTIMATES = Change(
    sa.delete(session_estimates).where(
        session_estimates.c.lifter_id == sa.bindparam("lifter_id"),
        session_estimates.c.family == sa.bindparam("family"),
        session_estimates.c.at >= sa.bindparam("at"),
    )
)
_OF_EXERCISE = sa.select(
    session_estimates.c.session_id,
    session_estimates.c.exercise,
    session_estimates.c.at,
    session_estimates.c.estimate_kg,
    session_estimates.c.low_kg,
    session_estimates.c.high_kg,
).where(
    session_estimates.c.lifter_id == sa.bindparam("lifter_id"),
    session_estimates.c.exercise == sa.bindparam("exercise"),
)
_HISTORY = Query(_OF_EXERCISE.order_by(session_estimates.c.at, session_estimates.c.session_id), _session_estimate)
_BEFORE = Query(
    _OF_EXERCISE.where(session_estimates.c.at <= sa.bindparam("until"))
    .order_by(session_estimates.c.at.desc(), session_estimates.c.session_id.desc())
    .limit(sa.literal_column("1")),
    _session_estimate,
)

_IS_RECORD = sa.and_(records.c.lifter_id == sa.bindparam("lifter_id"), records.c.exercise == sa.bindparam("exercise"))
RECORDS = Query(sa.select(records.c.held).where(_IS_RECORD), _text, scope="lifter_id")
_RECORDS_GIVEN = insert(records).values({column.name: sa.bindparam(column.name) for column in records.c})
_SAVE_RECORDS = Change(
    _RECORDS_GIVEN.on_conflict_do_update(
        index_elements=["lifter_id", "exercise"], set_={"held": _RECORDS_GIVEN.excluded.held}
    )
)
_DROP_RECORDS = Change(sa.delete(records).where(_IS_RECORD))
