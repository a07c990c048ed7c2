"""Dispatch: an event received, handled in one transaction, its answers queued and handed over."""

import asyncio
import secrets
import traceback
from collections.abc import Callable, Sequence
from concurrent.futures import Future
from contextlib import suppress
from dataclasses import replace
from datetime import datetime
from enum import Enum, auto
from functools import partial
from typing import TypeVar

from bot.logs import logger
from bot.messages import Event, OutgoingMessage
from bot.rendering.chart_words import picture
from bot.rendering.json_data import as_json
from bot.rendering.questions import labels
from bot.rendering.replies import House, outgoing
from bot.rows import Answer, Queued, inbox_row, outbox_row, stored_message
from core.application.handle import handle
from core.application.ports import Hint, Observer, Store, StoreUnavailable, UnitOfWork
from core.application.replay import Longer, Replays
from core.application.rows import (
    InboxRow,
    MessageState,
    OutboxRow,
    OutboxState,
)
from core.application.worked_out import NotWorkedOut
from core.domain.profile import Address, Lifter
from core.domain.replies import Fault, Reply

Clock = Callable[[], datetime]

T = TypeVar("T")


class Step(Enum):
    """How it stands with an address after one step of handling."""

    NONE = auto()
    """Nothing waited."""
    LAST = auto()
    """What was handled was the last that waited."""
    MORE = auto()
    """More waits behind what was handled."""
    HELD = auto()
    """Somebody else is handling an event of that lifter's."""
    KEPT = auto()
    """The event was received, and waits to be handled."""


async def committed(future: Future[T]) -> T:
    """Result of a work of the store, without holding up anybody: the one line where its threads meet asyncio."""
    return await asyncio.wrap_future(future)


def waking(wake: Callable[[], None], *hints: Hint) -> Callable[[Hint], None]:
    """What the store's threads can tell hints to: it wakes somebody in the running loop, while that runs."""
    loop = asyncio.get_running_loop()

    def told(hint: Hint) -> None:
        if hint in hints:
            # A loop that has ended needs no waking.
            with suppress(RuntimeError):
                loop.call_soon_threadsafe(wake)

    return told


def _unwatched(_point: str) -> None:
    return None


def random_word() -> str:
    """A word that nobody can guess, short enough for any platform's button."""
    return secrets.token_urlsafe(9)


class Dispatch:
    """The way of a message, for every connector.

    Args:
        store: Where everything is kept.
        clock: The time; aware.
        house: Who runs this bot.
        zone: Time zone of a lifter who has not told one.
        with_data: Answers carry the reply as JSON.
        token: Gives random words for questions.
        observer: Told the points that a message passes.

    """

    def __init__(
        self,
        store: Store,
        *,
        clock: Clock,
        house: House,
        zone: str = "UTC",
        with_data: bool = False,
        token: Callable[[], str] = random_word,
        observer: Observer = _unwatched,
    ) -> None:
        self.store = store
        self.clock = clock
        self.house = house
        self.zone = zone
        self.with_data = with_data
        self.token = token
        self.observer = observer

    def receive(self, events: Sequence[Event]) -> Future[int]:
        """Commit raw events; how many of them are new. After that they may be confirmed to the platform."""
        now = self.clock()
        rows = [inbox_row(event, received_at=now) for event in events]
        return self.store.submit(lambda work: len(work.inbox.receive(rows)))

    def handle_next(self, address: Address, *, name: str) -> list[Answer] | None:
        """Handle the oldest event that waits from an address; its answers, or None if none waits."""
        now = self.clock()
        try:
            done = self._done(self._handling(address, name=name, now=now))
        except StoreUnavailable:
            raise
        except Exception as fault:
            row = self.store.submit(lambda work: work.inbox.next_for(address)).result()
            return None if row is None else self._set_aside(row, fault, now=now).result()
        return None if done is None else done[1]

    async def handle_waiting(self, address: Address, *, name: str) -> Step:
        """Handle the oldest event that waits from an address.

        Its answers are queued, and delivery is told so by the store.
        """
        now = self.clock()
        handling = self._handling(address, name=name, now=now)

        def alone(work: UnitOfWork, replays: Replays) -> Step:
            if not work.lifters.alone_with(address):
                return Step.HELD
            if handling(work, replays) is None:
                return Step.NONE
            return Step.LAST if work.inbox.next_for(address) is None else Step.MORE

        try:
            return await self._awaited(alone)
        except StoreUnavailable:
            raise
        except Exception as fault:
            row = await committed(self.store.submit(lambda work: work.inbox.next_for(address)))
            if row is None:
                return Step.NONE
            await committed(self._set_aside(row, fault, now=now))
            return Step.MORE

    async def take_in(self, event: Event, *, name: str, hand: Callable[[Queued], None] | None = None) -> Step:
        """Receive an event and handle it in the same transaction: a commit less than to do one after the other.

        Where something is in the way of that (an event that has to be handled first, somebody else at work on the
        address, long work, a fault), the event is received and waits.

        Args:
            event: The event.
            name: What to call a lifter who writes for the first time.
            hand: Who sends to the address takes the first answer by it, once that is committed; they look for the
                others when it is sent. Without it the store tells them that something waits.

        """
        now = self.clock()
        row = inbox_row(event, received_at=now)

        def taken(work: UnitOfWork) -> tuple[Step, Queued | None]:
            work.inbox.coming(row, at=now)
            if work.lifters.alone_with(row.address):
                lifter = work.lifters.at_address(row.address)
                new = work.inbox.take_next(row, at=now, lifter_id=None if lifter is None else lifter.id)
                if new is not None:
                    behind = () if hand is None else tuple(work.outbox.waiting_there(row.address))
                    replays, handed = Replays(patient=True), hand is not None
                    rows, _ = self._queued(work, new, lifter, replays, name=name, now=now, handed=handed)
                    return Step.LAST, Queued(rows[0], behind) if rows else None
            return (Step.KEPT if work.inbox.receive([row]) else Step.NONE), None

        try:
            step, queued = await committed(self.store.submit(taken))
        except StoreUnavailable:
            raise
        except Exception:
            # Whatever it was, it comes again where events are handled one by one, and is dealt with there.
            return Step.KEPT if await committed(self.receive([event])) else Step.NONE
        if hand is not None and queued is not None:
            hand(queued)
        return step

    def _handling(
        self, address: Address, *, name: str, now: datetime
    ) -> Callable[[UnitOfWork, Replays], tuple[InboxRow, list[Answer]] | None]:
        def handled(work: UnitOfWork, replays: Replays) -> tuple[InboxRow, list[Answer]] | None:
            # The lifter's row is locked first, so that one lifter is handled by one process at a time.
            lifter = work.lifters.at_address(address)
            row = work.inbox.next_for(address)
            return None if row is None else (row, self._handled(work, row, lifter, replays, name=name, now=now))

        return handled

    def take(self, event: Event, *, name: str) -> list[Answer]:
        """Receive and handle one event in one transaction; the same event key again gives its stored answers."""
        now = self.clock()
        row = inbox_row(event, received_at=now)

        def taken(work: UnitOfWork, replays: Replays) -> list[Answer]:
            work.inbox.coming(row, at=now)
            lifter = work.lifters.at_address(row.address)
            new = work.inbox.take(row, at=now, lifter_id=None if lifter is None else lifter.id)
            if new is None:
                return self._stored(work, row)
            return self._handled(work, new, lifter, replays, name=name, now=now)

        try:
            return self._done(taken)
        except StoreUnavailable:
            raise
        except Exception as fault:
            return self._set_aside(row, fault, now=now).result()

    def sent(self, answers: Sequence[Answer]) -> None:
        """Mark answers as sent."""
        now = self.clock()
        ids = [each.row_id for each in answers]
        if not ids:
            return

        def marked(work: UnitOfWork) -> None:
            for row_id in ids:
                work.outbox.sent(row_id, at=now)

        self.store.submit(marked).result()

    def _done(self, work: Callable[[UnitOfWork, Replays], T]) -> T:
        """Run a work; what takes long in it is worked out here, outside of it, and the work is run again."""
        replays = Replays(patient=True)
        while True:
            try:
                return self.store.submit(partial(_with_replays, work, replays)).result()
            except (Longer, NotWorkedOut) as longer:
                replays = replays.after(longer)

    async def _awaited(self, work: Callable[[UnitOfWork, Replays], T]) -> T:
        """The same where others go on meanwhile."""
        replays = Replays(patient=True)
        while True:
            try:
                return await committed(self.store.submit(partial(_with_replays, work, replays)))
            except (Longer, NotWorkedOut) as longer:
                replays = await asyncio.to_thread(replays.after, longer)

    def _handled(
        self,
        work: UnitOfWork,
        row: InboxRow,
        lifter: Lifter | None,
        replays: Replays,
        *,
        name: str,
        now: datetime,
    ) -> list[Answer]:
        rows, messages = self._queued(work, row, lifter, replays, name=name, now=now)
        return [Answer(queued.id, message, queued.created_at) for queued, message in zip(rows, messages, strict=True)]

    def _queued(
        self,
        work: UnitOfWork,
        row: InboxRow,
        lifter: Lifter | None,
        replays: Replays,
        *,
        name: str,
        now: datetime,
        handed: bool = False,
    ) -> tuple[Sequence[OutboxRow], Sequence[OutgoingMessage]]:
        lifter_id, replies, letters = handle(
            work, row, lifter, now=now, token=self.token, name=name, zone=self.zone, labels=labels, replays=replays
        )
        messages = [message for reply in replies for message in self._messages(reply)]
        rows = work.outbox.add(
            [outbox_row(row, message, now=now) for message in messages],
            lifter_id=lifter_id,
            handed=handed,
        )
        for letter in letters:
            said = outbox_row(row, self._message(letter.reply), now=now)
            work.outbox.add([replace(said, address=letter.address, message_id=None)], lifter_id=letter.lifter_id)
        if row.state is MessageState.WAITING or lifter is None:
            work.inbox.handled(row.id, at=now, lifter_id=lifter_id)
        return rows, messages

    def _message(self, reply: Reply) -> OutgoingMessage:
        return outgoing(reply, house=self.house, data=as_json(reply) if self.with_data else "{}")

    def _messages(self, reply: Reply) -> list[OutgoingMessage]:
        """A reply in words, and behind it its picture where it has one."""
        shown = picture(reply)
        return [self._message(reply)] if shown is None else [self._message(reply), shown]

    def _stored(self, work: UnitOfWork, row: InboxRow) -> list[Answer]:
        before = work.inbox.by_key(row.address.connector, row.event_key)
        if before is None:
            return []
        return [
            Answer(each.id, stored_message(each), each.created_at)
            for each in work.outbox.answers_to(before.id)
            if each.state is not OutboxState.REFUSED
        ]

    def apology_for(self, row: OutboxRow, why: str, *, now: datetime) -> OutboxRow:
        """What to send in place of an answer that can't be sent; the log has why under its reference."""
        reference = secrets.token_hex(2)
        logger.error("ref %s: message %d can never be sent: %s", reference, row.id, why)
        message = outgoing(Fault(reference), house=self.house, data=as_json(Fault(reference)))
        return OutboxRow(address=row.address, message_id=None, text=message.text, data=message.data, created_at=now)

    def _set_aside(self, row: InboxRow, fault: Exception, *, now: datetime) -> Future[list[Answer]]:
        reference = secrets.token_hex(2)
        # The trace holds our own lines and the fault's kind; its text could hold what the lifter wrote.
        trace = "".join(traceback.format_tb(fault.__traceback__))
        logger.error("ref %s: %s\n%s", reference, type(fault).__name__, trace)
        message = outgoing(Fault(reference), house=self.house, data=as_json(Fault(reference)))

        def aside(work: UnitOfWork) -> list[Answer]:
            new = work.inbox.receive([row]) if row.id == 0 else [row]
            if not new:
                return self._stored(work, row)
            work.inbox.set_aside(new[0].id, at=now, reference=reference)
            rows = work.outbox.add([outbox_row(new[0], message, now=now)], lifter_id=None)
            return [Answer(queued.id, message, queued.created_at) for queued in rows]

        return self.store.submit(aside)


def _with_replays(work: Callable[[UnitOfWork, Replays], T], replays: Replays, unit: UnitOfWork) -> T:
    return work(unit, replays)
