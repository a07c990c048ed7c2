"""A chat platform of our own that keeps what it gets, fails in every way on demand, and can lose its answer."""

import asyncio
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from bot.delivery.connector import Delivered, Limits, Outcome, Receive
from bot.messages import Event, OutgoingMessage
from core.domain.profile import Address

PLENTY = Limits(size=4096)


@dataclass(frozen=True, slots=True)
class Call:
    """One call of `send`."""

    chat: str
    text: str
    key: str
    silent: bool
    choices: int
    picture: bytes | None = None


Answering = Callable[[Call, int], Outcome | Exception]
"""What the platform answers to a call; the number counts the calls of that key, from 1."""


def taking(_call: Call, _number: int) -> Outcome:
    """Take everything."""
    return Delivered("taken")


@dataclass(slots=True)
class Platform:
    """The connector.

    Args:
        answering: Decides each call; an exception is raised.
        limits: What it takes.
        name: Its name in addresses.
        calls: Every call, in order.
        shown: What lifters see: chat and text, in order; with keys, each key once.
        most_at_once: The most calls that were in flight together.
        gate: Until it is set, calls stay on their way.

    """

    answering: Answering = taking
    limits: Limits = PLENTY
    name: str = "platform"
    calls: list[Call] = field(default_factory=list)
    shown: list[tuple[str, str]] = field(default_factory=list)
    most_at_once: int = 0
    gate: asyncio.Event | None = None
    closed: bool = False
    _at_once: int = 0
    _keys: set[str] = field(default_factory=set)
    _changed: asyncio.Event = field(default_factory=asyncio.Event)
    _given: list[Sequence[Event]] = field(default_factory=list)

    async def send(self, address: Address, message: OutgoingMessage, *, key: str, silent: bool) -> Outcome:
        picture = None if message.picture is None else message.picture.content
        call = Call(address.chat, message.text, key, silent, len(message.choices), picture)
        self.calls.append(call)
        self._at_once += 1
        self.most_at_once = max(self.most_at_once, self._at_once)
        # Others get their turn, as they do while a real call is on its way.
        await asyncio.sleep(0)
        if self.gate is not None:
            self._changed.set()
            await self.gate.wait()
        self._at_once -= 1
        self._changed.set()
        answer = self.answering(call, sum(each.key == key for each in self.calls))
        if isinstance(answer, Exception):
            raise answer
        if isinstance(answer, Delivered) and not (self.limits.has_keys and key in self._keys):
            self._keys.add(key)
            self.shown.append((call.chat, call.text))
        return answer

    async def run(self, receive: Receive) -> None:
        while True:
            while self._given:
                await receive(self._given.pop(0))
                self._changed.set()
            await self._changes()

    async def close(self) -> None:
        self.closed = True

    def give(self, *events: Event) -> None:
        """Have events received."""
        self._given.append(events)
        self._changed.set()

    async def called(self, times: int) -> None:
        """Wait for a number of calls in all."""
        async with asyncio.timeout(20):
            while len(self.calls) < times:
                await self._changes()

    async def _changes(self) -> None:
        await self._changed.wait()
        self._changed.clear()
