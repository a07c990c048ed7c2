"""The chats that lifters write from, as rows."""

from collections.abc import Sequence
from datetime import datetime

import sqlalchemy as sa

from core.domain.profile import Address
from core.storage.statements import Change, Link, Query
from core.storage.tables import addresses, lifters, messages, outbox
from core.storage.traces import Traces


class StoredAddresses:
    """The chats of lifters over an open connection.

    Args:
        link: The connection.
        traces: Told what was erased.

    """

    def __init__(self, link: Link, *, traces: Traces) -> None:
        self._link = link
        self._traces = traces

    def of(self, lifter_id: int) -> Sequence[Address]:
        """The chats of a lifter: first the one that the log began in, then those that joined it, in their order."""
        return self._link.rows(_OF, lifter_id=lifter_id)

    def join(self, guest_id: int, keeper_id: int, *, at: datetime) -> None:
        """Make the chats of one lifter another's, with what was received there and waits to be sent, and drop the one."""
        self._traces.erased = True
        self._link.change(_JOIN, guest_id=guest_id, keeper_id=keeper_id, at=at)
        self._link.change(_JOIN_MESSAGES, guest_id=guest_id, keeper_id=keeper_id)
        self._link.change(_JOIN_OUTBOX, guest_id=guest_id, keeper_id=keeper_id)
        self._link.change(_DROP, lifter_id=guest_id)

    def part(self, address: Address) -> None:
        """Make a chat nobody's; where it was the one that the log began in, the next one is."""
        for lifter_id in self._link.rows(_WHOSE, connector=address.connector, chat=address.chat):
            self._link.change(_PART, connector=address.connector, chat=address.chat)
            for first in self.of(lifter_id)[:1]:
                self._link.change(_IS_FIRST, connector=first.connector, chat=first.chat)


def _number(number: int) -> int:
    return number


_IS_ADDRESS = sa.and_(addresses.c.connector == sa.bindparam("connector"), addresses.c.chat == sa.bindparam("chat"))
_OF = Query(
    sa.select(addresses.c.connector, addresses.c.chat)
    .where(addresses.c.lifter_id == sa.bindparam("lifter_id"))
    .order_by(sa.func.coalesce(addresses.c.linked_at, 0), addresses.c.connector, addresses.c.chat),
    Address,
)
_WHOSE = Query(sa.select(addresses.c.lifter_id).where(_IS_ADDRESS), _number)
_JOIN = Change(
    sa.update(addresses)
    .where(addresses.c.lifter_id == sa.bindparam("guest_id"))
    .values(lifter_id=sa.bindparam("keeper_id"), linked_at=sa.bindparam("at"))
)
_JOIN_MESSAGES = Change(
    sa.update(messages)
    .where(messages.c.lifter_id == sa.bindparam("guest_id"))
    .values(lifter_id=sa.bindparam("keeper_id"))
)
_JOIN_OUTBOX = Change(
    sa.update(outbox).where(outbox.c.lifter_id == sa.bindparam("guest_id")).values(lifter_id=sa.bindparam("keeper_id"))
)
_DROP = Change(sa.delete(lifters).where(lifters.c.id == sa.bindparam("lifter_id")))
_PART = Change(sa.delete(addresses).where(_IS_ADDRESS))
_IS_FIRST = Change(sa.update(addresses).where(_IS_ADDRESS).values(linked_at=sa.null()))
