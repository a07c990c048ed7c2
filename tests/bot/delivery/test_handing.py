"""Handing over: an answer that was just queued is sent without a look at the outbox, and never before what waits."""

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from datetime import timedelta

import pytest

from bot.delivery.connector import Limits, RetryAfter
from bot.delivery.delivery import Delivery
from bot.dispatch import Dispatch, Step
from bot.messages import Arrived
from bot.rows import Queued
from core.application.ports import Store
from core.application.rows import OutboxRow
from core.domain.profile import Address
from tests.bot.delivery.platform import Platform
from tests.conversations import dispatch_on
from tests.core.storage.rows import NOW, answer, done, new_lifter

TOVE = Address("platform", "tove")

KIM = Address("platform", "kim")

LONG_S = 60.0
"""A tick that no test waits for: what is sent was handed over, or found by a look that something asked for. [s]"""


@dataclass(slots=True)
class Post:
    """A store with an outbox and a platform; nothing tells delivery of what is queued."""

    store: Store
    platform: Platform = field(default_factory=Platform)
    dispatch: Dispatch = field(init=False)

    def __post_init__(self) -> None:
        self.dispatch = dispatch_on(self.store, lambda: NOW)

    def queue(self, text: str) -> Queued:
        """Queue an answer as a message that is taken in does."""
        behind = tuple(done(self.store, lambda work: work.outbox.waiting_there(TOVE)))
        rows = [answer(1, address=TOVE, text=text)]
        [row] = done(self.store, lambda work: work.outbox.add(rows, lifter_id=None, handed=True))
        return Queued(row, behind)

    def waiting(self) -> list[OutboxRow]:
        return list(done(self.store, lambda work: work.outbox.waiting("platform", limit=10)))

    @asynccontextmanager
    async def sending(self) -> AsyncIterator[Delivery]:
        """Delivery at work, which has looked at the outbox once."""
        delivery = Delivery(self.dispatch, self.platform, luck=lambda: 1.0, tick_s=LONG_S)
        running = asyncio.create_task(delivery.run())
        await settled()
        try:
            yield delivery
        finally:
            delivery.stop()
            await asyncio.wait_for(running, timeout=20)


async def settled() -> None:
    """Let what the store's thread has begun come back."""
    for _ in range(50):
        await asyncio.sleep(0.002)


@pytest.fixture
def post(store: Store) -> Post:
    new_lifter(store, TOVE)
    return Post(store)


async def test_an_answer_that_is_handed_over_is_sent_without_a_look(post: Post) -> None:
    async with post.sending() as delivery:
        delivery.hand(post.queue("one"))
        await post.platform.called(1)

    assert post.platform.shown == [("tove", "one")]
    assert post.waiting() == []


async def test_what_was_queued_before_goes_before_it(post: Post) -> None:
    async with post.sending() as delivery:
        post.queue("one")
        delivery.hand(post.queue("two"))
        await post.platform.called(2)

    assert post.platform.shown == [("tove", "one"), ("tove", "two")]


async def test_behind_one_on_its_way_it_goes_once_that_is_settled(post: Post) -> None:
    # given an answer that the platform is slow to take
    gate = asyncio.Event()
    post.platform.gate = gate
    async with post.sending() as delivery:
        delivery.hand(post.queue("one"))
        await post.platform.called(1)

        # when others are handed over, the second of which nobody has seen
        delivery.hand(post.queue("two"))
        unseen = post.queue("three")
        delivery.hand(post.queue("four"))
        await settled()
        assert len(post.platform.calls) == 1
        gate.set()
        await post.platform.called(4)

    # then all go once, in order
    assert [text for _, text in post.platform.shown] == ["one", "two", "three", "four"]
    assert unseen.behind != ()
    assert post.waiting() == []


async def test_behind_one_that_has_to_wait_it_waits_too(post: Post) -> None:
    # given a platform that wants a pause
    post.platform.answering = lambda _call, _number: RetryAfter(wait_s=3600.0, whole=False)
    gate = asyncio.Event()
    post.platform.gate = gate
    async with post.sending() as delivery:
        delivery.hand(post.queue("one"))
        await post.platform.called(1)
        delivery.hand(post.queue("two"))
        gate.set()
        await settled()
        delivery.hand(post.queue("three"))
        await settled()

    # then nothing overtakes what has to be sent again
    assert [call.text for call in post.platform.calls] == ["one"]
    assert [row.text for row in post.waiting()] == ["one", "two", "three"]


async def test_what_was_left_for_want_of_room_goes_before_it(post: Post) -> None:
    # given a platform that takes one call at once, which is on its way, and somebody who waits for that
    post.platform.limits = Limits(size=4096, at_once=1)
    post.platform.gate = asyncio.Event()
    async with post.sending() as delivery:
        delivery.hand(post.queue("one"))
        await post.platform.called(1)
        rows = [answer(1, address=KIM, text="eins")]
        done(post.store, lambda work: work.outbox.add(rows, lifter_id=None))
        delivery.wake()
        await settled()

        # when the first one's next answer is handed over
        delivery.hand(post.queue("two"))
        post.platform.gate.set()
        await post.platform.called(3)

    # then it goes behind who waited
    assert post.platform.shown == [("tove", "one"), ("kim", "eins"), ("tove", "two")]


async def test_handed_over_after_the_end_it_waits_for_the_next_start(post: Post) -> None:
    async with post.sending() as delivery:
        pass
    delivery.hand(post.queue("one"))

    assert [row.text for row in post.waiting()] == ["one"]
    async with post.sending():
        await post.platform.called(1)


async def test_a_message_taken_in_hands_its_answer_over_with_what_waits_before_it(post: Post) -> None:
    handed: list[Queued] = []
    events = [
        Arrived(address=TOVE, event_key=f"e{n}", message_key=f"m{n}", text="bench 80x5", sent_at=NOW + timedelta(n))
        for n in range(2)
    ]

    steps = [await post.dispatch.take_in(each, name="tove", hand=handed.append) for each in events]
    again = await post.dispatch.take_in(events[1], name="tove", hand=handed.append)

    waiting = post.waiting()
    assert (steps, again) == ([Step.LAST, Step.LAST], Step.NONE)
    assert handed[0] == Queued(waiting[0], ())
    assert handed[1].row in waiting
    assert set(handed[1].behind) == {row.id for row in waiting if row.id < handed[1].row.id}
