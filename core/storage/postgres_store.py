"""The store on PostgreSQL: a few threads, each work in its own transaction, one lifter in one of them at a time."""

import time
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future
from contextlib import AbstractContextManager, contextmanager, suppress
from threading import Lock, Thread
from typing import TypeVar

import psycopg
import sqlalchemy as sa
from psycopg.conninfo import make_conninfo
from psycopg.rows import TupleRow

from core.application.ports import Hint, Observer, StoreBusy, StoreFull, StoreUnavailable, UnitOfWork
from core.storage.foresight import Foresight
from core.storage.hints import Hints
from core.storage.locations import OnServer
from core.storage.postgres_link import PostgresLink
from core.storage.recalls import Recalls
from core.storage.unit_of_work import OpenUnit
from core.storage.upgrades import refuse_outdated
from core.storage.work_queue import Answer, Job, WorkQueue

Result = TypeVar("Result")

Linked = Callable[["psycopg.Connection[TupleRow]", Recalls | None], PostgresLink]
"""Makes what statements run on of a connection."""

THREADS = 4
"""Threads that work, each with a connection. [threads]"""

PAUSES_S = (0.02, 0.1, 0.5, 2.0)
"""Waits before a refused work is run again; a server that restarts is back within some seconds. [s]"""

CONNECT_TIMEOUT_S = 5
"""How long a connection may take to open. [s]"""

MOST_PREPARED = 400
"""Statements that a connection keeps prepared. [statements]"""

SETTINGS = {
    # A commit is on the disk before it is acknowledged, whatever the server's default.
    "synchronous_commit": "on",
    "default_transaction_isolation": "read\\ committed",
    # Every statement finds its rows by an index. A plan that was made while a table was small is kept for long, and would
    # read all of the table once it has grown.
    "enable_seqscan": "off",
    "jit": "off",
    "lock_timeout": "5s",
    "statement_timeout": "30s",
    # A thread that was stopped in the middle must not hold its lifter for ever.
    "idle_in_transaction_session_timeout": "60s",
}


class PostgresStore:
    """Runs units of work on PostgreSQL.

    Args:
        location: The database.
        observer: Told the points that a unit of work passes; by several threads at once.
        threads: How many work.
        pauses_s: Waits before a refused work is run again. [s]
        pause: Waits.
        linked: Makes what statements run on of a connection.

    Raises:
        SchemaError: The database is not at the newest revision.
        StoreBusy: The database cannot be reached.

    """

    def __init__(
        self,
        location: OnServer,
        *,
        observer: Observer,
        threads: int = THREADS,
        pauses_s: Sequence[float] = PAUSES_S,
        pause: Callable[[float], None] = time.sleep,
        linked: Linked = PostgresLink,
    ) -> None:
        self._location = location
        self._linked = linked
        self._observer = observer
        self._pauses_s = tuple(pauses_s)
        self._pause = pause
        self._recalls = Recalls()
        first = _Session(location, linked, recalls=self._recalls)
        try:
            refuse_outdated(first.connection, location)
        except BaseException:
            first.close()
            raise
        self._queue = WorkQueue()
        self._readers: list[_Session] = []
        self._readers_lock = Lock()
        self._closed = False
        self._hints: Hints | None = None
        self._threads = [
            Thread(target=self._serve, args=(first if number == 0 else None,), name=f"store-{number}", daemon=True)
            for number in range(threads)
        ]
        for thread in self._threads:
            thread.start()

    def submit(self, work: Callable[[UnitOfWork], Result], *, live: bool = True) -> Future[Result]:
        """Run work that may write; its result comes after the commit. Live work goes before work that is due."""
        return self._queue.put(work, live=live)

    @contextmanager
    def _snapshot(self) -> Iterator[UnitOfWork]:
        session = self._reader()
        try:
            yield session.unit
        except psycopg.Error as error:
            if (refusal := _refusal(error)) is not None:
                raise refusal from error
            raise
        finally:
            self._give_back(session)

    def read(self) -> AbstractContextManager[UnitOfWork]:
        """A unit of work that sees one snapshot and writes nothing."""
        return self._snapshot()

    def watch(self, told: Callable[[Hint], None]) -> None:
        """Have somebody told what commits bring, those of other processes too."""
        if self._hints is None:
            self._hints = Hints(lambda: connect(self._location))
        self._hints.watch(told)

    def close(self) -> None:
        """Finish the work that waits and let go of connections."""
        if self._closed:
            return
        self._closed = True
        if self._hints is not None:
            self._hints.close()
        self._queue.close(threads=len(self._threads))
        for thread in self._threads:
            thread.join()
        with self._readers_lock:
            for session in self._readers:
                session.close()
            self._readers.clear()

    def _reader(self) -> "_Session":
        with self._readers_lock:
            session = self._readers.pop() if self._readers else None
        if session is not None:
            try:
                session.begin()
            except psycopg.Error:
                # It was lost while nobody used it.
                session.close()
            else:
                return session
        session = _Session(self._location, self._linked)
        session.begin()
        return session

    def _give_back(self, session: "_Session") -> None:
        session.roll_back()
        with self._readers_lock:
            if self._closed or session.connection.closed:
                session.close()
            else:
                self._readers.append(session)

    def _serve(self, session: "_Session | None") -> None:
        while (job := self._queue.get()) is not None:
            session = self._done(job, session)
        if session is not None:
            session.close()

    def _done(self, job: Job, session: "_Session | None") -> "_Session | None":
        """Run a work in a transaction, again if the engine refuses it; returned: the session, if it is still good."""
        if not job.begin():
            return session
        for pause_s in (*self._pauses_s, None):
            try:
                if session is None:
                    session = _Session(self._location, self._linked, recalls=self._recalls)
                answer = self._committed(job, session)
            except BaseException as error:
                if session is not None:
                    session = session.rolled_back()
                refusal = _refusal(error)
                if refusal is None or pause_s is None:
                    job.fail(refusal or error)
                    return session
                self._pause(pause_s)
            else:
                answer()
                return session
        return session

    def _committed(self, job: Job, session: "_Session") -> Answer:
        session.unit.traces.clear()
        with session.connection.pipeline():
            session.begin()
            answer = job.run(session.unit)
            self._observer("before commit")
            session.commit()
        # Leaving the pipeline has waited for the commit.
        session.committed()
        self._observer("after commit")
        if session.unit.traces.received:
            self._observer("received")
        if self._hints is not None:
            self._hints.tell(session.unit.traces.hints)
        return answer


def connect(location: OnServer) -> "psycopg.Connection[TupleRow]":
    """A connection whose transactions are begun and ended by hand.

    Raises:
        StoreBusy: The database cannot be reached.

    """
    try:
        connection = psycopg.connect(make_conninfo(**_arguments(location.url)), autocommit=True)
    except psycopg.Error as error:
        if (refusal := _refusal(error)) is not None:
            raise refusal from error
        raise
    connection.prepared_max = MOST_PREPARED
    return connection


class _Session:
    """A connection and the unit of work on it, used by one thread at a time.

    Args:
        location: The database.
        linked: Makes what statements run on of the connection.
        recalls: What is recalled of lifters by those that write; None for one that only reads.

    """

    def __init__(
        self,
        location: OnServer,
        linked: Linked,
        *,
        recalls: Recalls | None = None,
    ) -> None:
        self.connection = connect(location)
        if recalls is not None:
            # Where a connection was lost, what comes now may be a server that has not seen the last commits.
            recalls.begin_anew()
        writes = recalls is not None
        self._link = linked(self.connection, recalls)
        self._foresight = Foresight(self._link) if writes else None
        self.unit = OpenUnit(self._link, writes=writes, foresight=self._foresight)
        self._writes = writes
        self._end: psycopg.Cursor[TupleRow] | None = None

    def begin(self) -> None:
        self._link.begun()
        if self._foresight is not None:
            self._foresight.begun()
        if not self._writes:
            # What it reads is of one moment.
            self._link.begin(b"BEGIN ISOLATION LEVEL REPEATABLE READ, READ ONLY")

    def commit(self) -> None:
        self._end = self._link.commit()

    def committed(self) -> None:
        # A transaction that had failed ends as one that is rolled back, without an error.
        self._link.ended(committed=self._end is not None and self._end.statusmessage == "COMMIT")

    def roll_back(self) -> None:
        self._link.ended(committed=False)
        if self._link.is_open:
            with suppress(psycopg.Error):
                self.connection.execute(b"ROLLBACK")

    def rolled_back(self) -> "_Session | None":
        self.roll_back()
        return None if self.connection.closed else self

    def close(self) -> None:
        self.connection.close()


def _arguments(url: sa.URL) -> dict[str, str]:
    told = {name: value if isinstance(value, str) else ",".join(value) for name, value in url.query.items()}
    settings = " ".join(f"-c {name}={value}" for name, value in SETTINGS.items())
    return {
        "connect_timeout": str(CONNECT_TIMEOUT_S),
        "application_name": "rackside",
        **{name: str(value) for name, value in url.translate_connect_args(username="user", database="dbname").items()},
        **told,
        "options": f"{told.get('options', '')} {settings}".strip(),
    }


def _refusal(error: BaseException) -> StoreUnavailable | None:
    """What the caller is told of an error that is the engine's refusal; None for a fault of the work."""
    if isinstance(error, StoreUnavailable):
        return error
    refusal: StoreUnavailable
    match error:
        case psycopg.errors.DiskFull():
            refusal = StoreFull("the server has no room on its disk")
        case psycopg.errors.SerializationFailure() | psycopg.errors.DeadlockDetected():
            refusal = StoreBusy("other works were in the way too often")
        case psycopg.errors.ReadOnlySqlTransaction():
            refusal = StoreBusy("the server takes no writes now")
        case psycopg.OperationalError() | psycopg.InterfaceError():
            # What the driver says may name the host and the user, never the password.
            refusal = StoreBusy(f"the database cannot be used now: {str(error).splitlines()[0]}")
        case _:
            return None
    refusal.__cause__ = error
    return refusal
