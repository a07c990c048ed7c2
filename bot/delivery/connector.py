"""Connector: what is asked of a chat platform, and what it can answer to a message."""

from collections.abc import Awaitable, Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Protocol

from bot.messages import Event, OutgoingMessage
from core.domain.profile import Address


@dataclass(frozen=True, slots=True)
class Delivered:
    """The platform took the message; `key` is what it calls it, where it says so."""

    key: str | None = None


@dataclass(frozen=True, slots=True)
class RetryAfter:
    """The platform wants a pause.

    Args:
        wait_s: From now on. [s]
        whole: It is for the whole connector, not for this chat alone.

    """

    wait_s: float
    whole: bool = False


class Lost(StrEnum):
    """Why an address takes no message any more."""

    BLOCKED = "blocked"
    GONE = "gone"


@dataclass(frozen=True, slots=True)
class Unreachable:
    """The address takes no messages until its lifter writes again."""

    why: Lost


@dataclass(frozen=True, slots=True)
class Rejected:
    """This message can never be sent; `why` goes to the log and holds no word of it."""

    why: str


@dataclass(frozen=True, slots=True)
class Failed:
    """It did not work this time, and may another; `why` goes to the log and holds no word of the message."""

    why: str


Outcome = Delivered | RetryAfter | Unreachable | Rejected | Failed


class Measure(StrEnum):
    """What the size of a text is counted in."""

    UTF16_UNITS = "UTF-16 units"
    BYTES = "bytes"


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What a platform takes.

    Args:
        size: Longest text of one message. [`measure`]
        measure: What it is counted in.
        a_second: Messages a second to all chats together; None for no limit. [1/s]
        scheduled_a_second: Share of it that scheduled messages may take; the rest is kept for live answers. [1/s]
        chat_a_second: Messages a second to one chat; None for no limit. [1/s]
        chat_burst: Messages to one chat that may go at once before that limit holds. [messages]
        at_once: Calls in flight together. [calls]
        has_keys: The same idempotency key again sends nothing twice.
        pictures: It takes pictures.

    """

    size: int
    measure: Measure = Measure.UTF16_UNITS
    a_second: float | None = None
    scheduled_a_second: float | None = None
    chat_a_second: float | None = None
    chat_burst: int = 1
    at_once: int = 8
    has_keys: bool = False
    pictures: bool = False

    def __post_init__(self) -> None:
        if self.size < 1 or self.chat_burst < 1 or self.at_once < 1:
            raise ValueError("a limit is at least 1")
        if any(rate is not None and rate <= 0 for rate in (self.a_second, self.scheduled_a_second, self.chat_a_second)):
            raise ValueError("a rate is more than 0 a second")


Receive = Callable[[Sequence[Event]], Awaitable[None]]
"""Takes events in; it returns once they are committed, and only then may they be confirmed to the platform."""


class Connector(Protocol):
    """A chat platform. It turns what the platform gives into events and a message into the platform's call."""

    @property
    def name(self) -> str:
        """Name in addresses; it never changes, for stored addresses hold it."""

    @property
    def limits(self) -> Limits:
        """What the platform takes."""

    async def run(self, receive: Receive) -> None:
        """Hand in what the platform gives, in each chat's order, until cancelled.

        What was handed in and not confirmed comes again after a crash; its event keys are the same.
        """

    async def send(self, address: Address, message: OutgoingMessage, *, key: str, silent: bool) -> Outcome:
        """Send one message, no longer than the limits say; a picture only where they say that it takes them.

        Args:
            address: Where to; on this connector.
            message: What.
            key: The same key is the same message, for platforms that know such keys.
            silent: Without a sound, where the platform can.

        """

    async def close(self) -> None:
        """Let go of connections; nothing is sent or received after."""
