"""The queue of work: live before due, each in the order it came."""

from collections import deque
from collections.abc import Callable
from concurrent.futures import Future
from dataclasses import dataclass
from queue import Empty, SimpleQueue
from threading import Lock
from typing import TypeVar

from core.application.ports import UnitOfWork

Result = TypeVar("Result")

Answer = Callable[[], None]
"""Tells whoever waits for a work that it is committed, and its result."""


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


class WorkQueue:
    """Work that waits for a thread; None comes out once the queue is closed and all work before it is out."""

    def __init__(self) -> None:
        self._live: deque[Job] = deque()
        self._due: deque[Job] = deque()
        # One for each work and each end: whoever has taken one finds something. It waits without holding anything up.
        self._told: SimpleQueue[None] = SimpleQueue()
        self._lock = Lock()
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
        with self._lock:
            if self._closed:
                raise RuntimeError("the store is closed")
            (self._live if live else self._due).append(job)
        self._told.put(None)
        return future

    def get(self) -> Job | None:
        """The next work; waits for one."""
        self._told.get()
        with self._lock:
            if self._live:
                return self._live.popleft()
            return self._due.popleft() if self._due else None

    def get_at_once(self, *, live: bool) -> Job | None:
        """The next work if one waits; only live work if that is asked for."""
        with self._lock:
            # The end is for the thread that waits for work, and what is due waits for a commit of its own.
            if not self._live and (live or not self._due):
                return None
            try:
                self._told.get_nowait()
            except Empty:
                # Another thread was told of this work and is about to take it.
                return None
            return self._live.popleft() if self._live else self._due.popleft()

    def close(self, *, threads: int) -> None:
        """Take no more work; each thread gets None after the work that waits."""
        with self._lock:
            self._closed = True
        for _ in range(threads):
            self._told.put(None)


def _begun_once(future: Future[Result]) -> Callable[[], bool]:
    # A work that is run again has begun already, and its future says so only once.
    return lambda: future.running() or future.set_running_or_notify_cancel()
