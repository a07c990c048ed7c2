"""The queue of work: live before due, each in the order it came."""

from collections.abc import Callable
from concurrent.futures import Future
from dataclasses import dataclass, field
from itertools import count
from queue import Empty, PriorityQueue
from threading import Lock
from typing import TypeVar

from core.application.ports import UnitOfWork

Result = TypeVar("Result")

Answer = Callable[[], None]
"""Tells whoever waits for a work that it is committed, and its result."""

LIVE, DUE, LAST = range(3)


@dataclass(frozen=True, slots=True)
class Job:
    """A work that waits, without the type of its result.

    Args:
        run: Does the work in an open unit; returned: what to call once it is committed.
        fail: Tells whoever waits that it was not done.
        begin: False if nobody waits any more.
        live: Somebody waits for it at a phone.

    """

    run: Callable[[UnitOfWork], Answer]
    fail: Callable[[BaseException], None]
    begin: Callable[[], bool]
    live: bool


@dataclass(frozen=True, slots=True, order=True)
class _Entry:
    priority: int
    place: int
    job: Job | None = field(compare=False)


class WorkQueue:
    """Work that waits for a thread; None comes out once the queue is closed and all work before it is out."""

    def __init__(self) -> None:
        self._entries: PriorityQueue[_Entry] = PriorityQueue()
        self._places = count()
        self._closing = Lock()
        self._closed = False

    def put(self, work: Callable[[UnitOfWork], Result], *, live: bool) -> Future[Result]:
        """Queue a work; its result comes after the commit.

        Raises:
            RuntimeError: The queue is closed.

        """
        future: Future[Result] = Future()

        def run(unit: UnitOfWork) -> Answer:
            result = work(unit)
            return lambda: future.set_result(result)

        job = Job(run, future.set_exception, _begun_once(future), live)
        # A work put behind the end would never be run.
        with self._closing:
            if self._closed:
                raise RuntimeError("the store is closed")
            self._entries.put(_Entry(LIVE if live else DUE, next(self._places), job))
        return future

    def get(self) -> Job | None:
        """The next work; waits for one."""
        return self._entries.get().job

    def get_at_once(self, *, live: bool) -> Job | None:
        """The next work if one waits; only live work if that is asked for."""
        try:
            entry = self._entries.get_nowait()
        except Empty:
            return None
        if entry.job is None or (live and not entry.job.live):
            # The end is for the thread that waits for work, and what is due waits for a commit of its own.
            self._entries.put(entry)
            return None
        return entry.job

    def close(self, *, threads: int) -> None:
        """Take no more work; each thread gets None after the work that waits."""
        with self._closing:
            self._closed = True
            for _ in range(threads):
                self._entries.put(_Entry(LAST, next(self._places), None))


def _begun_once(future: Future[Result]) -> Callable[[], bool]:
    # A work that is run again has begun already, and its future says so only once.
    return lambda: future.running() or future.set_running_or_notify_cancel()
