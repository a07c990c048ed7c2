"""What is asked ahead is what the rows say when it is read, whatever happened in between; on every engine."""

from contextlib import suppress
from dataclasses import replace

import sqlalchemy as sa

from core.application.ports import Store, UnitOfWork
from core.domain.reminders import Reminders
from core.domain.sets import LoggedSet
from core.storage.estimates import RECORDS
from core.storage.recall import effect_of
from core.storage.set_statements import OF_EXERCISE_IN_SESSION
from core.storage.statements import Change
from core.storage.tables import sets
from tests.core.storage.rows import TOVE, bench, done, new_lifter, new_session


def test_what_is_changed_after_the_lifter_was_read_is_read_changed(store: Store) -> None:
    tove = new_lifter(store)

    def changed(work: UnitOfWork) -> Reminders:
        work.lifters.at_address(TOVE)
        work.reminders.save(tove.id, Reminders(rest_s=90))
        return work.reminders.of(tove.id)

    assert done(store, changed).rest_s == 90


def test_what_is_changed_after_the_session_was_read_is_read_changed(store: Store) -> None:
    # given a session with a set
    tove = new_lifter(store)
    session = replace(new_session(store, tove), exercise="bench press")
    done(store, lambda work: work.sessions.save(session))
    first = bench(session)
    done(store, lambda work: work.sets.add(tove.id, [first], days=[session.day], change=1))

    # when a second one is added between the session and the sets
    def added(work: UnitOfWork) -> list[LoggedSet]:
        work.lifters.at_address(TOVE)
        work.sessions.last(tove.id)
        work.sets.add(tove.id, [replace(first, root_key="later", place=1)], days=[session.day], change=2)
        work.records.save(tove.id, "bench press", "[]")
        assert work.records.table(tove.id, "bench press") == "[]"
        return list(work.sets.of_session(session.id, exercise="bench press"))

    # then both are read
    assert len(done(store, added)) == 2


def test_nothing_that_was_asked_ahead_outlives_its_transaction(store: Store) -> None:
    tove = new_lifter(store)

    def failing(work: UnitOfWork) -> None:
        work.lifters.at_address(TOVE)
        raise LookupError

    with suppress(LookupError):
        done(store, failing)
    done(store, lambda work: work.reminders.save(tove.id, Reminders(rest_s=90)))

    assert done(store, lambda work: work.reminders.of(tove.id)).rest_s == 90


def test_a_statement_spoils_what_reads_its_table_and_nothing_else() -> None:
    added = effect_of(Change(sa.insert(sets)))

    assert added.spoils(OF_EXERCISE_IN_SESSION)
    assert not added.spoils(RECORDS)
