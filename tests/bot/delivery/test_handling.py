"""Handling: whatever comes when is handled, each lifter's in order, without waiting for the next look by the clock."""

import asyncio
import random
from collections.abc import AsyncIterator, Sequence
from contextlib import asynccontextmanager

import pytest

from bot.delivery.handling import AT_ONCE, TAKEN_TOGETHER, Handling
from bot.dispatch import committed, waking
from bot.messages import Arrived
from core.application.ports import Hint, Store, UnitOfWork
from core.application.rows import InboxRow
from core.domain.profile import Address
from tests.conversations import dispatch_on
from tests.core.storage.rows import NOW, arrived

NEVER_S = 3600.0
"""A look by the clock that no test lives to see. [s]"""


def message(chat: int, number: int) -> InboxRow:
    """A set whose load tells its number."""
    return arrived(f"{chat}.{number}", address=Address("platform", f"{chat:03}"), text=f"bench {80 - number}x5")


def event(chat: int, number: int) -> Arrived:
    """The same, as a platform hands it in."""
    row = message(chat, number)
    return Arrived(
        address=row.address,
        event_key=row.event_key,
        sent_at=row.sent_at,
        text=row.text or "",
        message_key=row.message_key,
    )


@asynccontextmanager
async def handling(store: Store) -> AsyncIterator[Handling]:
    """Handling that is woken by the store alone."""
    running = Handling(dispatch_on(store, lambda: NOW), tick_s=NEVER_S)
    store.watch(waking(running.wake, Hint.RECEIVED))
    task = asyncio.create_task(running.run())
    try:
        # It has begun.
        await asyncio.sleep(0)
        yield running
    finally:
        running.stop()
        await asyncio.wait_for(task, timeout=60)


async def received(store: Store, rows: Sequence[InboxRow]) -> None:
    await committed(store.submit(lambda work: work.inbox.receive(rows)))


async def logged(store: Store, *, chats: int, sets: int) -> None:
    """Wait until so many sets are logged in all.

    Raises:
        TimeoutError: Something waited for a look by the clock.

    """
    async with asyncio.timeout(60):
        while sum([len(await loads(store, chat)) for chat in range(chats)]) < sets:  # noqa: ASYNC110 - the store tells nobody
            await asyncio.sleep(0.01)


async def loads(store: Store, chat: int) -> list[float]:
    """Loads of a lifter in the order in which they were logged. [kg]"""

    def found(work: UnitOfWork) -> list[float]:
        lifter = work.lifters.at_address(Address("platform", f"{chat:03}"))
        sets = () if lifter is None else work.sets.between(lifter.id, NOW.date(), NOW.date())
        return [each.load_kg for each in sorted(sets, key=lambda each: each.id)]

    return await committed(store.submit(found))


async def test_more_lifters_than_are_handled_at_once_are_all_answered(store: Store) -> None:
    count = 2 * AT_ONCE + 1
    await received(store, [message(chat, 0) for chat in range(count)])

    async with handling(store):
        await logged(store, chats=count, sets=count)

    assert [await loads(store, chat) for chat in range(count)] == [[80.0]] * count


@pytest.mark.parametrize("seed", range(4))
async def test_what_comes_while_others_are_handled_is_handled_in_order(store: Store, seed: int) -> None:
    luck = random.Random(seed)  # noqa: S311 - no secret
    chats, each = 5, 6
    numbers = [chat for chat in range(chats) for _ in range(each)]
    luck.shuffle(numbers)
    next_of = dict.fromkeys(range(chats), 0)

    async with handling(store):
        while numbers:
            batch = [numbers.pop() for _ in range(min(len(numbers), luck.randint(1, 3)))]
            rows = []
            for chat in batch:
                rows.append(message(chat, next_of[chat]))
                next_of[chat] += 1
            await received(store, rows)
            for _ in range(luck.randint(0, 40)):
                # Lets the handling go on by a step at a time, so that what comes meets it at every point.
                await asyncio.sleep(0)
        await logged(store, chats=chats, sets=chats * each)

    for chat in range(chats):
        assert await loads(store, chat) == [80.0 - number for number in range(each)]


@pytest.mark.parametrize("seed", range(6))
async def test_what_a_platform_hands_in_is_handled_once_and_in_order(store: Store, seed: int) -> None:
    """In batches of any size, now and then one of them again, as platforms deliver."""
    luck = random.Random(seed)  # noqa: S311 - no secret
    chats, each = TAKEN_TOGETHER + 3, 5
    coming = {chat: [event(chat, number) for number in range(each)] for chat in range(chats)}

    async with handling(store) as running:
        while coming:
            batch: list[Arrived] = []
            for chat in luck.sample(sorted(coming), luck.randint(1, len(coming))):
                some = luck.choice((1, 1, 1, 2))
                batch += coming[chat][:some]
                coming[chat] = coming[chat][some:]
            coming = {chat: left for chat, left in coming.items() if left}
            for _ in range(luck.randint(1, 2)):
                await running.receive(batch)
        await logged(store, chats=chats, sets=chats * each)

    for chat in range(chats):
        assert await loads(store, chat) == [80.0 - number for number in range(each)]
