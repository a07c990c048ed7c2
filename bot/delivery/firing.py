"""Firing: what is due becomes messages that wait to be sent, in the words of this house."""

import traceback
from collections.abc import Collection, Sequence
from concurrent.futures import Future
from dataclasses import dataclass
from datetime import datetime

from bot.dispatch import Dispatch, committed
from bot.logs import logger
from bot.rendering.json_data import as_json
from bot.rendering.replies import outgoing
from bot.rows import Answer
from core.application.callings import CALLINGS
from core.application.due import Callings, Fired, put_off, run_until
from core.application.ports import StoreUnavailable, UnitOfWork
from core.application.rows import OutboxRow
from core.domain.profile import Address
from core.domain.reminders import URGENT, Due, Kind

TOGETHER = 10
"""Rows fired in one transaction: some ten milliseconds, for which a live answer waits at most. [rows]"""

LIFTERS_OWN = tuple([kind for kind in Kind if kind is not Kind.HOUSEKEEPING])
"""Kinds that belong to a lifter."""


@dataclass(frozen=True, slots=True)
class DueAnswer:
    """A message that came by the clock, and where it goes."""

    address: Address
    answer: Answer


@dataclass(frozen=True, slots=True)
class Burst:
    """What one transaction fired.

    Args:
        taken: Rows that were looked at; none when nothing more is due.
        house: Kinds of the house's own that were due.
        answers: Messages queued.

    """

    taken: int
    house: tuple[Kind, ...]
    answers: tuple[DueAnswer, ...]


class Firing:
    """Fires what is due and queues what it says.

    Args:
        dispatch: The store and the words.
        callings: What each kind says.

    """

    def __init__(self, dispatch: Dispatch, *, callings: Callings = CALLINGS) -> None:
        self._dispatch = dispatch
        self._callings = callings

    def fire(self, at: datetime, *, kinds: Collection[Kind], limit: int) -> Future[Burst]:
        """Fire some of what is due by an instant; its messages wait to be sent once that is committed."""
        # What is urgent is as good as live: its lifter stands at the bar.
        return self._dispatch.store.submit(
            lambda work: self._burst(work, at, kinds=kinds, limit=limit), live=set(kinds) <= URGENT
        )

    async def fire_what_is_due(self, at: datetime, *, kinds: Collection[Kind], limit: int) -> Burst:
        """As `fire`, without holding up anybody; a row that cannot be said through a fault of ours is put off."""
        try:
            return await committed(self.fire(at, kinds=kinds, limit=limit))
        except StoreUnavailable:
            raise
        except Exception as fault:
            if limit == 1:
                self._log(fault)
                put = await committed(self._dispatch.store.submit(lambda work: put_off(work, at, kinds=kinds)))
                return Burst(int(put), (), ())
        return await self.fire_what_is_due(at, kinds=kinds, limit=1)

    def fire_for(self, address: Address, at: datetime) -> Sequence[Answer]:
        """Fire all that is due by an instant to the lifter at an address; what goes to that address.

        Of nobody else: a chat with a clock of its own must not make others' mornings come.
        """

        def work(unit: UnitOfWork) -> tuple[DueAnswer, ...]:
            lifter = unit.lifters.at_address(address)
            if lifter is None or (coming := unit.due.next_at(lifter.id)) is None or coming > at:
                return ()
            return self._burst(unit, at, kinds=LIFTERS_OWN, limit=TOGETHER, lifter_id=lifter.id).answers

        try:
            answers = self._dispatch.store.submit(work).result()
        except StoreUnavailable:
            raise
        except Exception as fault:
            self._log(fault)
            self._dispatch.store.submit(lambda unit: put_off(unit, at, kinds=LIFTERS_OWN)).result()
            return ()
        return [each.answer for each in answers if each.address == address]

    def next_for(self, address: Address) -> datetime | None:
        """When something is next due to the lifter at an address."""

        def work(unit: UnitOfWork) -> datetime | None:
            lifter = unit.lifters.at_address(address)
            return None if lifter is None else unit.due.next_at(lifter.id)

        return self._dispatch.store.submit(work).result()

    def _burst(
        self, unit: UnitOfWork, at: datetime, *, kinds: Collection[Kind], limit: int, lifter_id: int | None = None
    ) -> Burst:
        rows, fired = run_until(
            unit,
            at,
            callings=self._callings,
            kinds=kinds,
            limit=limit,
            token=self._dispatch.token,
            lifter_id=lifter_id,
        )
        answers = [answer for each in fired for answer in self._queued(unit, each, at)]
        return Burst(len(rows), _house(rows), tuple(answers))

    def _queued(self, work: UnitOfWork, fired: Fired, at: datetime) -> list[DueAnswer]:
        with_data = self._dispatch.with_data
        messages = [
            outgoing(reply, house=self._dispatch.house, data=as_json(reply) if with_data else "{}")
            for reply in fired.replies
        ]
        rows = [
            OutboxRow(
                address=fired.address,
                message_id=None,
                text=message.text,
                choices=tuple([(each.label, each.send) for each in message.choices]),
                question=message.question,
                data=message.data,
                scheduled=fired.due.kind not in URGENT,
                created_at=at,
                expires_at=fired.until,
            )
            for message in messages
        ]
        queued = work.outbox.add(rows, lifter_id=fired.lifter_id)
        return [
            DueAnswer(fired.address, Answer(row.id, message, at)) for row, message in zip(queued, messages, strict=True)
        ]

    def _log(self, fault: Exception) -> None:
        # Our own lines and the fault's kind; its text could hold what a lifter wrote.
        trace = "".join(traceback.format_tb(fault.__traceback__))
        logger.error("something due is put off: %s\n%s", type(fault).__name__, trace)


def _house(rows: Sequence[Due]) -> tuple[Kind, ...]:
    return tuple([row.kind for row in rows if row.lifter_id is None])
