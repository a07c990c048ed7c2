"""The store on PostgreSQL: one lifter in one thread at a time, and what happens when the server does not answer."""

import traceback
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import replace
from threading import Barrier, Event

import psycopg
import pytest

from core.application.ports import StoreBusy, UnitOfWork
from core.domain.profile import Address
from core.storage.locations import OnServer, location_of
from core.storage.postgres_store import PostgresStore, connect
from core.storage.upgrades import migrate
from tests.core.storage.rows import KIM, NOW, TOVE, arrived, done, new_lifter
from tests.postgres_cluster import Cluster, cut_all, until_somebody_waits

pytestmark = pytest.mark.postgres

WAIT_S = 60


@pytest.fixture
def url(cluster: Cluster) -> Iterator[str]:
    """URL of a database with all tables and no rows."""
    yield cluster.database
    cluster.empty(cluster.database)


@pytest.fixture
def store(url: str) -> Iterator[PostgresStore]:
    """A store with four threads that does not really pause."""
    opened = _opened(url)
    yield opened
    opened.close()


def test_one_lifter_is_in_one_thread_at_a_time_and_lifters_do_not_wait_for_each_other(store: PostgresStore) -> None:
    for address in (TOVE, KIM):
        new_lifter(store, address)
    inside, go = Event(), Event()
    order: list[str] = []

    def holds(work: UnitOfWork) -> None:
        work.lifters.at_address(TOVE)
        inside.set()
        go.wait(WAIT_S)
        order.append("first")

    first = store.submit(holds)
    inside.wait(WAIT_S)
    second = store.submit(_note(order, TOVE, "second"))
    other = store.submit(_note(order, KIM, "other"))
    other.result(WAIT_S)
    go.set()
    first.result(WAIT_S)
    second.result(WAIT_S)

    assert order == ["other", "first", "second"]


def test_works_run_in_several_threads_at_once(store: PostgresStore) -> None:
    together = Barrier(4)

    works = [store.submit(lambda _work: together.wait(WAIT_S)) for _ in range(4)]

    assert sorted(each.result(WAIT_S) for each in works) == [0, 1, 2, 3]


def test_an_event_that_another_process_handles_is_passed_over(url: str, store: PostgresStore) -> None:
    rows = [arrived("t1"), arrived("t2"), arrived("k1", address=KIM)]
    done(store, lambda work: work.inbox.receive(rows))
    other = _opened(url)
    inside, go = Event(), Event()

    def holds(work: UnitOfWork) -> str | None:
        row = work.inbox.next_for(TOVE)
        inside.set()
        go.wait(WAIT_S)
        if row is not None:
            work.inbox.handled(row.id, at=NOW)
        return row.event_key if row is not None else None

    held = other.submit(holds)
    inside.wait(WAIT_S)
    meanwhile = [row.event_key for row in done(store, lambda work: work.inbox.waiting(limit=9))]
    next_one = store.submit(lambda work: work.inbox.next_for(TOVE))
    go.set()
    handled = held.result(WAIT_S)
    after = next_one.result(WAIT_S)
    other.close()

    # Neither the event in work nor the one behind it, for that would come out of order.
    assert meanwhile == ["k1"]
    assert handled == "t1"
    assert after is not None
    assert after.event_key == "t2"


def test_who_waits_for_an_address_gets_what_came_in_meanwhile(url: str, store: PostgresStore) -> None:
    done(store, lambda work: work.inbox.receive([arrived("t1")]))
    inside, go = Event(), Event()

    def holds(work: UnitOfWork) -> None:
        row = work.inbox.next_for(TOVE)
        inside.set()
        go.wait(WAIT_S)
        assert row is not None
        work.inbox.handled(row.id, at=NOW)

    held = store.submit(holds)
    inside.wait(WAIT_S)
    waits = store.submit(lambda work: work.inbox.next_for(TOVE))
    until_somebody_waits(url)
    # Too late for what the one who waits saw when they began to.
    done(store, lambda work: work.inbox.receive([arrived("t2")]))
    go.set()
    held.result(WAIT_S)
    after = waits.result(WAIT_S)

    assert after is not None
    assert after.event_key == "t2"


def test_a_work_that_met_a_deadlock_is_run_again(store: PostgresStore) -> None:
    for address in (TOVE, KIM):
        new_lifter(store, address)
    # Each takes its own lifter's row, waits for the other to have done so, and asks for the other's.
    both = Barrier(2)
    tries: list[str] = []

    def crossing(first: Address, second: Address) -> Callable[[UnitOfWork], None]:
        def work(unit: UnitOfWork) -> None:
            tries.append(first.chat)
            unit.lifters.at_address(first)
            if tries.count(first.chat) == 1:
                both.wait(WAIT_S)
            lifter = unit.lifters.at_address(second)
            assert lifter is not None
            unit.lifters.save(replace(lifter, habits={**lifter.habits, first.chat: "was here"}))

        return work

    works = [store.submit(crossing(TOVE, KIM)), store.submit(crossing(KIM, TOVE))]
    for each in works:
        each.result(WAIT_S)

    # At least one of the two was run again; on a busy machine they may cross a second time.
    assert len(tries) >= 3
    with store.read() as unit:
        lifters = [unit.lifters.at_address(address) for address in (TOVE, KIM)]
    assert [dict(each.habits) for each in lifters if each is not None] == [{"kim": "was here"}, {"tove": "was here"}]


def test_a_connection_cut_in_the_middle_of_a_work_is_opened_again(url: str, store: PostgresStore) -> None:
    tries: list[int] = []

    def work(unit: UnitOfWork) -> int:
        tries.append(1)
        new = unit.inbox.receive([arrived("e1")])
        if len(tries) == 1:
            cut_all(url)
        unit.inbox.handled(new[0].id, at=NOW)
        return len(new)

    received = store.submit(work).result(WAIT_S)

    assert received == 1
    assert len(tries) == 2
    assert len(done(store, lambda unit: unit.inbox.receive([arrived("e1")]))) == 0


def test_connections_cut_between_works_are_opened_again(url: str, store: PostgresStore) -> None:
    new_lifter(store)
    with store.read() as work:
        assert work.lifters.at_address(TOVE) is not None
    cut_all(url)

    with store.read() as work:
        assert work.lifters.at_address(TOVE) is not None
    assert done(store, lambda work: work.lifters.at_address(TOVE)) is not None


def test_a_server_that_is_gone_is_told_as_busy_after_bounded_tries(cluster: Cluster) -> None:
    url = cluster.own_database
    paused_s: list[float] = []
    store = _opened(url, pauses_s=(0.1, 0.2), pause=paused_s.append)
    cluster.drop(url)

    error = store.submit(lambda work: work.lifters.at_address(TOVE)).exception(WAIT_S)
    store.close()

    assert isinstance(error, StoreBusy)
    assert paused_s == [0.1, 0.2]


def test_a_server_that_cannot_be_reached_is_told_without_its_password(cluster: Cluster) -> None:
    # Port 1 answers nobody on loopback.
    unreachable = cluster.database.replace(f":{cluster.port}/", ":1/").replace("rackside@", "rackside:hunter2@")

    for reach in (_opened, migrate):
        with pytest.raises(StoreBusy) as refused:
            reach(unreachable)
        assert "hunter2" not in "".join(traceback.format_exception(refused.value))


def test_a_commit_is_on_the_disk_whatever_the_servers_default(cluster: Cluster) -> None:
    url = cluster.own_database
    with closing(psycopg.connect(url, autocommit=True)) as other:
        other.execute(f"ALTER DATABASE {url.rpartition('/')[2]} SET synchronous_commit = off".encode())
    location = location_of(url)
    assert isinstance(location, OnServer)

    with closing(connect(location)) as connection:
        asked = connection.execute("SHOW synchronous_commit").fetchone()

    cluster.drop(url)
    assert asked == ("on",)


def _opened(
    url: str,
    *,
    pauses_s: tuple[float, ...] = (0.0,) * 5,
    pause: Callable[[float], None] = lambda _length_s: None,
) -> PostgresStore:
    location = location_of(url)
    assert isinstance(location, OnServer)
    return PostgresStore(location, observer=lambda _point: None, pauses_s=pauses_s, pause=pause)


def _note(order: list[str], address: Address, name: str) -> Callable[[UnitOfWork], None]:
    def work(unit: UnitOfWork) -> None:
        unit.lifters.at_address(address)
        order.append(name)

    return work
