"""Ownership: one process serves the connectors of a database, and a second one is refused."""

import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager
from hashlib import blake2b
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from core.application.ports import StoreUnavailable
from core.storage.locations import InMemory, OnDisk, OnServer, location_of

if TYPE_CHECKING:
    import psycopg
    from psycopg.rows import TupleRow


class AlreadyOwned(StoreUnavailable):
    """Another process serves this database."""


class Ownership(Protocol):
    """A claim that was granted."""

    def holds(self) -> bool:
        """Whether it is still ours; a lost connection to the server loses it."""


@contextmanager
def claim_owner(url: str, *, role: str = "serve") -> Iterator[Ownership]:
    """Hold a database's ownership while the context is open; it ends with the process, however that ends.

    Args:
        url: The database.
        role: What is owned: on PostgreSQL each connector can have an owner of its own.

    Raises:
        AlreadyOwned: Another process, or another claim of this one, holds it.
        StoreUnavailable: The database cannot be reached.

    """
    match location_of(url):
        case InMemory():
            # Nobody else can reach it.
            yield _Nothing()
        case OnDisk(path=path):
            with _file_lock(path, role):
                yield _Nothing()
        case OnServer() as location:
            with _server_lock(location, role) as claim:
                yield claim


class _Nothing:
    def holds(self) -> bool:
        return True


class _ServerLock:
    def __init__(self, connection: "psycopg.Connection[TupleRow]") -> None:
        self._connection = connection

    def holds(self) -> bool:
        import psycopg

        try:
            self._connection.execute(b"SELECT 1")
        except psycopg.Error:
            return False
        return True


@contextmanager
def _file_lock(path: Path, role: str) -> Iterator[None]:
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    opened = os.open(path.with_name(f"{path.name}.{role}"), os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600)
    try:
        try:
            fcntl.flock(opened, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError as held:
            raise AlreadyOwned(f"another process serves {path}") from held
        # The file stays: deleting it would let two processes lock two files of one name.
        yield
    finally:
        os.close(opened)


@contextmanager
def _server_lock(location: OnServer, role: str) -> Iterator[_ServerLock]:
    from core.storage.postgres_store import connect

    digest = blake2b(f"rackside owner {role}".encode(), digest_size=8).digest()
    with connect(location) as connection:
        [granted] = connection.execute(
            "SELECT pg_try_advisory_lock(%s)", [int.from_bytes(digest, signed=True)]
        ).fetchall()
        if not granted[0]:
            raise AlreadyOwned(f"another process serves {location.told}")
        yield _ServerLock(connection)
