"""Changes wait for each other and go out together; what they do is what they would have done one by one."""

import re
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

import psycopg
import pytest
import sqlalchemy as sa

from core.application.ports import UnitOfWork
from core.domain.reminders import Reminders
from core.storage.postgres_link import MOST_TOGETHER, commands_of
from core.storage.postgres_store import PostgresStore
from core.storage.statements import Change, Engine, Prepared
from core.storage.tables import records, setups
from tests.checked_store import watched_postgres_store
from tests.core.storage.rows import NOW, TODAY, TOVE, bench, done, estimated, minutes, new_lifter, new_session
from tests.postgres_cluster import Cluster

pytestmark = pytest.mark.postgres


class Watched:
    """A store with the statements that it sends."""

    def __init__(self, url: str) -> None:
        self.sent: list[str] = []
        self.store: PostgresStore = watched_postgres_store(url, self.sent)


@pytest.fixture
def watched(cluster: Cluster) -> Iterator[Watched]:
    """A watched store on a database with all tables and no rows."""
    watched = Watched(cluster.database)
    yield watched
    watched.store.close()
    cluster.empty(cluster.database)


def test_changes_of_different_tables_are_made_by_one_statement(watched: Watched) -> None:
    tove = new_lifter(watched.store)
    watched.sent.clear()

    def change(work: UnitOfWork) -> None:
        work.reminders.save(tove.id, Reminders(rest_s=90))
        work.estimates.save_state(tove.id, "bench press", "state")
        work.lifters.save(replace(tove, zone="UTC"))

    done(watched.store, change)

    assert len(watched.sent) == 1
    assert done(watched.store, lambda work: work.reminders.of(tove.id)).rest_s == 90
    assert done(watched.store, lambda work: work.estimates.state(tove.id, "bench press")) == "state"
    assert done(watched.store, lambda work: work.lifters.by_id(tove.id)) == replace(
        tove, zone="UTC", version=tove.version + 1
    )


def test_changes_of_one_table_are_made_one_after_the_other(watched: Watched) -> None:
    tove = new_lifter(watched.store)

    def change(work: UnitOfWork) -> None:
        work.reminders.save(tove.id, Reminders(rest_s=90))
        work.reminders.save(tove.id, Reminders(rest_s=120))
        work.lifters.save(replace(tove, zone="UTC"))
        work.lifters.save(replace(tove, zone="Europe/Paris"))

    done(watched.store, change)

    assert done(watched.store, lambda work: work.reminders.of(tove.id)).rest_s == 120
    found = done(watched.store, lambda work: work.lifters.by_id(tove.id))
    assert found is not None
    assert (found.zone, found.version) == ("Europe/Paris", tove.version + 2)


def test_a_change_is_seen_by_what_is_read_behind_it(watched: Watched) -> None:
    tove = new_lifter(watched.store)

    def change(work: UnitOfWork) -> int | None:
        work.reminders.save(tove.id, Reminders(rest_s=90))
        return work.reminders.of(tove.id).rest_s

    assert done(watched.store, change) == 90


def test_what_goes_with_a_deleted_row_is_changed_before_and_after_it(watched: Watched) -> None:
    # given a session with a set, an estimate and a checkpoint
    tove = new_lifter(watched.store)
    session = new_session(watched.store, tove)
    [added] = done(watched.store, lambda work: work.sets.add(tove.id, [bench(session)], days=[TODAY], change=1))
    estimated(watched.store, tove, session)

    # when the set is erased, the session goes with it, and another begins
    def change(work: UnitOfWork) -> None:
        work.sets.erase([added.id])
        work.sessions.remove(session.id)
        work.estimates.save_state(tove.id, "bench press", "anew")

    done(watched.store, change)

    assert done(watched.store, lambda work: work.sessions.last(tove.id)) is None
    assert done(watched.store, lambda work: work.estimates.history(tove.id, "bench press")) == []
    assert (
        done(watched.store, lambda work: work.estimates.last_checkpoint(tove.id, "bench press", until=minutes(9)))
        is None
    )


def test_a_mistake_in_one_change_undoes_all(watched: Watched) -> None:
    tove = new_lifter(watched.store)

    def change(work: UnitOfWork) -> None:
        work.reminders.save(tove.id, Reminders(rest_s=90))
        # There is no such lifter.
        work.estimates.save_state(tove.id + 1, "bench press", "state")

    failed = watched.store.submit(change).exception(60)

    assert isinstance(failed, psycopg.errors.ForeignKeyViolation)
    assert done(watched.store, lambda work: work.reminders.of(tove.id)) == Reminders()


def test_a_work_that_fails_leaves_no_change_to_the_next_one(watched: Watched) -> None:
    tove = new_lifter(watched.store)

    def change(work: UnitOfWork) -> None:
        work.reminders.save(tove.id, Reminders(rest_s=90))
        raise LookupError

    failed = watched.store.submit(change).exception(60)
    watched.sent.clear()
    done(watched.store, lambda work: work.lifters.wrote(TOVE, at=NOW))

    assert isinstance(failed, LookupError)
    assert len(watched.sent) == 1
    assert done(watched.store, lambda work: work.reminders.of(tove.id)) == Reminders()


def test_statements_of_too_many_kinds_go_out_one_by_one() -> None:
    changes = [Change(sa.update(records).values(held=sa.literal_column(str(n)))) for n in range(MOST_TOGETHER + 2)]
    prepared = [each.on(Engine.POSTGRESQL) for each in changes]
    made: dict[tuple[Prepared, ...], bytes] = {}

    commands = [commands_of(pair, made) for pair in pairwise(prepared)]

    assert {len(each) for each in commands[:-1]} == {1}
    assert commands[-1] == [each.command for each in prepared[-2:]]


def test_arguments_are_numbered_across_the_statements_that_go_out_together() -> None:
    changes = [
        Change(sa.delete(table).where(table.c.lifter_id == sa.bindparam("lifter_id"))) for table in (setups, records)
    ]

    [command] = commands_of([each.on(Engine.POSTGRESQL) for each in changes], {})

    assert re.findall(rb"\$\d", command) == [b"$1", b"$2"]
    assert command.startswith(b"WITH change_0 AS (DELETE FROM setups")
