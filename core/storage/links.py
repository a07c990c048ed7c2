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

    def rows(self, query: Query[Made], **values: Value) -> list[Made]:
        """What a query makes of all its rows."""
        prepared = query.on(Engine.SQLITE)
        return query.made(prepared, self._execute(prepared.text, prepared.arguments(values)).fetchall())

    def first(self, query: Query[Made], **values: Value) -> Made | None:
        """What a query makes of its first row."""
        found = self.rows(query, **values)
        return found[0] if found else None

    def each(self, query: Query[Made], many: Sequence[Mapping[str, Value]]) -> list[list[Made]]:
        """What a query makes of its rows, for each of many values."""
        return [self.rows(query, **values) for values in many]

    def change(self, change: Change, **values: Value) -> int:
        """Run a change; how many rows it met."""
        prepared = change.on(Engine.SQLITE)
        return self._execute(prepared.text, prepared.arguments(values)).rowcount

    def changes(self, change: Change, many: Sequence[Mapping[str, Value]]) -> None:
        """Run a change for each of many values."""
        if many:
            prepared = change.on(Engine.SQLITE)
            self._execute_many(prepared.text, [prepared.arguments(values) for values in many])


class PostgresLink:
    """A connection to PostgreSQL.

    Args:
        connection: The driver's; whoever made it begins and ends its transactions.

    """

    __slots__ = ("_cursor",)

    engine = Engine.POSTGRESQL

    def __init__(self, connection: "psycopg.Connection[TupleRow]") -> None:
        self._cursor = connection.cursor()

    def rows(self, query: Query[Made], **values: Value) -> list[Made]:
        """What a query makes of all its rows."""
        prepared = query.on(Engine.POSTGRESQL)
        self._cursor.execute(prepared.command, prepared.arguments(values), prepare=True)
        return query.made(prepared, self._cursor.fetchall())

    def first(self, query: Query[Made], **values: Value) -> Made | None:
        """What a query makes of its first row."""
        found = self.rows(query, **values)
        return found[0] if found else None

    def each(self, query: Query[Made], many: Sequence[Mapping[str, Value]]) -> list[list[Made]]:
        """What a query makes of its rows, for each of many values, in one round trip."""
        if len(many) == 1:
            return [self.rows(query, **many[0])]
        if not many:
            return []
        prepared = query.on(Engine.POSTGRESQL)
        self._cursor.executemany(prepared.command, [prepared.arguments(values) for values in many], returning=True)
        made: list[list[Made]] = []
        more: bool | None = True
        while more:
            made.append(query.made(prepared, self._cursor.fetchall()))
            more = self._cursor.nextset()
        return made

    def change(self, change: Change, **values: Value) -> int:
        """Run a change; how many rows it met."""
        prepared = change.on(Engine.POSTGRESQL)
        self._cursor.execute(prepared.command, prepared.arguments(values), prepare=True)
        return self._cursor.rowcount

    def changes(self, change: Change, many: Sequence[Mapping[str, Value]]) -> None:
        """Run a change for each of many values, in one round trip."""
        if many:
            prepared = change.on(Engine.POSTGRESQL)
            self._cursor.executemany(prepared.command, [prepared.arguments(values) for values in many])
