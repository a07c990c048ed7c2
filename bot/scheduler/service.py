"""Service: everything that a serving process does, from the first event to the last answer, until it is told to stop."""

import asyncio
from collections.abc import Awaitable, Callable, Sequence
from contextlib import AbstractContextManager
from functools import partial
from typing import Protocol

from bot.delivery.connector import Connector
from bot.delivery.delivery import Delivery
from bot.delivery.firing import Firing
from bot.delivery.handling import Handling
from bot.dispatch import Dispatch, committed, waking
from bot.logs import logger
from bot.messages import Event
from bot.scheduler.waking import Waking
from core.application.due import put_housekeeping
from core.application.ports import Hint, StoreUnavailable

OWNER_LOOK_S = 2.0
"""Between two looks whether a connector is still ours, or may be now; and before a fault of a platform is tried. [s]"""

STOPPING_S = 20.0
"""What is on its way when the service stops has this long to be settled. [s]"""


class Claim(Protocol):
    """A connector's ownership."""

    def holds(self) -> bool:
        """Whether it is still ours."""


Claiming = Callable[[Connector], AbstractContextManager[Claim]]
"""Claims a connector; entering raises StoreUnavailable while another process owns it."""


class Service:
    """Receives, handles, fires and sends.

    Any number of processes may run one on a PostgreSQL database: each handles and fires, and each connector is
    received from and sent through by the one process that owns it. When that ends, another takes it over.

    Args:
        dispatch: The way of a message.
        firing: What fires.
        connectors: The platforms.
        claiming: Claims a connector.
        housekeeping: Done once a night.
        owner_look_s: Between two looks whether a connector is still ours, or may be now. [s]

    """

    def __init__(
        self,
        dispatch: Dispatch,
        firing: Firing,
        connectors: Sequence[Connector],
        *,
        claiming: Claiming,
        housekeeping: Callable[[], Awaitable[None]],
        owner_look_s: float = OWNER_LOOK_S,
    ) -> None:
        self._owner_look_s = owner_look_s
        self._dispatch = dispatch
        self._connectors = connectors
        self._claiming = claiming
        self._handling = Handling(dispatch)
        self._waking = Waking(dispatch, firing, connectors, housekeeping=housekeeping)

    async def run(self, stopping: asyncio.Event) -> None:
        """Serve until told to stop; then finish what is on its way."""
        store = self._dispatch.store
        store.watch(waking(self._handling.wake, Hint.RECEIVED))
        store.watch(waking(self._waking.wake_soon, Hint.DUE))
        now = self._dispatch.clock()
        await committed(store.submit(lambda work: put_housekeeping(work, now)))
        async with asyncio.TaskGroup() as serving:
            serving.create_task(self._handling.run())
            serving.create_task(self._waking.run())
            for connector in self._connectors:
                serving.create_task(self._own(connector, stopping))
            await stopping.wait()
            self._waking.stop()
            self._handling.stop()

    async def _own(self, connector: Connector, stopping: asyncio.Event) -> None:
        """Serve a connector whenever it is ours."""
        waited = False
        while not stopping.is_set():
            claim = self._claiming(connector)
            try:
                held = await asyncio.to_thread(claim.__enter__)
            except StoreUnavailable as owned:
                if not waited:
                    logger.info("waiting for %s: %s", connector.name, owned)
                waited = True
                await _passed(stopping, self._owner_look_s)
                continue
            waited = False
            try:
                await self._serve(connector, held, stopping)
            finally:
                await asyncio.to_thread(claim.__exit__, None, None, None)
        await connector.close()

    async def _serve(self, connector: Connector, held: Claim, stopping: asyncio.Event) -> None:
        delivery = Delivery(self._dispatch, connector)
        self._dispatch.store.watch(waking(delivery.wake, Hint.QUEUED))
        receiving = asyncio.create_task(self._received(connector, delivery))
        sending = asyncio.create_task(delivery.run())
        try:
            while not await _passed(stopping, self._owner_look_s):
                if not await asyncio.to_thread(held.holds):
                    logger.warning("%s is ours no more", connector.name)
                    break
                if sending.done():
                    sending.result()
        finally:
            receiving.cancel()
            delivery.stop()
            await asyncio.wait([receiving, sending], timeout=STOPPING_S)
            sending.cancel()

    async def _received(self, connector: Connector, delivery: Delivery) -> None:
        """Receive, again after whatever went wrong."""
        while True:
            try:
                await connector.run(partial(self._receive, delivery))
            except Exception as fault:  # a platform's library may raise anything
                logger.error("receiving from %s: %s", connector.name, type(fault).__name__)
            await asyncio.sleep(OWNER_LOOK_S)

    async def _receive(self, delivery: Delivery, events: Sequence[Event]) -> None:
        while True:
            try:
                await self._handling.receive(events, hand=delivery.hand)
            except StoreUnavailable as refusal:
                # Not confirmed, so not lost; the platform waits.
                logger.warning("events cannot be kept now: %s", refusal)
                await asyncio.sleep(OWNER_LOOK_S)
            else:
                return


async def _passed(event: asyncio.Event, wait_s: float) -> bool:
    """Whether something happens within a time."""
    try:
        async with asyncio.timeout(wait_s):
            await event.wait()
    except TimeoutError:
        return False
    return True
