"""Pace: when the next message may go, by the rates that a platform takes; scheduled ones leave room for live ones."""

from math import ceil

from bot.delivery.connector import Limits

BURST_S = 0.1
"""The share of a second's messages that may go at once. [s] More of them would be two seconds' messages in one."""

MOST_CHATS = 10_000
"""Chats remembered before those that have been quiet are let go. [chats]"""


class Rate:
    """Messages at a steady rate, a few of them at once.

    Args:
        a_second: How many a second; None for no limit. [1/s]
        burst: How many may go at once after a quiet time.

    """

    __slots__ = ("_every_s", "_full_at_s", "_room_s")

    def __init__(self, a_second: float | None, *, burst: int = 1) -> None:
        self._every_s = 0.0 if a_second is None else 1.0 / a_second
        self._room_s = self._every_s * (burst - 1)
        # When the messages so far will have been spread out evenly.
        self._full_at_s = float("-inf")

    def wait_s(self, now_s: float) -> float:
        """Seconds until the next message may go; 0 for now. [s]"""
        return max(0.0, self._full_at_s - self._room_s - now_s)

    def take(self, now_s: float) -> None:
        """A message goes."""
        self._full_at_s = max(self._full_at_s, now_s) + self._every_s

    def is_quiet(self, now_s: float) -> bool:
        """Whether it remembers nothing that matters any more."""
        return self._full_at_s <= now_s


class Pace:
    """The rates of one platform: all messages, the scheduled ones among them, and each chat.

    Args:
        limits: What the platform takes.

    """

    def __init__(self, limits: Limits) -> None:
        self._limits = limits
        self._all = _rate(limits.a_second)
        self._scheduled = _rate(limits.scheduled_a_second)
        self._chats: dict[str, Rate] = {}

    def wait_s(self, chat: str, *, scheduled: bool, now_s: float) -> float:
        """Seconds until a message to a chat may go; 0 for now. [s]"""
        wait_s = self._all.wait_s(now_s)
        if scheduled:
            wait_s = max(wait_s, self._scheduled.wait_s(now_s))
        of_chat = self._chats.get(chat)
        return wait_s if of_chat is None else max(wait_s, of_chat.wait_s(now_s))

    def take(self, chat: str, *, scheduled: bool, now_s: float) -> None:
        """A message to a chat goes."""
        self._all.take(now_s)
        if scheduled:
            self._scheduled.take(now_s)
        if self._limits.chat_a_second is None:
            return
        if len(self._chats) >= MOST_CHATS:
            self._chats = {name: rate for name, rate in self._chats.items() if not rate.is_quiet(now_s)}
        self._chats.setdefault(chat, Rate(self._limits.chat_a_second, burst=self._limits.chat_burst)).take(now_s)


def _rate(a_second: float | None) -> Rate:
    return Rate(a_second, burst=1 if a_second is None else max(1, ceil(a_second * BURST_S)))
