"""Serving in the small: receive, handle, deliver, as one process does it for one connector."""

import asyncio
import contextlib
from collections.abc import Sequence

from bot.connectors.telegram.connector import Telegram
from bot.delivery.connector import Receive
from bot.delivery.delivery import Delivery
from bot.dispatch import Dispatch, committed
from core.application.ports import Hint, UnitOfWork
from core.application.rows import InboxRow

TICK_S = 0.1
"""Longest wait until the inbox is looked at again, should a hint be missed. [s]"""


def serving(
    dispatch: Dispatch, telegram: Telegram, receive: Receive, holds: asyncio.Event
) -> list["asyncio.Task[None]"]:
    """Tasks that serve until they are cancelled, the connector's first; nothing is handled while `holds` is cleared."""
    delivery = Delivery(dispatch, telegram)
    woken = asyncio.Event()
    loop = asyncio.get_running_loop()

    def wake() -> None:
        delivery.wake()
        woken.set()

    def told(_hint: Hint) -> None:
        loop.call_soon_threadsafe(wake)

    dispatch.store.watch(told)
    return [
        asyncio.create_task(telegram.run(receive)),
        asyncio.create_task(_handled(dispatch, woken, holds)),
        asyncio.create_task(delivery.run()),
    ]


async def _handled(dispatch: Dispatch, woken: asyncio.Event, holds: asyncio.Event) -> None:
    while True:
        with contextlib.suppress(TimeoutError):
            async with asyncio.timeout(TICK_S):
                await woken.wait()
        woken.clear()
        await holds.wait()
        while rows := await committed(dispatch.store.submit(_waiting)):
            for row in rows:
                await dispatch.handle_waiting(row.address, name=row.address.chat)


def _waiting(work: UnitOfWork) -> Sequence[InboxRow]:
    return work.inbox.waiting(limit=100)
