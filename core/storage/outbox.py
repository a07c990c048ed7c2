# ruff: noqa: FBT001 - a row's values are given by position
"""The outbox: messages to send, as rows."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime

import sqlalchemy as sa
from sqlalchemy.dialects.postgresql import insert

from core.application.rows import (
    OutboxRow,
    OutboxState,
)
from core.domain.check_in_replies import ChartTold
from core.domain.profile import Address
from core.storage.statements import Addition, Change, Engine, Link, Query
from core.storage.tables import outbox, pauses
from core.storage.traces import Traces
from core.storage.values import text_of, value_from


class StoredOutbox:
    """Messages to send over an open connection.

    Args:
        link: The connection.
        traces: Told that something was queued.

    """

    def __init__(self, link: Link, *, traces: Traces) -> None:
        self._link = link
        self._traces = traces

    def add(self, rows: Sequence[OutboxRow], *, lifter_id: int | None, handed: bool = False) -> Sequence[OutboxRow]:
        """Queue messages; returned with their numbers. Of those that are handed to who sends them no hint is told."""
        numbers = self._link.added(
            _ADD,
            [
                {
                    "connector": row.address.connector,
                    "chat": row.address.chat,
                    "message_id": row.message_id,
                    "lifter_id": lifter_id,
                    "text": row.text,
                    "choices": json.dumps(row.choices, ensure_ascii=False) if row.choices else None,
                    "question": row.question,
                    "data": row.data,
                    "scheduled": row.scheduled,
                    "created_at": row.created_at,
                    "expires_at": row.expires_at,
                    "state": row.state,
                    "attempts": row.attempts,
                    "sent_at": row.sent_at,
                    "parts_sent": row.parts_sent,
                    "platform_key": row.platform_key,
                    "chart": None if row.chart is None else text_of(ChartTold(row.chart)),
                }
                for row in rows
            ],
        )
        self._traces.queued = self._traces.queued or (bool(rows) and not handed)
        return [replace(row, id=number) for row, number in zip(rows, numbers, strict=True)]

    def answers_to(self, message_id: int) -> Sequence[OutboxRow]:
        """The answers to an event, in order."""
        return self._link.rows(_ANSWERS, message_id=message_id)

    def waiting(self, connector: str, *, limit: int) -> Sequence[OutboxRow]:
        """Messages not sent yet: live before scheduled, each address in order."""
        return self._link.rows(_WAITING, connector=connector, limit=limit)

    def heads(self, connector: str, *, limit: int) -> Sequence[OutboxRow]:
        """The first message that waits for each chat, live before scheduled, each in order."""
        return self._link.rows(_HEADS, connector=connector, limit=limit)

    def waiting_there(self, address: Address) -> Sequence[int]:
        """Numbers of messages that wait to be sent to an address: three at the most."""
        return self._link.rows(WAITING_THERE, connector=address.connector, chat=address.chat)

    def tried(self, row_id: int) -> None:
        """Count an attempt to send a message."""
        self._link.change(_TRIED, row=row_id)

    def part_sent(self, row_id: int, *, parts: int) -> None:
        """Note how many parts of a message are sent."""
        self._link.change(_PART_SENT, row=row_id, parts=parts)

    def sent(self, row_id: int, *, at: datetime, platform_key: str | None = None) -> None:
        """Mark a message as sent; one that is nobody's, as the goodbye to a forgotten lifter, is deleted."""
        self._leave(row_id, state=OutboxState.SENT, at=at, platform_key=platform_key)

    def sent_there(self, row_id: int, address: Address, *, at: datetime, platform_key: str | None = None) -> bool:
        """Mark a message to an address as sent; whether any other waits to be sent there."""
        if self._link.engine is Engine.POSTGRESQL:
            there = self._link.rows(
                _SENT_THERE,
                row=row_id,
                connector=address.connector,
                chat=address.chat,
                state=OutboxState.SENT,
                at=at,
                platform_key=platform_key,
            )
            return bool(there)
        self.sent(row_id, at=at, platform_key=platform_key)
        return bool(self.waiting_there(address))

    def refused(self, row_id: int) -> None:
        """Mark a message as one that its address takes no more; one that is nobody's is deleted."""
        self._leave(row_id, state=OutboxState.REFUSED)

    def expired(self, row_id: int) -> None:
        """Mark a message as one that came too late to be sent; one that is nobody's is deleted."""
        self._leave(row_id, state=OutboxState.EXPIRED)

    def refuse_waiting(self, address: Address) -> None:
        """Mark all that waits for an address as refused; what is nobody's is deleted."""
        self._link.change(_DROP_WAITING, connector=address.connector, chat=address.chat)
        self._link.change(_REFUSE_WAITING, connector=address.connector, chat=address.chat)

    def scheduled_waiting(self, connector: str) -> int:
        """How many scheduled messages wait."""
        [number] = self._link.rows(_SCHEDULED_WAITING, connector=connector)
        return number

    def pause(self, connector: str, *, chat: str, until: datetime) -> None:
        """Note until when a platform wants nothing sent to a chat; an empty one stands for all of them."""
        self._link.change(_PAUSE, connector=connector, chat=chat, until=until)

    def pauses(self, connector: str, *, now: datetime) -> Mapping[str, datetime]:
        """Pauses that are not over, by chat."""
        return dict(self._link.rows(_PAUSES, connector=connector, now=now))

    def end_pauses_before(self, at: datetime) -> None:
        """Drop pauses that were over before an instant."""
        self._link.change(_END_PAUSES, at=at)

    def _leave(
        self, row_id: int, *, state: OutboxState, at: datetime | None = None, platform_key: str | None = None
    ) -> None:
        if not self._link.rows(_LEAVE, row=row_id, state=state, at=at, platform_key=platform_key):
            self._link.change(_DROP, row=row_id)


def _row(
    id_: int,
    connector: str,
    chat: str,
    message_id: int | None,
    text: str,
    choices: str | None,
    question: str | None,
    data: str,
    scheduled: bool,
    created_at: datetime,
    expires_at: datetime | None,
    state: OutboxState,
    attempts: int,
    sent_at: datetime | None,
    parts_sent: int,
    platform_key: str | None,
    chart: str | None,
) -> OutboxRow:
    return OutboxRow(
        id=id_,
        address=Address(connector, chat),
        message_id=message_id,
        text=text,
        choices=() if choices is None else tuple((label, send) for label, send in json.loads(choices)),
        question=question,
        data=data,
        scheduled=scheduled,
        created_at=created_at,
        expires_at=expires_at,
        state=state,
        attempts=attempts,
        sent_at=sent_at,
        parts_sent=parts_sent,
        platform_key=platform_key,
        chart=None if chart is None else value_from(chart, ChartTold).chart,
    )


def _pause(chat: str, until: datetime) -> tuple[str, datetime]:
    return chat, until


def _number(number: int) -> int:
    return number


_READ = sa.select(*[column for column in outbox.c if column.name != "lifter_id"])
_IS_ROW = outbox.c.id == sa.bindparam("row")
_ADD = Addition(
    sa.insert(outbox).values({column.name: sa.bindparam(column.name) for column in outbox.c if column.name != "id"})
)
_ANSWERS = Query(_READ.where(outbox.c.message_id == sa.bindparam("message_id")).order_by(outbox.c.id), _row)
_WAITING = Query(
    _READ.where(outbox.c.state == sa.literal_column("'waiting'"), outbox.c.connector == sa.bindparam("connector"))
    .order_by(outbox.c.scheduled, outbox.c.id)
    .limit(sa.bindparam("limit", type_=sa.Integer())),
    _row,
)
_TRIED = Change(sa.update(outbox).where(_IS_ROW).values(attempts=outbox.c.attempts + sa.literal_column("1")))
_LEAVING = (
    sa.update(outbox)
    .where(_IS_ROW, outbox.c.lifter_id.is_not(None))
    .values(state=sa.bindparam("state"), sent_at=sa.bindparam("at"), platform_key=sa.bindparam("platform_key"))
)
_LEAVE = Query(_LEAVING.returning(outbox.c.id), _number)
_DROPPING = sa.delete(outbox).where(_IS_ROW, outbox.c.lifter_id.is_(None))
_DROP = Change(_DROPPING)
_PART_SENT = Change(sa.update(outbox).where(_IS_ROW).values(parts_sent=sa.bindparam("parts")))

_IS_WAITING = outbox.c.state == sa.literal_column("'waiting'")
_SCHEDULED_WAITING = Query(
    sa.select(sa.func.count())
    .select_from(outbox)
    .where(
        _IS_WAITING,
        outbox.c.connector == sa.bindparam("connector"),
        outbox.c.scheduled,
    ),
    _number,
)
_EARLIER = outbox.alias("earlier")
# Looked up for each row that may be one, and for no more than are asked for. That none is earlier would be the same; but
# PostgreSQL joins for it, and before it has counted the rows of a morning it compares each of them with each other.
_IS_HEAD = (
    outbox.c.id
    == sa.select(_EARLIER.c.id)
    .where(
        _EARLIER.c.state == sa.literal_column("'waiting'"),
        _EARLIER.c.connector == outbox.c.connector,
        _EARLIER.c.chat == outbox.c.chat,
    )
    .order_by(_EARLIER.c.scheduled, _EARLIER.c.id)
    .limit(sa.literal_column("1"))
    .scalar_subquery()
)
_HEADS = Query(
    _READ.where(_IS_WAITING, outbox.c.connector == sa.bindparam("connector"), _IS_HEAD)
    .order_by(outbox.c.scheduled, outbox.c.id)
    .limit(sa.bindparam("limit", type_=sa.Integer())),
    _row,
)
_WAITS_THERE = sa.and_(
    _IS_WAITING, outbox.c.connector == sa.bindparam("connector"), outbox.c.chat == sa.bindparam("chat")
)
WAITING_THERE = Query(sa.select(outbox.c.id).where(_WAITS_THERE).limit(sa.literal_column("3")), _number)
# By one statement, which sees the rows as they were before it.
_SENT_THERE = Query(
    sa.select(outbox.c.id)
    .where(_WAITS_THERE, outbox.c.id != sa.bindparam("row"))
    .limit(sa.literal_column("1"))
    .add_cte(_LEAVING.cte("sent"), _DROPPING.cte("dropped")),
    _number,
)
_DROP_WAITING = Change(sa.delete(outbox).where(_WAITS_THERE, outbox.c.lifter_id.is_(None)))
_REFUSE_WAITING = Change(sa.update(outbox).where(_WAITS_THERE).values(state=sa.literal_column("'refused'")))

_ADD_PAUSE = insert(pauses).values({column.name: sa.bindparam(column.name) for column in pauses.c})
_PAUSE = Change(
    _ADD_PAUSE.on_conflict_do_update(index_elements=["connector", "chat"], set_={"until": _ADD_PAUSE.excluded.until})
)
_PAUSES = Query(
    sa.select(pauses.c.chat, pauses.c.until).where(
        pauses.c.connector == sa.bindparam("connector"), pauses.c.until > sa.bindparam("now")
    ),
    _pause,
)
_END_PAUSES = Change(sa.delete(pauses).where(pauses.c.until < sa.bindparam("at")))
