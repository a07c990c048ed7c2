"""Links: the drivers' connections, as statements run on them."""

import sqlite3
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, TypeVar

from core.storage.statements import Change, Engine, Query, Value

if TYPE_CHECKING:
    import psycopg
    from psycopg.rows import TupleRow

Made = TypeVar("Made")


class SqliteLink:
    """A connection to SQLite.

    Args:
        connection: The driver's; whoever made it begins and ends its transactions.

    """

    __slots__ = ("_execute", "_execute_many")

    engine = Engine.SQLITE

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._execute = connection.execute
        self._execute_many = connection.executemany

    def rows(self, query: Query[Made], /, **values: Value) -> list[Made]:
        """What a query makes of all its rows."""
        prepared = query.on(Engine.SQLITE)
        return query.made(prepared, self._execute(prepared.text, prepared.arguments(values)).fetchall())

    def first(self, query: Query[Made], /, **values: Value) -> Made | None:
        """What a query makes of its first row."""
        found = self.rows(query, **values)
        return found[0] if found else None

    def each(self, query: Query[Made], many: Sequence[Mapping[str, Value]]) -> list[list[Made]]:
        """What a query makes of its rows, for each of many values."""
        return [self.rows(query, **values) for values in many]

    def change(self, change: Change, /, **values: Value) -> None:
        """Run a change."""
        prepared = change.on(Engine.SQLITE)
        self._execute(prepared.text, prepared.arguments(values))

    def changes(self, change: Change, many: Sequence[Mapping[str, Value]]) -> None:
        """Run a change for each of many values."""
        if many:
            prepared = change.on(Engine.SQLITE)
            self._execute_many(prepared.text, [prepared.arguments(values) for values in many])


class PostgresLink:
    """A connection to PostgreSQL.

    In the driver's pipeline mode statements are sent without waiting for the one before; only what returns something
    is waited for. So a message takes half the round trips.

    Args:
        connection: The driver's; whoever made it begins and ends its transactions.

    """

    __slots__ = ("_cursor",)

    engine = Engine.POSTGRESQL

    def __init__(self, connection: "psycopg.Connection[TupleRow]") -> None:
        # One for each statement: in a pipeline a cursor waits for its own results.
        self._cursor = connection.cursor

    def rows(self, query: Query[Made], /, **values: Value) -> list[Made]:
        """What a query makes of all its rows."""
        prepared = query.on(Engine.POSTGRESQL)
        cursor = self._cursor().execute(prepared.command, prepared.arguments(values), prepare=True)
        return query.made(prepared, cursor.fetchall())

    def first(self, query: Query[Made], /, **values: Value) -> Made | None:
        """What a query makes of its first row."""
        found = self.rows(query, **values)
        return found[0] if found else None

    def each(self, query: Query[Made], many: Sequence[Mapping[str, Value]]) -> list[list[Made]]:
        """What a query makes of its rows, for each of many values; in a pipeline in one round trip."""
        prepared = query.on(Engine.POSTGRESQL)
        cursors = [
            self._cursor().execute(prepared.command, prepared.arguments(values), prepare=True) for values in many
        ]
        return [query.made(prepared, cursor.fetchall()) for cursor in cursors]

    def change(self, change: Change, /, **values: Value) -> None:
        """Run a change."""
        prepared = change.on(Engine.POSTGRESQL)
        self._cursor().execute(prepared.command, prepared.arguments(values), prepare=True)

    def changes(self, change: Change, many: Sequence[Mapping[str, Value]]) -> None:
        """Run a change for each of many values."""
        for values in many:
            self.change(change, **values)
