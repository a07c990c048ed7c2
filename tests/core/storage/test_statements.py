"""Statements: every one of them finds its rows by an index, and converts what it takes and gives."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, date, datetime
from types import ModuleType

import pytest
import sqlalchemy as sa

from core.domain.sets import Counted
from core.storage import due, estimates, inbox, lifters, outbox, own_exercises, questions, sessions, set_statements
from core.storage.columns import Choice, Day, Instant, Words
from core.storage.links import SqliteLink
from core.storage.locations import InMemory
from core.storage.sqlite_files import connect
from core.storage.statements import Change, Engine, Query
from core.storage.upgrades import upgrade_sqlite

REPOSITORIES: list[ModuleType] = [
    lifters,
    sessions,
    set_statements,
    own_exercises,
    estimates,
    questions,
    inbox,
    outbox,
    due,
]

HARMLESS = {
    "SCAN CONSTANT ROW",
    "SCAN messages USING INDEX ix_messages_waiting_id",
    "SCAN due USING INDEX ix_due_waiting",
}
"""A row of given values; and what waits, oldest first, up to a limit, from an index that holds nothing else."""

ELSEWHERE = {
    "_AT_ADDRESS_LOCKED",
    "_BY_ID_LOCKED",
    "_IF_ALONE_LOCKED",
    "_LOCK_ADDRESS",
    "_SENT_THERE",
    "_TAKE_NEXT_SOONER",
    "_TAKE_SOONER",
    "_TRY_ADDRESS",
}
"""Statements that only PostgreSQL knows; most are like one without their last word."""


def _statements() -> Iterator[tuple[str, Query[object] | Change]]:
    for repository in REPOSITORIES:
        for name, value in vars(repository).items():
            if isinstance(value, Query | Change) and name not in ELSEWHERE:
                yield f"{repository.__name__}.{name}", value


@pytest.fixture
def connection() -> Iterator[sqlite3.Connection]:
    """A connection to an empty database in memory."""
    with closing(connect(InMemory(), writes=True)) as opened:
        upgrade_sqlite(opened, InMemory())
        yield opened


@pytest.mark.parametrize(("name", "statement"), list(_statements()), ids=[name for name, _ in _statements()])
def test_every_statement_finds_its_rows_by_an_index(
    connection: sqlite3.Connection, name: str, statement: Query[object] | Change
) -> None:
    text = statement.on(Engine.SQLITE).text

    plan = connection.execute(f"EXPLAIN QUERY PLAN {text}", [None] * text.count("?")).fetchall()

    assert [step[3] for step in plan if step[3].startswith("SCAN") and step[3] not in HARMLESS] == [], name


def test_a_statement_that_only_looks_is_told_from_one_that_does_more() -> None:
    looks = {name.rpartition(".")[2]: each.on(Engine.POSTGRESQL).only_looks for name, each in _statements()}
    more = {
        name: vars(module)[name].on(Engine.POSTGRESQL).only_looks
        for module in (lifters, outbox)
        for name in ELSEWHERE & vars(module).keys()
    }

    assert (looks["_HEADS"], looks["LAST_SESSION"], looks["_NEXT"]) == (True, True, True)
    assert (looks["_NEXT_LOCKED"], looks["_CLAIM_LOCKED"], looks["_LEAVE"], looks["_SAVE"]) == (False,) * 4
    assert more
    assert not any(more.values())


def test_there_are_statements_to_look_at() -> None:
    assert len(list(_statements())) > 50


@pytest.mark.parametrize("engine", list(Engine))
def test_a_statement_compiles_once_for_each_engine(engine: Engine) -> None:
    for _, statement in _statements():
        assert statement.on(engine) is statement.on(engine)


def test_values_are_converted_on_the_way_in_and_out(connection: sqlite3.Connection) -> None:
    connection.execute("CREATE TABLE kinds (at, day, text, choice, truth, untold)")
    kinds = sa.table(
        "kinds",
        sa.column("at", Instant()),
        sa.column("day", Day()),
        sa.column("text", Words()),
        sa.column("choice", Choice(Counted)),
        sa.column("truth", sa.Boolean()),
        sa.column("untold", Instant()),
    )
    insert = Change(sa.insert(kinds).values({each.name: sa.bindparam(each.name) for each in kinds.c}))
    select = Query(sa.select(*kinds.c), _as_they_are)
    link = SqliteLink(connection)
    at = datetime(2027, 1, 4, 18, 0, 0, 1, tzinfo=UTC)

    link.change(insert, at=at, day=date(2027, 1, 4), text="\0", choice=Counted.TOO_EASY, truth=True, untold=None)

    # 2027-01-04T18:00:00Z is 20,822 days and 18 hours after the epoch. (computed)
    micros = (20_822 * 86_400 + 18 * 3_600) * 1_000_000 + 1
    assert connection.execute("SELECT * FROM kinds").fetchone() == (micros, "2027-01-04", "�", "too_easy", 1, None)
    assert link.rows(select) == [(at, date(2027, 1, 4), "�", Counted.TOO_EASY, True, None)]


def test_a_value_that_was_not_given_is_a_mistake_and_not_null(connection: sqlite3.Connection) -> None:
    statement = Query(sa.select(sa.bindparam("given", type_=sa.Integer())), _as_they_are)

    with pytest.raises(KeyError, match="given"):
        SqliteLink(connection).rows(statement)


def _as_they_are(*values: object) -> tuple[object, ...]:
    return values
