"""What is due, and what lifters settled about it, as rows."""

from collections.abc import Collection, Sequence
from dataclasses import replace
from datetime import datetime, time

import sqlalchemy as sa
from sqlalchemy.dialects.postgresql import insert

from core.domain.reminders import Due, DueState, Kind, Quiet, Reminders
from core.storage.due_tables import due, reminders
from core.storage.statements import Change, Engine, Link, Query, Value
from core.storage.tables import lifters
from core.storage.traces import Traces


class StoredDue:
    """What is due over an open connection.

    Args:
        link: The connection.
        locks: Lock the rows that are claimed and their lifters, where the engine locks rows.
        traces: Told that the next instant may have changed.

    """

    def __init__(self, link: Link, *, locks: bool, traces: Traces) -> None:
        self._link = link
        self._locks = locks and link.engine is Engine.POSTGRESQL
        self._traces = traces

    def put(self, row: Due) -> None:
        """Have something come, or come at another time; what was settled stays so, and never comes twice."""
        self._traces.due = True
        waiting = self._waiting(row.lifter_id)
        self._link.change(
            _PUT if row.lifter_id is not None else _PUT_HOUSE,
            **_values(row),
        )
        if (row.kind, row.occasion) in waiting:
            self._link.now(WAITING, waiting, lifter_id=row.lifter_id)

    def put_first(self, row: Due) -> None:
        """Have something come, unless it waits or is settled already: then nothing is written."""
        if (row.kind, row.occasion) in self._waiting(row.lifter_id):
            return
        self._traces.due = True
        self._link.change(_PUT_FIRST, **_values(row))

    def withdraw(self, lifter_id: int, kind: Kind, *, but: str = "") -> None:
        """Delete what waits of a kind, but for one occasion."""
        if self._link.recalls and not any(
            each is kind and occasion != but for each, occasion in self._waiting(lifter_id)
        ):
            return
        self._link.change(_WITHDRAW, lifter_id=lifter_id, kind=kind, but=but)

    def _waiting(self, lifter_id: int | None) -> Sequence[tuple[Kind, str]]:
        """Kind and occasion of what waits of a lifter, where that is at hand."""
        return [] if lifter_id is None or not self._link.recalls else self._link.rows(WAITING, lifter_id=lifter_id)

    def of_lifter(self, lifter_id: int, *, limit: int) -> Sequence[Due]:
        """What waits of a lifter, first to come first."""
        return self._link.rows(_OF_LIFTER, lifter_id=lifter_id, limit=limit)

    def settled_at(self, lifter_id: int, kind: Kind, occasion: str) -> datetime | None:
        """When something was sent or dropped; None where it was neither."""
        return self._link.first(_SETTLED, lifter_id=lifter_id, kind=kind, occasion=occasion)

    def claim(
        self, at: datetime, *, kinds: Collection[Kind], limit: int, lifter_id: int | None = None
    ) -> Sequence[Due]:
        """What is due by an instant, of one lifter or of all; nobody else works on it or its lifter meanwhile."""
        if lifter_id is not None:
            query = _CLAIM_OF_LOCKED if self._locks else _CLAIM_OF
            rows = self._link.rows(query, at=at, lifter_id=lifter_id, limit=limit)
            return [row for row in rows if row.kind in kinds]
        found: list[Due] = []
        for kind in kinds:
            query = _CLAIM_LOCKED if self._locks and kind is not Kind.HOUSEKEEPING else _CLAIM
            if kind is Kind.HOUSEKEEPING and self._locks:
                query = _CLAIM_HOUSE_LOCKED
            found += self._link.rows(query, at=at, kind=kind, limit=limit)
        return sorted(found, key=lambda row: (row.at, row.id))[:limit]

    def settle(self, row_id: int, state: DueState, *, at: datetime) -> None:
        """Note that something was sent or dropped."""
        self._link.change(_SETTLE, row=row_id, state=state, at=at)

    def move(self, row_id: int, *, to: datetime) -> None:
        """Have something come at another instant."""
        self._traces.due = True
        self._link.change(_MOVE, row=row_id, at=to)

    def next_at(self, lifter_id: int | None = None) -> datetime | None:
        """The instant of what comes first, of one lifter or of all and the house."""
        if lifter_id is None:
            return self._link.first(_NEXT)
        return self._link.first(_NEXT_OF, lifter_id=lifter_id)

    def wishes_after(self, row_id: int, *, limit: int) -> Sequence[Due]:
        """What waits and was meant at a wall time, by number."""
        return self._link.rows(_WISHES, row=row_id, limit=limit)

    def forget_before(self, at: datetime) -> None:
        """Delete what was settled before an instant."""
        self._link.change(_FORGET, at=at)


class StoredReminders:
    """What lifters settled about reminders, over an open connection.

    Args:
        link: The connection.

    """

    def __init__(self, link: Link) -> None:
        self._link = link

    def of(self, lifter_id: int) -> Reminders:
        """What a lifter settled; the usual where they settled nothing."""
        return self._link.first(REMINDERS, lifter_id=lifter_id) or _USUAL

    def save(self, lifter_id: int, settled: Reminders) -> None:
        """Write what a lifter settled."""
        quiet = settled.quiet
        self._link.change(
            _SAVE,
            lifter_id=lifter_id,
            quiet_begins=None if quiet is None else quiet.begins.isoformat("minutes"),
            quiet_ends=None if quiet is None else quiet.ends.isoformat("minutes"),
            morning=None if settled.morning is None else settled.morning.isoformat("minutes"),
            rest_s=settled.rest_s,
            unanswered=settled.unanswered,
            last_morning=settled.last_morning,
        )


def _values(row: Due) -> dict[str, Value]:
    return {
        "lifter_id": row.lifter_id,
        "kind": row.kind,
        "occasion": row.occasion,
        "at": row.at,
        "wish": None if row.wish is None else row.wish.isoformat(),
        "zone": row.zone,
        "data": row.data,
        "state": DueState.WAITING,
    }


def _due(
    id_: int,
    lifter_id: int | None,
    kind: Kind,
    occasion: str,
    at: datetime,
    wish: str | None,
    zone: str | None,
    data: str,
    state: DueState,
) -> Due:
    return Due(
        id=id_,
        lifter_id=lifter_id,
        kind=kind,
        occasion=occasion,
        at=at,
        wish=None if wish is None else datetime.fromisoformat(wish),
        zone=zone,
        data=data,
        state=state,
    )


def _reminders(
    quiet_begins: str | None,
    quiet_ends: str | None,
    morning: str | None,
    rest_s: int | None,
    unanswered: int,
    last_morning: datetime | None,
) -> Reminders:
    quiet = None
    if quiet_begins is not None and quiet_ends is not None:
        quiet = Quiet(time.fromisoformat(quiet_begins), time.fromisoformat(quiet_ends))
    settled = Reminders(quiet=quiet, rest_s=rest_s, unanswered=unanswered, last_morning=last_morning)
    return replace(settled, morning=None if morning is None else time.fromisoformat(morning))


def _kind_and_occasion(kind: Kind, occasion: str) -> tuple[Kind, str]:
    return kind, occasion


def _instant(at: datetime) -> datetime:
    return at


_USUAL = Reminders()

_READ = sa.select(*[column for column in due.c if column.name != "settled_at"])
_WAITS = due.c.state == sa.literal_column("'waiting'")
_ADD = insert(due).values(
    {column.name: sa.bindparam(column.name) for column in due.c if column.name not in {"id", "settled_at"}}
)
_ANEW = {name: _ADD.excluded[name] for name in ("at", "wish", "zone", "data")}
_PUT = Change(
    _ADD.on_conflict_do_update(
        index_elements=["lifter_id", "kind", "occasion"],
        set_=_ANEW,
        where=due.c.state == sa.literal_column("'waiting'"),
    )
)
_PUT_FIRST = Change(_ADD.on_conflict_do_nothing(index_elements=["lifter_id", "kind", "occasion"]))
_PUT_HOUSE = Change(
    _ADD.on_conflict_do_update(
        index_elements=["kind", "occasion"],
        index_where=sa.text("lifter_id IS NULL"),
        set_=_ANEW,
        where=due.c.state == sa.literal_column("'waiting'"),
    )
)
_IS_OF_LIFTER = due.c.lifter_id == sa.bindparam("lifter_id")
_IS_KIND = due.c.kind == sa.bindparam("kind")
_WITHDRAW = Change(sa.delete(due).where(_IS_OF_LIFTER, _IS_KIND, due.c.occasion != sa.bindparam("but"), _WAITS))
_LIMIT = sa.bindparam("limit", type_=sa.Integer())
_OF_LIFTER = Query(_READ.where(_IS_OF_LIFTER, _WAITS).order_by(due.c.at, due.c.id).limit(_LIMIT), _due)
WAITING = Query(
    sa.select(due.c.kind, due.c.occasion).where(_IS_OF_LIFTER, _WAITS), _kind_and_occasion, scope="lifter_id"
)
_SETTLED = Query(
    sa.select(due.c.settled_at).where(
        _IS_OF_LIFTER,
        _IS_KIND,
        due.c.occasion == sa.bindparam("occasion"),
        due.c.state != sa.literal_column("'waiting'"),
    ),
    _instant,
)
_IS_DUE = _READ.where(_WAITS, due.c.at <= sa.bindparam("at"), _IS_KIND).order_by(due.c.at, due.c.id).limit(_LIMIT)
_CLAIM = Query(_IS_DUE, _due)
_CLAIM_LOCKED = Query(
    _IS_DUE.join(lifters, lifters.c.id == due.c.lifter_id).with_for_update(of=[due, lifters], skip_locked=True), _due
)
_CLAIM_HOUSE_LOCKED = Query(_IS_DUE.with_for_update(of=due, skip_locked=True), _due)
_IS_DUE_OF = (
    _READ.where(_IS_OF_LIFTER, _WAITS, due.c.at <= sa.bindparam("at")).order_by(due.c.at, due.c.id).limit(_LIMIT)
)
_CLAIM_OF = Query(_IS_DUE_OF, _due)
_CLAIM_OF_LOCKED = Query(_IS_DUE_OF.with_for_update(of=due, skip_locked=True), _due)
_IS_ROW = due.c.id == sa.bindparam("row")
_SETTLE = Change(sa.update(due).where(_IS_ROW).values(state=sa.bindparam("state"), settled_at=sa.bindparam("at")))
_MOVE = Change(sa.update(due).where(_IS_ROW).values(at=sa.bindparam("at")))
_NEXT = Query(sa.select(due.c.at).where(_WAITS).order_by(due.c.at, due.c.id).limit(sa.literal_column("1")), _instant)
_NEXT_OF = Query(
    sa.select(due.c.at).where(_IS_OF_LIFTER, _WAITS).order_by(due.c.at, due.c.id).limit(sa.literal_column("1")),
    _instant,
)
_WISHES = Query(
    _READ.where(due.c.id > sa.bindparam("row"), _WAITS, due.c.wish.is_not(None)).order_by(due.c.id).limit(_LIMIT), _due
)
_FORGET = Change(sa.delete(due).where(due.c.settled_at < sa.bindparam("at")))

REMINDERS = Query(
    sa.select(*[column for column in reminders.c if column.name != "lifter_id"]).where(
        reminders.c.lifter_id == sa.bindparam("lifter_id")
    ),
    _reminders,
    scope="lifter_id",
)
_ADD_SETTLED = insert(reminders).values({column.name: sa.bindparam(column.name) for column in reminders.c})
_SAVE = Change(
    _ADD_SETTLED.on_conflict_do_update(
        index_elements=["lifter_id"],
        set_={column.name: _ADD_SETTLED.excluded[column.name] for column in reminders.c if column.name != "lifter_id"},
    )
)
