"""A chat platform in files, for processes that are killed: it hands events in again until they are confirmed."""

import asyncio
import os
import random
from collections import defaultdict
from contextlib import AbstractContextManager
from datetime import UTC, datetime, timedelta
from pathlib import Path

from bot.delivery.connector import Connector, Delivered, Failed, Limits, Outcome, Receive
from bot.delivery.firing import Firing
from bot.dispatch import Dispatch
from bot.messages import Arrived, OutgoingMessage
from bot.rendering.replies import House
from bot.scheduler.service import Service
from core.domain.profile import Address
from core.storage.ownership import Ownership, claim_owner
from core.storage.unit_of_work import open_store

START = datetime(2027, 1, 4, 17, 0, tzinfo=UTC)

LOOK_S = 0.02

FAILING = 0.03
"""Share of the calls that fail after they were accepted, as dropped connections do."""


class PostOffice:
    """The platform: `in` holds a line a message, `confirmed` how many were, `out` a line a call of `send`.

    Args:
        folder: Where the files are.
        limits: What it takes.

    """

    name = "office"

    def __init__(self, folder: Path, *, limits: Limits) -> None:
        self.folder = folder
        self.limits = limits
        self.failing = random.Random(os.getpid())  # noqa: S311 - luck, not a secret

    def post(self, chat: str, text: str) -> None:
        """Write a message, as a lifter does."""
        with (self.folder / "in").open("a", encoding="utf-8") as file:
            file.write(f"{chat}\t{text}\n")

    async def run(self, receive: Receive) -> None:
        confirmed_in = self.folder / "confirmed"
        confirmed = int(confirmed_in.read_text()) if confirmed_in.exists() else 0
        while True:
            lines = (self.folder / "in").read_text(encoding="utf-8").splitlines()[confirmed : confirmed + 5]
            events = [event(confirmed + place, line) for place, line in enumerate(lines)]
            if not events:
                await asyncio.sleep(LOOK_S)
                continue
            await receive(events)
            confirmed += len(events)
            part = confirmed_in.with_suffix(f".{os.getpid()}")
            part.write_text(str(confirmed))
            part.replace(confirmed_in)

    async def send(self, address: Address, message: OutgoingMessage, *, key: str, silent: bool) -> Outcome:
        del silent
        await asyncio.sleep(0.002)
        line = f"{address.chat}\t{key}\t{message.text.splitlines()[0]}\n"
        written = os.open(self.folder / "out", os.O_WRONLY | os.O_APPEND | os.O_CREAT)
        os.write(written, line.encode())
        os.close(written)
        await asyncio.sleep(0.002)
        if self.limits.has_keys and self.failing.random() < FAILING:
            return Failed("the answer was lost")
        return Delivered(key)

    async def close(self) -> None:
        return

    def sent(self) -> dict[str, list[tuple[str, str]]]:
        """Key and first line of each call, by chat."""
        calls: dict[str, list[tuple[str, str]]] = defaultdict(list)
        out = self.folder / "out"
        for line in out.read_text(encoding="utf-8").splitlines() if out.exists() else []:
            chat, key, text = line.split("\t")
            calls[chat].append((key, text))
        return calls


def event(number: int, line: str) -> Arrived:
    chat, text = line.split("\t")
    key = f"{number:06d}"
    at = START + number * timedelta(seconds=1)
    return Arrived(address=Address("office", chat), event_key=key, sent_at=at, text=text, message_key=key)


def serve(url: str, folder: Path, *, limits: Limits) -> None:
    """Serve the post office until killed: what a victim runs."""
    store = open_store(url)
    dispatch = Dispatch(store, clock=lambda: datetime.now(UTC), house=House())

    def claiming(connector: Connector) -> AbstractContextManager[Ownership]:
        return claim_owner(url, role=connector.name)

    async def nothing() -> None:
        return

    async def run() -> None:
        service = Service(
            dispatch,
            Firing(dispatch),
            [PostOffice(folder, limits=limits)],
            claiming=claiming,
            housekeeping=nothing,
            owner_look_s=0.1,
        )
        await service.run(asyncio.Event())

    asyncio.run(run())
