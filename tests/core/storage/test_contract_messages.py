"""What every engine must do alike: what comes in, what goes out, and how works are run."""

from collections.abc import Callable, Sequence
from dataclasses import fields, replace
from datetime import date
from functools import partial
from threading import Event

import pytest

from core.application.ports import Store, UnitOfWork
from core.application.rows import (
    InboxRow,
    MessageKind,
    MessageState,
    OutboxRow,
    OutboxState,
)
from core.domain.check_in_replies import Chart, CheckInChart, EstimateChart, EstimatePoint, SetsChart
from core.domain.checkins import Item
from core.domain.exercises import Muscle
from core.domain.profile import Address
from core.domain.units import Unit
from core.storage.unit_of_work import open_store
from tests.core.storage.rows import KIM, NOW, TOVE, answer, arrived, done, due, minutes, new_lifter

WAIT_S = 60


# The inbox


def test_every_field_of_an_event_is_kept(store: Store) -> None:
    told = InboxRow(
        address=Address("matrix", "!room:example.org"),
        event_key="$event",
        kind=MessageKind.TAPPED,
        message_key="ключ",
        text="بنش 80x5 🏋",
        question="q1",
        sent_at=minutes(-1),
        received_at=NOW,
    )

    [new] = done(store, lambda work: work.inbox.receive([told]))

    assert new == replace(told, id=new.id)
    assert done(store, lambda work: work.inbox.by_key("matrix", "$event")) == new
    assert all(
        getattr(told, each.name) != getattr(arrived(), each.name)
        for each in fields(InboxRow)
        if each.name not in {"id", "received_at", "state", "reference"}
    )


@pytest.mark.parametrize("kind", list(MessageKind))
def test_every_kind_of_event_is_kept(store: Store, kind: MessageKind) -> None:
    done(store, lambda work: work.inbox.receive([replace(arrived(), kind=kind, text=None)]))

    found = done(store, lambda work: work.inbox.by_key("terminal", "e1"))

    assert found is not None
    assert (found.kind, found.text) == (kind, None)


def test_the_same_event_key_is_received_once(store: Store) -> None:
    first = done(store, lambda work: work.inbox.receive([arrived("e1"), arrived("e2")]))

    second = done(store, lambda work: work.inbox.receive([arrived("e2", text="other"), arrived("e3"), arrived("e3")]))

    assert [each.event_key for each in first] == ["e1", "e2"]
    assert [each.event_key for each in second] == ["e3"]
    kept = done(store, lambda work: work.inbox.by_key("terminal", "e2"))
    assert kept is not None
    assert kept.text == "bench 80x5 rir2"


def test_an_event_handled_as_it_comes_is_kept_as_handled_and_taken_once(store: Store) -> None:
    lifter = new_lifter(store)
    [waiting] = done(store, lambda work: work.inbox.receive([arrived("e1")]))

    taken = done(store, lambda work: work.inbox.take(arrived("e2"), at=minutes(1), lifter_id=lifter.id))
    again = done(store, lambda work: work.inbox.take(arrived("e2"), at=minutes(2), lifter_id=lifter.id))
    waits = done(store, lambda work: work.inbox.take(arrived("e1"), at=minutes(2), lifter_id=lifter.id))

    assert taken is not None
    assert taken == replace(arrived("e2"), id=taken.id, state=MessageState.HANDLED)
    assert (again, waits) == (None, None)
    assert done(store, lambda work: work.inbox.by_key("terminal", "e2")) == taken
    assert done(store, lambda work: work.inbox.next_for(TOVE)) == waiting
    # It is theirs: it goes with them, all but its scrambled key.
    done(store, lambda work: work.lifters.erase(lifter.id))
    assert done(store, lambda work: work.inbox.take(arrived("e2"), at=minutes(3), lifter_id=None)) is None


def test_an_event_is_handled_as_it_comes_only_where_none_of_its_address_waits(store: Store) -> None:
    lifter = new_lifter(store)
    other = Address("terminal", "ida")
    [first] = done(store, lambda work: work.inbox.receive([arrived("e1")]))

    behind = done(store, lambda work: work.inbox.take_next(arrived("e2"), at=minutes(1), lifter_id=lifter.id))
    elsewhere = done(
        store, lambda work: work.inbox.take_next(arrived("e3", address=other), at=minutes(1), lifter_id=None)
    )
    done(store, lambda work: work.inbox.handled(first.id, at=minutes(2)))
    taken = done(store, lambda work: work.inbox.take_next(arrived("e2"), at=minutes(3), lifter_id=lifter.id))
    again = done(store, lambda work: work.inbox.take_next(arrived("e2"), at=minutes(4), lifter_id=lifter.id))

    assert behind is None
    assert elsewhere is not None
    assert taken == replace(arrived("e2"), id=taken.id if taken else 0, state=MessageState.HANDLED)
    assert again is None
    assert done(store, lambda work: work.inbox.next_for(TOVE)) is None


def test_one_key_of_two_connectors_is_two_events(store: Store) -> None:
    other = arrived("e1", address=Address("matrix", "tove"))

    new = done(store, lambda work: work.inbox.receive([arrived("e1"), other]))

    assert [each.address.connector for each in new] == ["terminal", "matrix"]


def test_events_are_numbered_as_they_were_received(store: Store) -> None:
    first = done(store, lambda work: work.inbox.receive([arrived("z"), arrived("a")]))
    second = done(store, lambda work: work.inbox.receive([arrived("m")]))

    numbers = [each.id for each in (*first, *second)]
    assert numbers == sorted(set(numbers))


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        ("80x5\0", "80x5�"),
        ("\ud800 80x5", "� 80x5"),
        ("\ud83c\udfcb", "🏋"),
        ("'; DROP TABLE sets; --", "'; DROP TABLE sets; --"),
        ("%s %(x)s {0} :at ?", "%s %(x)s {0} :at ?"),
        ("\u202e80x5", "\u202e80x5"),
        ("9" * 100_000, "9" * 100_000),
        ("", ""),
    ],
)
def test_any_text_is_received(store: Store, text: str, kept: str) -> None:
    [new] = done(store, lambda work: work.inbox.receive([arrived(text=text)]))

    found = done(store, lambda work: work.inbox.by_key("terminal", "e1"))

    assert found is not None
    assert found.text == kept
    assert new == found


def test_events_wait_until_they_are_handled_or_set_aside(store: Store) -> None:
    one, two, three = done(store, lambda work: work.inbox.receive([arrived("e1"), arrived("e2"), arrived("e3")]))

    def settle(work: UnitOfWork) -> None:
        work.inbox.handled(one.id, at=minutes(1))
        work.inbox.set_aside(two.id, at=minutes(1), reference="7f3a")

    done(store, settle)

    assert done(store, lambda work: work.inbox.by_key("terminal", "e1")) == replace(one, state=MessageState.HANDLED)
    assert done(store, lambda work: work.inbox.by_key("terminal", "e2")) == replace(
        two, state=MessageState.SET_ASIDE, reference="7f3a"
    )
    assert done(store, lambda work: work.inbox.next_for(TOVE)) == three
    assert done(store, lambda work: work.inbox.next_for(KIM)) is None


def test_the_oldest_of_each_address_waits_in_order_of_age(store: Store) -> None:
    rows = [arrived("t1"), arrived("k1", address=KIM), arrived("t2"), arrived("k2", address=KIM)]
    t1, k1, t2, _ = done(store, lambda work: work.inbox.receive(rows))

    both = done(store, lambda work: work.inbox.waiting(limit=10))
    one = done(store, lambda work: work.inbox.waiting(limit=1))
    done(store, lambda work: work.inbox.handled(t1.id, at=NOW))
    later = done(store, lambda work: work.inbox.waiting(limit=10))

    assert list(both) == [t1, k1]
    assert list(one) == [t1]
    assert list(later) == [k1, t2]


# The outbox


def test_every_field_of_an_answer_is_kept(store: Store) -> None:
    lifter = new_lifter(store)
    told = OutboxRow(
        address=KIM,
        message_id=12,
        text="squat 100 kg × 3",
        choices=(("0 left", "fix rir 0"), ("4+ ✋", "fix 4+ left")),
        question="q1",
        data='{"kind": "logged"}',
        scheduled=True,
        created_at=NOW,
        expires_at=minutes(10),
        state=OutboxState.SENT,
        attempts=2,
        sent_at=minutes(1),
        parts_sent=1,
        platform_key="$sent",
        chart=SetsChart(weeks=(date(2027, 1, 4),), muscles=((Muscle.CHEST, (8.0,)),)),
    )

    [added] = done(store, lambda work: work.outbox.add([told], lifter_id=lifter.id))

    assert added == replace(told, id=added.id)
    assert list(done(store, lambda work: work.outbox.answers_to(12))) == [added]
    assert all(
        getattr(told, each.name) != getattr(answer(), each.name)
        for each in fields(OutboxRow)
        if each.name not in {"id", "created_at"}
    )


@pytest.mark.parametrize(
    "chart",
    [
        EstimateChart(
            exercise="bench press",
            unit=Unit.LB,
            points=(
                EstimatePoint(date(2027, 1, 4), 225.5, 210.0, 241.0),
                EstimatePoint(date(2027, 1, 7), 228.0, 214.0, 243.5),
            ),
            level=0.9,
        ),
        SetsChart(weeks=(date(2027, 1, 4), date(2027, 1, 11)), muscles=((Muscle.CHEST, (8.0, 8.5)),)),
        CheckInChart(weeks=(date(2027, 1, 4), date(2027, 1, 11)), items=((Item.SLEEP, (4, None)),)),
    ],
    ids=lambda chart: type(chart).__name__,
)
def test_the_values_of_a_picture_are_kept_as_they_were(store: Store, chart: Chart) -> None:
    lifter = new_lifter(store)

    [added] = done(store, lambda work: work.outbox.add([replace(answer(), chart=chart)], lifter_id=lifter.id))

    [waiting] = done(store, lambda work: work.outbox.waiting(KIM.connector, limit=9))
    assert (added.chart, waiting.chart) == (chart, chart)


def test_answers_to_an_event_come_in_order_sent_or_not(store: Store) -> None:
    lifter = new_lifter(store)
    rows = [answer(5, text=text) for text in ("one", "two")]
    one, two = done(store, lambda work: work.outbox.add([*rows, answer(6)], lifter_id=lifter.id))[:2]

    done(store, lambda work: work.outbox.sent(one.id, at=minutes(1)))

    sent = replace(one, state=OutboxState.SENT, sent_at=minutes(1))
    assert list(done(store, lambda work: work.outbox.answers_to(5))) == [sent, two]


def test_live_answers_wait_before_scheduled_ones_and_keep_their_order(store: Store) -> None:
    lifter = new_lifter(store)
    rows = [due("due 1"), answer(1, text="live 1"), due("due 2"), answer(1, text="live 2")]
    done(store, lambda work: work.outbox.add(rows, lifter_id=lifter.id))
    elsewhere = answer(1, address=Address("matrix", "tove"))
    done(store, lambda work: work.outbox.add([elsewhere], lifter_id=lifter.id))

    every = done(store, lambda work: work.outbox.waiting("terminal", limit=10))
    some = done(store, lambda work: work.outbox.waiting("terminal", limit=3))

    assert [each.text for each in every] == ["live 1", "live 2", "due 1", "due 2"]
    assert [each.text for each in some] == ["live 1", "live 2", "due 1"]


def test_what_was_sent_refused_or_expired_waits_no_more(store: Store) -> None:
    lifter = new_lifter(store)
    rows = [answer(1, text=text) for text in ("a", "b", "c", "d")]
    a, b, c, d = done(store, lambda work: work.outbox.add(rows, lifter_id=lifter.id))

    def settle(work: UnitOfWork) -> None:
        work.outbox.sent(a.id, at=minutes(1))
        work.outbox.refused(b.id)
        work.outbox.expired(c.id)
        work.outbox.tried(d.id)

    done(store, settle)

    assert list(done(store, lambda work: work.outbox.waiting("terminal", limit=9))) == [replace(d, attempts=1)]
    assert [each.state for each in done(store, lambda work: work.outbox.answers_to(1))] == [
        OutboxState.SENT,
        OutboxState.REFUSED,
        OutboxState.EXPIRED,
        OutboxState.WAITING,
    ]


@pytest.mark.parametrize("end", ["sent", "refused", "expired"])
def test_what_is_nobodys_goes_when_it_is_done_with(store: Store, end: str) -> None:
    [goodbye] = done(store, lambda work: work.outbox.add([answer(3, text="goodbye")], lifter_id=None))
    waited = done(store, lambda work: work.outbox.waiting("terminal", limit=9))

    def settle(work: UnitOfWork) -> None:
        if end == "sent":
            work.outbox.sent(goodbye.id, at=NOW)
        elif end == "refused":
            work.outbox.refused(goodbye.id)
        else:
            work.outbox.expired(goodbye.id)

    done(store, settle)

    assert list(waited) == [goodbye]
    assert list(done(store, lambda work: work.outbox.answers_to(3))) == []


# Works


def test_a_work_that_raises_leaves_nothing_and_hands_on_what_it_raised(store: Store) -> None:
    def fails(work: UnitOfWork) -> None:
        work.lifters.create(TOVE, name="Tove", now=NOW, zone="UTC")
        raise LookupError("a fault")

    with pytest.raises(LookupError, match="a fault"):
        done(store, fails)

    assert done(store, lambda work: work.lifters.at_address(TOVE)) is None


def test_a_work_that_the_engine_finds_wrong_leaves_nothing_and_spoils_no_other(store: Store) -> None:
    def twice(work: UnitOfWork) -> None:
        work.lifters.create(TOVE, name="Tove", now=NOW, zone="UTC")
        work.lifters.create(TOVE, name="Tove", now=NOW, zone="UTC")

    wrong = store.submit(twice)
    right = store.submit(lambda work: work.lifters.create(KIM, name="Kim", now=NOW, zone="UTC"))

    assert type(wrong.exception(WAIT_S)).__name__ in {"IntegrityError", "UniqueViolation"}
    assert right.result(WAIT_S).name == "Kim"
    assert done(store, lambda work: work.lifters.at_address(TOVE)) is None


def test_works_of_one_lifter_do_not_lose_each_others_changes(store: Store) -> None:
    new_lifter(store)

    def learn(number: int) -> Callable[[UnitOfWork], None]:
        def work(unit: UnitOfWork) -> None:
            lifter = unit.lifters.at_address(TOVE)
            assert lifter is not None
            unit.lifters.save(replace(lifter, habits={**lifter.habits, f"key {number}": "x"}))

        return work

    for each in [store.submit(learn(number)) for number in range(20)]:
        each.result(WAIT_S)

    lifter = done(store, lambda work: work.lifters.at_address(TOVE))
    assert lifter is not None
    assert (len(lifter.habits), lifter.version) == (20, 20)


def test_two_first_messages_at_once_make_one_lifter(store: Store) -> None:
    def first(work: UnitOfWork) -> int:
        lifter = work.lifters.at_address(TOVE) or work.lifters.create(TOVE, name="Tove", now=NOW, zone="UTC")
        return lifter.id

    numbers = {each.result(WAIT_S) for each in [store.submit(first) for _ in range(8)]}

    assert len(numbers) == 1
    assert len(done(store, lambda work: work.lifters.find("Tove"))) == 1


def test_a_reader_sees_one_moment(store: Store) -> None:
    new_lifter(store)

    with store.read() as work:
        before = len(work.lifters.find("Tove"))
        new_lifter(store, KIM)
        after = len(work.lifters.find("Tove"))
    with store.read() as work:
        later = len(work.lifters.find("Tove"))

    assert (before, after, later) == (1, 1, 2)


def test_a_reader_writes_nothing(store: Store) -> None:
    with store.read() as work, pytest.raises(Exception, match=r"read-?only"):
        work.lifters.create(TOVE, name="Tove", now=NOW, zone="UTC")

    assert done(store, lambda work: work.lifters.at_address(TOVE)) is None


def test_a_cancelled_work_is_not_run(store: Store) -> None:
    started, go = Event(), Event()

    def hold(_work: UnitOfWork) -> None:
        started.set()
        go.wait(WAIT_S)

    held = [store.submit(hold) for _ in range(8)]
    started.wait(WAIT_S)
    unwanted = store.submit(lambda work: work.lifters.create(TOVE, name="Tove", now=NOW, zone="UTC"))

    cancelled = unwanted.cancel()
    go.set()
    for each in held:
        each.result(WAIT_S)

    assert cancelled
    assert done(store, lambda work: work.lifters.at_address(TOVE)) is None


def test_closing_finishes_the_work_that_waits(database: str) -> None:
    store = open_store(database)
    waiting = [store.submit(partial(_receive, arrived(str(number)))) for number in range(20)]

    store.close()

    assert all(each.done() and each.exception() is None for each in waiting)
    with pytest.raises(RuntimeError, match="closed"):
        store.submit(lambda work: work.inbox.waiting(limit=1))
    store.close()


def test_the_points_of_a_commit_are_told_in_order(database: str) -> None:
    points: list[str] = []
    store = open_store(database, observer=points.append)

    done(store, lambda work: work.inbox.receive([arrived()]))
    received = list(points)
    points.clear()
    done(store, lambda work: work.inbox.receive([arrived()]))
    store.close()

    assert received == ["before commit", "after commit", "received"]
    # The same event again: nothing new was received.
    assert points == ["before commit", "after commit"]


def test_an_answer_comes_after_its_commit(database: str) -> None:
    seen: list[bool] = []
    done_at_point: list[tuple[str, Sequence[bool]]] = []
    store = open_store(database, observer=lambda point: done_at_point.append((point, list(seen))))

    store.submit(lambda work: work.inbox.receive([arrived()])).add_done_callback(lambda _: seen.append(True))
    store.close()

    assert done_at_point == [("before commit", []), ("after commit", []), ("received", [])]
    assert seen == [True]


def _receive(row: InboxRow, work: UnitOfWork) -> None:
    work.inbox.receive([row])
