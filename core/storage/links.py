"""Links: the drivers' connections, as statements run on them."""

import sqlite3
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, TypeVar, cast

from core.storage.recall import Recall, effect_of
from core.storage.statements import Addition, Change, Engine, Given, Prepared, Query, Value

if TYPE_CHECKING:
    import psycopg
    from psycopg.rows import TupleRow

Made = TypeVar("Made")

MOST_CURSORS = 64
"""Cursors of a connection that are kept for its next transaction; a message takes some thirty. [cursors]"""


class SqliteLink:
    """A connection to SQLite.

    Args:
        connection: The driver's; whoever made it begins and ends its transactions.
        recall: What was read over it and still holds; None to read everything anew.

    """

    __slots__ = ("_execute", "_execute_many", "_recall")

    engine = Engine.SQLITE

    def __init__(self, connection: sqlite3.Connection, recall: Recall | None = None) -> None:
        self._execute = connection.execute
        self._execute_many = connection.executemany
        self._recall = recall

    @property
    def recalls(self) -> bool:
        """Whether what was read once is at hand, so that asking costs nothing."""
        return self._recall is not None

    def rows(self, query: Query[Made], /, **values: Value) -> list[Made]:
        """What a query makes of all its rows."""
        prepared = query.on(Engine.SQLITE)
        recall = self._recall
        if recall is None:
            return query.made(prepared, self._execute(prepared.text, prepared.arguments(values)).fetchall())
        if query.scope is None:
            made = query.made(prepared, self._execute(prepared.text, prepared.arguments(values)).fetchall())
            recall.changed(query, values)
            return made
        scope, given = values[query.scope], prepared.given_of(values)
        found = recall.found(query, scope, given)
        if found is None:
            found = query.made(prepared, self._execute(prepared.text, prepared.arguments(values)).fetchall())
            recall.keep(query, scope, given, found)
        return found

    def first(self, query: Query[Made], /, **values: Value) -> Made | None:
        """What a query makes of its first row."""
        found = self.rows(query, **values)
        return found[0] if found else None

    def each(self, query: Query[Made], many: Sequence[Mapping[str, Value]]) -> list[list[Made]]:
        """What a query makes of its rows, for each of many values."""
        return [self.rows(query, **values) for values in many]

    def added(self, addition: Addition, many: Sequence[Mapping[str, Value]]) -> list[int]:
        """Add a row for each of many values; their numbers."""
        prepared = addition.on(Engine.SQLITE)
        numbers = [self._execute(prepared.text, prepared.arguments(values)).lastrowid or 0 for values in many]
        if self._recall is not None and many:
            self._recall.changed(addition, *many)
        return numbers

    def ahead(self, query: Query[Made], /, **values: Value) -> None:
        """Nothing is asked ahead: an answer is at hand as soon as it is asked for."""

    def change(self, change: Change, /, **values: Value) -> None:
        """Run a change."""
        prepared = change.on(Engine.SQLITE)
        self._execute(prepared.text, prepared.arguments(values))
        if self._recall is not None:
            self._recall.changed(change, values)

    def changes(self, change: Change, many: Sequence[Mapping[str, Value]]) -> None:
        """Run a change for each of many values."""
        if not many:
            return
        prepared = change.on(Engine.SQLITE)
        self._execute_many(prepared.text, [prepared.arguments(values) for values in many])
        if self._recall is not None:
            self._recall.changed(change, *many)

    def now(self, query: Query[Made], made: Sequence[Made], /, **values: Value) -> None:
        """Tell what a query returns from now on, where that is kept."""
        if self._recall is not None and query.scope is not None:
            given = query.on(Engine.SQLITE).given_of(values)
            self._recall.keep(query, values[query.scope], given, made)

    def kept(self, query: Query[Made], scope: Value) -> Mapping[Given, Sequence[Made]]:
        """What is known of a query's results for a scope, by what it is asked with."""
        return {} if self._recall is None else self._recall.scoped(query, scope)


class PostgresLink:
    """A connection to PostgreSQL.

    In the driver's pipeline mode statements are sent without waiting for the one before; only what returns something
    is waited for. So a message takes half the round trips, and what is asked ahead takes none of its own.

    Args:
        connection: The driver's; whoever made it begins and ends its transactions.

    """

    __slots__ = ("_ahead", "_connection", "_cursors", "_used")

    engine = Engine.POSTGRESQL

    recalls = False

    def __init__(self, connection: "psycopg.Connection[TupleRow]") -> None:
        self._connection = connection
        # One for each statement of a transaction: in a pipeline a cursor waits for its own results. To make one costs a
        # third of a statement, so the next transaction takes them again.
        self._cursors: list[psycopg.Cursor[TupleRow]] = []
        self._used = 0
        self._ahead: dict[tuple[Query[object], Given], psycopg.Cursor[TupleRow]] = {}

    def begun(self) -> None:
        """Begin with a new transaction: nothing of the last one is waited for or known."""
        del self._cursors[MOST_CURSORS:]
        self._used = 0
        self._ahead.clear()

    def rows(self, query: Query[Made], /, **values: Value) -> list[Made]:
        """What a query makes of all its rows."""
        prepared = query.on(Engine.POSTGRESQL)
        key = cast("Query[object]", query)
        cursor = self._ahead.pop((key, prepared.given_of(values)), None) if self._ahead else None
        if cursor is None:
            self._drop_outdated(key)
            cursor = self._sent(prepared, values)
        return query.made(prepared, cursor.fetchall())

    def first(self, query: Query[Made], /, **values: Value) -> Made | None:
        """What a query makes of its first row."""
        found = self.rows(query, **values)
        return found[0] if found else None

    def each(self, query: Query[Made], many: Sequence[Mapping[str, Value]]) -> list[list[Made]]:
        """What a query makes of its rows, for each of many values; in a pipeline in one round trip."""
        prepared = query.on(Engine.POSTGRESQL)
        self._drop_outdated(cast("Query[object]", query))
        cursors = [self._sent(prepared, values) for values in many]
        return [query.made(prepared, cursor.fetchall()) for cursor in cursors]

    def added(self, addition: Addition, many: Sequence[Mapping[str, Value]]) -> list[int]:
        """Add a row for each of many values; their numbers; in a pipeline in one round trip."""
        prepared = addition.on(Engine.POSTGRESQL)
        self._drop_outdated(addition)
        cursors = [self._sent(prepared, values) for values in many]
        return [number for cursor in cursors for (number,) in cursor.fetchall()]

    def ahead(self, query: Query[Made], /, **values: Value) -> None:
        """Send a query whose rows will mostly be asked for in this transaction; nothing depends on it."""
        prepared = query.on(Engine.POSTGRESQL)
        self._ahead[cast("Query[object]", query), prepared.given_of(values)] = self._sent(prepared, values)

    def change(self, change: Change, /, **values: Value) -> None:
        """Run a change."""
        self._drop_outdated(change)
        self._sent(change.on(Engine.POSTGRESQL), values)

    def changes(self, change: Change, many: Sequence[Mapping[str, Value]]) -> None:
        """Run a change for each of many values."""
        for values in many:
            self.change(change, **values)

    def now(self, query: Query[Made], made: Sequence[Made], /, **values: Value) -> None:
        """Nothing is kept: others write to the same rows."""

    def kept(self, query: Query[Made], scope: Value) -> Mapping[Given, Sequence[Made]]:
        """Nothing is kept: others write to the same rows."""
        del query, scope
        return {}

    def _sent(self, prepared: Prepared, values: Mapping[str, Value]) -> "psycopg.Cursor[TupleRow]":
        if self._used == len(self._cursors):
            self._cursors.append(self._connection.cursor())
        cursor = self._cursors[self._used]
        self._used += 1
        return cursor.execute(prepared.command, prepared.arguments(values), prepare=True)

    def _drop_outdated(self, statement: Query[object] | Change) -> None:
        """Ask again for what a statement, which comes after it was asked ahead, may change."""
        if not self._ahead:
            return
        effect = effect_of(statement)
        for key in [key for key in self._ahead if effect.spoils(key[0])]:
            del self._ahead[key]
