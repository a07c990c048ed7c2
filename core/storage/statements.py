"""Statements: built and compiled once, then run on the driver's own connection.

SQLAlchemy's `Connection.execute` takes about 55 us a statement on SQLite, of which the engine itself takes 6. A
message needs a dozen statements, so each is written in SQLAlchemy Core once, compiled once for each engine, and from
then on costs a list of arguments and a call of the driver. The column types convert the values.
"""

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date
from enum import StrEnum
from functools import cache
from typing import Generic, Protocol, TypeVar, TypeVarTuple

import sqlalchemy as sa
from sqlalchemy.engine import Dialect
from sqlalchemy.sql.compiler import SQLCompiler
from sqlalchemy.sql.dml import UpdateBase
from sqlalchemy.sql.selectable import TypedReturnsRows
from sqlalchemy.types import TypeEngine
from typing_extensions import override

from core.storage.columns import Conversion, Converting, Day

Made = TypeVar("Made")
Columns = TypeVarTuple("Columns")

Value = str | int | float | date | StrEnum | None
"""What a statement takes; a datetime is a date, a bool an int."""

Given = tuple[Value, ...]
"""Values that a statement was given, in its own order."""


class Engine(StrEnum):
    """An engine that the store runs on."""

    SQLITE = "sqlite"
    POSTGRESQL = "postgresql"


class Query(Generic[Made]):
    """A statement that returns rows, and what is made of each.

    Args:
        clause: The statement; its values are named `bindparam`s.
        make: Called with the values of a row, by position.
        scope: The parameter that its result may be kept by: whatever changes what it reads is given the same one, or
            drops it for all.

    """

    __slots__ = ("_make", "_prepared", "clause", "scope")

    def __init__(
        self, clause: TypedReturnsRows[*Columns], make: Callable[[*Columns], Made], *, scope: str | None = None
    ) -> None:
        self.clause = clause
        self.scope = scope
        self._make = make
        self._prepared: dict[Engine, Prepared] = {}

    def on(self, engine: Engine) -> "Prepared":
        """The statement as an engine runs it."""
        prepared = self._prepared.get(engine)
        if prepared is None:
            results = [column.type for column in self.clause.exported_columns]
            prepared = self._prepared[engine] = Prepared(self.clause, engine, results=results)
        return prepared

    def made(self, prepared: "Prepared", rows: Sequence[Sequence[object]]) -> list[Made]:
        """What is made of rows as the driver returned them."""
        if not rows:
            return []
        columns: list[Iterable[object]] = list(zip(*rows, strict=True))
        for place, convert in prepared.converted_results:
            columns[place] = map(convert, columns[place])  # type: ignore[arg-type]  # of the column's type
        return list(map(self._make, *columns))


class Change:
    """A statement that returns no rows.

    Args:
        clause: The statement; its values are named `bindparam`s.
        columns: The only columns that it changes; None for any, and where rows may come or go.

    """

    __slots__ = ("_prepared", "clause", "columns")

    def __init__(self, clause: UpdateBase, *, columns: frozenset[str] | None = None) -> None:
        self.clause = clause
        self.columns = columns
        self._prepared: dict[Engine, Prepared] = {}

    def on(self, engine: Engine) -> "Prepared":
        """The statement as an engine runs it."""
        prepared = self._prepared.get(engine)
        if prepared is None:
            prepared = self._prepared[engine] = Prepared(self.clause, engine, results=())
        return prepared


class Addition(Change):
    """An insert of one row that is then known by its number.

    SQLite's driver tells the number by itself; RETURNING costs it as much again as the row and its indexes.

    Args:
        clause: The insert, without RETURNING; its values are named `bindparam`s.

    """

    __slots__ = ("numbered", "table")

    def __init__(self, clause: sa.Insert) -> None:
        super().__init__(clause)
        self.table = clause.table.name
        self.numbered = Change(clause.values(id=sa.bindparam("id")))
        """The same with a number that is given."""

    @override
    def on(self, engine: Engine) -> "Prepared":
        """The statement as an engine runs it."""
        prepared = self._prepared.get(engine)
        if prepared is None:
            told = engine is Engine.POSTGRESQL and isinstance(self.clause, sa.Insert)
            clause = self.clause.returning(self.clause.table.c.id) if told else self.clause
            prepared = self._prepared[engine] = Prepared(clause, engine, results=())
        return prepared


class Link(Protocol):
    """An open connection of a driver, inside a transaction, that statements run on."""

    @property
    def engine(self) -> Engine:
        """The engine at its other end."""

    @property
    def recalls(self) -> bool:
        """Whether what was read once is at hand, so that asking costs nothing."""

    def rows(self, query: Query[Made], /, **values: Value) -> list[Made]:
        """What a query makes of all its rows."""

    def first(self, query: Query[Made], /, **values: Value) -> Made | None:
        """What a query makes of its first row."""

    def each(self, query: Query[Made], many: Sequence[Mapping[str, Value]]) -> list[list[Made]]:
        """What a query makes of its rows, for each of many values."""

    def added(self, addition: Addition, many: Sequence[Mapping[str, Value]]) -> list[int]:
        """Add a row for each of many values; their numbers."""

    def ahead(self, query: Query[Made], /, **values: Value) -> None:
        """Send a query whose rows will mostly be asked for in this transaction; nothing depends on it."""

    def change(self, change: Change, /, **values: Value) -> None:
        """Run a change; a mistake in it may show only with a later statement of the transaction."""

    def changes(self, change: Change, many: Sequence[Mapping[str, Value]]) -> None:
        """Run a change for each of many values."""

    def now(self, query: Query[Made], made: Sequence[Made], /, **values: Value) -> None:
        """Tell what a query returns from now on, where that is kept: the statement that was just run says so."""

    def kept(self, query: Query[Made], scope: Value) -> Mapping[Given, Sequence[Made]]:
        """What is known of a query's results for a scope, by what it is asked with."""

    def sooner(self, query: Query[Made], /, **values: Value) -> None:
        """Send a statement whose rows are asked for later in this transaction."""

    def reserved(self, table: str, number: int) -> None:
        """Take notice of a number for a row that may be added to a table in this transaction."""

    def held(self, lifter_id: int, recalled_by: int | None) -> None:
        """Take notice that a lifter's row was locked, and of who recalls them by what stands in it."""


BESIDE = re.compile(r"FOR UPDATE|lock\(|set_config\(|nextval\(")
"""Words of a statement that begins as one that reads, and does more than that."""


class Prepared:
    """A statement as an engine runs it."""

    __slots__ = (
        "_converted",
        "_fixed",
        "_native",
        "command",
        "converted_results",
        "given",
        "only_looks",
        "order",
        "text",
    )

    def __init__(self, clause: sa.ClauseElement, engine: Engine, *, results: Sequence[TypeEngine[object]]) -> None:
        dialect = _dialect(engine)
        compiled = clause.compile(dialect=dialect)
        if not isinstance(compiled, SQLCompiler):
            raise TypeError(f"not a statement on rows: {clause}")
        self.text = str(compiled)
        self.only_looks = self.text.startswith("SELECT") and not BESIDE.search(self.text)
        """It changes and locks nothing."""
        self.order = tuple(compiled.positiontup or ())
        binds = compiled.binds
        self.given = tuple([name for name in self.order if binds[name].required])
        self._fixed = {name: binds[name].value for name in self.order if not binds[name].required}
        # PostgreSQL's driver takes and gives dates and truth itself.
        native = self._native = engine is Engine.POSTGRESQL
        self.command = numbered(self.text) if native else b""
        """What PostgreSQL is sent."""
        arguments = [(place, _into_row(binds[name].type, native=native)) for place, name in enumerate(self.order)]
        columns = [(place, _out_of_row(kind, native=native)) for place, kind in enumerate(results)]
        self._converted = tuple((place, convert) for place, convert in arguments if convert is not None)
        self.converted_results = tuple((place, convert) for place, convert in columns if convert is not None)

    def given_of(self, values: Mapping[str, Value]) -> Given:
        """Values in the statement's order, as they were given."""
        return tuple(map(values.__getitem__, self.given))

    def arguments(self, values: Mapping[str, Value]) -> list[object]:
        """Arguments in the statement's order, as the driver takes them."""
        if self._fixed:
            values = {**self._fixed, **values}
        arguments: list[object] = list(map(values.__getitem__, self.order))
        for place, convert in self._converted:
            arguments[place] = convert(arguments[place])  # type: ignore[arg-type]  # of the column's type
        if self._native:
            # In words: by the driver's own choice a number's type hangs on its size, and each mix of types is prepared anew.
            return [each if each is None or type(each) is str else str(each) for each in arguments]
        return arguments


def numbered(text: str) -> bytes:
    """A statement with its arguments by number, as the server takes it: nothing is left to be read by the driver."""
    first, *others = text.split("%s")
    with_numbers = "".join([first, *(f"${place}{each}" for place, each in enumerate(others, start=1))])
    return with_numbers.replace("%%", "%").encode()


def _into_row(kind: object, *, native: bool) -> Conversion | None:
    # Numbers and truth go to both drivers as they are.
    if native and isinstance(kind, Day):
        return None
    return kind.into_row if isinstance(kind, Converting) else None


def _out_of_row(kind: object, *, native: bool) -> Conversion | None:
    if native and isinstance(kind, (Day, sa.Boolean)):
        return None
    if isinstance(kind, sa.Boolean):
        return _TRUTH.__getitem__
    return kind.out_of_row if isinstance(kind, Converting) else None


_TRUTH: Mapping[int | None, bool | None] = {0: False, 1: True, None: None}


@cache
def _dialect(engine: Engine) -> Dialect:
    # Loaded for the engine in use only. Arguments go by place on both.
    if engine is Engine.SQLITE:
        from sqlalchemy.dialects.sqlite.pysqlite import SQLiteDialect_pysqlite

        return SQLiteDialect_pysqlite(paramstyle="qmark")
    from sqlalchemy.dialects.postgresql.psycopg import PGDialect_psycopg

    return PGDialect_psycopg(paramstyle="format")  # type: ignore[no-untyped-call]  # SQLAlchemy leaves it untyped
