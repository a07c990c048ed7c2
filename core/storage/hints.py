"""Hints: what the commits of one process bring, told to the others by PostgreSQL's LISTEN and NOTIFY."""

import time
from collections.abc import Callable, Sequence
from contextlib import suppress
from secrets import token_hex
from threading import Event, Lock, Thread
from typing import TYPE_CHECKING

import psycopg

from core.application.ports import Hint, StoreUnavailable

if TYPE_CHECKING:
    from psycopg.rows import TupleRow

CHANNEL = "rackside"

TOGETHER_S = 0.02
"""Hints of this long go out as one: a server takes notifications one commit at a time. [s]"""

HEARD_S = 1.0
"""How long one wait for a hint lasts before it is looked whether to stop. [s]"""

LOOKED_S = 1.0
"""How long it holds that nobody else hears; who has begun meanwhile looks for themselves by then, hint or not. [s]"""

HEARS = "rackside hears "
"""How the server names connections that hear, and behind it whose they are."""

LOST_S = 2.0
"""Wait before a lost connection is opened again; meanwhile ticks do. [s]"""


class Hints:
    """Tells this process's hints to all processes, and hears theirs.

    To tell one wakes three connections of the server and two threads, which takes as long as a tenth of a message. Where
    no other process hears, that is looked up once a second, and nothing told.

    Args:
        connected: Opens a connection that commits each statement by itself.

    """

    def __init__(self, connected: "Callable[[], psycopg.Connection[TupleRow]]") -> None:
        self._connected = connected
        self._name = token_hex(8)
        self._watchers: list[Callable[[Hint], None]] = []
        self._waiting: set[Hint] = set()
        self._alone_until_s = 0.0
        self._told_until_s = 0.0
        self._lock = Lock()
        self._any = Event()
        self._closing = Event()
        self._threads = [
            Thread(target=self._kept_up, args=(run,), name=f"store-{run.__name__.strip('_')}", daemon=True)
            for run in (self._hear, self._send)
        ]
        for thread in self._threads:
            thread.start()

    def watch(self, told: Callable[[Hint], None]) -> None:
        """Have somebody told every hint that is heard."""
        self._watchers.append(told)

    def tell(self, hints: Sequence[Hint]) -> None:
        """Tell hints: at once in this process, soon in the others."""
        if not hints:
            return
        for told in self._watchers:
            for hint in hints:
                told(hint)
        if time.monotonic() < self._alone_until_s:
            return
        with self._lock:
            self._waiting.update(hints)
        self._any.set()

    def close(self) -> None:
        """Tell and hear no more."""
        self._closing.set()
        self._any.set()
        for thread in self._threads:
            thread.join()

    def _kept_up(self, run: "Callable[[psycopg.Connection[TupleRow]], None]") -> None:
        while not self._closing.is_set():
            with suppress(psycopg.Error, StoreUnavailable), self._connected() as connection:
                run(connection)
            # It is over, or the connection was lost.
            self._closing.wait(LOST_S)

    def _hear(self, connection: "psycopg.Connection[TupleRow]") -> None:
        connection.execute("SELECT set_config('application_name', %s, false)", [HEARS + self._name])
        connection.execute(f"LISTEN {CHANNEL}".encode())
        while not self._closing.is_set():
            for heard in connection.notifies(timeout=HEARD_S, stop_after=1):
                teller, _, hints = heard.payload.partition(" ")
                if teller == self._name:
                    # Told at once when it was new.
                    continue
                for word in hints.split():
                    with suppress(ValueError):
                        hint = Hint(word)
                        for told in self._watchers:
                            told(hint)

    def _send(self, connection: "psycopg.Connection[TupleRow]") -> None:
        # Nothing depends on a hint, so none waits for the disk.
        connection.execute(b"SET synchronous_commit = off")
        while not self._closing.is_set():
            self._any.wait()
            self._any.clear()
            with self._lock:
                hints = sorted(self._waiting)
                self._waiting.clear()
            if hints and self._others_hear(connection):
                told = " ".join([self._name, *hints])
                connection.execute("SELECT pg_notify(%s, %s)", [CHANNEL, told])
            self._closing.wait(TOGETHER_S)
        # The thread that hears waits for something to hear.
        connection.execute("SELECT pg_notify(%s, '')", [CHANNEL])

    def _others_hear(self, connection: "psycopg.Connection[TupleRow]") -> bool:
        now_s = time.monotonic()
        if now_s < self._told_until_s:
            return True
        others = connection.execute(
            "SELECT 1 FROM pg_stat_activity WHERE datname = current_database()"
            " AND starts_with(application_name, %s) AND application_name <> %s LIMIT 1",
            [HEARS, HEARS + self._name],
        ).fetchone()
        if others is None:
            self._alone_until_s = now_s + LOOKED_S
            return False
        self._told_until_s = now_s + LOOKED_S
        return True
