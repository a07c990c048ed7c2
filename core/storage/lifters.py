"""Lifters and their addresses, as rows."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from hashlib import blake2b

import sqlalchemy as sa

from core.domain.profile import Address, Lifter
from core.storage.foresight import Foresight
from core.storage.inbox import scrambled
from core.storage.lifter_rows import COLUMNS, held_from, lifter_from, row_of
from core.storage.statements import Change, Engine, Link, Query, Value
from core.storage.tables import addresses, lifters, messages, outbox, pauses
from core.storage.traces import Traces


class StoredLifters:
    """Lifters over an open connection.

    Args:
        link: The connection.
        locks: Lock the row of the lifter who is read, where the engine locks rows.
        traces: Told what was erased.
        foresight: Told who writes once they are locked: a message of theirs is about to be handled.

    """

    def __init__(self, link: Link, *, locks: bool, traces: Traces, foresight: Foresight | None = None) -> None:
        self._link = link
        self._locks = locks and link.engine is Engine.POSTGRESQL
        self._traces = traces
        self._foresight = foresight

    def at_address(self, address: Address) -> Lifter | None:
        """The lifter who writes from an address; in a work that may write, nobody else works on them until it ends."""
        connector, chat = address.connector, address.chat
        if not self._locks:
            return self._link.first(_AT_ADDRESS, connector=connector, chat=chat)
        if self._foresight is not None and (locked := self._foresight.locked_at(address)) is not None:
            return locked
        found = self._locked(_AT_ADDRESS_LOCKED, address, connector=connector, chat=chat)
        if found is None:
            # There is no row to lock yet. Whoever else is about to make one holds this lock and is waited for.
            self._link.rows(_LOCK_ADDRESS, key=_lock_of(address))
            found = self._locked(_AT_ADDRESS_LOCKED, address, connector=connector, chat=chat)
        return found

    def _locked(
        self, query: "Query[tuple[Lifter, int | None]]", address: Address, *, alone: bool = False, **values: Value
    ) -> Lifter | None:
        """Lock the lifter of an address, and take the event of theirs that is about to be taken."""
        foresight = self._foresight
        if foresight is not None and foresight.comes_from(address):
            self._link.sooner(query, **values)
            foresight.take(next_only=alone)
        found = self._link.first(query, **values)
        if found is None:
            return None
        lifter, recalled_by = found
        self._link.held(lifter.id, recalled_by)
        if foresight is not None:
            foresight.of_lifter(lifter.id)
        return lifter

    def by_id(self, lifter_id: int) -> Lifter | None:
        """A lifter by their number; in a work that may write, nobody else works on them until it ends."""
        if not self._locks:
            return self._link.first(_BY_ID, lifter_id=lifter_id)
        found = self._link.first(_BY_ID_LOCKED, lifter_id=lifter_id)
        if found is None:
            return None
        lifter, recalled_by = found
        self._link.held(lifter.id, recalled_by)
        return lifter

    def wrote_at(self, lifter_id: int) -> datetime | None:
        """When something was last written from any address of a lifter."""
        [at] = self._link.rows(_WROTE_AT, lifter_id=lifter_id)
        return at

    def written_after(self, lifter_id: int, *, limit: int) -> Sequence[tuple[int, datetime]]:
        """Lifters by number from behind one on, and when each last wrote."""
        return self._link.rows(_WRITTEN, lifter_id=lifter_id, limit=limit)

    def alone_with(self, address: Address) -> bool:
        """Whether no other process works on an address now; if so, none does until this work ends."""
        if not self._locks:
            return True
        key = _lock_of(address)
        if self._foresight is not None and self._foresight.comes_from(address):
            connector, chat = address.connector, address.chat
            lifter = self._locked(_IF_ALONE_LOCKED, address, alone=True, key=key, connector=connector, chat=chat)
            if lifter is not None:
                self._foresight.locked(address, lifter)
                return True
        [granted] = self._link.rows(_TRY_ADDRESS, key=key)
        return granted

    def create(self, address: Address, *, name: str, now: datetime, zone: str) -> Lifter:
        """A new lifter with this address."""
        lifter = Lifter(id=0, name=name, created_at=now, zone=zone)
        [lifter_id] = self._link.rows(_CREATE, version=lifter.version, **row_of(lifter))
        self._link.change(_SETTLE, connector=address.connector, chat=address.chat, lifter_id=lifter_id, written_at=now)
        # Nobody else sees them yet, but what is recalled of them is only of somebody who is held.
        self.by_id(lifter_id)
        return replace(lifter, id=lifter_id)

    def save(self, lifter: Lifter) -> None:
        """Write the lifter's row, with its version raised by one."""
        self._link.change(_SAVE, lifter=lifter.id, **row_of(lifter))

    def erase(self, lifter_id: int) -> None:
        """Delete the lifter and all that hangs on them, inbox and outbox included.

        Of their events the keys stay, scrambled, so that an event delivered once more is still known, until
        `forget_keys_before` drops them.
        """
        self._traces.erased = True
        keys = self._link.rows(_KEYS, lifter_id=lifter_id)
        self._link.changes(_STRIP, [{"row": row_id, "scrambled": scrambled(key)} for row_id, key in keys])
        self._link.change(_DROP_OUTBOX, lifter_id=lifter_id)
        for connector, chat in self._link.rows(_ADDRESSES, lifter_id=lifter_id):
            # What is nobody's is deleted as soon as it is sent, so it can only be waiting.
            self._link.change(_DROP_WAITING, connector=connector, chat=chat)
            self._link.change(_DROP_PAUSE, connector=connector, chat=chat)
        self._link.change(_DROP, lifter_id=lifter_id)

    def find(self, name: str) -> Sequence[Lifter]:
        """Lifters of a name, oldest first."""
        return self._link.rows(_FIND, name=name)

    def wrote(self, address: Address, *, at: datetime) -> None:
        """Note that something was written from an address: it can be reached, and is where to answer."""
        self._link.change(_WROTE, connector=address.connector, chat=address.chat, at=at)

    def unreachable(self, address: Address, *, at: datetime) -> None:
        """Note that an address takes no messages, until something is written from it."""
        self._link.change(_UNREACHABLE, connector=address.connector, chat=address.chat, at=at)

    def reach(self, lifter_id: int) -> Address | None:
        """The address last written from of those that take messages."""
        return self._link.first(_REACH, lifter_id=lifter_id)


def _number(number: int) -> int:
    return number


def _instant(at: datetime | None) -> datetime | None:
    return at


def _written(lifter_id: int, at: datetime) -> tuple[int, datetime]:
    return lifter_id, at


def _key(row_id: int, event_key: str) -> tuple[int, str]:
    return row_id, event_key


def _address(connector: str, chat: str) -> tuple[str, str]:
    return connector, chat


def _lock_of(address: Address) -> int:
    # Two addresses with one lock wait for each other without need, and nothing worse.
    digest = blake2b(f"{address.connector}\0{address.chat}".encode(errors="replace"), digest_size=8).digest()
    return int.from_bytes(digest, signed=True)


_READ = sa.select(*COLUMNS)
# Tells the triggers of the tables that are recalled whom this transaction has locked, beside whom it had already.
_NOW_HELD = sa.literal_column(
    "set_config('rackside.held', concat(current_setting('rackside.held', true), ',', lifters.id, ','), true)",
    sa.String(),
)
_HELD = sa.select(_NOW_HELD, lifters.c.recalled_by, *COLUMNS).with_for_update(of=lifters)
_LIVES_THERE = addresses.c.lifter_id == lifters.c.id
_IS_ADDRESS = sa.and_(addresses.c.connector == sa.bindparam("connector"), addresses.c.chat == sa.bindparam("chat"))
_AT_ADDRESS = Query(_READ.join(addresses, _LIVES_THERE).where(_IS_ADDRESS), lifter_from, scope="chat")
_AT_ADDRESS_LOCKED = Query(_HELD.join(addresses, _LIVES_THERE).where(_IS_ADDRESS), held_from)
_KEY = sa.bindparam("key", type_=sa.BigInteger())
_IS_ALONE = sa.select(sa.func.pg_try_advisory_xact_lock(_KEY, type_=sa.Boolean())).scalar_subquery()
_IF_ALONE_LOCKED = Query(_HELD.join(addresses, _LIVES_THERE).where(_IS_ADDRESS, _IS_ALONE), held_from)
_HAS_NUMBER = lifters.c.id == sa.bindparam("lifter_id")
_BY_ID = Query(_READ.where(_HAS_NUMBER), lifter_from)
_BY_ID_LOCKED = Query(_HELD.where(_HAS_NUMBER), held_from)
_LOCK_ADDRESS = Query(sa.select(sa.func.pg_advisory_xact_lock(_KEY).is_(None)), bool)
_TRY_ADDRESS = Query(sa.select(sa.func.pg_try_advisory_xact_lock(_KEY)), bool)
_CREATE = Query(
    sa.insert(lifters)
    .values({column.name: sa.bindparam(column.name) for column in COLUMNS if column.name != "id"})
    .returning(lifters.c.id),
    _number,
)
_SETTLE = Change(
    sa.insert(addresses).values(
        {
            column.name: sa.bindparam(column.name)
            for column in addresses.c
            if column.name not in {"unreachable_at", "linked_at"}
        }
    )
)
_SAVE = Change(
    sa.update(lifters)
    .where(lifters.c.id == sa.bindparam("lifter"))
    .values({column.name: sa.bindparam(column.name) for column in COLUMNS if column.name not in {"id", "version"}})
    .values(version=lifters.c.version + sa.literal_column("1"))
)
_FIND = Query(_READ.where(lifters.c.name == sa.bindparam("name")).order_by(lifters.c.id), lifter_from)

_KEYS = Query(
    sa.union(
        sa.select(messages.c.id, messages.c.event_key).where(messages.c.lifter_id == sa.bindparam("lifter_id")),
        sa.select(messages.c.id, messages.c.event_key)
        .join(addresses, sa.and_(addresses.c.connector == messages.c.connector, addresses.c.chat == messages.c.chat))
        .where(addresses.c.lifter_id == sa.bindparam("lifter_id")),
    ),
    _key,
)
_STRIP = Change(
    sa.update(messages)
    .where(messages.c.id == sa.bindparam("row"))
    .values(
        event_key=sa.bindparam("scrambled"),
        chat=sa.literal_column("''"),
        message_key=sa.literal_column("''"),
        text=sa.null(),
        question=sa.null(),
        reference=sa.null(),
        lifter_id=sa.null(),
        # Told together, the times of somebody's messages can tell who they are.
        sent_at=messages.c.received_at,
        state=sa.literal_column("'handled'"),
        handled_at=sa.func.coalesce(messages.c.handled_at, messages.c.received_at),
    )
)
_DROP_OUTBOX = Change(sa.delete(outbox).where(outbox.c.lifter_id == sa.bindparam("lifter_id")))
_ADDRESSES = Query(
    sa.select(addresses.c.connector, addresses.c.chat).where(addresses.c.lifter_id == sa.bindparam("lifter_id")),
    _address,
)
_DROP_WAITING = Change(
    sa.delete(outbox).where(
        outbox.c.state == sa.literal_column("'waiting'"),
        outbox.c.connector == sa.bindparam("connector"),
        outbox.c.chat == sa.bindparam("chat"),
    )
)
_DROP = Change(sa.delete(lifters).where(lifters.c.id == sa.bindparam("lifter_id")))
_DROP_PAUSE = Change(
    sa.delete(pauses).where(pauses.c.connector == sa.bindparam("connector"), pauses.c.chat == sa.bindparam("chat"))
)

# Each message runs the first, and who writes from an address is known after it as before.
_WROTE = Change(
    sa.update(addresses).where(_IS_ADDRESS).values(written_at=sa.bindparam("at"), unreachable_at=sa.null()),
    columns=frozenset({"written_at", "unreachable_at"}),
)
_UNREACHABLE = Change(sa.update(addresses).where(_IS_ADDRESS).values(unreachable_at=sa.bindparam("at")))
_REACH = Query(
    sa.select(addresses.c.connector, addresses.c.chat)
    .where(addresses.c.lifter_id == sa.bindparam("lifter_id"), addresses.c.unreachable_at.is_(None))
    # An address from before this was noted counts as the oldest.
    .order_by(sa.func.coalesce(addresses.c.written_at, 0).desc(), addresses.c.connector, addresses.c.chat)
    .limit(sa.literal_column("1")),
    Address,
)
_WRITTEN = Query(
    sa.select(
        lifters.c.id,
        # An address from before this was noted counts from when its lifter first wrote.
        sa.func.coalesce(
            sa.select(sa.func.max(addresses.c.written_at))
            .where(addresses.c.lifter_id == lifters.c.id)
            .scalar_subquery(),
            lifters.c.created_at,
            type_=lifters.c.created_at.type,
        ),
    )
    .where(lifters.c.id > sa.bindparam("lifter_id"))
    .order_by(lifters.c.id)
    .limit(sa.bindparam("limit", type_=sa.Integer())),
    _written,
)
_WROTE_AT = Query(
    sa.select(sa.func.max(addresses.c.written_at, type_=addresses.c.written_at.type)).where(
        addresses.c.lifter_id == sa.bindparam("lifter_id")
    ),
    _instant,
)
