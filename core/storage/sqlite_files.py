"""SQLite files: made for their owner alone, opened with the settings that keep what was acknowledged, copied."""

import os
import sqlite3
from contextlib import closing
from pathlib import Path

from core.application.ports import StoreBusy, StoreFull, StoreUnavailable
from core.storage.locations import InMemory, OnDisk, OnServer, location_of

BUSY_MS = 2000
"""How long one attempt waits for another process that writes. [ms]"""

CACHED_STATEMENTS = 256
"""Statements that a connection keeps ready; there are about a hundred. [statements]"""

CACHE_KIB = 65_536
"""Most memory for pages. [KiB] The last sessions of ten thousand lifters; it fills only as far as they are read."""

OLDEST = (3, 35, 0)
"""Oldest SQLite with RETURNING."""


def connect(location: InMemory | OnDisk, *, writes: bool) -> sqlite3.Connection:
    """A connection whose transactions are begun and ended by hand.

    Args:
        location: Where the database is; a file is made if there is none, for its owner alone.
        writes: It may write; else every attempt to write raises.

    """
    if sqlite3.sqlite_version_info < OLDEST:
        raise RuntimeError(f"SQLite {sqlite3.sqlite_version} is too old; 3.35 or newer is needed")
    if isinstance(location, OnDisk):
        _make(location.path)
    connection = sqlite3.connect(
        location.path if isinstance(location, OnDisk) else ":memory:",
        timeout=BUSY_MS / 1000,
        isolation_level=None,
        cached_statements=CACHED_STATEMENTS,
        # Used by one thread at a time, but not always by the one that opened it.
        check_same_thread=False,
    )
    try:
        if writes and isinstance(location, OnDisk):
            connection.execute("PRAGMA journal_mode = WAL")
        # A commit is on the disk before it is acknowledged.
        connection.execute("PRAGMA synchronous = FULL")
        connection.execute("PRAGMA foreign_keys = ON")
        # What is deleted is overwritten, so that a forgotten lifter is not in the file either.
        connection.execute("PRAGMA secure_delete = ON")
        connection.execute("PRAGMA temp_store = MEMORY")
        connection.execute(f"PRAGMA cache_size = -{CACHE_KIB}")
        if not writes:
            connection.execute("PRAGMA query_only = ON")
    except sqlite3.Error as error:
        connection.close()
        if (refusal := refusal_of(error)) is not None:
            raise refusal from error
        raise
    return connection


def backup(url: str, target: Path) -> None:
    """Copy a SQLite database, as it stands now, into a file that only its owner reads; writers go on meanwhile.

    Raises:
        ValueError: The database is not SQLite in a file.
        FileNotFoundError: There is no such database.

    """
    match location_of(url):
        case OnDisk() as location if location.path.is_file():
            copy(location, target)
        case OnDisk(path=path):
            raise FileNotFoundError(f"there is no database at {path}")
        case InMemory() | OnServer():
            raise ValueError("only a SQLite database in a file is copied so; for PostgreSQL there is pg_dump")


def copy(location: OnDisk, target: Path) -> None:
    """Copy a database into a file, which is whole or not there at all."""
    part = target.with_name(target.name + ".part")
    part.unlink(missing_ok=True)
    _make(part)
    with closing(connect(location, writes=False)) as source, closing(sqlite3.connect(part)) as copied:
        source.backup(copied)
        # One file by itself; the copy of a database in WAL mode would ask for two more beside it.
        copied.execute("PRAGMA journal_mode = DELETE")
    with part.open("rb") as written:
        os.fsync(written.fileno())
    part.replace(target)


def refusal_of(error: BaseException) -> StoreUnavailable | None:
    """What the caller is told of an error that is the engine's refusal; None for a fault of the work."""
    if isinstance(error, StoreUnavailable):
        return error
    refusal: StoreUnavailable
    match getattr(error, "sqlite_errorcode", sqlite3.SQLITE_OK) & 0xFF:
        case sqlite3.SQLITE_FULL:
            refusal = StoreFull("there is no room on the disk")
        case sqlite3.SQLITE_BUSY | sqlite3.SQLITE_LOCKED:
            refusal = StoreBusy("another process is writing")
        case sqlite3.SQLITE_IOERR | sqlite3.SQLITE_CANTOPEN | sqlite3.SQLITE_NOMEM:
            refusal = StoreUnavailable(f"the disk or the memory failed: {error}")
        case sqlite3.SQLITE_NOTADB:
            refusal = StoreUnavailable("the file is not a SQLite database")
        case _:
            return None
    refusal.__cause__ = error
    return refusal


def _make(path: Path) -> None:
    missing = [folder for folder in (path.parent, *path.parent.parents) if not folder.exists()]
    for folder in reversed(missing):
        folder.mkdir(mode=0o700, exist_ok=True)
    # The files that SQLite puts beside it take over its mode.
    os.close(os.open(path, os.O_RDWR | os.O_CREAT, 0o600))
