"""The inbox: events as they were received, as rows."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from hashlib import blake2b

import sqlalchemy as sa
from sqlalchemy.dialects.postgresql import insert

from core.application.rows import (
    InboxRow,
    MessageKind,
    MessageState,
)
from core.domain.profile import Address
from core.storage.columns import storable
from core.storage.foresight import Foresight, Taken
from core.storage.statements import Change, Engine, Link, Query, Value
from core.storage.tables import addresses, messages, outbox, questions
from core.storage.traces import Traces


class StoredInbox:
    """Received events over an open connection.

    Args:
        link: The connection.
        locks: Lock the rows that wait when they are read, where the engine locks rows.
        traces: Told what was received and erased.
        foresight: Takes events once their lifter is locked, without waiting for that.

    """

    def __init__(self, link: Link, *, locks: bool, traces: Traces, foresight: Foresight | None = None) -> None:
        self._link = link
        self._locks = locks and link.engine is Engine.POSTGRESQL
        self._traces = traces
        self._foresight = foresight

    def receive(self, rows: Sequence[InboxRow]) -> Sequence[InboxRow]:
        """Store events; those whose key is there already are passed over. Returned: the new ones, numbered."""
        rows = [_storable(row) for row in rows]
        numbers = self._link.each(_RECEIVE, [_values(row) for row in rows])
        new = [replace(row, id=number[0]) for row, number in zip(rows, numbers, strict=True) if number]
        self._traces.received = self._traces.received or bool(new)
        self._traces.waiting = self._traces.waiting or bool(new)
        return new

    def coming(self, row: InboxRow, *, at: datetime) -> None:
        """Say which event is taken next, before its lifter is asked for; it changes nothing of what that does."""
        if self._foresight is not None:
            values = {"handled_at": at, **_values(_storable(row))}
            self._foresight.coming(row.address, _TAKE_SOONER, _TAKE_NEXT_SOONER, values)

    def take(self, row: InboxRow, *, at: datetime, lifter_id: int | None) -> InboxRow | None:
        """Store an event as handled, for it is in the same transaction; numbered, or None if its key is there."""
        return self._taken(_TAKE, row, at=at, lifter_id=lifter_id)

    def take_next(self, row: InboxRow, *, at: datetime, lifter_id: int | None) -> InboxRow | None:
        """The same, and None, too, if an event of the same address waits, which has to be handled first."""
        return self._taken(_TAKE_NEXT, row, at=at, lifter_id=lifter_id)

    def _taken(self, query: Query[int], row: InboxRow, *, at: datetime, lifter_id: int | None) -> InboxRow | None:
        row = _storable(row)
        taken = None if self._foresight is None else self._foresight.taken(row.address, row.event_key)
        if taken is None:
            number = self._link.first(query, handled_at=at, lifter_id=lifter_id, **_values(row))
        else:
            number, of_answer, of_set = taken
            self._link.reserved("outbox", of_answer)
            self._link.reserved("sets", of_set)
        if number is None:
            return None
        self._traces.received = True
        return replace(row, id=number, state=MessageState.HANDLED)

    def by_key(self, connector: str, event_key: str) -> InboxRow | None:
        """The event of a key."""
        return self._link.first(_BY_KEY, connector=connector, event_key=event_key, scrambled=scrambled(event_key))

    def waiting(self, *, limit: int) -> Sequence[InboxRow]:
        """Events that wait: the oldest of each address, oldest first; locked, where the engine locks rows."""
        return self._link.rows(_WAITING_LOCKED if self._locks else _WAITING, limit=limit)

    def next_for(self, address: Address) -> InboxRow | None:
        """The oldest event that waits from one address; locked, where the engine locks rows."""
        connector, chat = address.connector, address.chat
        if not self._locks:
            return self._link.first(_NEXT, connector=connector, chat=chat)
        found = self._link.first(_NEXT_LOCKED, connector=connector, chat=chat)
        while found is None and self._link.first(_NEXT, connector=connector, chat=chat) is not None:
            # The oldest one was handled elsewhere while its lock was waited for; the one after it waits still.
            found = self._link.first(_NEXT_LOCKED, connector=connector, chat=chat)
        return found

    def handled(self, row_id: int, *, at: datetime, lifter_id: int | None = None) -> None:
        """Mark an event as handled, and note whose it is."""
        self._link.change(_HANDLED, row=row_id, at=at, lifter_id=lifter_id)

    def set_aside(self, row_id: int, *, at: datetime, reference: str) -> None:
        """Mark an event as one that could not be handled through a fault of ours."""
        self._link.change(_SET_ASIDE, row=row_id, at=at, reference=reference)

    def erase_text(self, connector: str, message_key: str, *, chat: str | None = None) -> None:
        """Erase the raw text of a chat message at once, and answers to it that were sent, which quote it.

        Without a chat, in every chat of the connector: for connectors whose message keys are unique among all chats.
        """
        self._traces.erased = True
        if chat is None:
            self._link.change(_DROP_ANSWERS, connector=connector, message_key=message_key)
            self._link.change(_ERASE_TEXT, connector=connector, message_key=message_key)
        else:
            self._link.change(_DROP_ANSWERS_IN_CHAT, connector=connector, message_key=message_key, chat=chat)
            self._link.change(_ERASE_TEXT_IN_CHAT, connector=connector, message_key=message_key, chat=chat)

    def erase_texts_of(self, lifter_id: int) -> None:
        """Erase the raw texts of a lifter's events that were handled, and what was sent or asked and answered on them."""
        self._traces.erased = True
        for change in (_ERASE_TEXTS_OF, _DROP_ANSWERS_OF, _DROP_QUESTIONS_OF):
            self._link.change(change, lifter_id=lifter_id)

    def erase_texts_before(self, at: datetime) -> int:
        """Erase the raw texts of events handled before an instant; how many.

        With them go the answers sent and the questions asked before it, which quote them.
        """
        self._traces.erased = True
        self._link.change(_DROP_OLD_ANSWERS, at=at)
        self._link.change(_DROP_OLD_QUESTIONS, at=at)
        [number] = self._link.rows(_OLD_TEXTS, at=at)
        self._link.change(_ERASE_OLD_TEXTS, at=at)
        return number

    def forget_keys_before(self, at: datetime) -> int:
        """Drop events that were handled before an instant and have no text any more; how many."""
        [number] = self._link.rows(_OLD_KEYS, at=at)
        self._link.change(_FORGET_OLD_KEYS, at=at)
        return number


def scrambled(event_key: str) -> str:
    """What is kept of an event's key when its lifter is forgotten: enough to know the key again, not to read it."""
    return "~" + blake2b(storable(event_key).encode(), digest_size=16).hexdigest()


def _storable(row: InboxRow) -> InboxRow:
    if row.message_key.isascii() and (row.text is None or (row.text.isascii() and "\0" not in row.text)):
        return row
    return replace(row, message_key=storable(row.message_key), text=None if row.text is None else storable(row.text))


def _values(row: InboxRow) -> dict[str, Value]:
    return {
        "connector": row.address.connector,
        "chat": row.address.chat,
        "event_key": row.event_key,
        "scrambled": scrambled(row.event_key),
        "kind": row.kind,
        "message_key": row.message_key,
        "text": row.text,
        "question": row.question,
        "sent_at": row.sent_at,
        "received_at": row.received_at,
    }


def _row(
    id_: int,
    connector: str,
    chat: str,
    event_key: str,
    kind: MessageKind,
    message_key: str,
    text: str | None,
    question: str | None,
    sent_at: datetime,
    received_at: datetime,
    state: MessageState,
    reference: str | None,
) -> InboxRow:
    return InboxRow(
        id=id_,
        address=Address(connector, chat),
        event_key=event_key,
        kind=kind,
        message_key=message_key,
        text=text,
        question=question,
        sent_at=sent_at,
        received_at=received_at,
        state=state,
        reference=reference,
    )


def _number(number: int) -> int:
    return number


def _numbers(row_id: int, of_answer: int, of_set: int) -> Taken:
    return row_id, of_answer, of_set


_READ = sa.select(*[column for column in messages.c if column.name not in {"handled_at", "lifter_id"}])
_GIVEN = [column for column in messages.c if column.name not in {"id", "state", "reference", "handled_at", "lifter_id"}]
_KNOWN = messages.alias("known")
_CONNECTOR = sa.bindparam("connector", type_=messages.c.connector.type)
_SCRAMBLED = sa.bindparam("scrambled", type_=messages.c.event_key.type)
_IS_KNOWN = sa.exists().where(_KNOWN.c.connector == _CONNECTOR, _KNOWN.c.event_key == _SCRAMBLED)


def _unless_known(
    state: MessageState, columns: Sequence[sa.ColumnClause[object]], *unless: sa.ColumnElement[bool]
) -> Query[int]:
    # A scrambled key is looked for by the same statement, so that a batch is one round trip to PostgreSQL.
    given = [sa.bindparam(column.name, type_=column.type) for column in columns]
    kept: sa.ColumnElement[str] = sa.literal_column(f"'{state.name.lower()}'")
    return Query(
        insert(messages)
        .from_select(
            [*columns, messages.c.state], sa.select(*given, kept).where(~_IS_KNOWN, *unless), include_defaults=False
        )
        .on_conflict_do_nothing(index_elements=["connector", "event_key"])
        .returning(messages.c.id),
        _number,
    )


_RECEIVE = _unless_known(MessageState.WAITING, _GIVEN)
_TAKE = _unless_known(MessageState.HANDLED, [*_GIVEN, messages.c.handled_at, messages.c.lifter_id])
_WAITS = sa.exists().where(
    _KNOWN.c.connector == _CONNECTOR,
    _KNOWN.c.chat == sa.bindparam("chat", type_=messages.c.chat.type),
    _KNOWN.c.state == sa.literal_column("'waiting'"),
)
_TAKE_NEXT = _unless_known(MessageState.HANDLED, [*_GIVEN, messages.c.handled_at, messages.c.lifter_id], ~_WAITS)

# Behind the statement that locks the lifter of an address, for whoever that is: what comes of it is not known yet. Where
# nobody was locked nothing is taken. Numbers for what mostly follows are told with it, so that nobody waits for them.
_HELD_THERE = sa.select(addresses.c.lifter_id).where(
    addresses.c.connector == _CONNECTOR,
    addresses.c.chat == sa.bindparam("chat", type_=addresses.c.chat.type),
    sa.literal_column("position(concat(',', addresses.lifter_id, ',') in current_setting('rackside.held', true)) > 0"),
)


def _sooner(*unless: sa.ColumnElement[bool]) -> Query[Taken]:
    columns = [*_GIVEN, messages.c.handled_at]
    given = [sa.bindparam(column.name, type_=column.type) for column in columns]
    numbers = [sa.literal_column(f"nextval('{table}_id_seq')", sa.BigInteger()) for table in ("outbox", "sets")]
    state: sa.ColumnElement[str] = sa.literal_column("'handled'")
    return Query(
        insert(messages)
        .from_select(
            [*columns, messages.c.state, messages.c.lifter_id],
            _HELD_THERE.with_only_columns(*given, state, addresses.c.lifter_id).where(~_IS_KNOWN, *unless),
            include_defaults=False,
        )
        .on_conflict_do_nothing(index_elements=["connector", "event_key"])
        .returning(messages.c.id, *numbers),
        _numbers,
    )


_TAKE_SOONER = _sooner()
_TAKE_NEXT_SOONER = _sooner(~_WAITS)
_BY_KEY = Query(
    _READ.where(
        messages.c.connector == _CONNECTOR,
        sa.or_(messages.c.event_key == sa.bindparam("event_key"), messages.c.event_key == _SCRAMBLED),
    ),
    _row,
)

_IS_WAITING = messages.c.state == sa.literal_column("'waiting'")
_OLDER = messages.alias("older")
_IS_OLDEST = ~sa.exists().where(
    _OLDER.c.connector == messages.c.connector,
    _OLDER.c.chat == messages.c.chat,
    _OLDER.c.id < messages.c.id,
    _OLDER.c.state == sa.literal_column("'waiting'"),
)
_ALL_WAITING = (
    _READ.where(_IS_WAITING, _IS_OLDEST).order_by(messages.c.id).limit(sa.bindparam("limit", type_=sa.Integer()))
)
_WAITING = Query(_ALL_WAITING, _row)
_WAITING_LOCKED = Query(_ALL_WAITING.with_for_update(of=messages, skip_locked=True), _row)
_OLDEST = (
    _READ.where(_IS_WAITING, messages.c.connector == _CONNECTOR, messages.c.chat == sa.bindparam("chat"))
    .order_by(messages.c.id)
    .limit(sa.literal_column("1"))
)
_NEXT = Query(_OLDEST, _row)
_NEXT_LOCKED = Query(_OLDEST.with_for_update(of=messages), _row)

_IS_ROW = messages.c.id == sa.bindparam("row")
_HANDLED = Change(
    sa.update(messages)
    .where(_IS_ROW)
    .values(state=sa.literal_column("'handled'"), handled_at=sa.bindparam("at"), lifter_id=sa.bindparam("lifter_id"))
)
_SET_ASIDE = Change(
    sa.update(messages)
    .where(_IS_ROW)
    .values(state=sa.literal_column("'set_aside'"), handled_at=sa.bindparam("at"), reference=sa.bindparam("reference"))
)

_IS_MESSAGE = sa.and_(messages.c.connector == _CONNECTOR, messages.c.message_key == sa.bindparam("message_key"))
_IS_IN_CHAT = sa.and_(_IS_MESSAGE, messages.c.chat == sa.bindparam("chat"))
_IS_DONE = outbox.c.state != sa.literal_column("'waiting'")
_ERASE_TEXT = Change(sa.update(messages).where(_IS_MESSAGE).values(text=sa.null()))
_ERASE_TEXT_IN_CHAT = Change(sa.update(messages).where(_IS_IN_CHAT).values(text=sa.null()))
_DROP_ANSWERS = Change(
    sa.delete(outbox).where(_IS_DONE, outbox.c.message_id.in_(sa.select(messages.c.id).where(_IS_MESSAGE)))
)
_DROP_ANSWERS_IN_CHAT = Change(
    sa.delete(outbox).where(_IS_DONE, outbox.c.message_id.in_(sa.select(messages.c.id).where(_IS_IN_CHAT)))
)

_ERASE_TEXTS_OF = Change(
    sa.update(messages)
    .where(messages.c.lifter_id == sa.bindparam("lifter_id"), messages.c.handled_at.is_not(None))
    .values(text=sa.null())
)
_DROP_ANSWERS_OF = Change(sa.delete(outbox).where(outbox.c.lifter_id == sa.bindparam("lifter_id"), _IS_DONE))
_DROP_QUESTIONS_OF = Change(
    sa.delete(questions).where(questions.c.lifter_id == sa.bindparam("lifter_id"), questions.c.chosen.is_not(None))
)

_HANDLED_BEFORE = messages.c.handled_at < sa.bindparam("at", type_=messages.c.handled_at.type)
_HAS_OLD_TEXT = sa.and_(_HANDLED_BEFORE, messages.c.text.is_not(None))
_OLD_TEXTS = Query(sa.select(sa.func.count()).select_from(messages).where(_HAS_OLD_TEXT), _number)
_ERASE_OLD_TEXTS = Change(sa.update(messages).where(_HAS_OLD_TEXT).values(text=sa.null()))
_DROP_OLD_ANSWERS = Change(sa.delete(outbox).where(_IS_DONE, outbox.c.created_at < sa.bindparam("at")))
_DROP_OLD_QUESTIONS = Change(sa.delete(questions).where(questions.c.asked_at < sa.bindparam("at")))
_IS_OLD_KEY = sa.and_(_HANDLED_BEFORE, messages.c.text.is_(None))
_OLD_KEYS = Query(sa.select(sa.func.count()).select_from(messages).where(_IS_OLD_KEY), _number)
_FORGET_OLD_KEYS = Change(sa.delete(messages).where(_IS_OLD_KEY))
