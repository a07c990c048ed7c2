"""The link to SQLite: its driver's connection, as statements run on it."""

import sqlite3
from collections.abc import Mapping, Sequence
from typing import TypeVar

from core.storage.recall import Recall
from core.storage.statements import Addition, Change, Engine, Given, Query, Value

Made = TypeVar("Made")


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

    def sooner(self, query: Query[Made], /, **values: Value) -> None:
        """Nothing is sent sooner than it is asked for."""

    def reserved(self, table: str, number: int) -> None:
        """A row's number is told with it."""

    def held(self, lifter_id: int, recalled_by: int | None) -> None:
        """Nothing is locked by rows: one connection writes at a time."""
