"""A process that serves Telegram until it is killed: what the storms kill, and nothing else."""

import asyncio
import os
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime

from bot.connectors.telegram.opening import opened, source_of
from bot.connectors.telegram.webhook import Webhook
from bot.dispatch import Dispatch, committed
from bot.health import Server
from bot.messages import Event
from bot.rendering.replies import House
from bot.settings import Settings, TelegramSettings
from core.storage.unit_of_work import open_store
from tests.bot.telegram.serving import serving


def serve(settings: Mapping[str, str]) -> None:
    """Serve as the settings say."""
    os.environ.update(settings)
    asyncio.run(_served())


async def _served() -> None:
    settings, house = TelegramSettings(), Settings()
    store = open_store(house.db)
    dispatch = Dispatch(store, clock=lambda: datetime.now(UTC), house=House())
    source = source_of(settings)
    telegram = opened(dispatch, settings=settings, house=house, source=source)
    if isinstance(source, Webhook):
        host, _, port = house.listen.partition(":")
        server = Server(store, clock=dispatch.clock, connectors=["telegram"], webhook=source)
        await server.start(host, int(port))

    async def receive(events: Sequence[Event]) -> None:
        await committed(dispatch.receive(events))

    holds = asyncio.Event()
    holds.set()
    await asyncio.gather(*serving(dispatch, telegram, receive, holds))
