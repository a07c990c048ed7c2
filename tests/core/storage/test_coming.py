"""Events that are told before they are taken: that saves waiting, and changes nothing of what comes of them."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from threading import Event

import pytest

from bot.dispatch import Dispatch, Step
from bot.messages import Arrived
from bot.rendering.replies import House
from bot.rows import Queued
from core.application.ports import Store, UnitOfWork
from core.application.rows import InboxRow, MessageState
from core.domain.profile import Lifter
from core.storage.unit_of_work import open_store
from tests.checked_store import watched_postgres_store
from tests.core.storage.rows import KIM, NOW, TOVE, answer, arrived, bench, done, minutes, new_lifter, new_session
from tests.postgres_cluster import Cluster

WAIT_S = 60


@dataclass(frozen=True, slots=True)
class Came:
    """What came of an event.

    Args:
        lifter: Who was asked for.
        row: The event as it was taken; None if it was not.
        alone: Nobody else was at work on its address.

    """

    lifter: Lifter | None
    row: InboxRow | None
    alone: bool = True


@pytest.fixture(params=["at once", "alone"])
def came(request: pytest.FixtureRequest) -> Callable[[InboxRow], Callable[[UnitOfWork], Came]]:
    """The work that takes an event: whoever else is at work is waited for, or has it wait."""

    def taking(row: InboxRow) -> Callable[[UnitOfWork], Came]:
        def at_once(work: UnitOfWork) -> Came:
            work.inbox.coming(row, at=minutes(1))
            lifter = work.lifters.at_address(row.address)
            return Came(lifter, work.inbox.take(row, at=minutes(1), lifter_id=None if lifter is None else lifter.id))

        def alone(work: UnitOfWork) -> Came:
            work.inbox.coming(row, at=minutes(1))
            if not work.lifters.alone_with(row.address):
                return Came(None, None, alone=False)
            lifter = work.lifters.at_address(row.address)
            return Came(
                lifter, work.inbox.take_next(row, at=minutes(1), lifter_id=None if lifter is None else lifter.id)
            )

        return alone if request.param == "alone" else at_once

    return taking


Taking = Callable[[InboxRow], Callable[[UnitOfWork], Came]]


def test_an_event_of_somebody_who_is_known_is_taken_once_and_is_theirs(store: Store, came: Taking) -> None:
    tove = new_lifter(store)

    first = done(store, came(arrived("e1")))
    again = done(store, came(arrived("e1")))

    assert first.lifter == again.lifter == tove
    assert first.row is not None
    assert (first.row.event_key, first.row.state) == ("e1", MessageState.HANDLED)
    assert again.row is None
    assert done(store, lambda work: work.inbox.by_key("terminal", "e1")) == first.row
    # It is theirs: it goes with them, all but its scrambled key.
    done(store, lambda work: work.lifters.erase(tove.id))
    assert done(store, came(arrived("e1"))) == Came(None, None)


def test_an_event_of_a_stranger_is_taken_once(store: Store, came: Taking) -> None:
    first = done(store, came(arrived("e1")))
    again = done(store, came(arrived("e1")))

    assert first.lifter is None
    assert first.row is not None
    assert again == Came(None, None)


def test_an_event_that_waits_already_is_not_taken(store: Store, came: Taking) -> None:
    new_lifter(store)
    done(store, lambda work: work.inbox.receive([arrived("e1")]))

    assert done(store, came(arrived("e1"))).row is None


def test_what_follows_from_an_event_has_numbers_in_the_order_in_which_it_was_added(store: Store, came: Taking) -> None:
    # given a lifter with a session
    tove = new_lifter(store)
    session = new_session(store, tove)
    [before] = done(store, lambda work: work.outbox.add([answer()], lifter_id=tove.id))

    # when an event of theirs adds answers and sets, one at a time and several
    def follow(work: UnitOfWork) -> tuple[list[int], list[int]]:
        came(arrived("e1"))(work)
        answers = [
            row.id
            for rows in ([answer()], [answer(), answer()], [answer()])
            for row in work.outbox.add(rows, lifter_id=tove.id)
        ]
        sets = [
            each.id
            for place in range(3)
            for each in work.sets.add(tove.id, [bench(session, place=place)], days=[session.day], change=1)
        ]
        return answers, sets

    answers, sets = done(store, follow)
    [after] = done(store, lambda work: work.outbox.add([answer()], lifter_id=tove.id))

    assert [before.id, *answers, after.id] == sorted({before.id, *answers, after.id})
    assert sets == sorted(set(sets))
    assert [each.id for each in done(store, lambda work: work.outbox.waiting("terminal", limit=9))] == [
        before.id,
        *answers,
        after.id,
    ]
    assert [each.id for each in done(store, lambda work: work.sets.of_session(session.id))] == sets


def test_another_event_than_the_one_that_was_told_is_taken_too(store: Store) -> None:
    tove = new_lifter(store)

    def take(work: UnitOfWork) -> InboxRow | None:
        work.inbox.coming(arrived("k1", address=KIM), at=minutes(1))
        work.lifters.at_address(TOVE)
        return work.inbox.take(arrived("e1"), at=minutes(1), lifter_id=tove.id)

    taken = done(store, take)

    assert taken is not None
    assert done(store, lambda work: work.inbox.by_key("terminal", "e1")) == taken
    assert done(store, lambda work: work.inbox.by_key("terminal", "k1")) is None


def test_an_event_that_was_told_and_not_taken_is_not_there(store: Store) -> None:
    new_lifter(store)

    def tell(work: UnitOfWork) -> None:
        work.inbox.coming(arrived("e1"), at=minutes(1))

    done(store, tell)
    done(store, lambda work: work.lifters.at_address(TOVE))

    assert done(store, lambda work: work.inbox.by_key("terminal", "e1")) is None


@pytest.fixture
def both(cluster: Cluster) -> Iterator[tuple[Store, Store]]:
    """Two processes on one PostgreSQL database."""
    stores = open_store(cluster.database), open_store(cluster.database)
    yield stores
    for store in stores:
        store.close()
    cluster.empty(cluster.database)


@pytest.mark.postgres
def test_an_event_of_an_address_that_another_process_works_on_is_left(both: tuple[Store, Store]) -> None:
    here, there = both
    new_lifter(here)
    inside, go = Event(), Event()

    def holds(work: UnitOfWork) -> None:
        assert work.lifters.alone_with(TOVE)
        inside.set()
        go.wait(WAIT_S)

    holding = here.submit(holds)
    inside.wait(WAIT_S)

    def take(work: UnitOfWork) -> tuple[bool, int]:
        work.inbox.coming(arrived("e1"), at=minutes(1))
        alone = work.lifters.alone_with(TOVE)
        return alone, len(work.inbox.receive([arrived("e1")]))

    found = done(there, take)
    go.set()
    holding.result(WAIT_S)

    # It was received, and waits.
    assert found == (False, 1)
    waiting = done(here, lambda work: work.inbox.next_for(TOVE))
    assert waiting is not None
    assert waiting.event_key == "e1"


@pytest.mark.postgres
def test_an_event_of_somebody_who_is_forgotten_meanwhile_is_a_strangers(both: tuple[Store, Store]) -> None:
    here, there = both
    tove = new_lifter(here)
    inside, go = Event(), Event()

    def forgets(work: UnitOfWork) -> None:
        work.lifters.at_address(TOVE)
        inside.set()
        go.wait(WAIT_S)
        work.lifters.erase(tove.id)

    forgetting = here.submit(forgets)
    inside.wait(WAIT_S)
    taking = there.submit(_taken)
    go.set()
    forgetting.result(WAIT_S)
    taken = taking.result(WAIT_S)

    assert taken is not None
    assert done(here, lambda work: work.inbox.by_key("terminal", "e1")) == taken


def _taken(work: UnitOfWork) -> InboxRow | None:
    work.inbox.coming(arrived("e1"), at=minutes(1))
    lifter = work.lifters.at_address(TOVE)
    return work.inbox.take(arrived("e1"), at=minutes(1), lifter_id=None if lifter is None else lifter.id)


@pytest.mark.postgres
async def test_a_further_set_takes_four_statements(cluster: Cluster) -> None:
    # given a lifter in the middle of a lift
    sent: list[str] = []
    store = watched_postgres_store(cluster.database, sent)
    times = iter([minutes(each) for each in range(60)])
    dispatch = Dispatch(store, clock=lambda: next(times), house=House())
    events = [
        Arrived(address=TOVE, event_key=f"e{n}", message_key=f"m{n}", text="bench 80x5 rir2", sent_at=NOW)
        for n in range(4)
    ]
    for event in events[:3]:
        assert await dispatch.take_in(event, name="tove") is Step.LAST
    sent.clear()
    handed: list[Queued] = []

    # when they tell a set more
    step = await dispatch.take_in(events[3], name="tove", hand=handed.append)
    store.close()
    cluster.empty(cluster.database)

    # then one locks them, one takes the message, one looks what waits before its answer, and one writes all that follows
    assert step is Step.LAST
    assert [each.split()[0] for each in sent] == ["SELECT", "INSERT", "SELECT", "WITH"]
    [queued] = handed
    assert (queued.row.address, len(queued.behind)) == (TOVE, 3)
