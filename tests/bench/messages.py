"""Measures reading one entry, and one whole message from receive to queued answer, as ratios in one run."""

import re
import sqlite3
import statistics
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path

import psycopg

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


def bare_commit_s(folder: Path, *, times: int = 500) -> float:
    """Median time of one durable commit of one row through the standard library. [s]"""
    link = sqlite3.connect(folder / "bare.db", isolation_level=None)
    link.execute("PRAGMA journal_mode=WAL")
    link.execute("PRAGMA synchronous=FULL")
    link.execute("CREATE TABLE bare (id INTEGER PRIMARY KEY, text TEXT)")
    row = (LINE * 20,)

    def commit() -> None:
        link.execute("BEGIN IMMEDIATE")
        link.execute("INSERT INTO bare (text) VALUES (?)", row)
        link.execute("COMMIT")

    taken = median_s(commit, times=times)
    link.close()
    return taken


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
    key = f"{next(keys):012d}"
    event = Arrived(address=Address("bench", lifter), event_key=key, sent_at=clock(), text=LINE, message_key=key)
    dispatch.take(event, name=lifter)


def one_message_s(url: str, *, times: int = 400, before: int = 0) -> float:
    """Median time of one whole message of one lifter who has some sets in the log. [s]"""
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
        return median_s(lambda: texted(dispatch, "tove", keys, clock), times=times)


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
        bare = bare_commit_s(folder)
        print(f"bare durable commit of one row (sqlite3): {bare * 1e3:.3f} ms")
        one = one_message_s(f"sqlite:///{folder / 'one.db'}")
        print(f"one whole message, SQLite: {one * 1e3:.2f} ms, {one / bare:.1f} times the bare commit (aim: at most 8)")
        many_rows = one_message_s(f"sqlite:///{folder / 'many.db'}", before=20_000)
        print(f"  with 20,000 sets in the log: {many_rows / one:.2f} times that with few (aim: within 1.10)")
        rate, p50, p99 = many_lifters(f"sqlite:///{folder / 'lifters.db'}")
        print(
            f"32 lifters at once, SQLite: {rate:.0f} a second (aim: 1,000), "
            f"p50 {p50 * 1e3:.0f} ms, p99 {p99 * 1e3:.0f} ms (aim: under 50)"
        )
    if programs() is None:
        print("PostgreSQL: no server programs found, not measured")
        return
    with running_cluster() as cluster:
        one = one_message_s(cluster.own_database)
        print(
            f"one whole message, PostgreSQL {version()}: {one * 1e3:.2f} ms, {one / bare:.1f} times the bare SQLite commit"
        )
        many_rows = one_message_s(cluster.own_database, before=20_000)
        print(f"  with 20,000 sets in the log: {many_rows / one:.2f} times that with few (aim: within 1.10)")
        rate, p50, p99 = many_lifters(cluster.own_database)
        print(
            f"32 lifters at once, PostgreSQL {version()}: {rate:.0f} a second, p50 {p50 * 1e3:.0f} ms, p99 {p99 * 1e3:.0f} ms"
        )
