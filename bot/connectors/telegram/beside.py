"""Beside: calls that nothing waits for: courtesies, which may be lost and must never hold up a message."""

import asyncio
from collections.abc import Coroutine
from contextlib import suppress

from telegram import Bot
from telegram.constants import ChatAction, ParseMode
from telegram.error import TelegramError

from bot.connectors.telegram.formatting import as_html

TYPING_AFTER_S = 0.5
"""An answer that takes longer is announced by "typing". [s]"""

TYPING_EVERY_S = 0.2
"""It is announced so often at most, in all chats together. [s] Each costs as much as an answer: where many wait, it would
make all of them wait longer."""

GROUP_TOLD_EVERY_S = 60.0
"""A group is told where its answers go once in this time at most. [s]"""


class Beside:
    """Runs courtesies.

    Args:
        bot: The library's way to call the platform.

    """

    def __init__(self, bot: Bot) -> None:
        self._bot = bot
        self._tasks: set[asyncio.Task[None]] = set()
        self._typing: dict[str, asyncio.TimerHandle] = {}
        self._typed_last_s = float("-inf")
        self._groups_told_s: dict[int, float] = {}

    def do(self, work: Coroutine[None, None, None]) -> None:
        """Do something that nothing waits for."""
        task = asyncio.get_running_loop().create_task(work)
        self._tasks.add(task)
        task.add_done_callback(self._tasks.discard)

    async def close(self) -> None:
        """Leave what is under way."""
        for timer in self._typing.values():
            timer.cancel()
        for task in self._tasks:
            task.cancel()
        await asyncio.gather(*self._tasks, return_exceptions=True)

    def tell(self, chat: int, line: str) -> None:
        """Say something outside of any conversation."""
        self.do(self._told(chat, line))

    def tell_group(self, group: int, line: str) -> None:
        """Say something to a group, now and then."""
        now_s = asyncio.get_running_loop().time()
        if now_s - self._groups_told_s.get(group, float("-inf")) >= GROUP_TOLD_EVERY_S:
            self._groups_told_s[group] = now_s
            self.tell(group, line)

    def announce(self, chat: str) -> None:
        """Show "typing" if the answer takes long."""
        if chat not in self._typing:
            loop = asyncio.get_running_loop()
            self._typing[chat] = loop.call_later(TYPING_AFTER_S, self._show_typing, chat)

    def answered(self, chat: str) -> None:
        """The answer is there."""
        timer = self._typing.pop(chat, None)
        if timer is not None:
            timer.cancel()

    def _show_typing(self, chat: str) -> None:
        self._typing.pop(chat, None)
        now_s = asyncio.get_running_loop().time()
        if now_s - self._typed_last_s >= TYPING_EVERY_S:
            self._typed_last_s = now_s
            self.do(self._typed(int(chat)))

    async def _typed(self, chat: int) -> None:
        with suppress(TelegramError):
            await self._bot.send_chat_action(chat, ChatAction.TYPING)

    async def _told(self, chat: int, line: str) -> None:
        with suppress(TelegramError):
            await self._bot.send_message(chat, as_html(line), parse_mode=ParseMode.HTML)
