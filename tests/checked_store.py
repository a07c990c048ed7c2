"""Stores that look up in the rows whatever they recall, and one that notes what it sends."""

import sqlite3
from collections.abc import Sequence
from typing import TypeVar

import psycopg
from psycopg.rows import TupleRow
from typing_extensions import override

from core.storage.locations import InMemory, OnServer, location_of
from core.storage.postgres_link import PostgresLink
from core.storage.postgres_store import PostgresStore
from core.storage.recall import Recall
from core.storage.recalls import Recalls
from core.storage.sqlite_files import connect
from core.storage.sqlite_store import SqliteStore
from core.storage.statements import Engine, Given, Query, Value

Made = TypeVar("Made")


class CheckedRecall(Recall):
    """A recall that reads again what it recalls.

    Args:
        connection: The writer's.

    """

    def __init__(self, connection: sqlite3.Connection) -> None:
        super().__init__()
        self.connection = connection
        self.checked = 0

    @override
    def found(self, query: Query[Made], scope: Value, given: Given) -> list[Made] | None:
        found = super().found(query, scope, given)
        if found is not None:
            prepared = query.on(Engine.SQLITE)
            arguments = prepared.arguments(dict(zip(prepared.given, given, strict=True)))
            read = query.made(prepared, self.connection.execute(prepared.text, arguments).fetchall())
            if found != read:
                raise AssertionError(f"recalled {found}, but the rows say {read}")
            self.checked += 1
        return found


def checked_store() -> SqliteStore:
    """An empty store in memory whose recall is checked."""
    connection = connect(InMemory(), writes=True)
    return SqliteStore(
        InMemory(), observer=lambda _point: None, connection=connection, recall=CheckedRecall(connection)
    )


class CheckedLink(PostgresLink):
    """A link to PostgreSQL that reads again whatever may be recalled."""

    __slots__ = ()

    @override
    def rows(self, query: Query[Made], /, **values: Value) -> list[Made]:
        found = super().rows(query, **values)
        if query.scope is not None and self.recalls:
            prepared = query.on(Engine.POSTGRESQL)
            read = query.made(prepared, self._sent(prepared, values).fetchall())
            if found != read:
                raise AssertionError(f"recalled {found}, but the rows say {read}")
        return found


class WatchedLink(PostgresLink):
    """A link to PostgreSQL that notes the statements that it sends, but for those that begin and end transactions."""

    __slots__ = ("_noted",)

    def __init__(self, connection: "psycopg.Connection[TupleRow]", recalls: Recalls | None, noted: list[str]) -> None:
        super().__init__(connection, recalls)
        self._noted = noted

    @override
    def execute(self, command: bytes, arguments: Sequence[object] = ()) -> "psycopg.Cursor[TupleRow]":
        if arguments:
            self._noted.append(command.decode())
        return super().execute(command, arguments)


def checked_postgres_store(url: str) -> PostgresStore:
    """A store on a PostgreSQL database whose recall is checked."""
    return PostgresStore(_on_server(url), observer=lambda _point: None, linked=CheckedLink)


def watched_postgres_store(url: str, noted: list[str]) -> PostgresStore:
    """A store on a PostgreSQL database, of one thread, that notes the statements that it sends."""
    return PostgresStore(
        _on_server(url),
        observer=lambda _point: None,
        threads=1,
        linked=lambda connection, recalls: WatchedLink(connection, recalls, noted),
    )


def _on_server(url: str) -> OnServer:
    location = location_of(url)
    if not isinstance(location, OnServer):
        raise TypeError(f"not on PostgreSQL: {url}")
    return location
