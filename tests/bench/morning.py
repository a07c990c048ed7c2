"""Measures a morning: 100,000 lifters with a session due at seven, one process, a platform that takes 30 a second."""

import asyncio
import json
import random
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import AbstractContextManager, nullcontext
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path

import sqlalchemy as sa

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
from core.storage.unit_of_work import open_store
from core.storage.upgrades import migrate
from tests.postgres_cluster import programs, running_cluster, version

LIFTERS = 100_000

SEVEN = datetime(2027, 1, 5, 7, 0, tzinfo=UTC)

TAKES = Limits(size=4096, a_second=30, scheduled_a_second=25, chat_a_second=1)

LIVE_EVERY_S = 0.3
"""Between two live messages. [s] Three a second, beside 25 a second that are scheduled."""

LIVE_MESSAGES = 120

RESTS = 30
"""Rests that end while the morning goes out, one a second."""

CLAIMED = 1000

NUMBERED = """{insert}
WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < {lifters}) SELECT {rows} FROM n"""
"""Makes rows of numbers; told to the database as text, since it makes them faster than any program."""

LIFTER_ROWS = (
    """INSERT INTO lifters (id, name, created_at, version, unit, unit_told, bar_amount, bar_unit, zone, day_begins_hour,
    habits, body_mass_off, introduced)""",
    "i, 'Tove', 0, 0, 'kg', true, 20, 'kg', 'UTC', 4, '{{}}', false, true",
)

ADDRESS_ROWS = (
    "INSERT INTO addresses (connector, chat, lifter_id, written_at)",
    "'bench', CAST(i AS TEXT), i, {at} - 1",
)

DUE_ROWS = (
    "INSERT INTO due (lifter_id, kind, occasion, at, wish, zone, data, state)",
    "i, 'session', '2027-01-05', {at}, '2027-01-05T07:00:00', 'UTC', '', 'waiting'",
)

AIMS = "aims: start under 1 s, memory under 200 MB, live p99 under 250 ms"


def main() -> None:
    """Measure on SQLite and, where it is found, PostgreSQL."""
    print(f"{LIFTERS:,} lifters due at 7:00, 30 messages a second of which 25 scheduled; {AIMS}")
    with tempfile.TemporaryDirectory() as folder:
        measured("SQLite", f"sqlite:///{folder}/morning.db")
    if programs() is None:
        print("PostgreSQL: no server programs found")
        return
    with running_cluster() as cluster:
        measured(f"PostgreSQL {version()}", cluster.database)


def measured(engine: str, url: str) -> None:
    """Measure on one engine, in a process of its own whose memory is its own."""
    migrate(url)
    fill(url)
    begun = time.time()
    command = [sys.executable, "-m", "tests.bench.morning", url, str(begun)]
    done = subprocess.run(command, capture_output=True, text=True, check=True, cwd=Path(__file__).parents[2])
    found: dict[str, float] = json.loads(done.stdout.splitlines()[-1])
    print(
        f"{engine}: start {found['start_s']:.2f} s ({found['ready_s']:.2f} s of it after the imports), "
        f"memory {found['memory_mb']:.0f} MB, "
        f"claim of {CLAIMED:,} rows {found['claim_ms']:.0f} ms, "
        f"live p50 {found['p50_ms']:.0f} ms, p99 {found['p99_ms']:.0f} ms of {LIVE_MESSAGES} "
        f"while {found['scheduled']:.0f} scheduled went out in {found['took_s']:.0f} s, "
        f"rests told {found['rest_s']:.2f} s late, {found['latest_rest_s']:.2f} s at most of {RESTS} (aim 0.5 s)"
    )


def fill(url: str) -> None:
    """Lifters with a row due each, written by statements of the database's own."""
    engine = sa.create_engine(url.replace("postgresql://", "postgresql+psycopg://"))
    at = int(SEVEN.timestamp() * 1_000_000)
    with engine.begin() as connection:
        for statement in (LIFTER_ROWS, ADDRESS_ROWS, DUE_ROWS):
            connection.execute(
                sa.text(NUMBERED.format(lifters=LIFTERS, insert=statement[0], rows=statement[1].format(at=at)))
            )
        connection.execute(sa.text("ANALYZE"))
    engine.dispose()


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


if __name__ == "__main__":
    opened = open_store(sys.argv[1])
    print(json.dumps(asyncio.run(morning(opened, begun=float(sys.argv[2])))))
    opened.close()
