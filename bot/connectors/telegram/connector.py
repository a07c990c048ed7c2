"""Connector: Telegram's chats as events, and answers as its messages."""

import asyncio
import secrets
from collections import OrderedDict
from collections.abc import Collection, Sequence
from datetime import datetime
from typing import Protocol

from telegram import Bot, LinkPreviewOptions
from telegram.constants import ParseMode
from telegram.error import InvalidToken, TelegramError

from bot.connectors.telegram.beside import Beside
from bot.connectors.telegram.door import Door, Verdict
from bot.connectors.telegram.formatting import as_html
from bot.connectors.telegram.keyboards import keyboard
from bot.connectors.telegram.looks import Looks
from bot.connectors.telegram.outcomes import is_unreadable_markup, outcome_of
from bot.connectors.telegram.polling import FIRST_WAIT_S, LONGEST_WAIT_S, OtherPollerError, Take
from bot.connectors.telegram.presses import Presses
from bot.connectors.telegram.updates import CONNECTOR, Broken, PassedOver, Pressed, Raw, Said, happening
from bot.delivery.connector import Delivered, Limits, Outcome, Receive
from bot.delivery.connector import RetryAfter as Pause
from bot.dispatch import Dispatch
from bot.logs import logger
from bot.messages import Event, NoText, OutgoingMessage, ReachChanged, Tapped
from bot.rendering import door as words
from bot.rendering.help_topics import MENU
from core.application.ports import StoreUnavailable
from core.domain.commands import Sign
from core.domain.profile import Address
from core.domain.replies import TapDidNothing
from core.notation.messages import Context, read
from core.notation.words import catalogue_names

LIMITS = Limits(
    size=4096,
    a_second=30,
    scheduled_a_second=25,
    chat_a_second=1,
    chat_burst=3,
    # More calls in flight are slower: 900 a second at 4, 209 at 256, measured on a double on loopback.
    at_once=6,
    pictures=True,
)
"""What Telegram takes. Source: its documentation of "sendMessage", and its page of questions and answers (from memory)."""

PATIENCE_S = 3.0
"""A store that has not kept a message by then is away, for a lifter who waits for help. [s]"""

WARNED_REMEMBERED = 1_000
"""Messages remembered that were answered with an emergency line while the store was away."""


class TokenRefusedError(Exception):
    """The platform knows no bot of this token."""


class Source(Protocol):
    """Where updates come from."""

    async def prepare(self, bot: Bot) -> None:
        """Tell the platform how they are to come."""

    async def run(self, take: Take) -> None:
        """Take updates in until cancelled."""

    async def close(self) -> None:
        """Let go of connections."""


class Telegram:
    """Telegram, as a connector.

    Args:
        bot: The library's way to call the platform.
        source: Where updates come from.
        dispatch: The store and the clock.
        door: Who may talk.
        limits: What the platform takes.
        first_wait_s: First wait while it cannot be reached at the start. [s]
        patience_s: How long a warning sign waits for the store. [s]

    """

    def __init__(
        self,
        bot: Bot,
        source: Source,
        *,
        dispatch: Dispatch,
        door: Door,
        limits: Limits = LIMITS,
        first_wait_s: float = FIRST_WAIT_S,
        patience_s: float = PATIENCE_S,
    ) -> None:
        self._patience_s = patience_s
        self._bot = bot
        self._source = source
        self._clock = dispatch.clock
        self._looks = Looks(dispatch.store)
        self._door = door
        self._limits = limits
        self._first_wait_s = first_wait_s
        self._beside = Beside(bot)
        self._presses = Presses(bot, self._looks, self._beside)
        self._paused_until_s: dict[int, float] = {}
        self._warned: OrderedDict[str, None] = OrderedDict()

    @property
    def name(self) -> str:
        """Name in addresses."""
        return CONNECTOR

    @property
    def limits(self) -> Limits:
        """What the platform takes."""
        return self._limits

    async def run(self, receive: Receive) -> None:
        """Hand in what happens, in each chat's order, until cancelled.

        Raises:
            TokenRefusedError: the platform knows no bot of this token.
            OtherPollerError: another process gets the updates.

        """
        await self._begin()

        async def take(updates: Sequence[Raw]) -> None:
            await self._take(updates, receive)

        try:
            await self._source.run(take)
        except InvalidToken:
            # The library's own words hold the token.
            logger.error("telegram: the token is refused (any more); `rackside doctor` tells the remedy")
            raise TokenRefusedError from None
        except OtherPollerError:
            logger.error("telegram: another process asks for updates with this token; only one of them may")
            raise

    async def close(self) -> None:
        """Let go of connections."""
        await self._beside.close()
        await self._source.close()
        await self._bot.shutdown()

    # --- Out

    async def send(self, address: Address, message: OutgoingMessage, *, key: str, silent: bool) -> Outcome:  # noqa: ARG002 - the platform knows no such keys
        """Send one message."""
        self._beside.answered(address.chat)
        self._presses.show(address.chat)
        if message.picture is not None:
            return await self.send_picture(address, message.picture.content, message.text, silent=silent)
        chat = int(address.chat)
        try:
            return await self._sent(chat, message, silent=silent)
        except TelegramError as error:
            return self._outcome(chat, error)

    async def send_picture(self, address: Address, picture: bytes, caption: str, *, silent: bool) -> Outcome:
        """Send a picture with the text that says the same."""
        chat = int(address.chat)
        try:
            sent = await self._bot.send_photo(
                chat, picture, caption=as_html(caption), parse_mode=ParseMode.HTML, disable_notification=silent
            )
        except TelegramError as error:
            return self._outcome(chat, error)
        return Delivered(str(sent.message_id))

    async def _sent(self, chat: int, message: OutgoingMessage, *, silent: bool) -> Outcome:
        buttons = keyboard(message)
        no_preview = LinkPreviewOptions(is_disabled=True)
        try:
            sent = await self._bot.send_message(
                chat,
                as_html(message.text),
                parse_mode=ParseMode.HTML,
                reply_markup=buttons,
                disable_notification=silent,
                link_preview_options=no_preview,
            )
        except TelegramError as error:
            if not is_unreadable_markup(error):
                raise
            logger.error("telegram: our HTML was refused; the message goes as plain text")
            sent = await self._bot.send_message(
                chat, message.text, reply_markup=buttons, disable_notification=silent, link_preview_options=no_preview
            )
        return Delivered(str(sent.message_id))

    def _outcome(self, chat: int, error: TelegramError) -> Outcome:
        outcome = outcome_of(error)
        if not isinstance(outcome, Pause):
            return outcome
        # Telegram does not say whether a pause is for one chat or for all: two chats paused at once are no coincidence.
        now_s = asyncio.get_running_loop().time()
        self._paused_until_s = {of: until for of, until in self._paused_until_s.items() if until > now_s}
        others = any(of != chat for of in self._paused_until_s)
        self._paused_until_s[chat] = now_s + outcome.wait_s
        return Pause(outcome.wait_s, whole=others)

    # --- In

    async def _begin(self) -> None:
        wait_s = self._first_wait_s
        while True:
            try:
                await self._bot.initialize()
                await self._source.prepare(self._bot)
                await self._bot.set_my_commands(MENU)
            except InvalidToken:
                logger.error("telegram: the token is refused; `rackside doctor` tells the remedy")
                raise TokenRefusedError from None
            except TelegramError as error:
                logger.warning("telegram cannot be reached: %s; trying again", type(error).__name__)
            else:
                return
            await asyncio.sleep(wait_s)
            wait_s = min(2 * wait_s, LONGEST_WAIT_S)

    async def _take(self, updates: Sequence[Raw], receive: Receive) -> None:
        now = self._clock()
        found: list[Said | Pressed | ReachChanged] = []
        for raw in updates:
            each = happening(raw, bot_id=self._bot.id, username=self._bot.username, now=now)
            match each:
                case Said() | Pressed() | ReachChanged():
                    found.append(each)
                case PassedOver(kind=kind):
                    logger.info("telegram: passed over: %s", kind)
                case Broken(why=why, event=event):
                    logger.error("ref %s: telegram: an update that cannot be read: %s", secrets.token_hex(2), why)
                    if event is not None:
                        found.append(Said(event=event, chat=int(event.address.chat)))
        if found:
            await self._take_in(found, receive, now=now)

    async def _take_in(
        self, found: Sequence[Said | Pressed | ReachChanged], receive: Receive, *, now: datetime
    ) -> None:
        try:
            known = await self._known(found)
            presses = [each for each in found if isinstance(each, Pressed)]
            refusals = await self._refusals(presses, now)
            verdicts = {id(each): self._door.judge(each, known) for each in found if isinstance(each, Said)}
            events: list[Event] = []
            for each in found:
                match each:
                    case Said(event=event) if verdicts[id(each)] is Verdict.TAKEN:
                        events.append(event)
                    case Pressed() if refusals[each.query] is None:
                        events.append(_tap(each, now))
                    case ReachChanged() if each.address in known:
                        events.append(each)
            if events:
                await self._kept(receive, events, found)
        except StoreUnavailable:
            self._warn_without_store([each for each in found if isinstance(each, Said)])
            raise
        # All is kept; what follows is courtesy, and may be lost in a crash.
        for each in found:
            match each:
                case Said():
                    self._greet(each, verdicts[id(each)], now)
                case Pressed():
                    self._presses.answer(each, refusals[each.query])
                case ReachChanged():
                    pass

    async def _kept(
        self, receive: Receive, events: Sequence[Event], found: Sequence[Said | Pressed | ReachChanged]
    ) -> None:
        """Wait until events are committed; what cannot wait so long is said meanwhile."""
        keeping = asyncio.ensure_future(receive(events))
        try:
            await asyncio.wait({keeping}, timeout=self._patience_s)
            if not keeping.done():
                self._warn_without_store([each for each in found if isinstance(each, Said)])
            await keeping
        finally:
            keeping.cancel()

    async def _known(self, found: Sequence[Said | Pressed | ReachChanged]) -> Collection[Address]:
        asked: set[Address] = set()
        for each in found:
            match each:
                case Said(event=event) if self._door.needs_look(event.address):
                    asked.add(event.address)
                case ReachChanged(address=address):
                    asked.add(address)
        return await self._looks.known(asked) if asked else ()

    async def _refusals(self, presses: Sequence[Pressed], now: datetime) -> dict[str, TapDidNothing | None]:
        if not presses:
            return {}
        told = await self._looks.refusals([(each.address, each.question, each.option) for each in presses], now)
        return {each.query: refusal for each, refusal in zip(presses, told, strict=True)}

    def _greet(self, said: Said, verdict: Verdict, now: datetime) -> None:
        address = said.event.address
        if verdict is Verdict.TAKEN:
            self._beside.announce(address.chat)
            if said.group:
                self._beside.tell_group(said.chat, words.in_a_group())
            return
        line = _emergency(said)
        if line is not None:
            self._beside.tell(int(address.chat), line)
        told = self._door.told(address, verdict, now)
        if told is None:
            return
        if said.group:
            self._beside.tell_group(said.chat, words.not_yet_in_a_group())
        else:
            self._beside.tell(said.chat, told)

    def _warn_without_store(self, said: Sequence[Said]) -> None:
        """Say what cannot wait for the store, once a message."""
        for each in said:
            key = each.event.event_key
            line = None if key in self._warned else _emergency(each)
            if line is not None:
                self._warned[key] = None
                if len(self._warned) > WARNED_REMEMBERED:
                    self._warned.popitem(last=False)
                self._beside.tell(int(each.event.address.chat), f"{line}\n{words.away()}")


def _emergency(said: Said) -> str | None:
    if isinstance(said.event, NoText):
        return None
    warned = read(said.event.text, Context(names=catalogue_names())).warned
    sure = [each.sign for each in warned if not each.doubtful and each.sign is not Sign.PAIN]
    return words.emergency(sure[0]) if sure else None


def _tap(press: Pressed, now: datetime) -> Tapped:
    return Tapped(
        address=press.address,
        event_key=f"tap:{press.query}",
        sent_at=now,
        question=press.question,
        option=press.option,
    )
