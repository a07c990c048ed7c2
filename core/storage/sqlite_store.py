"""The store on SQLite: one thread writes, works that wait share a commit, readers see snapshots."""

import sqlite3
import time
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future
from contextlib import AbstractContextManager, closing, contextmanager
from threading import Lock, Thread
from typing import TypeVar

from core.application.ports import Hint, Observer, StoreFull, UnitOfWork
from core.storage.links import SqliteLink
from core.storage.locations import InMemory, OnDisk
from core.storage.recall import Recall
from core.storage.sqlite_files import BUSY_MS, connect, refusal_of
from core.storage.unit_of_work import OpenUnit
from core.storage.upgrades import upgrade_sqlite
from core.storage.work_queue import Answer, Job, WorkQueue

Result = TypeVar("Result")

MOST_TOGETHER = 64
"""Most works in one commit. [works]"""

SHORTEST_TOGETHER_S, LONGEST_TOGETHER_S = 0.01, 0.025
"""No further work joins a commit that is this old: the first in it waits no longer than that. [s] The slower the disk,
the longer: a commit shared by few is dear then."""

COMMITS_TOGETHER = 3
"""How many times as long as the last commit took works are gathered for the next one. [1] Then a quarter is waiting."""

PAUSES_S = (0.02, 0.1, 0.5)
"""Waits before a refused work is run again; each try waits for a lock by itself, too. [s]"""


class SqliteStore:
    """Runs units of work on SQLite.

    Args:
        location: The database.
        observer: Told the points that a unit of work passes.
        pauses_s: Waits before a refused work is run again. [s]
        pause: Waits.
        connection: The writer's connection; one is opened if it is not given.
        recall: What the writer read and need not read again.

    """

    def __init__(
        self,
        location: InMemory | OnDisk,
        *,
        observer: Observer,
        pauses_s: Sequence[float] = PAUSES_S,
        pause: Callable[[float], None] = time.sleep,
        connection: sqlite3.Connection | None = None,
        recall: Recall | None = None,
    ) -> None:
        self._location = location
        self._observer = observer
        self._pauses_s = tuple(pauses_s)
        self._pause = pause
        self._refused = False
        self._erased_in_log = False
        self._connection = connect(location, writes=True) if connection is None else connection
        try:
            upgrade_sqlite(self._connection, location)
        except BaseException as error:
            self._connection.close()
            if isinstance(error, sqlite3.Error) and (refusal := refusal_of(error)) is not None:
                raise refusal from error
            raise
        self._recall = Recall() if recall is None else recall
        self._version = -1
        self._together_s = SHORTEST_TOGETHER_S
        self._unit = OpenUnit(SqliteLink(self._connection, self._recall), writes=True)
        self._queue = WorkQueue()
        # A database in memory has one connection, which is copied for readers between two transactions.
        self._between = Lock()
        self._readers: list[tuple[sqlite3.Connection, OpenUnit]] = []
        self._readers_lock = Lock()
        self._closed = False
        self._watchers: list[Callable[[Hint], None]] = []
        self._thread = Thread(target=self._serve, name="store-writer", daemon=True)
        self._thread.start()

    def submit(self, work: Callable[[UnitOfWork], Result], *, live: bool = True) -> Future[Result]:
        """Run work that may write; its result comes after the commit. Live work goes before work that is due."""
        return self._queue.put(work, live=live)

    def read(self) -> AbstractContextManager[UnitOfWork]:
        """A unit of work that sees one snapshot and writes nothing."""
        return self._copy() if isinstance(self._location, InMemory) else self._snapshot()

    def watch(self, told: Callable[[Hint], None]) -> None:
        """Have somebody told what commits of this process bring."""
        self._watchers.append(told)

    def close(self) -> None:
        """Finish the work that waits and let go of connections."""
        if self._closed:
            return
        self._closed = True
        self._queue.close(threads=1)
        self._thread.join()
        with self._readers_lock:
            for connection, _ in self._readers:
                connection.close()
            self._readers.clear()
        self._connection.close()

    @contextmanager
    def _snapshot(self) -> Iterator[UnitOfWork]:
        with self._readers_lock:
            reader = self._readers.pop() if self._readers else None
        if reader is None:
            connection = connect(self._location, writes=False)
            reader = connection, OpenUnit(SqliteLink(connection), writes=False)
        connection, unit = reader
        connection.execute("BEGIN")
        try:
            yield unit
        except sqlite3.Error as error:
            if (refusal := refusal_of(error)) is not None:
                raise refusal from error
            raise
        finally:
            connection.execute("ROLLBACK")
            with self._readers_lock:
                if self._closed:
                    connection.close()
                else:
                    self._readers.append(reader)

    @contextmanager
    def _copy(self) -> Iterator[UnitOfWork]:
        with closing(sqlite3.connect(":memory:", isolation_level=None, check_same_thread=False)) as copied:
            with self._between:
                self._connection.backup(copied)
            copied.execute("PRAGMA query_only = ON")
            yield OpenUnit(SqliteLink(copied), writes=False)

    def _serve(self) -> None:
        while (job := self._queue.get()) is not None:
            with self._between:
                self._together(job)

    def _together(self, first: Job) -> None:
        """Run a work, and those that wait behind it, in one commit; if one of them fails, each in its own.

        A savepoint for each would spare the others being run again, and copy every page that every work changes.
        """
        began = time.monotonic()
        jobs = [first]
        answers: list[Answer] = []
        try:
            self._begin()
            answers.append(self._within(first))
            while len(jobs) < MOST_TOGETHER and time.monotonic() - began < self._together_s:
                # Nobody at a phone waits for the work of a morning that came in behind theirs.
                job = self._queue.get_at_once(live=any(each.live for each in jobs))
                if job is None:
                    break
                jobs.append(job)
                answers.append(self._within(job))
            self._commit()
        except BaseException as error:
            # Whosever fault it was, no other work shall suffer for it.
            self._roll_back()
            if len(jobs) == 1 and refusal_of(error) is None:
                first.fail(error)
                return
            for job in jobs:
                self._alone(job)
            return
        self._committed(answers)

    def _alone(self, job: Job) -> None:
        """Run a work in a commit of its own, again if the engine refuses it."""
        # While the engine refuses everything, one try for each work; the pauses are for the first.
        pauses = () if self._refused else self._pauses_s
        for pause_s in (*pauses, None):
            try:
                self._begin()
                answer = self._within(job)
                self._commit()
            except BaseException as error:
                self._roll_back()
                refusal = refusal_of(error)
                if refusal is None or pause_s is None:
                    self._refused = refusal is not None
                    job.fail(refusal or error)
                    return
                self._pause(pause_s)
            else:
                self._committed([answer])
                return

    def _within(self, job: Job) -> Answer:
        """Run a work inside the transaction that is open."""
        if not job.begin():
            return _nobody
        answer = job.run(self._unit)
        if not self._connection.in_transaction:
            # The engine refused a statement and rolled everything back, and the work did not let that through.
            raise StoreFull("the engine rolled the work back")
        return answer

    def _begin(self) -> None:
        self._unit.traces.clear()
        self._connection.execute("BEGIN IMMEDIATE")
        # It differs from the last one if another connection has written since; now that this one may write, none can.
        [version] = self._connection.execute("PRAGMA data_version").fetchone()
        if version != self._version:
            self._recall.clear()
            self._version = version

    def _commit(self) -> None:
        self._observer("before commit")
        began = time.monotonic()
        self._connection.execute("COMMIT")
        taken_s = time.monotonic() - began
        self._together_s = min(max(COMMITS_TOGETHER * taken_s, SHORTEST_TOGETHER_S), LONGEST_TOGETHER_S)

    def _committed(self, answers: Sequence[Answer]) -> None:
        self._refused = False
        self._observer("after commit")
        if self._unit.traces.received:
            self._observer("received")
        # Before anybody is told that something is erased.
        self._erased_in_log = self._erased_in_log or self._unit.traces.erased
        if self._erased_in_log:
            self._erased_in_log = not self._emptied_log()
        hints = self._unit.traces.hints if self._watchers else ()
        for answer in answers:
            answer()
        for told in self._watchers:
            for hint in hints:
                told(hint)

    def _emptied_log(self) -> bool:
        """Whether SQLite's own log, which keeps what pages were before, could be emptied; a reader may hold it."""
        self._connection.execute("PRAGMA busy_timeout = 0")
        try:
            [(busy, _, _)] = self._connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchall()
        except sqlite3.Error:
            # Tried again after the next commit; what was committed is safe either way.
            return False
        finally:
            self._connection.execute(f"PRAGMA busy_timeout = {BUSY_MS}")
        return bool(busy == 0)

    def _roll_back(self) -> None:
        self._recall.clear()
        if self._connection.in_transaction:
            self._connection.execute("ROLLBACK")


def _nobody() -> None:
    """Answer of a work that nobody waits for any more."""
