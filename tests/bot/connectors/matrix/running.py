"""A bot on Matrix with its whole way of a message, inside a test or in a process of its own."""

import asyncio
from collections.abc import AsyncIterator, Callable, Sequence
from contextlib import asynccontextmanager, suppress
from datetime import UTC, datetime, timedelta
from pathlib import Path

from bot.connectors.matrix.connector import GRACE, Matrix
from bot.connectors.matrix.door import Door
from bot.connectors.matrix.login import Account
from bot.connectors.matrix.state import State
from bot.delivery.connector import Delivered
from bot.delivery.delivery import Delivery
from bot.dispatch import Dispatch, Step, committed, waking
from bot.messages import Event, OutgoingMessage
from bot.rendering.replies import House
from core.application.ports import Hint, Store
from core.domain.profile import Address
from core.storage.unit_of_work import open_store
from tests.homeserver import NAME, PASSWORD, Homeserver

EVERYBODY = Door(servers=frozenset({NAME}))


def unwatched(_point: str) -> None:
    return None


class Bot:
    """One bot.

    Args:
        url: The homeserver.
        user: The bot's account.
        store: Where the log is.
        state: The bot's state folder.
        door: Who may talk to it.
        grace: How long the key of a message may take.
        observer: Told the points that a message passes.
        account: The bot's account, where its password is not what is told.
        later: How much later than it is its clock says it is.

    """

    def __init__(
        self,
        url: str,
        user: str,
        store: Store,
        state: State,
        *,
        door: Door = EVERYBODY,
        grace: timedelta = GRACE,
        observer: Callable[[str], None] = unwatched,
        account: Account | None = None,
        later: timedelta = timedelta(),
    ) -> None:
        def clock() -> datetime:
            return datetime.now(UTC) + later

        self.account = account or Account(homeserver=url, user=user, password=PASSWORD)
        self.dispatch = Dispatch(store, clock=clock, house=House(), observer=observer)
        self.store = store
        self.connector = Matrix(self.account, state, door=door, clock=clock, grace=grace, observer=observer)
        self._woken = asyncio.Event()

    async def run(self) -> None:
        """Receive, handle and send until cancelled."""
        delivery = Delivery(self.dispatch, self.connector)
        self.store.watch(waking(delivery.wake, Hint.QUEUED))
        sending = asyncio.create_task(delivery.run())
        try:
            async with asyncio.TaskGroup() as running:
                running.create_task(self.connector.run(self._receive))
                running.create_task(self._handle())
        finally:
            delivery.stop()
            await asyncio.wait([sending], timeout=5)
            sending.cancel()
            await self.connector.close()

    async def _receive(self, events: Sequence[Event]) -> None:
        await committed(self.dispatch.receive(events))
        self._woken.set()

    async def _handle(self) -> None:
        self._woken.set()
        while True:
            await self._woken.wait()
            self._woken.clear()
            for row in await committed(self.store.submit(lambda work: work.inbox.waiting(limit=100))):
                while await self.dispatch.handle_waiting(row.address, name=row.address.chat) is Step.MORE:
                    pass


@asynccontextmanager
async def running(bot: Bot) -> AsyncIterator[Bot]:
    """A bot that runs while a test goes on; what ends it ends the test."""
    here = asyncio.current_task()
    task = asyncio.create_task(bot.run())
    task.add_done_callback(lambda done: here.cancel() if here is not None and not done.cancelled() else None)
    try:
        yield bot
    finally:
        task.cancel()
        with suppress(asyncio.CancelledError):
            await task


@asynccontextmanager
async def bot_on(
    server: Homeserver,
    folder: Path,
    *,
    user: str,
    url: str = "",
    door: Door = EVERYBODY,
    grace: timedelta = GRACE,
    observer: Callable[[str], None] = unwatched,
    account: Account | None = None,
    later: timedelta = timedelta(),
) -> AsyncIterator[Bot]:
    """A bot that runs on the files in a folder."""
    store = open_store(f"sqlite:///{folder / 'rackside.db'}")
    try:
        state = State(folder / "matrix")
        bot = Bot(
            url or server.url,
            user,
            store,
            state,
            door=door,
            grace=grace,
            observer=observer,
            account=account,
            later=later,
        )
        async with running(bot):
            yield bot
    finally:
        store.close()


async def told(bot: Bot, person: str, text: str, *, key: str) -> None:
    """Have a bot say something of its own accord."""
    outcome = await bot.connector.send(Address("matrix", person), OutgoingMessage(text=text), key=key, silent=True)
    assert isinstance(outcome, Delivered), outcome
