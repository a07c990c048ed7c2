"""Stores that look up in the rows whatever they recall, and find fault where those say something else."""

import sqlite3
from typing import TypeVar

from typing_extensions import override

from core.storage.links import PostgresLink
from core.storage.locations import InMemory, OnServer, location_of
from core.storage.postgres_store import PostgresStore
from core.storage.recall import Recall
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


def checked_postgres_store(url: str) -> PostgresStore:
    """A store on a PostgreSQL database whose recall is checked."""
    location = location_of(url)
    if not isinstance(location, OnServer):
        raise TypeError(f"not on PostgreSQL: {url}")
    return PostgresStore(location, observer=lambda _point: None, linked=CheckedLink)
