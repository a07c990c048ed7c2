"""What every engine must do alike: what delivery asks of the store, and the hints that save it waiting."""

from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from datetime import date
from functools import partial
from queue import Empty, Queue

import pytest

from core.application.due import put_housekeeping
from core.application.ports import Hint, Store, UnitOfWork
from core.application.rows import InboxRow, OutboxRow, OutboxState
from core.domain.check_in_replies import Chart, CheckInChart, EstimateChart, EstimatePoint, SetsChart
from core.domain.checkins import Item
from core.domain.exercises import Muscle
from core.domain.profile import Address
from core.domain.units import Unit
from core.storage.unit_of_work import open_store
from tests.core.storage.rows import KIM, NOW, TOVE, answer, arrived, done, due, minutes, new_lifter

WAIT_S = 20


def test_the_head_of_each_chat_is_its_first_live_answer_then_its_first_scheduled_message(store: Store) -> None:
    lifter = new_lifter(store)
    rows = [
        due("morning"),
        answer(1, text="one"),
        answer(1, text="two"),
        due("later", address=KIM),
        due("x", address=KIM),
    ]
    queued = done(store, lambda work: work.outbox.add(rows, lifter_id=lifter.id))

    first = done(store, lambda work: work.outbox.heads("terminal", limit=10))
    for row in first:
        done(store, partial(send, row))
    second = done(store, lambda work: work.outbox.heads("terminal", limit=10))

    assert [row.id for row in first] == [queued[1].id, queued[3].id]
    assert [row.id for row in second] == [queued[2].id, queued[4].id]
    assert done(store, lambda work: work.outbox.heads("elsewhere", limit=10)) == []


def test_all_that_waits_for_an_address_is_refused_at_once(store: Store) -> None:
    lifter = new_lifter(store)
    rows = [answer(1), due("morning"), answer(1, address=KIM)]
    queued = done(store, lambda work: work.outbox.add(rows, lifter_id=lifter.id))
    done(store, lambda work: work.outbox.add([answer(text="goodbye")], lifter_id=None))

    done(store, lambda work: work.outbox.refuse_waiting(TOVE))

    assert [row.id for row in done(store, lambda work: work.outbox.heads("terminal", limit=10))] == [queued[2].id]
    states = {row.id: row.state for row in done(store, lambda work: work.outbox.answers_to(1))}
    assert states == {queued[0].id: OutboxState.REFUSED, queued[2].id: OutboxState.WAITING}


def test_an_address_has_something_waiting_until_all_is_sent(store: Store) -> None:
    lifter = new_lifter(store)
    rows = done(
        store, lambda work: work.outbox.add([answer(1), answer(1), answer(1, address=KIM)], lifter_id=lifter.id)
    )

    seen: list[bool] = []
    for row in rows[:2]:
        seen.append(done(store, lambda work: bool(work.outbox.waiting_there(TOVE))))
        done(store, partial(send, row))
    seen.append(done(store, lambda work: bool(work.outbox.waiting_there(TOVE))))

    assert seen == [True, True, False]
    assert done(store, lambda work: work.outbox.waiting_there(KIM))


def test_what_is_sent_of_a_message_is_kept(store: Store) -> None:
    lifter = new_lifter(store)
    [row] = done(store, lambda work: work.outbox.add([answer(1)], lifter_id=lifter.id))

    done(store, lambda work: work.outbox.part_sent(row.id, parts=2))
    done(store, lambda work: work.outbox.sent(row.id, at=minutes(1), platform_key="42"))

    [kept] = done(store, lambda work: work.outbox.answers_to(1))
    assert (kept.parts_sent, kept.platform_key, kept.sent_at) == (2, "42", minutes(1))


@pytest.mark.parametrize(
    "chart",
    [
        EstimateChart(
            exercise="bench press", unit=Unit.LB, points=(EstimatePoint(date(2027, 1, 4), 100.5, 96.0, 105.25),)
        ),
        SetsChart(weeks=(date(2027, 1, 4),), muscles=((Muscle.CHEST, (8.5,)), (Muscle.LATS, (0.0,)))),
        CheckInChart(weeks=(date(2027, 1, 4), date(2027, 1, 11)), items=((Item.SLEEP, (None, 4)),)),
    ],
    ids=lambda chart: type(chart).__name__,
)
def test_the_values_of_a_picture_are_kept_beside_its_message(store: Store, chart: Chart) -> None:
    row = replace(answer(1), chart=chart)

    [queued] = done(store, lambda work: work.outbox.add([row], lifter_id=None))
    [kept] = done(store, lambda work: work.outbox.heads(row.address.connector, limit=9))

    assert kept == queued
    assert kept.chart == chart


def test_a_pause_is_replaced_by_a_later_one_and_ends(store: Store) -> None:
    done(store, lambda work: work.outbox.pause("terminal", chat="tove", until=minutes(1)))
    done(store, lambda work: work.outbox.pause("terminal", chat="tove", until=minutes(2)))
    done(store, lambda work: work.outbox.pause("terminal", chat="", until=minutes(1)))
    done(store, lambda work: work.outbox.pause("elsewhere", chat="tove", until=minutes(9)))

    now = done(store, lambda work: work.outbox.pauses("terminal", now=NOW))
    then = done(store, lambda work: work.outbox.pauses("terminal", now=minutes(1)))
    done(store, lambda work: work.outbox.end_pauses_before(minutes(5)))

    assert now == {"tove": minutes(2), "": minutes(1)}
    assert then == {"tove": minutes(2)}
    assert done(store, lambda work: work.outbox.pauses("terminal", now=NOW)) == {}
    assert done(store, lambda work: work.outbox.pauses("elsewhere", now=NOW)) == {"tove": minutes(9)}


def test_a_lifter_is_reached_where_they_wrote_last_and_not_where_nothing_arrives(store: Store) -> None:
    lifter = new_lifter(store)
    nobody = Address("terminal", "nobody")

    told = [done(store, lambda work: work.lifters.reach(lifter.id))]
    done(store, lambda work: work.lifters.unreachable(TOVE, at=minutes(1)))
    told.append(done(store, lambda work: work.lifters.reach(lifter.id)))
    done(store, lambda work: work.lifters.wrote(TOVE, at=minutes(2)))
    told.append(done(store, lambda work: work.lifters.reach(lifter.id)))
    done(store, lambda work: work.lifters.wrote(nobody, at=minutes(3)))

    assert told == [TOVE, None, TOVE]
    assert done(store, lambda work: work.lifters.at_address(nobody)) is None


def test_a_commit_that_brings_something_is_hinted_at(store: Store) -> None:
    lifter = new_lifter(store)
    heard: Queue[Hint] = Queue()
    store.watch(heard.put)

    done(store, lambda work: work.inbox.receive([arrived("e1")]))
    done(store, lambda work: work.inbox.receive([arrived("e1")]))
    done(store, lambda work: work.outbox.add([answer(1)], lifter_id=lifter.id))

    seen = {heard.get(timeout=WAIT_S)}
    while len(seen) < 2:
        seen.add(heard.get(timeout=WAIT_S))
    assert seen == {Hint.RECEIVED, Hint.QUEUED}


def send(row: OutboxRow, work: UnitOfWork) -> None:
    work.outbox.sent(row.id, at=NOW)


def _heard_from(teller: Store, heard: "Queue[Hint]", name: str) -> bool:
    """Whether what one process receives is told another one; the one that listens needs a moment to begin."""
    for number in range(WAIT_S * 10):
        done(teller, partial(receive, arrived(f"{name}{number}")))
        with suppress(Empty):
            return heard.get(timeout=0.1) is Hint.RECEIVED
    return False


def receive(row: InboxRow, work: UnitOfWork) -> None:
    work.inbox.receive([row])


@pytest.mark.postgres
@pytest.mark.parametrize("shared", ["postgres"], indirect=True)
def test_a_commit_of_another_process_is_hinted_at(shared: str) -> None:
    # given two stores, as two processes have them
    here, there = open_store(shared), open_store(shared)
    heard: Queue[Hint] = Queue()
    try:
        here.watch(heard.put)
        there.watch(lambda _hint: None)
        assert _heard_from(there, heard, "e")
    finally:
        here.close()
        there.close()


@pytest.mark.postgres
@pytest.mark.parametrize("shared", ["postgres"], indirect=True)
def test_a_process_that_begins_later_is_soon_told_too(shared: str) -> None:
    # given a store that has told its hints while nobody else heard
    here = open_store(shared)
    mine: Queue[Hint] = Queue()
    heard: Queue[Hint] = Queue()
    try:
        here.watch(mine.put)
        done(here, partial(receive, arrived("alone")))
        assert mine.get(timeout=WAIT_S) is Hint.RECEIVED

        # when another one begins
        there = open_store(shared)
        try:
            there.watch(heard.put)
            assert _heard_from(here, heard, "e")
        finally:
            there.close()
    finally:
        here.close()


@pytest.mark.postgres
@pytest.mark.parametrize("shared", ["postgres"], indirect=True)
def test_a_process_is_not_told_its_own_hints_again(shared: str) -> None:
    # given two stores that hear each other
    here, there = open_store(shared), open_store(shared)
    heard_here: Queue[Hint] = Queue()
    heard_there: Queue[Hint] = Queue()
    lifter = new_lifter(here)
    try:
        here.watch(heard_here.put)
        there.watch(heard_there.put)
        assert _heard_from(there, heard_here, "a")
        while not heard_there.empty():
            heard_there.get()
        assert _heard_from(here, heard_there, "b")

        # when each brings something; the server tells in the order of commits
        done(here, lambda work: work.outbox.add([answer(1)], lifter_id=lifter.id))
        while heard_there.get(timeout=WAIT_S) is not Hint.QUEUED:
            pass
        done(there, lambda work: put_housekeeping(work, NOW))

        # then the own one came once, before what the other brought
        told = [heard_here.get(timeout=WAIT_S)]
        while told[-1] is not Hint.DUE:
            told.append(heard_here.get(timeout=WAIT_S))
        assert told.count(Hint.QUEUED) == 1
    finally:
        here.close()
        there.close()


@pytest.mark.postgres
@pytest.mark.parametrize("shared", ["postgres"], indirect=True)
def test_an_address_is_worked_on_by_one_process_at_a_time(shared: str) -> None:
    here, there = open_store(shared), open_store(shared)
    try:
        alone = done(
            here,
            lambda work: (
                work.lifters.alone_with(TOVE),
                done(there, lambda other: other.lifters.alone_with(TOVE)),
                done(there, lambda other: other.lifters.alone_with(KIM)),
            ),
        )
        after = done(there, lambda other: other.lifters.alone_with(TOVE))
    finally:
        here.close()
        there.close()

    assert alone == (True, False, True)
    assert after


def test_the_goodbye_to_a_forgotten_lifter_is_not_held_by_a_pause_of_theirs(store: Store) -> None:
    lifter = new_lifter(store)
    done(store, lambda work: work.outbox.pause("terminal", chat="tove", until=minutes(9)))

    done(store, lambda work: work.lifters.erase(lifter.id))

    assert done(store, lambda work: work.outbox.pauses("terminal", now=NOW)) == {}


def test_a_message_is_marked_as_sent_and_what_else_waits_there_is_told(store: Store) -> None:
    # given two messages to a lifter, and one that is nobody's to another chat
    tove = new_lifter(store)
    first, second = done(store, lambda work: work.outbox.add([answer(7), answer(7)], lifter_id=tove.id))
    [goodbye] = done(store, lambda work: work.outbox.add([answer(7, address=KIM)], lifter_id=None))

    more = [done(store, _marked(row)) for row in (first, second, goodbye)]

    assert more == [True, False, False]
    assert done(store, lambda work: work.outbox.waiting("terminal", limit=9)) == []
    kept = done(store, lambda work: work.outbox.answers_to(7))
    assert [(each.id, each.state, each.platform_key) for each in kept] == [
        (first.id, OutboxState.SENT, "p1"),
        (second.id, OutboxState.SENT, "p1"),
    ]


def _marked(row: OutboxRow) -> Callable[[UnitOfWork], bool]:
    return lambda work: work.outbox.sent_there(row.id, row.address, at=minutes(1), platform_key="p1")
