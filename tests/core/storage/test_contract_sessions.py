"""What every engine must do alike: sessions, and what is estimated and recorded of them."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from functools import partial

from core.application.ports import Store, UnitOfWork
from core.application.rows import Checkpoint
from core.domain.profile import Lifter
from core.domain.sessions import Session
from tests.core.storage.rows import (
    KIM,
    NOW,
    TODAY,
    bench,
    done,
    estimated,
    minutes,
    new_lifter,
    new_session,
    stored,
)

# Sessions


def test_every_field_of_a_session_is_kept(store: Store) -> None:
    lifter = new_lifter(store)
    session = new_session(store, lifter)
    changed = Session(
        id=session.id,
        lifter_id=lifter.id,
        day=date(2027, 1, 3),
        opened_at=minutes(-5),
        last_set_at=minutes(40),
        closed_at=minutes(41),
        exercise="squat",
        effort=7.5,
    )

    done(store, lambda work: work.sessions.save(changed))

    assert done(store, lambda work: work.sessions.by_id(lifter.id, session.id)) == changed


def test_a_session_that_goes_on_keeps_all_but_its_last_set_and_exercise(store: Store) -> None:
    lifter = new_lifter(store)
    session = new_session(store, lifter)
    on = replace(session, last_set_at=minutes(12), exercise="squat")

    done(store, lambda work: work.sessions.go_on(replace(on, effort=9.0, opened_at=minutes(-5))))

    assert done(store, lambda work: work.sessions.by_id(lifter.id, session.id)) == on
    assert done(store, lambda work: work.sessions.last(lifter.id)) == on


def test_the_last_session_is_the_one_with_the_latest_set(store: Store) -> None:
    lifter = new_lifter(store)
    late = new_session(store, lifter, at=minutes(600))
    new_session(store, lifter, at=minutes(0))

    assert done(store, lambda work: work.sessions.last(lifter.id)) == late


def test_sessions_near_an_instant_opened_within_three_days_of_it(store: Store) -> None:
    lifter = new_lifter(store)
    days = [-4, -3, 0, 3, 4]
    made = {day: new_session(store, lifter, at=NOW + timedelta(days=day)) for day in reversed(days)}

    near = done(store, lambda work: work.sessions.near(lifter.id, NOW))

    assert list(near) == [made[-3], made[0], made[3]]


def test_sessions_of_a_day_come_in_order_of_opening(store: Store) -> None:
    lifter = new_lifter(store)
    second = new_session(store, lifter, at=minutes(300))
    first = new_session(store, lifter, at=minutes(0))
    new_session(store, lifter, at=minutes(1500), day=date(2027, 1, 5))

    assert list(done(store, lambda work: work.sessions.on_day(lifter.id, TODAY))) == [first, second]


def test_nobody_elses_session_is_found(store: Store) -> None:
    lifter = new_lifter(store)
    other = new_lifter(store, KIM, name="Kim")
    session = new_session(store, lifter)

    assert done(store, lambda work: work.sessions.by_id(other.id, session.id)) is None
    assert done(store, lambda work: work.sessions.last(other.id)) is None


def test_a_session_without_sets_is_deleted_with_its_estimates(store: Store) -> None:
    lifter = new_lifter(store)
    session = new_session(store, lifter)
    estimated(store, lifter, session)

    done(store, lambda work: work.sessions.remove(session.id))

    assert done(store, lambda work: work.sessions.last(lifter.id)) is None
    assert list(done(store, lambda work: work.estimates.history(lifter.id, "bench press"))) == []
    assert done(store, lambda work: work.estimates.last_checkpoint(lifter.id, "bench press")) is None


def test_a_session_with_sets_in_the_log_stays(store: Store) -> None:
    lifter = new_lifter(store)
    session = new_session(store, lifter)
    stored(store, lifter, bench(session))
    estimated(store, lifter, session)

    done(store, lambda work: work.sessions.remove(session.id))

    assert done(store, lambda work: work.sessions.last(lifter.id)) == session
    assert len(done(store, lambda work: work.estimates.history(lifter.id, "bench press"))) == 1


def test_a_session_comes_back_with_its_set(store: Store) -> None:
    lifter = new_lifter(store)
    session = new_session(store, lifter)
    [one] = stored(store, lifter, bench(session))
    done(store, lambda work: work.sets.take_back(lifter.id, [one], change=8))

    done(store, lambda work: work.sessions.remove(session.id))
    gone = done(store, lambda work: work.sessions.last(lifter.id))
    done(store, lambda work: work.sets.restore([one.id]))
    back = done(store, lambda work: work.sessions.last(lifter.id))

    assert gone is None
    assert back == session
    assert list(done(store, lambda work: work.sets.of_session(session.id))) == [one]


# Estimates and records


def test_the_state_of_a_family_is_written_replaced_and_deleted(store: Store) -> None:
    lifter = new_lifter(store)
    seen: list[str | None] = []
    for state in ("a", "b", None, None):
        done(store, partial(_save_state, lifter, state))
        seen.append(done(store, lambda work: work.estimates.state(lifter.id, "bench press")))

    other = done(store, lambda work: work.estimates.state(lifter.id, "squat"))

    assert seen == ["a", "b", None, None]
    assert other is None


def test_the_last_checkpoint_is_the_newest_not_after_an_instant(store: Store) -> None:
    lifter = new_lifter(store)
    points = [
        Checkpoint(session_id=new_session(store, lifter).id, at=minutes(at), state=f"before {at}") for at in (0, 10, 20)
    ]
    again = replace(points[0], at=minutes(1), state="anew")

    def keep(work: UnitOfWork) -> None:
        for point in (*reversed(points), again):
            work.estimates.checkpoint(lifter.id, "bench press", point)

    done(store, keep)

    with store.read() as work:
        assert work.estimates.last_checkpoint(lifter.id, "bench press") == points[2]
        assert work.estimates.last_checkpoint(lifter.id, "bench press", until=minutes(10)) == points[1]
        assert work.estimates.last_checkpoint(lifter.id, "bench press", until=minutes(9.9)) == again
        assert work.estimates.last_checkpoint(lifter.id, "bench press", until=minutes(0)) is None
        assert work.estimates.last_checkpoint(lifter.id, "squat") is None


def test_what_was_estimated_after_a_session_is_replaced_by_the_same_session_only(store: Store) -> None:
    lifter = new_lifter(store)
    sessions = [new_session(store, lifter, at=minutes(100 * number)) for number in range(3)]
    items = [estimated(store, lifter, session, at=session.opened_at) for session in sessions]
    better = replace(items[1], estimate_kg=101.0, low_kg=None, high_kg=None, at=minutes(130))

    done(store, lambda work: work.estimates.note(lifter.id, "bench press", better))

    with store.read() as work:
        assert list(work.estimates.history(lifter.id, "bench press")) == [items[0], better, items[2]]
        assert work.estimates.before(lifter.id, "bench press", until=minutes(130)) == better
        assert work.estimates.before(lifter.id, "bench press", until=minutes(129)) == items[0]
        assert work.estimates.before(lifter.id, "bench press", until=minutes(-1)) is None
        assert list(work.estimates.history(lifter.id, "squat")) == []


def test_a_family_is_forgotten_from_an_instant_on(store: Store) -> None:
    lifter = new_lifter(store)
    sessions = [new_session(store, lifter, at=minutes(100 * number)) for number in range(3)]
    items = [estimated(store, lifter, session, at=session.opened_at) for session in sessions]
    other = estimated(store, lifter, sessions[2], at=minutes(200), family="squat")

    done(store, lambda work: work.estimates.forget_from(lifter.id, "bench press", minutes(100)))

    with store.read() as work:
        assert list(work.estimates.history(lifter.id, "bench press")) == items[:1]
        assert list(work.estimates.history(lifter.id, "squat")) == [other]
        checkpoint = work.estimates.last_checkpoint(lifter.id, "bench press")
        assert checkpoint is not None
        assert checkpoint.at == minutes(0)


def test_a_family_is_forgotten_from_the_beginning_of_time(store: Store) -> None:
    lifter = new_lifter(store)
    estimated(store, lifter, new_session(store, lifter))

    done(store, lambda work: work.estimates.forget_from(lifter.id, "bench press", datetime.min.replace(tzinfo=UTC)))

    assert list(done(store, lambda work: work.estimates.history(lifter.id, "bench press"))) == []


def test_records_are_written_replaced_and_deleted(store: Store) -> None:
    lifter = new_lifter(store)
    seen: list[str | None] = []
    for table in ("5: 80 kg", "5: 82.5 kg\n3: 90 kg", None):
        done(store, partial(_save_records, lifter, table))
        seen.append(done(store, lambda work: work.records.table(lifter.id, "bench press")))

    assert seen == ["5: 80 kg", "5: 82.5 kg\n3: 90 kg", None]


def _save_state(lifter: Lifter, state: str | None, work: UnitOfWork) -> None:
    work.estimates.save_state(lifter.id, "bench press", state)


def _save_records(lifter: Lifter, table: str | None, work: UnitOfWork) -> None:
    work.records.save(lifter.id, "bench press", table)
