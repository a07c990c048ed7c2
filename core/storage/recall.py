"""Recall: what was read of somebody's rows and still holds, so that the next message need not read it again."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import TypeVar, cast

import sqlalchemy as sa
from sqlalchemy.sql import visitors
from sqlalchemy.sql.dml import Delete, UpdateBase

from core.storage.schema import metadata
from core.storage.statements import Change, Engine, Given, Query, Value

Made = TypeVar("Made")

MOST = 1024
"""Scopes of one query that are kept, the oldest forgotten first; about one a lifter. [scopes]"""

MOST_ASKED = 64
"""Results of one query for one scope that are kept: a lifter's weeks, and the families of their lifts. [results]"""


class Recall:
    """Results of queries that name a scope, kept until a row that they may have read is changed.

    A query's scope is one of its parameters, mostly the lifter's number. A statement that changes a table drops what was
    read of it: for its own scope alone where it is given the same parameter, else for all; of a query that reads none of
    the columns that it changes, nothing. So a statement that nobody
    thought of here costs time and nothing else; only one that is given the number of one lifter and changes the rows of
    another would leave something behind that no longer holds.

    It holds for one connection and what was written over it. Whoever owns that clears it when others may have written,
    and when a transaction is rolled back.

    Args:
        most: Scopes of one query that are kept. [scopes]

    """

    def __init__(self, *, most: int = MOST) -> None:
        self._most = most
        self._held: dict[Query[object], dict[Value, dict[Given, tuple[object, ...]]]] = {}
        self._readers: dict[str, list[Query[object]]] = {}

    def found(self, query: Query[Made], scope: Value, given: Given) -> list[Made] | None:
        """What a query returned; None if that is not known, or not any more."""
        scopes = self._held.get(cast("Query[object]", query))
        kept = None if scopes is None else scopes.get(scope)
        made = None if kept is None else kept.get(given)
        return None if made is None else list(cast("tuple[Made, ...]", made))

    def keep(self, query: Query[Made], scope: Value, given: Given, made: Sequence[Made]) -> None:
        """Keep what a query returned, or would return now."""
        key = cast("Query[object]", query)
        scopes = self._held.get(key)
        if scopes is None:
            scopes = self._held[key] = {}
            for table in tables_of(key):
                self._readers.setdefault(table, []).append(key)
        kept = scopes.get(scope)
        if kept is None:
            if len(scopes) >= self._most:
                del scopes[next(iter(scopes))]
            kept = scopes[scope] = {}
        elif len(kept) >= MOST_ASKED and given not in kept:
            del kept[next(iter(kept))]
        kept[given] = tuple(made)

    def scoped(self, query: Query[Made], scope: Value) -> Mapping[Given, Sequence[Made]]:
        """All that is kept of a query for one scope, by what it was asked with."""
        scopes = self._held.get(cast("Query[object]", query))
        kept = None if scopes is None else scopes.get(scope)
        return {} if kept is None else cast("dict[Given, Sequence[Made]]", kept)

    def changed(self, statement: Query[Made] | Change, *many: Mapping[str, Value]) -> None:
        """Drop what may not hold any more after a statement that was run, with one set of values or several."""
        key = cast("Query[object] | Change", statement)
        effect = effect_of(key)
        if effect.everything:
            self.clear()
            return
        for query in self._readers.get(effect.table, ()):
            if effect.columns is not None and not effect.spoils(query):
                continue
            scope = query.scope
            held = self._held[query]
            # A statement is given the same parameters each time.
            if scope is None or scope not in many[0]:
                held.clear()
                continue
            for values in many:
                held.pop(values[scope], None)

    def clear(self) -> None:
        """Forget all of it."""
        for scopes in self._held.values():
            scopes.clear()


@dataclass(frozen=True, slots=True)
class Effect:
    """What a statement may change.

    Args:
        table: The table whose rows it changes; empty for one that only reads.
        columns: The columns that it changes; None for all of them.
        everything: Rows of other tables go with those that it deletes.

    """

    table: str
    columns: frozenset[str] | None = None
    everything: bool = False

    def spoils(self, query: Query[Made]) -> bool:
        """Whether what a query returned may not hold any more."""
        key = cast("Query[object]", query)
        if self.everything:
            return True
        if self.table not in tables_of(key):
            return False
        return self.columns is None or not self.columns.isdisjoint(columns_of(key))


@cache
def effect_of(statement: "Query[object] | Change") -> Effect:
    """What a statement may change."""
    clause = statement.clause
    if not isinstance(clause, UpdateBase) or not isinstance(clause.table, sa.Table):
        return Effect("")
    table = clause.table
    takes_along = isinstance(clause, Delete) and any(
        key.column.table is table for other in metadata.tables.values() for key in other.foreign_keys
    )
    columns = statement.columns if isinstance(statement, Change) else None
    return Effect(table.name, columns, everything=takes_along)


@cache
def tables_of(query: "Query[object] | Change") -> frozenset[str]:
    """Tables that a query reads, and a change beside the one that it changes."""
    return frozenset([each.name for each in visitors.iterate(query.clause) if isinstance(each, sa.Table)])


@cache
def columns_of(query: Query[object]) -> frozenset[str]:
    """All words of a query's text, which names every column that it reads."""
    return frozenset(re.findall(r"\w+", query.on(Engine.SQLITE).text))
