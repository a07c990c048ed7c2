"""A store in memory that looks up in the rows whatever it recalls, and finds fault where they say something else."""

import sqlite3
from typing import TypeVar

from typing_extensions import override

from core.storage.locations import InMemory
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
