"""What the store costs: a unit of work of a message against one bare durable commit, on both engines."""

import sqlite3
import tempfile
import time
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future
from contextlib import closing, contextmanager
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import partial
from itertools import count
from pathlib import Path
from statistics import median

import psycopg

from core.application.ports import Store, UnitOfWork
from core.application.rows import InboxRow, MessageKind, OutboxRow
from core.domain.profile import Address
from core.domain.sessions import Session
from core.domain.sets import LoggedSet
from core.domain.units import Unit
from core.storage.unit_of_work import open_store
from tests import postgres_cluster

ROUNDS = 400
"""Units of work measured one after the other; half of them with many in flight. [units]"""

IN_FLIGHT = 32

SETS = (10, 20_000)
"""Sets in the logs of the two lifters who are compared. [sets]"""

NOW = datetime(2027, 1, 4, 18, 0, tzinfo=UTC)

APART = timedelta(days=8)
"""Between two sessions, so that the last week holds the same for both lifters."""

STATE = "0.123456789;" * 40
"""About as long as the state of a family of lifts with six members. [characters]"""

STATEMENTS = 17

_numbers = count(1)


def main() -> None:
    """Print what a bare commit takes, and how often that a unit of work takes."""
    with tempfile.TemporaryDirectory(prefix="rackside-bench-") as folder:
        print("SQLite")
        with _bare_sqlite(Path(folder) / "bare.db") as bare, _opened(f"sqlite:///{folder}/rackside.db") as store:
            _report(store, bare)
    if postgres_cluster.programs() is None:
        print("no PostgreSQL server programs found")
        return
    with postgres_cluster.running_cluster(durable=True) as cluster:
        print(f"PostgreSQL {postgres_cluster.version()}")
        with _bare_postgres(cluster.database) as bare, _opened(cluster.own_database) as store:
            _report(store, bare)


def message(address: Address, work: UnitOfWork) -> None:
    """What one message asks of the store: from the event received to the answer queued."""
    number = next(_numbers)
    at = NOW + timedelta(seconds=number)
    [row] = work.inbox.receive([_event(address, number, at)])
    lifter = work.lifters.at_address(address)
    if lifter is None:
        raise LookupError(f"no lifter at {address}")
    session = work.sessions.last(lifter.id)
    if session is None:
        raise LookupError(f"no session of {lifter.id}")
    before = work.sets.of_session(session.id)
    work.estimates.state(lifter.id, "bench press")
    work.records.table(lifter.id, "bench press")
    work.sets.add(lifter.id, [_set(session, number, at)], days=[session.day], change=row.id)
    work.sessions.save(replace(session, last_set_at=at))
    work.estimates.save_state(lifter.id, "bench press", STATE)
    work.records.save(lifter.id, "bench press", "5: 80 kg")
    work.sets.counted(lifter.id, session.day - timedelta(days=6), session.day)
    work.sets.last_change(lifter.id)
    # The session keeps its size, or the thousandth message would read a thousand sets.
    work.sets.erase([before[0].id])
    work.outbox.add([_answer(address, row.id, at)], lifter_id=lifter.id)
    work.inbox.handled(row.id, at=at, lifter_id=lifter.id)


def _report(store: Store, bare: Callable[[], object]) -> None:
    new, old = (_lifter_with(store, number) for number in SETS)
    works: list[Callable[[], object]] = [bare, partial(_done, store, new), partial(_done, store, old)]
    (bare_s, _), (new_s, new_cpu_s), (old_s, old_cpu_s) = _side_by_side_s(works)
    print(f"  one bare durable commit of a row of 400 bytes: {bare_s * 1e3:.3f} ms")
    print(
        f"  a message of {STATEMENTS} statements, one at a time: {new_s * 1e3:.3f} ms, {new_s / bare_s:.1f} bare commits; "
        f"{new_cpu_s * 1e3:.3f} ms of it computing"
    )
    print(
        f"  a lifter with {SETS[1]} sets against one with {SETS[0]}: {old_s / new_s - 1:+.0%}; "
        f"computing {old_cpu_s / new_cpu_s - 1:+.0%}"
    )
    crowd = [_lifter_with(store, SETS[0]) for _ in range(IN_FLIGHT)]
    started, began = time.perf_counter(), time.process_time()
    waits = sorted(_in_flight_s(store, crowd))
    elapsed, computing = time.perf_counter() - started, time.process_time() - began
    each_s = elapsed / len(waits)
    print(
        f"  {IN_FLIGHT} lifters at once: {each_s * 1e3:.3f} ms, {each_s / bare_s:.1f} bare commits; "
        f"{computing / len(waits) * 1e3:.3f} ms of it computing; {1 / each_s:.0f} a second; "
        f"half within {median(waits) * 1e3:.1f} ms, 99 of 100 within {waits[int(len(waits) * 0.99)] * 1e3:.1f} ms"
    )


def _done(store: Store, address: Address) -> None:
    store.submit(partial(message, address)).result()


def _side_by_side_s(works: Sequence[Callable[[], object]]) -> list[tuple[float, float]]:
    """Median time that each work takes, by the wall and by the processor, taken in turn so that all meet one weather."""
    times: list[list[tuple[float, float]]] = [[] for _ in works]
    for number in range(ROUNDS):
        order = [*range(number % len(works), len(works)), *range(number % len(works))]
        for place in order if number % 2 else order[::-1]:
            work, taken = works[place], times[place]
            started, began = time.perf_counter(), time.process_time()
            work()
            taken.append((time.perf_counter() - started, time.process_time() - began))
    warm = ROUNDS // 10
    return [(median(wall for wall, _ in each[warm:]), median(cpu for _, cpu in each[warm:])) for each in times]


def _in_flight_s(store: Store, crowd: list[Address]) -> list[float]:
    waits: list[float] = []
    flying: deque[Future[None]] = deque()
    for number in range(ROUNDS * 5):
        started = time.perf_counter()
        future = store.submit(partial(message, crowd[number % len(crowd)]))
        future.add_done_callback(partial(_note, waits, started))
        flying.append(future)
        if len(flying) == IN_FLIGHT:
            flying.popleft().result()
    for future in flying:
        future.result()
    return waits


def _note(waits: list[float], started: float, _done: object) -> None:
    waits.append(time.perf_counter() - started)


def _lifter_with(store: Store, number_of_sets: int) -> Address:
    """The address of a lifter with so many sets in the log, ten of them in the last session."""
    address = Address("bench", str(next(_numbers)))

    def begin(work: UnitOfWork) -> tuple[int, Session]:
        lifter = work.lifters.create(address, name="Tove", now=NOW, zone="UTC")
        work.estimates.save_state(lifter.id, "bench press", STATE)
        work.records.save(lifter.id, "bench press", "5: 80 kg")
        sessions = [
            work.sessions.add(Session(lifter_id=lifter.id, day=at.date(), opened_at=at, last_set_at=at))
            for at in (NOW - APART * each for each in range(number_of_sets // 10))
        ]
        for session in sessions:
            ats = [session.opened_at + timedelta(minutes=each) for each in range(-10, 0)]
            sets = [_set(session, next(_numbers), at) for at in ats]
            work.sets.add(lifter.id, sets, days=[session.day] * len(sets), change=next(_numbers))
        return lifter.id, sessions[0]

    store.submit(begin).result()
    return address


def _event(address: Address, number: int, at: datetime) -> InboxRow:
    return InboxRow(
        address=address,
        event_key=f"bench:{number}",
        kind=MessageKind.ARRIVED,
        message_key=f"bench:{number}",
        text="bench 80x5 rir2",
        sent_at=at,
        received_at=at,
    )


def _set(session: Session, number: int, at: datetime) -> LoggedSet:
    return LoggedSet(
        session_id=session.id,
        at=at,
        root_key=f"bench:{number}",
        place=0,
        exercise="bench press",
        load=80.0,
        unit=Unit.KG,
        load_kg=80.0,
        moved_kg=80.0,
        reps=5,
        rir=2.0,
    )


def _answer(address: Address, message_id: int, at: datetime) -> OutboxRow:
    text = "bench press 80 kg x 5, 2 left\n1RM 98.5 kg (94 to 103)\nchest 6 of 4 to 16 sets this week"
    return OutboxRow(address=address, message_id=message_id, text=text, created_at=at)


@contextmanager
def _bare_sqlite(path: Path) -> Iterator[Callable[[], object]]:
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("PRAGMA journal_mode = WAL")
        connection.execute("PRAGMA synchronous = FULL")
        connection.execute("CREATE TABLE bare (id INTEGER PRIMARY KEY, text TEXT)")
        yield lambda: connection.execute("INSERT INTO bare (text) VALUES (?)", ["x" * 400])


@contextmanager
def _bare_postgres(url: str) -> Iterator[Callable[[], object]]:
    with closing(psycopg.connect(url, autocommit=True)) as connection:
        connection.execute("CREATE TABLE bare (id BIGINT GENERATED ALWAYS AS IDENTITY, text TEXT)")
        yield lambda: connection.execute("INSERT INTO bare (text) VALUES (%s)", ["x" * 400], prepare=True)


@contextmanager
def _opened(url: str) -> Iterator[Store]:
    store = open_store(url)
    try:
        yield store
    finally:
        store.close()


if __name__ == "__main__":
    main()
