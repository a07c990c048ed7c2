"""What processes on PostgreSQL recall: it is what the rows say, whichever process or person changed them."""

from collections.abc import Callable, Iterator
from concurrent.futures import Future
from contextlib import AbstractContextManager, closing, suppress
from dataclasses import replace
from datetime import timedelta
from importlib import import_module
from itertools import cycle
from pathlib import Path
from pkgutil import iter_modules
from threading import Event
from typing import TypeVar

import psycopg
import pytest

from core import storage
from core.application.ports import Hint, UnitOfWork
from core.domain.profile import Address
from core.domain.reminders import Reminders
from core.storage.due import WAITING
from core.storage.locations import OnServer, location_of
from core.storage.postgres_link import OF_LIFTER, OF_SESSION
from core.storage.postgres_store import PostgresStore
from core.storage.recall import columns_of, tables_of
from core.storage.recalls import MOST_LIFTERS, WATCHED, Recalls
from core.storage.statements import Query
from core.storage.tables import metadata
from tests.checked_store import checked_postgres_store, watched_postgres_store
from tests.conversations import written_out
from tests.core.storage.rows import KIM, NOW, TOVE, bench, done, new_lifter, new_session
from tests.postgres_cluster import Cluster, cut_all, until_somebody_waits

Result = TypeVar("Result")

WAIT_S = 60

DEMO = Path(__file__).parents[3] / "demo"

FILES = [DEMO / f"{name}.txt" for name in ("edits", "families", "first_week", "linking", "privacy", "questions")]
"""Conversations with corrections, what comes by the clock, a plan, a linked chat, and everything forgotten."""

ROOMS = [import_module(f"core.storage.{each.name}") for each in iter_modules(storage.__path__)]

RECALLED = [
    value
    for module in ROOMS
    for value in vars(module).values()
    if isinstance(value, Query) and value.scope in {OF_LIFTER, OF_SESSION}
]


class InTurn:
    """Two processes on one database: the second takes every fourth work, so that the first recalls and must forget."""

    def __init__(self, url: str) -> None:
        self._stores = [checked_postgres_store(url) for _ in range(2)]
        self._next = cycle([*self._stores[:1] * 3, self._stores[1]])

    def submit(self, work: Callable[[UnitOfWork], Result], *, live: bool = True) -> Future[Result]:
        return next(self._next).submit(work, live=live)

    def read(self) -> AbstractContextManager[UnitOfWork]:
        return next(self._next).read()

    def watch(self, told: Callable[[Hint], None]) -> None:
        self._stores[0].watch(told)

    def close(self) -> None:
        for store in self._stores:
            store.close()


@pytest.fixture
def url(cluster: Cluster) -> Iterator[str]:
    """URL of a database with all tables and no rows."""
    yield cluster.database
    cluster.empty(cluster.database)


@pytest.fixture
def store(url: str) -> Iterator[PostgresStore]:
    """A store whose recall is checked."""
    opened = checked_postgres_store(url)
    yield opened
    opened.close()


@pytest.mark.postgres
def test_what_was_read_is_not_read_again_while_nobody_else_writes(url: str) -> None:
    sent: list[str] = []
    store = watched_postgres_store(url, sent)
    tove = new_lifter(store)
    done(store, _held(lambda work: work.reminders.save(tove.id, Reminders(rest_s=90))))
    sent.clear()

    first = done(store, _settled)
    reads = sum("FROM reminders" in each for each in sent)
    sent.clear()
    second = done(store, _settled)
    store.close()

    assert (first.rest_s, reads) == (90, 1)
    assert second == first
    assert sent[0].endswith("FOR UPDATE OF lifters")
    assert not any("reminders" in each for each in sent)


@pytest.mark.postgres
@pytest.mark.parametrize("file", FILES, ids=lambda each: each.stem)
def test_a_conversation_that_two_processes_handle_in_turn_gets_the_same_answers(url: str, file: Path) -> None:
    text = file.read_text(encoding="utf-8")

    made = written_out(text, opened=lambda: InTurn(url))

    assert made == text


@pytest.mark.postgres
@pytest.mark.parametrize(
    "by_hand",
    [
        "UPDATE reminders SET rest_s = 120",
        "DELETE FROM reminders",
        "TRUNCATE reminders",
        "WITH gone AS (DELETE FROM reminders RETURNING *) INSERT INTO reminders SELECT * FROM gone",
    ],
)
def test_what_an_operator_changes_is_read(url: str, store: PostgresStore, by_hand: str) -> None:
    tove = new_lifter(store)
    done(store, _held(lambda work: work.reminders.save(tove.id, Reminders(rest_s=90))))
    done(store, _settled)

    with closing(psycopg.connect(url, autocommit=True)) as other:
        other.execute(by_hand.encode())
        row = other.execute("SELECT rest_s FROM reminders").fetchone()

    # The store compares it with the rows, too.
    assert done(store, _settled).rest_s == (None if row is None else row[0])


@pytest.mark.postgres
def test_a_day_of_a_plan_that_an_operator_changes_strikes_out_who_recalls_its_lifter(url: str) -> None:
    # given two lifters who are recalled, one of them with a plan
    with closing(psycopg.connect(url, autocommit=True)) as other:
        for number in (1, 2):
            other.execute(
                "INSERT INTO lifters (id, name, created_at, version, unit, unit_told, bar_amount, bar_unit, zone,"
                " day_begins_hour, habits, body_mass_off, introduced)"
                " VALUES (%s, '', 0, 1, 'kg', false, 20, 'kg', 'UTC', 4, '{}', false, true)",
                [number],
            )
        other.execute(
            "INSERT INTO plans (id, lifter_id, starts, made_at, block, wishes, own)"
            " VALUES (1, 1, '2027-01-04', 0, '', '', false)"
        )
        other.execute(
            "INSERT INTO planned_days (plan_id, week, place, day, state, session, adjusted)"
            " VALUES (1, 0, 0, '2027-01-04', 'planned', '', '')"
        )
        other.execute("UPDATE lifters SET recalled_by = 5")

        # when the day is changed
        other.execute("UPDATE planned_days SET session = 'x'")
        left = other.execute("SELECT id, recalled_by FROM lifters ORDER BY id").fetchall()

    assert left == [(1, None), (2, 5)]


@pytest.mark.postgres
def test_what_a_work_changes_of_a_lifter_whom_it_does_not_hold_is_read(store: PostgresStore) -> None:
    tove = new_lifter(store)
    done(store, _settled)

    done(store, lambda work: work.reminders.save(tove.id, Reminders(rest_s=90)))

    assert done(store, _settled).rest_s == 90


@pytest.mark.postgres
def test_whoever_does_not_hold_a_lifter_waits_for_who_does_before_they_are_done(url: str, store: PostgresStore) -> None:
    # given somebody who holds a lifter whom nobody recalls yet
    tove = new_lifter(store)
    with closing(psycopg.connect(url, autocommit=True)) as other:
        other.execute("UPDATE lifters SET recalled_by = NULL")
    inside, go = Event(), Event()

    def holds(work: UnitOfWork) -> Reminders:
        work.lifters.at_address(TOVE)
        inside.set()
        go.wait(WAIT_S)
        return work.reminders.of(tove.id)

    holding = store.submit(holds)
    inside.wait(WAIT_S)

    # when somebody else changes what is then read there, and commits later
    changing = store.submit(lambda work: work.reminders.save(tove.id, Reminders(rest_s=90)))
    until_somebody_waits(url)
    go.set()

    # then the one has read what was, and the next one reads what is
    assert holding.result(WAIT_S).rest_s is None
    changing.result(WAIT_S)
    assert done(store, _settled).rest_s == 90


@pytest.mark.postgres
def test_nothing_of_a_work_that_was_rolled_back_is_recalled(store: PostgresStore) -> None:
    tove = new_lifter(store)
    done(store, _settled)

    def fail(work: UnitOfWork) -> None:
        work.lifters.at_address(TOVE)
        work.reminders.save(tove.id, Reminders(rest_s=90))
        work.estimates.save_state(tove.id, "bench press", "state")
        raise LookupError

    with suppress(LookupError):
        done(store, fail)

    assert done(store, _settled).rest_s is None
    assert done(store, _held(lambda work: work.estimates.state(tove.id, "bench press"))) is None


@pytest.mark.postgres
def test_nothing_of_a_work_whose_connection_was_lost_at_its_commit_is_recalled(url: str) -> None:
    # given a connection that is cut once, when a work is about to be committed
    cuts = [cut_all]

    def observed(point: str) -> None:
        if point == "before commit" and rests_s and cuts:
            cuts.pop()(url)

    rests_s: list[int] = []
    location = location_of(url)
    assert isinstance(location, OnServer)
    store = PostgresStore(location, observer=observed, pauses_s=(0.0,))
    tove = new_lifter(store)
    done(store, _settled)

    # when a work is run again for that, and finds that it need not write
    def change(work: UnitOfWork) -> None:
        work.lifters.at_address(TOVE)
        rests_s.append(90)
        if len(rests_s) == 1:
            work.reminders.save(tove.id, Reminders(rest_s=90))

    done(store, change)
    found = done(store, _settled)
    store.close()

    assert len(rests_s) == 2
    assert found.rest_s is None


@pytest.mark.postgres
def test_two_lifters_in_one_work_are_told_apart(store: PostgresStore) -> None:
    # given two lifters with a session each
    tove, kim = new_lifter(store), new_lifter(store, KIM, name="Kim")
    theirs = [new_session(store, tove), new_session(store, kim)]

    # when one work holds both, and one of them then adds a set
    def both(work: UnitOfWork) -> list[int]:
        for address in (TOVE, KIM):
            work.lifters.at_address(address)
        return [len(work.sets.of_session(each.id)) for each in theirs]

    before = done(store, both)
    done(store, _held(lambda work: work.sets.add(tove.id, [bench(theirs[0])], days=[theirs[0].day], change=1)))
    later = replace(theirs[1], last_set_at=NOW + timedelta(minutes=5))
    done(store, _held(lambda work: work.sessions.save(later), KIM))

    assert (before, done(store, both)) == ([0, 0], [1, 0])
    assert done(store, _held(lambda work: work.sessions.last(kim.id), KIM)) == later
    assert done(store, _held(lambda work: work.sessions.last(tove.id))) == theirs[0]


@pytest.mark.postgres
def test_a_lifter_who_is_forgotten_and_comes_back_has_nothing_that_is_recalled(store: PostgresStore) -> None:
    tove = new_lifter(store)
    done(store, _held(lambda work: work.reminders.save(tove.id, Reminders(rest_s=90))))
    done(store, _held(lambda work: work.lifters.erase(tove.id)))

    again = new_lifter(store)

    assert again.id != tove.id
    assert done(store, _settled) == Reminders()


@pytest.mark.postgres
def test_every_table_that_is_recalled_is_watched(url: str) -> None:
    with closing(psycopg.connect(url, autocommit=True)) as other:
        triggers = other.execute(
            "SELECT event_object_table, event_manipulation FROM information_schema.triggers"
            " WHERE trigger_name LIKE 'rackside%'"
        ).fetchall()
        emptied = other.execute(
            "SELECT tgrelid::regclass::text FROM pg_trigger WHERE tgname = 'rackside_emptied'"
        ).fetchall()
        columns = other.execute(
            "SELECT event_object_column FROM information_schema.triggered_update_columns"
            " WHERE event_object_table = 'due'"
        ).fetchall()

    assert {table for query in RECALLED for table in tables_of(query)} == WATCHED
    assert {(table, event) for table in WATCHED for event in ("INSERT", "UPDATE", "DELETE")} == set(triggers)
    assert {table for (table,) in emptied} == WATCHED
    # Of this one some columns are changed by whoever does not hold the lifter, and none of those is recalled.
    read = columns_of(WAITING) & {column.name for column in metadata.tables["due"].columns}
    assert read == {"kind", "occasion", "state", "lifter_id"}
    assert {column for (column,) in columns} == read


def test_a_signature_of_another_process_ends_what_is_recalled() -> None:
    recalls = Recalls()
    recall, mine = recalls.taken(1, None)
    recalls.given_back(1, recall)

    again, unchanged = recalls.taken(1, mine)
    recalls.given_back(1, again)
    after, signed = recalls.taken(1, 5)

    assert mine is not None
    assert (again is recall, unchanged) == (True, None)
    assert (after is recall, signed) == (False, mine)


def test_who_comes_back_after_another_has_begun_brings_nothing() -> None:
    # Committed on the server, a work may come back here after the next one with its lifter has begun or ended.
    recalls = Recalls()
    late, mine = recalls.taken(1, None)
    next_one, _ = recalls.taken(1, mine)

    recalls.given_back(1, late)
    recalls.given_back(1, next_one)
    recalls.given_back(1, late)

    assert recalls.taken(1, mine)[0] is next_one


def test_what_was_dropped_or_begun_anew_is_not_recalled() -> None:
    recalls = Recalls()
    dropped, mine = recalls.taken(1, None)
    recalls.dropped(1, dropped)
    recalls.given_back(1, dropped)
    before, _ = recalls.taken(2, mine)
    recalls.begin_anew()
    recalls.given_back(2, before)

    assert recalls.taken(1, mine)[0] is not dropped
    recall, signature = recalls.taken(2, mine)
    assert recall is not before
    assert signature not in {None, mine}


def test_lifters_longest_ago_are_forgotten_first() -> None:
    recalls = Recalls()
    taken = [recalls.taken(number, None) for number in range(MOST_LIFTERS + 1)]
    for number, (recall, _) in enumerate(taken):
        recalls.given_back(number, recall)

    _, mine = taken[0]
    assert recalls.taken(0, mine)[0] is not taken[0][0]
    assert recalls.taken(1, mine)[0] is taken[1][0]


def _held(work: Callable[[UnitOfWork], Result], address: Address = TOVE) -> Callable[[UnitOfWork], Result]:
    """A work that holds a lifter first."""

    def holding(unit: UnitOfWork) -> Result:
        unit.lifters.at_address(address)
        return work(unit)

    return holding


def _settled(work: UnitOfWork) -> Reminders:
    lifter = work.lifters.at_address(TOVE)
    assert lifter is not None
    return work.reminders.of(lifter.id)
