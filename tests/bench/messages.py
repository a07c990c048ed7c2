"""Measures reading one entry, and one whole message from receive to queued answer, as ratios in one run.

Lifters write straight sets, four of a load, so that a line is often one that was read before, as it is in life. The
processor's time is printed beside the clock's: on a busy machine a durable commit is slow and hides all else.
"""

import re
import sqlite3
import statistics
import tempfile
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path

import psycopg
from typing_extensions import override

from bot.dispatch import Dispatch
from bot.messages import Arrived
from bot.rendering.replies import House
from core.domain.profile import Address
from core.notation.messages import Context, read
from core.notation.words import catalogue_names
from core.storage.unit_of_work import open_store
from tests.postgres_cluster import programs, running_cluster, version

LINE = "bench 80x5 rir2"
PATTERN = re.compile(r"\s*([a-z ]+?)\s+(\d+(?:\.\d+)?)\s*x\s*(\d+)\s+rir\s*(\d+)\s*")
LOADS = [f"bench {80 + step / 2:g}x5 rir{left}" for step in range(12) for left in (3, 2, 1)]
"""Lines of sets that are nothing out of the ordinary for each other."""

BEGIN = datetime(2027, 1, 4, 18, 0, tzinfo=UTC)


class SteppingClock:
    """A clock that goes on by the same step whenever it is asked, and by two days after every visit to the rack."""

    def __init__(self, step: timedelta, *, visit: int) -> None:
        self.now = BEGIN
        self.step = step
        self.visit = visit
        self.asked = 0

    def __call__(self) -> datetime:
        self.asked += 1
        self.now += timedelta(days=2) if self.asked % self.visit == 0 else self.step
        return self.now


def median_s(work: Callable[[], object], *, times: int) -> float:
    """Median time of one call. [s]"""
    taken: list[float] = []
    for _ in range(times):
        begun = time.perf_counter()
        work()
        taken.append(time.perf_counter() - begun)
    return statistics.median(taken)


@dataclass(frozen=True, slots=True)
class Taken:
    """Median times of one call by the clock and by the processor, and of the bare commits taken in turn with it. [s]"""

    clock_s: float
    processor_s: float
    bare_clock_s: float
    bare_processor_s: float

    @override
    def __str__(self) -> str:
        """The times, as multiples of the bare commit's."""
        return (
            f"{self.clock_s * 1e3:.2f} ms, {self.clock_s / self.bare_clock_s:.1f} times the bare commit of "
            f"{self.bare_clock_s * 1e3:.2f} ms; of the processor {self.processor_s * 1e3:.2f} ms, "
            f"{self.processor_s / self.bare_processor_s:.0f} times its {self.bare_processor_s * 1e3:.3f} ms"
        )


def in_turn(
    works: Sequence[Callable[[], object]], bare: Callable[[], object], *, rounds: int = 20, each: int = 20
) -> list[Taken]:
    """Time works and a bare commit in turn, so that all meet the same weather."""
    every = (*works, bare)
    clocks: list[list[float]] = [[] for _ in every]
    processors: list[list[float]] = [[] for _ in every]
    for _ in range(rounds):
        for place, called in enumerate(every):
            processor = time.process_time()
            clocks[place].append(median_s(called, times=each))
            processors[place].append((time.process_time() - processor) / each)
    *clock, bare_clock = [statistics.median(each) for each in clocks]
    *processor_s, bare_processor = [statistics.median(each) for each in processors]
    return [Taken(*each, bare_clock, bare_processor) for each in zip(clock, processor_s, strict=True)]


@contextmanager
def bare_commits(folder: Path) -> Iterator[Callable[[], object]]:
    """A durable commit of one row of the size of a message's, through the standard library."""
    link = sqlite3.connect(folder / "bare.db", isolation_level=None)
    link.execute("PRAGMA journal_mode=WAL")
    link.execute("PRAGMA synchronous=FULL")
    link.execute("CREATE TABLE IF NOT EXISTS bare (id INTEGER PRIMARY KEY, text TEXT)")
    row = (LINE * 20,)

    def commit() -> None:
        link.execute("BEGIN IMMEDIATE")
        link.execute("INSERT INTO bare (text) VALUES (?)", row)
        link.execute("COMMIT")

    try:
        yield commit
    finally:
        link.close()


@contextmanager
def dispatching(url: str, clock: Callable[[], datetime]) -> Iterator[Dispatch]:
    """A dispatch on a store."""
    store = open_store(url)
    try:
        yield Dispatch(store, clock=clock, house=House())
    finally:
        store.close()


def texted(dispatch: Dispatch, lifter: str, keys: Iterator[int], clock: Callable[[], datetime]) -> None:
    """One set is texted, handled and answered."""
    number = next(keys)
    key, text = f"{number:012d}", LOADS[number // 4 % len(LOADS)]
    event = Arrived(address=Address("bench", lifter), event_key=key, sent_at=clock(), text=text, message_key=key)
    dispatch.take(event, name=lifter)


@contextmanager
def one_message(url: str, *, before: int = 0) -> Iterator[Callable[[], None]]:
    """One whole message of one lifter who has some sets in the log."""
    clock = SteppingClock(timedelta(minutes=1), visit=50)
    keys = count(1)
    with dispatching(url, clock) as dispatch:
        many = ", ".join(["bench 80x5 rir2"] + ["80x5 rir2"] * 24)
        for _ in range(before // 25):
            key = f"{next(keys):012d}"
            event = Arrived(
                address=Address("bench", "tove"), event_key=key, sent_at=clock(), text=many, message_key=key
            )
            dispatch.take(event, name="tove")
        if before and url.startswith("postgresql"):
            analysed(url)
        for _ in range(50):
            texted(dispatch, "tove", keys, clock)
        yield lambda: texted(dispatch, "tove", keys, clock)


def analysed(url: str) -> None:
    """Bring the planner's figures up to date, as autovacuum does within a minute of so many new rows."""
    with psycopg.connect(url.replace("+psycopg", "", 1), autocommit=True) as connection:
        connection.execute("ANALYZE")


def many_lifters(url: str, *, lifters: int = 32, each: int = 60) -> tuple[float, float, float]:
    """Messages a second, and p50 and p99 of one message, with many lifters texting at once. [1/s, s, s]"""
    taken: list[float] = []
    lock = threading.Lock()
    clock = SteppingClock(timedelta(seconds=1), visit=1600)
    keys = count(1)
    with dispatching(url, clock) as dispatch:

        def texting(lifter: str, times: int) -> None:
            mine: list[float] = []
            for _ in range(times):
                begun = time.perf_counter()
                texted(dispatch, lifter, keys, clock)
                mine.append(time.perf_counter() - begun)
            with lock:
                taken.extend(mine)

        for number in range(lifters):
            texting(f"lifter {number}", 2)
        taken.clear()
        threads = [threading.Thread(target=texting, args=(f"lifter {n}", each)) for n in range(lifters)]
        begun = time.perf_counter()
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        whole = time.perf_counter() - begun
    taken.sort()
    return len(taken) / whole, statistics.median(taken), taken[int(0.99 * len(taken))]


def main() -> None:
    """Print the ratios."""
    plain = Context(names=catalogue_names())
    bare_match = median_s(lambda: PATTERN.match(LINE), times=5000)
    reading = median_s(lambda: read(LINE, plain), times=2000)
    print(f"reading `{LINE}`: {reading * 1e6:.0f} us, {reading / bare_match:.0f} times a bare re match")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        with bare_commits(folder) as bare:
            measured("SQLite", f"sqlite:///{folder / 'one.db'}", f"sqlite:///{folder / 'many.db'}", bare)
        rate, p50, p99 = many_lifters(f"sqlite:///{folder / 'lifters.db'}")
        print(
            f"32 lifters at once, SQLite: {rate:.0f} a second (aim: 1,000), "
            f"p50 {p50 * 1e3:.0f} ms, p99 {p99 * 1e3:.0f} ms (aim: under 50)"
        )
    if programs() is None:
        print("PostgreSQL: no server programs found, not measured")
        return
    engine = f"PostgreSQL {version()}"
    with tempfile.TemporaryDirectory() as beside, running_cluster() as cluster, bare_commits(Path(beside)) as bare:
        measured(engine, cluster.own_database, cluster.own_database, bare)
        rate, p50, p99 = many_lifters(cluster.own_database)
        print(f"32 lifters at once, {engine}: {rate:.0f} a second, p50 {p50 * 1e3:.0f} ms, p99 {p99 * 1e3:.0f} ms")


def measured(name: str, few_url: str, many_url: str, bare: Callable[[], object]) -> None:
    """Print one message's times, and those with many sets in the log."""
    with one_message(few_url) as with_few, one_message(many_url, before=20_000) as with_many:
        few, many = in_turn([with_few, with_many], bare)
    print(f"one whole message, {name}: {few} (aim: at most 8)")
    print(
        f"  with 20,000 sets in the log: {many.clock_s / few.clock_s:.2f} times that with few, of the processor "
        f"{many.processor_s / few.processor_s:.2f} (aim: within 1.10)"
    )
