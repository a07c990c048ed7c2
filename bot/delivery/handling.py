"""Handling: events that wait are handled, each lifter's in order and no two of one lifter at once, by any process."""

import asyncio
from collections.abc import Callable, Iterable, Sequence

from bot.dispatch import Dispatch, Step, committed
from bot.logs import logger
from bot.messages import Event
from bot.rows import Queued
from core.application.ports import StoreUnavailable
from core.domain.profile import Address

AT_ONCE = 32
"""Addresses handled together; on SQLite their works share commits. [addresses]"""

TAKEN_TOGETHER = 16
"""Events handled as they are received, at most; more are confirmed to the platform before they are handled. [events]"""

TICK_S = 1.0
"""Longest wait until the inbox is looked at again, should a hint be missed. [s]"""


class Handling:
    """Handles what waits in the inbox.

    Args:
        dispatch: The way of a message.
        tick_s: Longest wait between two looks. [s]

    """

    def __init__(self, dispatch: Dispatch, *, tick_s: float = TICK_S) -> None:
        self._dispatch = dispatch
        self._tick_s = tick_s
        self._busy: set[Address] = set()
        # The last look may have left something that nobody is handling now.
        self._look_again = False
        self._woken = asyncio.Event()
        self._stopping = False
        self._at_work: asyncio.TaskGroup | None = None

    def wake(self) -> None:
        """Look at the inbox now."""
        self._woken.set()

    def stop(self) -> None:
        """Begin with nothing more; `run` ends when what is being handled is."""
        self._stopping = True
        self._woken.set()

    def come(self, addresses: Iterable[Address]) -> None:
        """Handle what has just been received from these, without a look at the inbox first."""
        for address in addresses:
            if self._at_work is not None and not self._stopping:
                self._begin(address, self._at_work)

    async def receive(self, events: Sequence[Event], *, hand: Callable[[Queued], None] | None = None) -> None:
        """Commit events, after which they may be confirmed to the platform, and have them handled.

        A few of different addresses are handled in the transaction that receives them.

        Args:
            events: Events of one connector.
            hand: Who sends through that connector takes the first answer to each of these few.

        Raises:
            StoreUnavailable: not all are committed; what is, is known when it comes again.

        """
        addresses = list(dict.fromkeys(event.address for event in events))
        if len(addresses) < len(events) or len(addresses) > TAKEN_TOGETHER or self._at_work is None or self._stopping:
            await committed(self._dispatch.receive(events))
            self.come(addresses)
            return
        taken = [self._dispatch.take_in(event, name=event.address.chat, hand=hand) for event in events]
        steps = await asyncio.gather(*taken, return_exceptions=True)
        for fault in steps:
            if isinstance(fault, BaseException):
                raise fault
        self.come(event.address for event, step in zip(events, steps, strict=True) if step is Step.KEPT)

    async def run(self) -> None:
        """Handle until told to stop."""
        async with asyncio.TaskGroup() as at_work:
            self._at_work = at_work
            while not self._stopping:
                try:
                    await self._begin_what_waits(at_work)
                except StoreUnavailable as refusal:
                    logger.warning("the inbox cannot be read now: %s", refusal)
                await self._rest()

    async def _rest(self) -> None:
        try:
            async with asyncio.timeout(self._tick_s):
                await self._woken.wait()
        except TimeoutError:
            return
        finally:
            self._woken.clear()

    async def _begin_what_waits(self, at_work: asyncio.TaskGroup) -> None:
        if len(self._busy) >= AT_ONCE:
            self._look_again = True
            return
        limit = AT_ONCE + len(self._busy)
        rows = await committed(self._dispatch.store.submit(lambda work: work.inbox.waiting(limit=limit)))
        self._look_again = len(rows) >= limit
        for row in rows:
            self._begin(row.address, at_work)

    def _begin(self, address: Address, at_work: asyncio.TaskGroup) -> None:
        if address in self._busy or len(self._busy) >= AT_ONCE:
            # What was seen of a busy one may have come after its last event was taken.
            self._look_again = True
        else:
            self._busy.add(address)
            at_work.create_task(self._handle(address))

    async def _handle(self, address: Address) -> None:
        handled = False
        try:
            step = Step.MORE
            while step is Step.MORE and not self._stopping:
                step = await self._dispatch.handle_waiting(address, name=address.chat)
                handled = handled or step in {Step.MORE, Step.LAST}
            if step is Step.HELD:
                self._look_again = True
        except StoreUnavailable as refusal:
            # What waits goes on waiting, and is tried again at the next tick.
            logger.warning("an event is not handled yet: %s", refusal)
        finally:
            self._busy.discard(address)
            if handled and self._look_again:
                self._woken.set()
