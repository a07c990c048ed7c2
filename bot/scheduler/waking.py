"""Waking: one job wakes at the next instant at which something is due, and what is due is fired."""

import asyncio
from collections.abc import Awaitable, Callable, Sequence
from datetime import UTC, datetime, timedelta

from apscheduler.schedulers.asyncio import AsyncIOScheduler  # type: ignore[import-untyped]  # it ships no types

from bot.delivery.connector import Connector
from bot.delivery.firing import LIFTERS_OWN, TOGETHER, Firing
from bot.dispatch import Dispatch, committed
from bot.logs import logger
from core.application.ports import StoreUnavailable, UnitOfWork
from core.domain.reminders import URGENT, Kind

QUEUED_S = 30.0
"""Scheduled messages that wait to be sent are no more than go out in this time: those behind them stay rows of the clock,
which can still be moved, skipped and withdrawn. [s]"""

UNLIMITED_A_SECOND = 50.0
"""Messages a second taken of a platform that names no rate. [1/s]"""

FALLBACK_S = 60
"""Between two looks without a reason, should all else fail. [s]"""

GATHERED_S = 0.1
"""Changes of what is due that come within this time are looked at together. [s]"""

FULL_S = 0.1
"""Until the queue is looked at again when it had no room, and what is urgent with it. [s]"""

WAIT_AFTER_REFUSAL_S = 2.0
"""Until a store that refused is asked again. [s]"""


class Waking:
    """Fires what is due, when it is.

    Args:
        dispatch: The store and the clock.
        firing: What fires.
        connectors: The platforms that the messages leave through: how fast they go.
        housekeeping: Done once a night.

    """

    def __init__(
        self,
        dispatch: Dispatch,
        firing: Firing,
        connectors: Sequence[Connector],
        *,
        housekeeping: Callable[[], Awaitable[None]],
    ) -> None:
        self._dispatch = dispatch
        self._firing = firing
        self._connectors = connectors
        self._housekeeping = housekeeping
        self._woken = asyncio.Event()
        self._soon: asyncio.TimerHandle | None = None
        self._stopping = False

    def wake(self) -> None:
        """Look at what is due now."""
        self._woken.set()

    def wake_soon(self) -> None:
        """Look at what is due a little later: each set puts something off, and a look takes a transaction."""
        if self._soon is None:
            self._soon = asyncio.get_running_loop().call_later(GATHERED_S, self._gathered)

    def _gathered(self) -> None:
        self._soon = None
        self._woken.set()

    def stop(self) -> None:
        """Fire nothing more; `run` ends when what is being fired is committed."""
        self._stopping = True
        self._woken.set()

    async def run(self) -> None:
        """Fire what is due until told to stop."""
        scheduler = AsyncIOScheduler(timezone=UTC)
        scheduler.start()
        scheduler.add_job(
            self.wake, "interval", seconds=FALLBACK_S, coalesce=True, misfire_grace_time=None, id="fallback"
        )
        try:
            while not self._stopping:
                self._woken.clear()
                delay_s = await self._fire()
                if delay_s is not None:
                    scheduler.add_job(
                        self.wake,
                        "date",
                        run_date=datetime.now(UTC) + timedelta(seconds=delay_s),
                        coalesce=True,
                        misfire_grace_time=None,
                        id="wake",
                        replace_existing=True,
                    )
                await self._woken.wait()
        finally:
            if self._soon is not None:
                self._soon.cancel()
            scheduler.shutdown(wait=False)

    async def _fire(self) -> float | None:
        """Fire what is due; returned: how long until more is, None for nothing at all. [s]"""
        try:
            # Each message puts something off, and hardly ever is anything due then: that takes one look.
            now, coming = self._dispatch.clock(), await self._coming()
            if coming is not None and coming <= now:
                if await self._fire_due(now):
                    return FULL_S
                coming = await self._coming()
        except StoreUnavailable as refusal:
            logger.warning("what is due cannot be read now: %s", refusal)
            return WAIT_AFTER_REFUSAL_S
        if coming is None:
            return None
        return max(0.0, (coming - self._dispatch.clock()).total_seconds())

    async def _coming(self) -> datetime | None:
        return await committed(self._dispatch.store.submit(lambda work: work.due.next_at()))

    async def _fire_due(self, now: datetime) -> bool:
        """Fire what is due at an instant, as far as there is room for its messages; whether some is left."""
        await self._fire_kinds(now, tuple(URGENT), most=None)
        room = await committed(self._dispatch.store.submit(self._room))
        left = await self._fire_kinds(now, tuple([each for each in LIFTERS_OWN if each not in URGENT]), most=room)
        house = await self._firing.fire_what_is_due(now, kinds=[Kind.HOUSEKEEPING], limit=1)
        if house.house:
            await self._housekeeping()
        return left

    async def _fire_kinds(self, now: datetime, kinds: Sequence[Kind], *, most: int | None) -> bool:
        """Fire kinds up to a number of rows; whether some are left."""
        taken = 0
        while most is None or taken < most:
            limit = TOGETHER if most is None else min(TOGETHER, most - taken)
            burst = await self._firing.fire_what_is_due(now, kinds=kinds, limit=limit)
            if not burst.taken:
                return False
            taken += burst.taken
            if most is not None:
                # Whoever stands at the bar does not wait for others' mornings.
                await self._fire_kinds(self._dispatch.clock(), tuple(URGENT), most=None)
        return True

    def _room(self, work: UnitOfWork) -> int:
        """Scheduled messages that may be added to those that wait."""
        room = 0
        for connector in self._connectors:
            limits = connector.limits
            rate = limits.scheduled_a_second or limits.a_second or UNLIMITED_A_SECOND
            room += max(0, int(rate * QUEUED_S) - work.outbox.scheduled_waiting(connector.name))
        # A process without a platform of its own fires for those that have one, a little at a time.
        return room if self._connectors else TOGETHER
