"""What the writer read and recalls: it is what the rows say, whoever changed them."""

import re
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from shutil import copy

import pytest
import sqlalchemy as sa

from core.application.ports import Store, UnitOfWork
from core.domain.reminders import Reminders
from core.domain.sessions import Session
from core.domain.sets import Counted, LoggedSet
from core.storage import due, estimates, lifters, own_exercises, plans, sessions, set_statements
from core.storage.locations import OnDisk
from core.storage.recall import MOST, Recall, tables_of
from core.storage.sqlite_files import connect
from core.storage.sqlite_store import SqliteStore
from core.storage.statements import Change, Engine, Query
from tests.core.storage.rows import KIM, NOW, TOVE, bench, done, new_lifter, new_session, stored

ROOMS = (due, estimates, lifters, own_exercises, plans, sessions, set_statements)

RECALLED = [
    (module, name, value)
    for module in ROOMS
    for name, value in vars(module).items()
    if isinstance(value, Query) and value.scope is not None
]


class Watched:
    """A store on disk with the statements that its writer sends."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.sent: list[str] = []
        connection = connect(OnDisk(path), writes=True)
        self.store = SqliteStore(OnDisk(path), observer=lambda _point: None, connection=connection)
        connection.set_trace_callback(self.sent.append)

    def reads(self, table: str) -> int:
        """How often a table was read from since the last time this was asked."""
        number = sum(each.startswith("SELECT") and f"FROM {table}" in each for each in self.sent)
        self.sent.clear()
        return number


@pytest.fixture
def watched(empty_file: Path, tmp_path: Path) -> Iterator[Watched]:
    """A watched store."""
    watched = Watched(Path(copy(empty_file, tmp_path / "rackside.db")))
    yield watched
    watched.store.close()


def test_what_was_read_is_not_read_again(watched: Watched) -> None:
    tove = new_lifter(watched.store)
    _settled(watched.store, tove.id)
    watched.sent.clear()

    again = _settled(watched.store, tove.id)

    assert again == Reminders()
    assert watched.reads("reminders") == 0


def test_a_change_is_read_by_the_same_work_and_by_the_next_one(watched: Watched) -> None:
    tove = new_lifter(watched.store)
    _settled(watched.store, tove.id)

    def change(work: UnitOfWork) -> Reminders:
        work.reminders.save(tove.id, Reminders(rest_s=90))
        return work.reminders.of(tove.id)

    assert done(watched.store, change).rest_s == 90
    assert _settled(watched.store, tove.id).rest_s == 90


def test_a_change_of_one_lifter_leaves_what_is_known_of_another(watched: Watched) -> None:
    tove, kim = new_lifter(watched.store), new_lifter(watched.store, KIM, name="Kim")
    _settled(watched.store, tove.id)
    _settled(watched.store, kim.id)
    done(watched.store, lambda work: work.reminders.save(kim.id, Reminders(rest_s=90)))
    watched.sent.clear()

    _settled(watched.store, tove.id)
    of_tove = watched.reads("reminders")
    _settled(watched.store, kim.id)

    assert (of_tove, watched.reads("reminders")) == (0, 1)


def test_what_was_written_is_known_without_being_read(watched: Watched) -> None:
    tove = new_lifter(watched.store)
    session = new_session(watched.store, tove)
    done(watched.store, lambda work: work.estimates.save_state(tove.id, "bench press", "state"))
    later = replace(session, last_set_at=NOW + timedelta(minutes=5))
    done(watched.store, lambda work: work.sessions.save(later))
    watched.sent.clear()

    assert done(watched.store, lambda work: work.estimates.state(tove.id, "bench press")) == "state"
    assert done(watched.store, lambda work: work.sessions.last(tove.id)) == later
    assert [each for each in watched.sent if each.startswith("SELECT")] == []


def test_a_verdict_is_known_without_being_read_and_leaves_what_is_known_of_another(watched: Watched) -> None:
    # given a set of each of two lifters, and what was read of their sessions
    store = watched.store
    tove, kim = new_lifter(store), new_lifter(store, KIM, name="Kim")
    of_tove, of_kim = new_session(store, tove), new_session(store, kim)
    [mine], [theirs] = stored(store, tove, bench(of_tove)), stored(store, kim, bench(of_kim))
    for session in (of_tove, of_kim):
        _sets(store, session)
    watched.sent.clear()

    # when one of them is judged anew, and taken back after that
    done(store, lambda work: work.sets.judge(tove.id, [(mine, Counted.TOO_LIGHT)]))
    judged, unread = _sets(store, of_tove), watched.reads("sets")
    done(store, lambda work: work.sets.imply(tove.id, [(mine, 2.0)]))
    done(store, lambda work: work.sets.take_back(tove.id, [mine], change=7))

    # then the verdict is known, what is gone is gone, and the other lifter's sets were not read again
    assert (judged, unread) == ([replace(mine, counted=Counted.TOO_LIGHT)], 0)
    assert _sets(store, of_tove) == []
    watched.sent.clear()
    assert _sets(store, of_kim) == [theirs]
    assert watched.reads("sets") == 0


def test_who_writes_is_known_after_they_have_written_once_more(watched: Watched) -> None:
    # given a lifter who was read
    tove = new_lifter(watched.store)
    done(watched.store, lambda work: work.lifters.at_address(TOVE))
    watched.sent.clear()

    # when they write, and are then changed
    done(watched.store, lambda work: work.lifters.wrote(TOVE, at=NOW))
    known = done(watched.store, lambda work: work.lifters.at_address(TOVE))
    reads = watched.reads("lifters")
    done(watched.store, lambda work: work.lifters.save(replace(tove, zone="Europe/Oslo")))
    changed = done(watched.store, lambda work: work.lifters.at_address(TOVE))

    # then only the change had them read again
    assert (known, reads) == (tove, 0)
    assert changed is not None
    assert changed.zone == "Europe/Oslo"


def test_a_chat_that_is_another_lifters_from_now_on_is_read_so(watched: Watched) -> None:
    tove, kim = new_lifter(watched.store), new_lifter(watched.store, KIM, name="Kim")
    done(watched.store, lambda work: work.lifters.at_address(KIM))

    done(watched.store, lambda work: work.addresses.join(kim.id, tove.id, at=NOW))

    assert done(watched.store, lambda work: work.lifters.at_address(KIM)) == tove


def test_nothing_of_a_work_that_was_rolled_back_is_known(watched: Watched) -> None:
    tove = new_lifter(watched.store)
    _settled(watched.store, tove.id)

    def fail(work: UnitOfWork) -> None:
        work.reminders.save(tove.id, Reminders(rest_s=90))
        work.estimates.save_state(tove.id, "bench press", "state")
        raise LookupError

    with suppress(LookupError):
        done(watched.store, fail)

    assert _settled(watched.store, tove.id).rest_s is None
    assert done(watched.store, lambda work: work.estimates.state(tove.id, "bench press")) is None


def test_what_another_process_wrote_is_read(watched: Watched) -> None:
    tove = new_lifter(watched.store)
    _settled(watched.store, tove.id)
    other = SqliteStore(OnDisk(watched.path), observer=lambda _point: None)
    done(other, lambda work: work.reminders.save(tove.id, Reminders(rest_s=90)))
    other.close()

    found = _settled(watched.store, tove.id)

    assert found.rest_s == 90


def test_with_a_lifter_goes_all_that_is_known(watched: Watched) -> None:
    # The rows of other tables go by themselves, without a statement that names them.
    tove = new_lifter(watched.store)
    session = new_session(watched.store, tove)
    done(watched.store, lambda work: work.sets.add(tove.id, [bench(session)], days=[session.day], change=1))
    done(watched.store, lambda work: work.sets.of_session(session.id))

    done(watched.store, lambda work: work.lifters.erase(tove.id))

    assert done(watched.store, lambda work: work.sets.of_session(session.id)) == []
    assert done(watched.store, lambda work: work.sessions.last(tove.id)) is None


def test_the_oldest_is_forgotten_first() -> None:
    recall = Recall()
    query = Query(sa.select(sa.bindparam("lifter_id", type_=sa.Integer())), int, scope="lifter_id")
    for number in range(MOST + 1):
        recall.keep(query, number, (number,), [number])

    assert recall.found(query, 0, (0,)) is None
    assert recall.found(query, 1, (1,)) == [1]
    assert recall.found(query, MOST, (MOST,)) == [MOST]


@pytest.mark.parametrize(("module", "name", "query"), RECALLED, ids=[f"{m.__name__}.{n}" for m, n, _ in RECALLED])
def test_a_query_that_is_recalled_is_asked_for_its_scope(module: object, name: str, query: Query[object]) -> None:
    del module

    assert query.scope in query.on(Engine.SQLITE).given, name
    assert tables_of(query), name


def test_no_update_gives_rows_that_are_recalled_to_somebody_else() -> None:
    # A lifter's number among its values says whose rows a statement changes, never whose they become.
    recalled = {table for _, _, query in RECALLED for table in tables_of(query)}
    found = [
        f"{module.__name__}.{name}"
        for module in ROOMS
        for name, value in vars(module).items()
        if isinstance(value, Change | Query)
        and (text := value.on(Engine.SQLITE).text).startswith("UPDATE")
        and text.split()[1] in recalled
        and "lifter_id=" in text.split("WHERE", maxsplit=1)[0].replace(" ", "")
    ]

    assert found == []


def test_a_change_of_some_columns_sets_no_others() -> None:
    changes = [value for module in ROOMS for value in vars(module).values() if isinstance(value, Change)]
    told = [(each.columns, each.on(Engine.SQLITE).text) for each in changes if each.columns is not None]

    written = [frozenset(re.findall(r"(\w+)=", text[text.index("SET") : text.index("WHERE")])) for _, text in told]

    assert written
    assert written == [columns for columns, _ in told]


def _sets(store: Store, session: Session) -> list[LoggedSet]:
    return list(done(store, lambda work: work.sets.of_session(session.id)))


def _settled(store: Store, lifter_id: int) -> Reminders:
    return done(store, lambda work: work.reminders.of(lifter_id))
