"""A morning as one process serves it, and what is measured of it; `tests.bench.serving` starts it as `serve` starts."""

import asyncio
import random
import resource
import statistics
import time
from collections.abc import Callable
from contextlib import AbstractContextManager, nullcontext
from datetime import UTC, datetime, timedelta
from functools import partial

from bot.delivery.connector import Connector, Delivered, Limits, Outcome, Receive
from bot.delivery.firing import Firing
from bot.dispatch import Dispatch
from bot.messages import Arrived, OutgoingMessage
from bot.rendering.replies import House
from bot.scheduler.service import Service
from core.application.callings import CALLINGS
from core.application.due import Calling
from core.application.ports import Store, UnitOfWork
from core.application.turn import Turn
from core.domain.profile import Address
from core.domain.reminders import Due, Kind
from core.domain.replies import Acknowledged, Reply
from core.domain.replies import Done as Small
from tests.bench.mornings import CLAIMED, LIFTERS, LIVE_MESSAGES, RESTS, SEVEN

TAKES = Limits(size=4096, a_second=30, scheduled_a_second=25, chat_a_second=1)

LIVE_EVERY_S = 0.3
"""Between two live messages. [s] Three a second, beside 25 a second that are scheduled."""


class Bench:
    """The platform: it notes when each live answer comes.

    Args:
        receive: Set once it runs.

    """

    name = "bench"
    limits = TAKES

    def __init__(self) -> None:
        self.receive: Receive | None = None
        self.asked_at: dict[str, float] = {}
        self.took_s: list[float] = []
        self.rest_ends: dict[str, datetime] = {}
        self.rest_late_s: list[float] = []
        self.clock: Callable[[], datetime] = lambda: SEVEN
        self.scheduled = 0
        self.running = asyncio.Event()

    async def run(self, receive: Receive) -> None:
        self.receive = receive
        self.running.set()
        await asyncio.Event().wait()

    async def send(self, address: Address, message: OutgoingMessage, *, key: str, silent: bool) -> Outcome:
        del message
        if silent:
            self.scheduled += 1
        elif address.chat in self.rest_ends:
            self.rest_late_s.append((self.clock() - self.rest_ends.pop(address.chat)).total_seconds())
        elif address.chat in self.asked_at:
            self.took_s.append(time.perf_counter() - self.asked_at.pop(address.chat))
        await asyncio.sleep(0.001)
        return Delivered(key)

    async def close(self) -> None:
        return


class Ours:
    """A claim that always holds."""

    def holds(self) -> bool:
        return True


def good_morning(turn: Turn, row: Due) -> list[Reply]:
    """A message a morning; what a session says costs its own time, measured elsewhere."""
    del turn
    return [Acknowledged(Small.HABIT, row.occasion)]


def put(row: Due, work: UnitOfWork) -> None:
    """Have something come."""
    work.due.put(row)


async def morning(store: Store, *, begun: float) -> dict[str, float]:
    """Serve a morning; what was measured."""
    ready_at = time.time()
    offset = SEVEN - timedelta(seconds=2) - datetime.now(UTC)
    dispatch = Dispatch(store, clock=lambda: datetime.now(UTC) + offset, house=House())
    platform = Bench()

    def claiming(_connector: Connector) -> AbstractContextManager[Ours]:
        return nullcontext(Ours())

    async def nothing() -> None:
        return

    service = Service(
        dispatch,
        Firing(dispatch, callings={**CALLINGS, Kind.SESSION: Calling(good_morning)}),
        [platform],
        claiming=claiming,
        housekeeping=nothing,
    )
    stopping = asyncio.Event()
    serving = asyncio.create_task(service.run(stopping))
    await platform.running.wait()
    started = time.time()
    busy_s = time.process_time()
    await asyncio.sleep(3)
    receive = platform.receive
    assert receive is not None
    platform.clock = dispatch.clock
    for number in range(1, RESTS + 1):
        ends = dispatch.clock() + timedelta(seconds=number)
        platform.rest_ends[str(number)] = ends
        row = Due(lifter_id=number, kind=Kind.REST, occasion="1", at=ends, data="60")
        await asyncio.wrap_future(store.submit(partial(put, row)))
    luck = random.Random(7)  # noqa: S311 - luck, not a secret
    live_from = time.perf_counter()
    for number in range(LIVE_MESSAGES):
        chat = str(luck.randrange(LIFTERS // 2, LIFTERS))
        now = dispatch.clock()
        platform.asked_at[chat] = time.perf_counter()
        event = Arrived(
            address=Address("bench", chat), event_key=f"e{number}", sent_at=now, text="week", message_key=f"{number}"
        )
        await receive([event])
        await asyncio.sleep(LIVE_EVERY_S)
    took_s = time.perf_counter() - live_from
    scheduled = platform.scheduled
    stopping.set()
    await serving
    claims = []
    for _ in range(5):
        before = time.perf_counter()
        store.submit(lambda work: work.due.claim(dispatch.clock(), kinds=[Kind.SESSION], limit=CLAIMED)).result()
        claims.append(time.perf_counter() - before)
    taken = sorted(platform.took_s)
    return {
        "start_s": started - begun,
        "busy_s": busy_s,
        "ready_s": started - ready_at,
        "memory_mb": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024,
        "claim_ms": statistics.median(claims) * 1000,
        "p50_ms": statistics.median(taken) * 1000,
        "p99_ms": taken[int(len(taken) * 0.99)] * 1000,
        "scheduled": scheduled,
        "rest_s": statistics.median(platform.rest_late_s),
        "latest_rest_s": max(platform.rest_late_s),
        "took_s": took_s,
    }
