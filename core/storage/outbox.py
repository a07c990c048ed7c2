# ruff: noqa: FBT001 - a row's values are given by position
"""The outbox: messages to send, as rows."""

import json
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

import sqlalchemy as sa

from core.application.rows import (
    OutboxRow,
    OutboxState,
)
from core.domain.profile import Address
from core.storage.statements import Change, Link, Query
from core.storage.tables import outbox


class StoredOutbox:
    """Messages to send over an open connection.

    Args:
        link: The connection.

    """

    def __init__(self, link: Link) -> None:
        self._link = link

    def add(self, rows: Sequence[OutboxRow], *, lifter_id: int | None) -> Sequence[OutboxRow]:
        """Queue messages; returned with their numbers."""
        numbers = self._link.each(
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
                }
                for row in rows
            ],
        )
        return [replace(row, id=number) for row, [number] in zip(rows, numbers, strict=True)]

    def answers_to(self, message_id: int) -> Sequence[OutboxRow]:
        """The answers to an event, in order."""
        return self._link.rows(_ANSWERS, message_id=message_id)

    def waiting(self, connector: str, *, limit: int) -> Sequence[OutboxRow]:
        """Messages not sent yet: live before scheduled, each address in order."""
        return self._link.rows(_WAITING, connector=connector, limit=limit)

    def tried(self, row_id: int) -> None:
        """Count an attempt to send a message."""
        self._link.change(_TRIED, row=row_id)

    def sent(self, row_id: int, *, at: datetime) -> None:
        """Mark a message as sent; one that is nobody's, as the goodbye to a forgotten lifter, is deleted."""
        self._leave(row_id, state=OutboxState.SENT, at=at)

    def refused(self, row_id: int) -> None:
        """Mark a message as one that its address takes no more; one that is nobody's is deleted."""
        self._leave(row_id, state=OutboxState.REFUSED, at=None)

    def expired(self, row_id: int) -> None:
        """Mark a message as one that came too late to be sent; one that is nobody's is deleted."""
        self._leave(row_id, state=OutboxState.EXPIRED, at=None)

    def _leave(self, row_id: int, *, state: OutboxState, at: datetime | None) -> None:
        if not self._link.rows(_LEAVE, row=row_id, state=state, at=at):
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
    )


def _number(number: int) -> int:
    return number


_READ = sa.select(*[column for column in outbox.c if column.name != "lifter_id"])
_IS_ROW = outbox.c.id == sa.bindparam("row")
_ADD = Query(
    sa.insert(outbox)
    .values({column.name: sa.bindparam(column.name) for column in outbox.c if column.name != "id"})
    .returning(outbox.c.id),
    _number,
)
_ANSWERS = Query(_READ.where(outbox.c.message_id == sa.bindparam("message_id")).order_by(outbox.c.id), _row)
_WAITING = Query(
    _READ.where(outbox.c.state == sa.literal_column("'waiting'"), outbox.c.connector == sa.bindparam("connector"))
    .order_by(outbox.c.scheduled, outbox.c.id)
    .limit(sa.bindparam("limit", type_=sa.Integer())),
    _row,
)
_TRIED = Change(sa.update(outbox).where(_IS_ROW).values(attempts=outbox.c.attempts + sa.literal_column("1")))
_LEAVE = Query(
    sa.update(outbox)
    .where(_IS_ROW, outbox.c.lifter_id.is_not(None))
    .values(state=sa.bindparam("state"), sent_at=sa.bindparam("at"))
    .returning(outbox.c.id),
    _number,
)
_DROP = Change(sa.delete(outbox).where(_IS_ROW, outbox.c.lifter_id.is_(None)))
