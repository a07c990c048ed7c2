"""The link to PostgreSQL: changes wait for each other, and go out together before anything is asked or committed."""

from collections.abc import Mapping, Sequence
from typing import TypeVar, cast

import psycopg
import sqlalchemy as sa
from psycopg.rows import TupleRow

from core.storage.recall import Recall, effect_of, tables_of
from core.storage.recalls import Recalls
from core.storage.statements import Addition, Change, Engine, Given, Prepared, Query, Value, numbered
from core.storage.tables import lifters

Made = TypeVar("Made")

OF_LIFTER, OF_SESSION = "lifter_id", "session_id"
"""Scopes that are recalled: of one lifter, who is held, and of one of their sessions."""

MOST_CURSORS = 64
"""Cursors of a connection that are kept for its next transaction. [cursors]"""

MOST_TOGETHER = 200
"""Kinds of statements that several changes go out in; a message takes one of some dozens. [kinds]"""


class PostgresLink:
    """A connection to PostgreSQL.

    In the driver's pipeline mode statements are sent without waiting for the one before; only what returns something
    is waited for. So a message takes half the round trips, and what is asked ahead takes none of its own.

    A statement takes the driver and the server about a tenth of a millisecond, whatever it does. So changes of tables that
    have nothing to do with each other are made by one.

    Reads that come first, and lock nothing, are no reason to begin a transaction: each sees what was committed before it
    either way. So a work that only looks is one statement.

    Args:
        connection: The driver's; in a pipeline, which whoever made it leaves to end what is open.
        recalls: What is recalled of lifters; None to read everything anew.

    """

    __slots__ = (
        "_ahead",
        "_connection",
        "_cursors",
        "_held",
        "_recalls",
        "_reserved",
        "_sooner",
        "_touched",
        "_used",
        "_waiting",
        "is_open",
    )

    engine = Engine.POSTGRESQL

    def __init__(self, connection: psycopg.Connection[TupleRow], recalls: Recalls | None = None) -> None:
        self._connection = connection
        self._recalls = recalls
        # Of the lifters that this transaction has locked.
        self._held: dict[int, Recall] = {}
        # One for each statement of a transaction: in a pipeline a cursor waits for its own results. To make one costs a
        # third of a statement, so the next transaction takes them again.
        self._cursors: list[psycopg.Cursor[TupleRow]] = []
        self._used = 0
        self.is_open = False
        self._ahead: dict[tuple[Query[object], Given], psycopg.Cursor[TupleRow]] = {}
        self._sooner: dict[tuple[Query[object], Given], psycopg.Cursor[TupleRow]] = {}
        # Numbers for rows that may be added, by table.
        self._reserved: dict[str, int] = {}
        # Changes that are not sent yet, and the tables that they have to do with.
        self._waiting: list[tuple[Change, Mapping[str, Value]]] = []
        self._touched: set[str] = set()

    @property
    def recalls(self) -> bool:
        """Whether a lifter is held, of whom what was read once is at hand."""
        return bool(self._held)

    def begun(self) -> None:
        """Begin with a new work: nothing of the last one is waited for or known."""
        self.ended(committed=False)
        self.is_open = False
        del self._cursors[MOST_CURSORS:]
        self._used = 0
        self._ahead.clear()
        self._sooner.clear()
        self._reserved.clear()
        self._waiting.clear()
        self._touched.clear()

    def ended(self, *, committed: bool) -> None:
        """Let go of the lifters that were held: what is recalled of them holds once the transaction is committed."""
        if self._recalls is not None:
            let_go = self._recalls.given_back if committed else self._recalls.dropped
            for lifter_id, recall in self._held.items():
                let_go(lifter_id, recall)
        self._held.clear()

    def held(self, lifter_id: int, recalled_by: int | None) -> None:
        """Take what is recalled of a lifter whose row was locked, and sign the row where it bears another signature."""
        if self._recalls is None or lifter_id in self._held:
            return
        self._held[lifter_id], signature = self._recalls.taken(lifter_id, recalled_by)
        if signature is not None:
            self._put(_SIGN, {"lifter": lifter_id, "signature": signature})

    def rows(self, query: Query[Made], /, **values: Value) -> list[Made]:
        """What a query makes of all its rows."""
        prepared = query.on(Engine.POSTGRESQL)
        recall = self._recall_for(query, values)
        given = prepared.given_of(values) if recall is not None or self._ahead or self._sooner else ()
        if recall is not None:
            found = recall.found(query, values[query.scope or ""], given)
            if found is not None:
                return found
        key = cast("Query[object]", query)
        cursor = self._sooner.pop((key, given), None) if self._sooner else None
        if cursor is None and self._ahead:
            cursor = self._ahead.pop((key, given), None)
        if cursor is None:
            self._changed(key, values)
            cursor = self._sent(prepared, values)
        made = query.made(prepared, cursor.fetchall())
        if recall is not None:
            recall.keep(query, values[query.scope or ""], given, made)
        return made

    def first(self, query: Query[Made], /, **values: Value) -> Made | None:
        """What a query makes of its first row."""
        found = self.rows(query, **values)
        return found[0] if found else None

    def each(self, query: Query[Made], many: Sequence[Mapping[str, Value]]) -> list[list[Made]]:
        """What a query makes of its rows, for each of many values; in a pipeline in one round trip."""
        prepared = query.on(Engine.POSTGRESQL)
        self._changed(cast("Query[object]", query), *many)
        cursors = [self._sent(prepared, values) for values in many]
        return [query.made(prepared, cursor.fetchall()) for cursor in cursors]

    def added(self, addition: Addition, many: Sequence[Mapping[str, Value]]) -> list[int]:
        """Add a row for each of many values; their numbers; in a pipeline in one round trip."""
        self._changed(addition, *many)
        if len(many) == 1 and (reserved := self._reserved.pop(addition.table, None)) is not None:
            self._put(addition.numbered, {**many[0], "id": reserved})
            return [reserved]
        prepared = addition.on(Engine.POSTGRESQL)
        cursors = [self._sent(prepared, values) for values in many]
        return [number for cursor in cursors for (number,) in cursor.fetchall()]

    def ahead(self, query: Query[Made], /, **values: Value) -> None:
        """Send a query whose rows will mostly be asked for in this transaction; nothing depends on it."""
        prepared = query.on(Engine.POSTGRESQL)
        given = prepared.given_of(values)
        recall = self._recall_for(query, values)
        if recall is None or recall.found(query, values[query.scope or ""], given) is None:
            self._ahead[cast("Query[object]", query), given] = self._sent(prepared, values)

    def sooner(self, query: Query[Made], /, **values: Value) -> None:
        """Send a statement whose rows are asked for later in this transaction, with what is sent by then."""
        prepared = query.on(Engine.POSTGRESQL)
        key = cast("Query[object]", query)
        self._changed(key, values)
        self._sooner[key, prepared.given_of(values)] = self._sent(prepared, values)

    def reserved(self, table: str, number: int) -> None:
        """Take notice of a number for a row that may be added to a table in this transaction: it need not be waited for."""
        self._reserved[table] = number

    def change(self, change: Change, /, **values: Value) -> None:
        """Run a change."""
        self._changed(change, values)
        self._put(change, values)

    def changes(self, change: Change, many: Sequence[Mapping[str, Value]]) -> None:
        """Run a change for each of many values."""
        for values in many:
            self.change(change, **values)

    def now(self, query: Query[Made], made: Sequence[Made], /, **values: Value) -> None:
        """Tell what a query returns from now on, where that is kept."""
        recall = self._recall_for(query, values)
        if recall is not None:
            recall.keep(query, values[query.scope or ""], query.on(Engine.POSTGRESQL).given_of(values), made)

    def kept(self, query: Query[Made], scope: Value) -> Mapping[Given, Sequence[Made]]:
        """What is known of a query's results for a scope, by what it is asked with."""
        recall = self._recall_for(query, {query.scope or "": scope})
        return {} if recall is None else recall.scoped(query, scope)

    def _recall_for(self, query: Query[Made], values: Mapping[str, Value]) -> Recall | None:
        """What is recalled of the lifter that a query is about; None where they are not held, or it is not known who."""
        if not self._held or query.scope is None:
            return None
        if query.scope == OF_LIFTER:
            lifter_id = values[OF_LIFTER]
            return self._held.get(lifter_id) if isinstance(lifter_id, int) else None
        if query.scope == OF_SESSION and len(self._held) == 1:
            [recall] = self._held.values()
            return recall
        return None

    def begin(self, how: bytes = b"BEGIN") -> None:
        """Begin a transaction."""
        self.is_open = True
        self.execute(how)

    def commit(self) -> psycopg.Cursor[TupleRow] | None:
        """Send what waits, and that the transaction is to be committed; None where there is none."""
        self.flush()
        return self.execute(b"COMMIT") if self.is_open else None

    def flush(self) -> None:
        """Send the changes that wait, by one statement."""
        waiting = self._waiting
        if not waiting:
            return
        prepared = [change.on(Engine.POSTGRESQL) for change, _ in waiting]
        arguments = [each for one, (_, values) in zip(prepared, waiting, strict=True) for each in one.arguments(values)]
        commands = commands_of(prepared, _TOGETHER)
        self._waiting, self._touched = [], set()
        if not self.is_open:
            self.begin()
        if len(commands) == 1:
            self.execute(commands[0], arguments)
            return
        for one, command in zip(prepared, commands, strict=True):
            self.execute(command, arguments[: len(one.order)])
            del arguments[: len(one.order)]

    def _put(self, change: Change, values: Mapping[str, Value]) -> None:
        """Have a change wait for others; those that have to do with the same tables go before it."""
        effect = effect_of(change)
        touched = tables_of(change) | {effect.table}
        if effect.everything or not self._touched.isdisjoint(touched):
            self.flush()
        self._waiting.append((change, values))
        self._touched |= touched
        if effect.everything:
            self.flush()

    def _sent(self, prepared: Prepared, values: Mapping[str, Value]) -> psycopg.Cursor[TupleRow]:
        self.flush()
        if not self.is_open and not prepared.only_looks:
            self.begin()
        return self.execute(prepared.command, prepared.arguments(values))

    def execute(self, command: bytes, arguments: Sequence[object] = ()) -> psycopg.Cursor[TupleRow]:
        """Send a statement."""
        if self._used == len(self._cursors):
            self._cursors.append(psycopg.RawCursor(self._connection))
        cursor = self._cursors[self._used]
        self._used += 1
        return cursor.execute(command, arguments, prepare=True)

    def _changed(self, statement: Query[object] | Change, *many: Mapping[str, Value]) -> None:
        """Drop what does not hold any more after a statement, and ask again for what was asked before it."""
        effect = effect_of(statement)
        if not effect.table:
            return
        for key in [key for key in self._ahead if effect.spoils(key[0])]:
            del self._ahead[key]
        if many:
            for recall in self._held.values():
                recall.changed(statement, *many)


_SIGN = Change(
    sa.update(lifters).where(lifters.c.id == sa.bindparam("lifter")).values(recalled_by=sa.bindparam("signature"))
)

_TOGETHER: dict[tuple[Prepared, ...], bytes] = {}


def commands_of(changes: Sequence[Prepared], made: dict[tuple[Prepared, ...], bytes]) -> Sequence[bytes]:
    """One statement that does what several do, of which none sees what another does; or those, if too many were made."""
    if len(changes) == 1:
        return [changes[0].command]
    key = tuple(changes)
    together = made.get(key)
    if together is None:
        if len(made) >= MOST_TOGETHER:
            return [each.command for each in changes]
        *first, last = changes
        named = ", ".join([f"change_{place} AS ({each.text})" for place, each in enumerate(first)])
        together = made[key] = numbered(f"WITH {named} {last.text}")
    return [together]
