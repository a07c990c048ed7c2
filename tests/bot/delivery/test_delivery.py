"""Delivery: every outcome of a call, order in each chat, pauses, expiry, and what is left after a crash."""

import asyncio
import threading
from collections.abc import AsyncIterator, Callable
from concurrent.futures import Future
from contextlib import AbstractContextManager, asynccontextmanager
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from functools import partial
from typing import TypeVar

import pytest

from bot.delivery.connector import Delivered, Failed, Limits, Lost, Outcome, Rejected, RetryAfter, Unreachable
from bot.delivery.delivery import Delivery
from bot.delivery.retries import LIVE_KEPT, MOST_TRIES
from bot.dispatch import waking
from bot.rendering.charts import drawn
from core.application.ports import Hint, Store, UnitOfWork
from core.application.rows import MessageKind, OutboxRow, OutboxState
from core.domain.check_in_replies import SetsChart
from core.domain.exercises import Muscle
from core.domain.profile import Address
from tests.bot.delivery.platform import PLENTY, Call, Platform, taking
from tests.conversations import dispatch_on
from tests.core.storage.rows import NOW, answer, arrived, done, new_lifter

TOVE = Address("platform", "tove")

KIM = Address("platform", "kim")

Result = TypeVar("Result")

SECOND = timedelta(seconds=1)


@dataclass(slots=True)
class Post:
    """A store with an outbox, a platform, and a clock that goes on only when told."""

    store: Store
    platform: Platform = field(default_factory=Platform)
    now: datetime = NOW
    lifter_id: int = 1

    def queue(self, *rows: OutboxRow) -> list[OutboxRow]:
        return list(done(self.store, lambda work: work.outbox.add(rows, lifter_id=self.lifter_id)))

    def delivery(self) -> Delivery:
        return Delivery(dispatch_on(self.store, lambda: self.now), self.platform, luck=lambda: 1.0)

    @asynccontextmanager
    async def sending(self) -> AsyncIterator[Delivery]:
        """Delivery at work; it has settled what was on its way when this ends."""
        delivery = self.delivery()
        self.store.watch(waking(delivery.wake, Hint.QUEUED))
        running = asyncio.create_task(delivery.run())
        try:
            yield delivery
        finally:
            delivery.stop()
            await asyncio.wait_for(running, timeout=20)

    def states(self, *rows: OutboxRow) -> list[OutboxState]:
        def found(work: UnitOfWork) -> dict[int, OutboxState]:
            messages = {row.message_id for row in rows if row.message_id is not None}
            return {each.id: each.state for message_id in messages for each in work.outbox.answers_to(message_id)}

        kept = done(self.store, found)
        return [kept[row.id] for row in rows]


@pytest.fixture
def post(store: Store) -> Post:
    lifter = new_lifter(store, TOVE)
    return Post(store, lifter_id=lifter.id)


def to(address: Address, text: str, *, message_id: int = 1) -> OutboxRow:
    return answer(message_id, address=address, text=text)


def scheduled(address: Address, text: str) -> OutboxRow:
    return replace(to(address, text), scheduled=True)


def first_then(first: Outcome | Exception, after: Outcome | None = None) -> Callable[[Call, int], Outcome | Exception]:
    """The first call of each key gets one answer, later ones another."""
    return lambda _call, number: first if number == 1 else (after or Delivered())


def test_what_waits_is_sent_in_each_chats_order_and_marked(post: Post) -> None:
    rows = post.queue(to(TOVE, "one"), to(KIM, "eins"), to(TOVE, "two"), to(TOVE, "three"), to(KIM, "zwei"))

    async def scene() -> None:
        async with post.sending():
            await post.platform.called(5)

    asyncio.run(scene())

    assert [text for chat, text in post.platform.shown if chat == "tove"] == ["one", "two", "three"]
    assert [text for chat, text in post.platform.shown if chat == "kim"] == ["eins", "zwei"]
    assert set(post.states(*rows)) == {OutboxState.SENT}
    assert len({call.key for call in post.platform.calls}) == 5


CHART = SetsChart(weeks=(date(2027, 1, 4),), muscles=((Muscle.CHEST, (8.0,)),))


def test_a_picture_follows_its_words_where_the_platform_takes_pictures(post: Post) -> None:
    post.platform.limits = Limits(size=4096, pictures=True)
    rows = post.queue(to(TOVE, "chest 8"), replace(to(TOVE, "hard sets a week"), chart=CHART), to(TOVE, "after"))

    async def scene() -> None:
        async with post.sending():
            await post.platform.called(3)

    asyncio.run(scene())

    assert [each.text for each in post.platform.calls] == ["chest 8", "hard sets a week", "after"]
    assert [each.picture for each in post.platform.calls] == [None, drawn(CHART), None]
    assert set(post.states(*rows)) == {OutboxState.SENT}


def test_where_no_picture_can_be_sent_the_words_must_do(post: Post) -> None:
    rows = post.queue(to(TOVE, "chest 8"), replace(to(TOVE, "hard sets a week"), chart=CHART), to(TOVE, "after"))

    async def scene() -> None:
        async with post.sending():
            await post.platform.called(2)

    asyncio.run(scene())

    assert [each.text for each in post.platform.calls] == ["chest 8", "after"]
    assert set(post.states(*rows)) == {OutboxState.SENT}


def test_a_picture_that_cannot_be_drawn_holds_up_nothing(post: Post, caplog: pytest.LogCaptureFixture) -> None:
    # given a chart without anything in it, which nothing can be drawn of
    post.platform.limits = Limits(size=4096, pictures=True)
    empty = SetsChart(weeks=(), muscles=())
    rows = post.queue(replace(to(TOVE, "hard sets a week"), chart=empty), to(TOVE, "after"))

    async def scene() -> None:
        async with post.sending():
            await post.platform.called(1)

    asyncio.run(scene())

    assert [each.text for each in post.platform.calls] == ["after"]
    assert set(post.states(*rows)) == {OutboxState.SENT}
    assert "cannot be drawn" in caplog.text


def test_a_picture_that_is_refused_is_no_reason_for_an_apology(post: Post) -> None:
    post.platform.limits = Limits(size=4096, pictures=True)
    post.platform.answering = lambda call, _number: Delivered() if call.picture is None else Rejected("too large")
    rows = post.queue(replace(to(TOVE, "hard sets a week"), chart=CHART), to(TOVE, "after"))

    async def scene() -> None:
        async with post.sending():
            await post.platform.called(2)

    asyncio.run(scene())

    assert [each.text for each in post.platform.calls] == ["hard sets a week", "after"]
    assert post.states(*rows) == [OutboxState.REFUSED, OutboxState.SENT]


def test_what_the_platform_calls_a_message_is_kept(post: Post) -> None:
    [row] = post.queue(to(TOVE, "one"))

    async def scene() -> None:
        async with post.sending():
            await post.platform.called(1)

    asyncio.run(scene())

    [kept] = done(post.store, lambda work: work.outbox.answers_to(1))
    assert (kept.id, kept.platform_key) == (row.id, "taken")


def test_an_answer_queued_later_leaves_at_once(post: Post) -> None:
    async def scene() -> None:
        async with post.sending():
            await asyncio.to_thread(post.queue, to(TOVE, "one"))
            await post.platform.called(1)

    asyncio.run(scene())

    assert post.platform.shown == [("tove", "one")]


def test_live_answers_go_before_scheduled_messages_which_are_silent(post: Post) -> None:
    post.platform.limits = Limits(size=4096, at_once=1)
    post.queue(scheduled(TOVE, "morning"), scheduled(KIM, "morning"), to(Address("platform", "nils"), "live"))

    async def scene() -> None:
        async with post.sending():
            await post.platform.called(3)

    asyncio.run(scene())

    assert [(call.text, call.silent) for call in post.platform.calls] == [
        ("live", False),
        ("morning", True),
        ("morning", True),
    ]


def test_scheduled_messages_leave_calls_to_live_ones(post: Post) -> None:
    post.platform.limits = Limits(size=4096, at_once=4)
    post.queue(*[scheduled(Address("platform", f"chat {number}"), "morning") for number in range(20)])

    async def scene() -> None:
        async with post.sending():
            await post.platform.called(20)

    asyncio.run(scene())

    assert post.platform.most_at_once <= 2


@pytest.mark.parametrize("failure", [Failed("server error"), ConnectionError("lost")])
def test_a_failed_call_is_tried_again_after_a_wait_and_holds_up_its_chat_alone(
    post: Post, failure: Outcome | Exception
) -> None:
    post.platform.answering = lambda call, number: failure if (call.text, number) == ("one", 1) else Delivered()
    rows = post.queue(to(TOVE, "one"), to(TOVE, "two"), to(KIM, "eins"))

    async def scene() -> None:
        async with post.sending() as delivery:
            await post.platform.called(2)
            await settled(lambda: post.states(rows[2]) == [OutboxState.SENT])
            before = list(post.platform.shown)
            post.now += 2 * SECOND
            delivery.wake()
            await post.platform.called(4)
            assert before == [("kim", "eins")]

    asyncio.run(scene())

    assert post.platform.shown == [("kim", "eins"), ("tove", "one"), ("tove", "two")]
    assert set(post.states(*rows)) == {OutboxState.SENT}
    [first, *_] = done(post.store, lambda work: work.outbox.answers_to(1))
    assert first.attempts == 1


def test_a_message_that_alone_always_fails_gives_way_and_is_apologised_for(post: Post) -> None:
    post.platform.answering = lambda call, _number: Failed("server error") if call.text == "bad" else Delivered()
    rows = post.queue(to(TOVE, "bad", message_id=7), to(TOVE, "two", message_id=8))

    async def scene() -> None:
        async with post.sending() as delivery:
            await post.platform.called(1)
            for tries in range(2, MOST_TRIES + 1):
                [other] = await asyncio.to_thread(post.queue, to(KIM, "eins", message_id=9))
                await settled(partial(is_sent, post, other))
                post.now += timedelta(minutes=5)
                delivery.wake()
                await post.platform.called(2 * tries - 1)
            await post.platform.called(2 * MOST_TRIES - 1 + 2)

    asyncio.run(scene())

    assert post.states(*rows) == [OutboxState.REFUSED, OutboxState.SENT]
    assert [chat for chat, _ in post.platform.shown] == ["kim"] * (MOST_TRIES - 1) + ["tove"] * 2
    assert "something went wrong here" in post.platform.shown[-1][1]


def test_while_nothing_gets_through_nothing_is_given_up(post: Post) -> None:
    post.platform.answering = lambda _call, _number: Failed("nobody answers")
    [row] = post.queue(to(TOVE, "one"))

    async def scene() -> None:
        async with post.sending() as delivery:
            for tries in range(1, MOST_TRIES + 3):
                await post.platform.called(tries)
                await settled(partial(is_tried, post, tries))
                post.now += timedelta(minutes=5)
                delivery.wake()

    asyncio.run(scene())

    assert post.states(row) == [OutboxState.WAITING]


def test_a_pause_that_the_platform_wants_for_a_chat_is_kept_and_outlives_a_restart(post: Post) -> None:
    post.platform.answering = lambda call, number: RetryAfter(30) if (call.chat, number) == ("tove", 1) else Delivered()
    [row, other] = post.queue(to(TOVE, "one"), to(KIM, "eins"))

    async def scene() -> None:
        async with post.sending():
            await post.platform.called(2)
        post.now += 29 * SECOND
        async with post.sending():
            await settled(lambda: post.states(other) == [OutboxState.SENT])
            assert post.states(row) == [OutboxState.WAITING]
        post.now += 2 * SECOND
        async with post.sending():
            await post.platform.called(3)

    asyncio.run(scene())

    assert post.platform.shown == [("kim", "eins"), ("tove", "one")]
    assert done(post.store, lambda work: work.outbox.pauses("platform", now=NOW)) == {"tove": NOW + 30 * SECOND}


def test_a_pause_for_the_whole_platform_holds_every_chat(post: Post) -> None:
    post.platform.answering = first_then(RetryAfter(60, whole=True))
    post.platform.limits = Limits(size=4096, at_once=1)
    post.queue(to(TOVE, "one"), to(KIM, "eins"))

    async def scene() -> None:
        async with post.sending():
            await post.platform.called(1)
        assert done(post.store, lambda work: work.outbox.pauses("platform", now=post.now)) == {"": NOW + 60 * SECOND}
        async with post.sending():
            pass
        assert len(post.platform.calls) == 1
        post.now += 61 * SECOND
        post.platform.answering = taking
        async with post.sending():
            await post.platform.called(3)

    asyncio.run(scene())

    assert len(post.platform.shown) == 2


@pytest.mark.parametrize("why", list(Lost))
def test_an_address_that_takes_nothing_more_is_noted_once_and_the_message_dropped(post: Post, why: Lost) -> None:
    post.platform.answering = lambda call, _number: Unreachable(why) if call.chat == "tove" else Delivered()
    rows = post.queue(to(TOVE, "one"), to(KIM, "eins"))

    async def scene() -> None:
        async with post.sending():
            await post.platform.called(2)

    asyncio.run(scene())

    assert post.states(*rows) == [OutboxState.REFUSED, OutboxState.SENT]
    waiting = done(post.store, lambda work: work.inbox.next_for(TOVE))
    assert waiting is not None
    assert (waiting.kind, waiting.text) == (MessageKind.REACH_CHANGED, "0")


def test_nobody_writes_to_a_lifter_who_blocked_until_they_write(post: Post) -> None:
    dispatch = dispatch_on(post.store, lambda: post.now)
    post.platform.answering = lambda _call, _number: Unreachable(Lost.BLOCKED)
    rows = post.queue(to(TOVE, "one"), to(TOVE, "two"), scheduled(TOVE, "morning"))

    async def scene() -> None:
        async with post.sending():
            await post.platform.called(1)
        await dispatch.handle_waiting(TOVE, name="tove")

    asyncio.run(scene())
    blocked = done(post.store, lambda work: work.lifters.reach(post.lifter_id))
    done(post.store, lambda work: work.inbox.receive([arrived("again", address=TOVE, text="week")]))
    asyncio.run(dispatch.handle_waiting(TOVE, name="tove"))

    assert set(post.states(*rows)) == {OutboxState.REFUSED}
    assert blocked is None
    assert done(post.store, lambda work: work.lifters.reach(post.lifter_id)) == TOVE


def test_a_message_that_can_never_be_sent_is_apologised_for_once(post: Post) -> None:
    post.platform.answering = lambda call, _number: Rejected("bad character") if call.text == "bad" else Delivered()
    rows = post.queue(to(TOVE, "bad"), to(TOVE, "two"))

    async def scene() -> None:
        async with post.sending():
            await post.platform.called(3)

    asyncio.run(scene())

    assert post.states(*rows) == [OutboxState.REFUSED, OutboxState.SENT]
    assert "something went wrong here" in post.platform.shown[-1][1]


def test_an_apology_that_can_never_be_sent_is_not_apologised_for(post: Post) -> None:
    post.platform.answering = lambda _call, _number: Rejected("everything")
    post.queue(to(TOVE, "bad"))

    async def scene() -> None:
        async with post.sending():
            await post.platform.called(2)

    asyncio.run(scene())

    assert done(post.store, lambda work: work.outbox.heads("platform", limit=9)) == []
    assert len(post.platform.calls) == 2


def test_what_comes_too_late_is_never_sent(post: Post) -> None:
    ends = replace(scheduled(TOVE, "rest over"), expires_at=NOW + SECOND)
    rows = post.queue(to(TOVE, "old"), ends, replace(to(TOVE, "new"), created_at=NOW + LIVE_KEPT))
    post.now += LIVE_KEPT

    async def scene() -> None:
        async with post.sending():
            await post.platform.called(1)
            await settled(lambda: OutboxState.WAITING not in post.states(*rows))

    asyncio.run(scene())

    assert post.platform.shown == [("tove", "new")]
    assert post.states(*rows) == [OutboxState.EXPIRED, OutboxState.EXPIRED, OutboxState.SENT]


def test_a_long_text_is_sent_in_parts_with_the_choices_under_the_last(post: Post) -> None:
    post.platform.limits = Limits(size=20)
    post.queue(replace(to(TOVE, "one two three\nfour five six"), choices=(("yes", "y"), ("no", "n"))))

    async def scene() -> None:
        async with post.sending():
            await post.platform.called(2)

    asyncio.run(scene())

    assert [(call.text, call.choices) for call in post.platform.calls] == [("one two three", 0), ("four five six", 2)]
    assert len({call.key for call in post.platform.calls}) == 2


def test_of_a_long_text_only_the_parts_that_failed_are_sent_again(post: Post) -> None:
    post.platform.limits = Limits(size=20)
    post.platform.answering = lambda call, number: (
        Failed("") if (call.text, number) == ("five six seven", 1) else Delivered()
    )
    post.queue(to(TOVE, "one two three four\n\nfive six seven\n\neight nine ten"))

    async def scene() -> None:
        async with post.sending():
            await post.platform.called(2)
        post.now += 2 * SECOND
        async with post.sending():
            await post.platform.called(4)

    asyncio.run(scene())

    assert [text for _, text in post.platform.shown] == ["one two three four", "five six seven", "eight nine ten"]


def test_the_same_message_has_the_same_key_after_a_restart(post: Post) -> None:
    post.platform.limits = replace(PLENTY, has_keys=True)
    post.platform.answering = first_then(ConnectionError("accepted, and the answer lost"))
    post.queue(to(TOVE, "one"))

    async def scene() -> None:
        async with post.sending():
            await post.platform.called(1)
        post.now += 2 * SECOND
        async with post.sending():
            await post.platform.called(2)

    asyncio.run(scene())

    assert len({call.key for call in post.platform.calls}) == 1


def test_nothing_is_sent_twice_in_a_long_run_of_many_chats(post: Post) -> None:
    addresses = [Address("platform", f"chat {number}") for number in range(30)]
    post.queue(*[to(address, f"{turn}") for turn in range(10) for address in addresses])

    async def scene() -> None:
        async with post.sending():
            await post.platform.called(300)

    asyncio.run(scene())

    for address in addresses:
        assert [text for chat, text in post.platform.shown if chat == address.chat] == [f"{n}" for n in range(10)]


class HeldBack:
    """A store on which a message is marked as sent for as long as is wanted, and which counts the looks meanwhile."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self.marking = threading.Event()
        self.go = threading.Event()
        self.looks = 0

    def submit(self, work: Callable[[UnitOfWork], Result], *, live: bool = True) -> Future[Result]:
        def held(unit: UnitOfWork) -> Result:
            result = work(unit)
            if isinstance(result, bool):
                self.marking.set()
                self.go.wait(20)
            return result

        future = self._store.submit(held, live=live)
        future.add_done_callback(self._looked)
        return future

    def _looked(self, _future: Future[Result]) -> None:
        self.looks += 1

    def read(self) -> AbstractContextManager[UnitOfWork]:
        return self._store.read()

    def watch(self, told: Callable[[Hint], None]) -> None:
        self._store.watch(told)

    def close(self) -> None:
        self._store.close()


@pytest.mark.postgres
@pytest.mark.parametrize("database", ["postgres"], indirect=True)
def test_what_is_queued_while_the_message_before_it_is_marked_leaves_without_a_tick(store: Store) -> None:
    # given a message that was sent and is being marked
    lifter = new_lifter(store, TOVE)
    held = HeldBack(store)
    post = Post(held, lifter_id=lifter.id)
    delivery = Delivery(dispatch_on(held, lambda: NOW), post.platform, luck=lambda: 1.0, tick_s=3600)

    async def scene() -> None:
        held.watch(waking(delivery.wake, Hint.QUEUED))
        running = asyncio.create_task(delivery.run())
        post.queue(to(TOVE, "one"))
        await asyncio.to_thread(held.marking.wait, 20)

        # when the next one is queued, and looked for before that is done
        looks = held.looks
        post.queue(to(TOVE, "two"))
        await settled(lambda: held.looks >= looks + 2)
        await asyncio.sleep(0)
        held.go.set()

        # then it goes out
        await post.platform.called(2)
        delivery.stop()
        await asyncio.wait_for(running, timeout=20)

    asyncio.run(scene())

    assert [text for _, text in post.platform.shown] == ["one", "two"]


def is_sent(post: Post, row: OutboxRow) -> bool:
    return post.states(row) == [OutboxState.SENT]


def is_tried(post: Post, times: int) -> bool:
    [kept] = done(post.store, lambda work: work.outbox.answers_to(1))
    return kept.attempts == times


async def settled(so: Callable[[], bool]) -> None:
    """Wait until something in the store is so."""
    async with asyncio.timeout(20):
        # Each look is a work of the store of its own, which gives what is to be settled its turn.
        while not await asyncio.to_thread(so):
            pass
