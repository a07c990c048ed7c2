"""Presses: buttons answered at once, and replaced by the choice taken once it is."""

from collections import OrderedDict
from contextlib import suppress

from telegram import Bot
from telegram.constants import ParseMode
from telegram.error import TelegramError

from bot.connectors.telegram.beside import Beside
from bot.connectors.telegram.formatting import with_choice
from bot.connectors.telegram.looks import Looks
from bot.connectors.telegram.updates import Pressed
from bot.rendering.replies import House, text
from core.application.ports import StoreUnavailable
from core.domain.replies import TapDidNothing, TapRefusal

TOAST_MOST = 190
"""Characters of what pops up at a press; the platform takes 200."""

CHATS_REMEMBERED = 1_000
"""Chats with presses whose buttons wait to be replaced."""


class Presses:
    """Answers presses.

    Args:
        bot: The library's way to call the platform.
        looks: What is read of the store.
        beside: Runs the calls.

    """

    def __init__(self, bot: Bot, looks: Looks, beside: Beside) -> None:
        self._bot = bot
        self._looks = looks
        self._beside = beside
        # Taken, and perhaps not handled yet, by chat.
        self._taken: OrderedDict[str, list[Pressed]] = OrderedDict()

    def answer(self, press: Pressed, refusal: TapDidNothing | None) -> None:
        """Answer a press that was taken in, or tell why it does nothing."""
        if refusal is None:
            self._taken.setdefault(press.address.chat, []).append(press)
            if len(self._taken) > CHATS_REMEMBERED:
                self._taken.popitem(last=False)
            self._beside.do(self._popped_up(press, None))
            return
        self._beside.do(self._popped_up(press, text(refusal, house=House())[:TOAST_MOST]))
        if refusal.why is TapRefusal.ALREADY:
            # It may have been taken just before a crash, and never shown.
            self._beside.do(self._shown([press]))

    def show(self, chat: str) -> None:
        """An answer goes to a chat: what was pressed there is handled, so its buttons are replaced."""
        presses = self._taken.pop(chat, None)
        if presses is not None:
            self._beside.do(self._shown(presses))

    async def _popped_up(self, press: Pressed, told: str | None) -> None:
        # Refused as too late, nobody waits for it any more.
        with suppress(TelegramError):
            await self._bot.answer_callback_query(press.query, told)

    async def _shown(self, presses: list[Pressed]) -> None:
        with suppress(StoreUnavailable):
            chosen = await self._looks.chosen({each.question for each in presses})
            for press in presses:
                if press.question in chosen:
                    await self._replaced(press, chosen.pop(press.question))

    async def _replaced(self, press: Pressed, option: int) -> None:
        # An edit that changes nothing is refused, and was done before.
        with suppress(TelegramError):
            if press.html and option in press.labels:
                told = with_choice(press.html, press.labels[option])
                await self._bot.edit_message_text(told, press.chat, press.message, parse_mode=ParseMode.HTML)
            else:
                await self._bot.edit_message_reply_markup(press.chat, press.message)
