"""Sending: one connector's waiting messages, live before scheduled, each chat in order, until all are settled."""

import asyncio
import random
import traceback
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from typing import assert_never

from bot.delivery.connector import Connector, Delivered, Failed, Outcome, Rejected, RetryAfter, Unreachable
from bot.delivery.marks import losing, marking_sent, noting_parts, pausing, trying_again
from bot.delivery.pace import Pace
from bot.delivery.retries import MOST_TRIES, is_too_late, wait_before_next_s
from bot.delivery.splitting import parts
from bot.dispatch import Clock, Dispatch, committed
from bot.logs import logger
from bot.messages import OutgoingMessage, Picture
from bot.rendering.charts import Studio
from bot.rows import Queued, stored_message
from core.application.ports import StoreUnavailable, UnitOfWork
from core.application.rows import OutboxRow
from core.domain.check_in_replies import Chart

LOOKED_AT = 64
"""Chats whose first message is looked at together. [chats]"""

KEPT_FOR_LIVE = 2
"""Calls in flight that scheduled messages leave to live answers, where a platform takes more than these. [calls]"""

TICK_S = 1.0
"""Longest wait until the outbox is looked at again, should a hint be missed. [s]"""

LONGEST_PAUSE = timedelta(hours=6)
"""No pause that a platform asks for is longer; a wrong header must not silence a bot for good."""

LATELY = timedelta(minutes=10)
"""A platform that took a message this long ago is taken to be there."""

EVERY_CHAT = ""
"""Stands for all chats where a pause is for one."""


class Delivery:
    """Sends one connector's messages.

    A message is sent, then marked as sent, and only then is the next one of its chat looked at: killed in between, a
    platform without idempotency keys gets that one message of that chat again, and no other.

    Args:
        dispatch: The store, the clock and the words of an apology.
        connector: The platform.
        luck: Gives random numbers from 0 to 1, for the waits between tries.
        studio: Draws pictures.
        tick_s: Longest wait until the outbox is looked at again. [s]

    """

    def __init__(
        self,
        dispatch: Dispatch,
        connector: Connector,
        *,
        luck: Callable[[], float] = random.random,
        studio: Studio | None = None,
        tick_s: float = TICK_S,
    ) -> None:
        self._tick_s = tick_s
        self._studio = studio or Studio()
        self.connector = connector
        self._dispatch = dispatch
        self._store = dispatch.store
        self._clock: Clock = dispatch.clock
        self._luck = luck
        self._pace = Pace(connector.limits)
        # Chats with a message on its way: that one.
        self._on_way: dict[str, OutboxRow] = {}
        # Chats whose next message was seen while one was on its way, and whether any was left for want of room: then the
        # end of what is on its way is a reason to look again. A look for nothing costs a transaction on PostgreSQL.
        self._left: set[str] = set()
        self._full = False
        # Chats whose message is just being marked. What is queued meanwhile is not seen by who marks it, nor is it by a look
        # to which that message still waits.
        self._marking: set[str] = set()
        self._pauses: dict[str, datetime] = {}
        self._got_through_at: datetime | None = None
        # Chats whose message was settled since the outbox was last read, or while it was: what was read of them is old. With
        # the number of that message, or None where it waits still.
        self._settled_since: dict[str, int | None] = {}
        # Chats whose next message was handed over while one was on its way: it goes as soon as that is settled.
        self._handed: dict[str, OutboxRow] = {}
        self._sending: asyncio.TaskGroup | None = None
        self._woken = asyncio.Event()
        self._stopping = False

    def wake(self) -> None:
        """Look at the outbox now."""
        self._woken.set()

    def hand(self, queued: Queued) -> None:
        """Begin with a message that was just queued, behind what is on its way; else the outbox is looked at."""
        chat = queued.row.address.chat
        on_way = self._on_way.get(chat)
        known = {self._settled_since.get(chat), None if on_way is None else on_way.id}
        # While others are left for want of room, it has to queue behind them.
        if self._stopping or self._full or EVERY_CHAT in self._pauses or not known.issuperset(queued.behind):
            self.wake()
        elif on_way is not None:
            self._handed[chat] = queued.row
        else:
            self._begin_handed(queued.row)

    def _begin_handed(self, row: OutboxRow) -> None:
        if self._sending is not None:
            self._begin_next(row, self._sending, now=self._clock())
        if row.address.chat not in self._on_way:
            self.wake()

    def stop(self) -> None:
        """Begin no more sending; `run` ends when what is on its way is settled."""
        self._stopping = True
        self._woken.set()

    async def run(self) -> None:
        """Send until told to stop."""
        await self._read_pauses()
        try:
            async with asyncio.TaskGroup() as sending:
                self._sending = sending
                while not self._stopping:
                    wait_s = self._tick_s
                    try:
                        wait_s = await self._begin_what_may_go(sending)
                    except StoreUnavailable as refusal:
                        logger.warning("the outbox cannot be read now: %s", refusal)
                    await self._rest(wait_s)
        finally:
            self._sending = None
            await asyncio.to_thread(self._studio.close)

    async def _read_pauses(self) -> None:
        try:
            now = self._clock()
            self._pauses |= await committed(
                self._store.submit(lambda work: work.outbox.pauses(self.connector.name, now=now))
            )
        except StoreUnavailable as refusal:
            logger.warning("pauses asked for before the start are not known: %s", refusal)

    async def _rest(self, wait_s: float) -> None:
        try:
            async with asyncio.timeout(min(wait_s, self._tick_s)):
                await self._woken.wait()
        except TimeoutError:
            return
        finally:
            self._woken.clear()

    async def _begin_what_may_go(self, sending: asyncio.TaskGroup) -> float:
        """Begin to send what may go now; returned: how long until more may. [s]"""
        now = self._clock()
        self._pauses = {chat: until for chat, until in self._pauses.items() if until > now}
        if EVERY_CHAT in self._pauses:
            return (self._pauses[EVERY_CHAT] - now).total_seconds()
        if len(self._on_way) >= self.connector.limits.at_once:
            self._full = True
            return self._tick_s
        self._settled_since.clear()
        limit = LOOKED_AT + len(self._on_way) + len(self._pauses)
        rows = await committed(self._store.submit(lambda work: work.outbox.heads(self.connector.name, limit=limit)))
        # Not before: what is handed over meanwhile must not take the room of those that this look has found.
        self._full = len(rows) >= limit
        wait_s = self._tick_s
        for row in rows:
            wait_s = min(wait_s, self._begin(row, sending, now=now))
        return wait_s

    def _begin(self, row: OutboxRow, sending: asyncio.TaskGroup, *, now: datetime) -> float:
        """Begin to send a message if it may go now; else how long until it may. [s]"""
        chat = row.address.chat
        if chat in self._on_way:
            if self._on_way[chat].id != row.id or chat in self._marking:
                self._left.add(chat)
            return self._tick_s
        if chat in self._settled_since:
            self._woken.set()
            return self._tick_s
        return self._begin_next(row, sending, now=now)

    def _begin_next(self, row: OutboxRow, sending: asyncio.TaskGroup, *, now: datetime) -> float:
        """Begin to send the next message of a chat that has none on its way; else how long until it may go. [s]"""
        chat = row.address.chat
        if not self._has_room(scheduled=row.scheduled):
            self._full = True
            return self._tick_s
        if chat in self._pauses:
            return (self._pauses[chat] - now).total_seconds()
        loop = asyncio.get_running_loop()
        if not is_too_late(row, now):
            wait_s = self._pace.wait_s(chat, scheduled=row.scheduled, now_s=loop.time())
            if wait_s > 0:
                return wait_s
            self._pace.take(chat, scheduled=row.scheduled, now_s=loop.time())
        self._on_way[chat] = row
        sending.create_task(self._send(row))
        return self._tick_s

    def _has_room(self, *, scheduled: bool) -> bool:
        at_once = self.connector.limits.at_once
        if not scheduled:
            return len(self._on_way) < at_once
        return (
            sum(each.scheduled for each in self._on_way.values()) < max(1, at_once - KEPT_FOR_LIVE)
            and len(self._on_way) < at_once
        )

    async def _send(self, row: OutboxRow) -> None:
        again = True
        settled: int | None = None
        try:
            if is_too_late(row, self._clock()):
                await committed(self._store.submit(lambda work: work.outbox.expired(row.id), live=not row.scheduled))
            else:
                outcome = await self._sent(row)
                self._marking.add(row.address.chat)
                again = await self._settle(row, outcome)
                if isinstance(outcome, Delivered):
                    settled = row.id
        except StoreUnavailable as refusal:
            # Nothing is marked: it is sent again when the store is back. Not at once, for the store is not.
            logger.warning("message %d is not settled: %s", row.id, refusal)
            self._pause(row.address.chat, wait_before_next_s(3, luck=self._luck()))
        finally:
            chat = row.address.chat
            del self._on_way[chat]
            self._marking.discard(chat)
            self._settled_since[chat] = settled
            handed = self._handed.pop(chat, None)
            goes_on = handed is not None and settled is not None and not (self._stopping or self._full)
            if handed is not None and goes_on:
                # What was seen behind the other one is this, or waits behind this.
                self._left.discard(chat)
                self._begin_handed(handed)
            if (again and not goes_on) or self._full or chat in self._left:
                self._left.discard(chat)
                self._woken.set()

    async def _sent(self, row: OutboxRow) -> Outcome:
        """Send the parts of a message that are not sent yet; the outcome of the last one tried."""
        message = stored_message(row)
        texts = parts(message.text, self.connector.limits)
        self._dispatch.observer("before sending")
        if message.chart is not None:
            return await self._picture_sent(row, message, message.chart)
        outcome: Outcome = Delivered()
        for number in range(min(row.parts_sent, len(texts) - 1), len(texts)):
            last = number == len(texts) - 1
            # Choices stand under the end of what asks.
            part = replace(message, text=texts[number]) if last else OutgoingMessage(text=texts[number])
            outcome = await self._tried(row, part, key=f"{row.id}.{number}")
            if not isinstance(outcome, Delivered):
                break
            if not last:
                await committed(self._store.submit(noting_parts(row, number + 1), live=not row.scheduled))
                await self._wait_for_pace(row)
        self._dispatch.observer("after sending")
        return outcome

    async def _picture_sent(self, row: OutboxRow, message: OutgoingMessage, chart: Chart) -> Outcome:
        """Send a picture; where none can be drawn or taken, the words before it have said the same."""
        if not self.connector.limits.pictures:
            return Delivered()
        try:
            drawn = await asyncio.wrap_future(self._studio.draw(chart))
        except Exception as fault:
            logger.error("the picture of message %d cannot be drawn: %s", row.id, type(fault).__name__)
            return Delivered()
        part = replace(message, picture=Picture(content=drawn))
        outcome = await self._tried(row, part, key=f"{row.id}.0")
        self._dispatch.observer("after sending")
        return outcome

    async def _tried(self, row: OutboxRow, part: OutgoingMessage, *, key: str) -> Outcome:
        try:
            return await self.connector.send(row.address, part, key=key, silent=row.scheduled)
        except Exception as fault:
            # Of a fault only its kind and its place are logged: its text could hold the message.
            trace = "".join(traceback.format_tb(fault.__traceback__))
            logger.error(
                "sending message %d through %s: %s\n%s", row.id, self.connector.name, type(fault).__name__, trace
            )
            return Failed(type(fault).__name__)

    async def _wait_for_pace(self, row: OutboxRow) -> None:
        now_s = asyncio.get_running_loop().time()
        chat, scheduled = row.address.chat, row.scheduled
        wait_s = self._pace.wait_s(chat, scheduled=scheduled, now_s=now_s)
        self._pace.take(chat, scheduled=scheduled, now_s=now_s + wait_s)
        await asyncio.sleep(wait_s)

    async def _settle(self, row: OutboxRow, outcome: Outcome) -> bool:
        """Write what became of a message; whether the outbox should be looked at for more."""
        now = self._clock()
        match outcome:
            case Delivered(key=key):
                self._got_through_at = now
                return await committed(self._store.submit(marking_sent(row, key, now), live=not row.scheduled))
            case RetryAfter(wait_s=wait_s, whole=whole):
                chat = EVERY_CHAT if whole else row.address.chat
                until = self._pause(chat, wait_s)
                work = pausing(row, chat, until)
            case Failed(why=why):
                logger.warning("message %d to %s, try %d: %s", row.id, self.connector.name, row.attempts + 1, why)
                if row.attempts + 1 >= MOST_TRIES and self._others_get_through(now):
                    work = self._refusing(row, why, now)
                else:
                    self._pause(row.address.chat, wait_before_next_s(row.attempts + 1, luck=self._luck()))
                    work = trying_again(row)
            case Unreachable(why=lost):
                logger.info("message %d: its address is %s", row.id, lost.value)
                work = losing(row, now)
            case Rejected(why=why):
                work = self._refusing(row, why, now)
            case _:
                assert_never(outcome)
        await committed(self._store.submit(work, live=not row.scheduled))
        return True

    def _pause(self, chat: str, wait_s: float) -> datetime:
        until = self._clock() + min(timedelta(seconds=max(0.0, wait_s)), LONGEST_PAUSE)
        self._pauses[chat] = max(until, self._pauses.get(chat, until))
        return self._pauses[chat]

    def _others_get_through(self, now: datetime) -> bool:
        return self._got_through_at is not None and now - self._got_through_at <= LATELY

    def _refusing(self, row: OutboxRow, why: str, now: datetime) -> Callable[[UnitOfWork], None]:
        apology = None
        if row.message_id is not None and row.chart is None:
            apology = self._dispatch.apology_for(row, why, now=now)
        else:
            logger.error("message %d can never be sent: %s", row.id, why)

        def work(unit: UnitOfWork) -> None:
            unit.outbox.refused(row.id)
            if apology is not None:
                unit.outbox.add([apology], lifter_id=None)

        return work
