"""A meeting: Rackside's connector and the double of Telegram in one loop, with a store of its own."""

import asyncio
import socket
from collections.abc import AsyncIterator, Callable, Sequence
from contextlib import asynccontextmanager
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime
from urllib.parse import urlsplit

from telegram import Bot

from bot.connectors.telegram.carrier import Carrier
from bot.connectors.telegram.connector import LIMITS, Source, Telegram
from bot.connectors.telegram.door import Door, Rules
from bot.connectors.telegram.polling import Poller
from bot.connectors.telegram.webhook import Webhook
from bot.delivery.connector import Limits, Receive
from bot.delivery.firing import Firing
from bot.dispatch import Dispatch, committed
from bot.health import Server
from bot.messages import Event
from bot.rendering.replies import House
from bot.scheduler.waking import Waking
from core.application.ports import Store
from core.application.rows import OutboxRow
from core.domain.profile import Address
from core.domain.sets import LoggedSet
from core.storage.unit_of_work import open_store
from tests.bot.telegram.serving import serving
from tests.telegram_api.chats import Chat
from tests.telegram_api.server import BotApi

FREE = replace(LIMITS, a_second=None, scheduled_a_second=None, chat_a_second=None)
"""Limits without rates: what is tested of rates says so."""

SECRET = "s3cret-of-ours"  # noqa: S105 - of the tests

HOUSE = House(operator="Nora", contact="nora@example.org", place="in a database", text_days=30)


@dataclass(slots=True)
class Meeting:
    """What a test sees of it; while `holds` is cleared nothing is handled."""

    api: BotApi
    store: Store
    dispatch: Dispatch
    telegram: Telegram
    received: list[Event] = field(default_factory=list)
    port: int = 0
    holds: asyncio.Event = field(default_factory=asyncio.Event)
    ended: asyncio.Future[BaseException | None] = field(default_factory=asyncio.Future)
    waking: Waking | None = None

    def sets(self, chat: Chat) -> list[LoggedSet]:
        """The log of a person."""
        with self.store.read() as work:
            lifter = work.lifters.at_address(Address("telegram", str(chat.number)))
            return [] if lifter is None else list(work.sets.between(lifter.id, date.min, date.max))

    async def answered(self, chat: Chat, *, times: int = 1) -> list[str]:
        """Wait until a person has so many messages of the bot in all, and give them."""
        await self.api.until(lambda: len(chat.of_bot()) >= times)
        return chat.texts()

    async def all_marked(self) -> None:
        """Wait until what was sent is known to be sent."""
        while await asyncio.to_thread(_waiting, self):  # noqa: ASYNC110 - the store tells nobody
            await asyncio.sleep(0.01)

    async def quiet(self, chat: Chat) -> None:
        """Wait until all that the person did is handled and answered."""
        before = len(chat.of_bot())
        chat.says("privacy")
        # The welcome says the same and asks beside it: it is no answer to this.
        await self.api.until(lambda: any(_tells_privacy(each) for each in chat.texts()[before:]))


def _tells_privacy(text: str) -> bool:
    return "this bot is run by" in text and "may health data" not in text


async def connected(api: BotApi, *, read_timeout_s: float = 5.0) -> Bot:
    """A bot of the library that talks to a double."""
    return Bot(
        api.token,
        base_url=api.base_url,
        request=connection(read_timeout_s=read_timeout_s),
        get_updates_request=connection(),
    )


def connection(*, read_timeout_s: float = 5.0) -> Carrier:
    """A way to a double."""
    return Carrier(read_timeout_s=read_timeout_s, connections=16)


@asynccontextmanager
async def meeting(
    api: BotApi,
    *,
    url: str = "sqlite://",
    rules: Rules = Rules(is_open=True),  # noqa: B008 - frozen
    source: Source | None = None,
    house: House = HOUSE,
    clock: Callable[[], datetime] = lambda: datetime.now(UTC),
    starts_api: bool = True,
    receives: Callable[[Receive], Receive] = lambda receive: receive,
    read_timeout_s: float = 5.0,
    limits: Limits = FREE,
    speaks_first: bool = False,
) -> AsyncIterator[Meeting]:
    """Rackside talking to a double that runs until the block ends; where it speaks first, its clock fires what is due."""
    if starts_api:
        await api.start()
    store = open_store(url)
    dispatch = Dispatch(store, clock=clock, house=house)
    telegram = Telegram(
        await connected(api, read_timeout_s=read_timeout_s),
        source or Poller(connection(), poll_s=20, first_wait_s=0.02),
        dispatch=dispatch,
        door=Door(rules),
        limits=limits,
        first_wait_s=0.02,
        patience_s=0.1,
    )
    met = Meeting(api, store, dispatch, telegram)
    server = Server(
        store, clock=clock, connectors=["telegram"], webhook=source if isinstance(source, Webhook) else None
    )
    met.port = await server.start("127.0.0.1", port_of(source.url) if isinstance(source, Webhook) else 0)
    met.holds.set()

    async def receive(events: Sequence[Event]) -> None:
        await committed(dispatch.receive(events))
        met.received.extend(events)

    running = serving(dispatch, telegram, receives(receive), met.holds)
    if speaks_first:
        met.waking = Waking(dispatch, Firing(dispatch), [telegram], housekeeping=_no_nights)
        running.append(asyncio.create_task(met.waking.run()))
    running[0].add_done_callback(lambda task: met.ended.set_result(None if task.cancelled() else task.exception()))
    try:
        yield met
    finally:
        await ended(running)
        await server.stop()
        await telegram.close()
        store.close()
        if starts_api:
            await api.stop()


async def ended(running: Sequence["asyncio.Task[None]"]) -> None:
    """Cancel tasks until they have ended: in Python 3.11 `wait_for` may lose a word that comes with its result."""
    pending = set(running)
    while pending:
        for each in pending:
            each.cancel()
        _, pending = await asyncio.wait(pending, timeout=1)
    await asyncio.gather(*running, return_exceptions=True)


def free_port() -> int:
    """A port that nobody listens on now."""
    with socket.create_server(("127.0.0.1", 0)) as listening:
        port: int = listening.getsockname()[1]
        return port


def webhook() -> Webhook:
    """A webhook at an address on loopback."""
    return Webhook(url=f"http://127.0.0.1:{free_port()}/pushed", secret=SECRET)


def port_of(url: str) -> int:
    """The port of an address."""
    return urlsplit(url).port or 0


async def _no_nights() -> None:
    """The house keeps itself in these tests."""


def _waiting(met: Meeting) -> Sequence[OutboxRow]:
    return met.store.submit(lambda work: work.outbox.waiting("telegram", limit=100)).result()
