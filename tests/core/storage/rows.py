"""Rows that the tests of the store begin with; the lifter is Tove."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import TypeVar

from core.application.ports import Store, UnitOfWork
from core.application.rows import (
    AskedQuestion,
    Checkpoint,
    InboxRow,
    MessageKind,
    OutboxRow,
    SessionEstimate,
)
from core.domain.profile import Address, Lifter
from core.domain.sessions import Session
from core.domain.sets import Counted, LoggedSet
from core.domain.units import Unit

Result = TypeVar("Result")

NOW = datetime(2027, 1, 4, 18, 0, tzinfo=UTC)

TODAY = date(2027, 1, 4)

TOVE = Address("terminal", "tove")

KIM = Address("terminal", "kim")

CHANGE = 7
"""Number of the inbox row that brought the sets, where a test is not about it."""


def done(store: Store, work: Callable[[UnitOfWork], Result]) -> Result:
    """Result of a work, committed."""
    return store.submit(work).result(timeout=60)


def minutes(number: float) -> datetime:
    """An instant some minutes after the first."""
    return NOW + timedelta(minutes=number)


def new_lifter(store: Store, address: Address = TOVE, *, name: str = "Tove") -> Lifter:
    """A lifter who has just written for the first time."""
    return done(store, lambda work: work.lifters.create(address, name=name, now=NOW, zone="Europe/Oslo"))


def new_session(store: Store, lifter: Lifter, *, at: datetime = NOW, day: date = TODAY) -> Session:
    """A session with its first set to come."""
    session = Session(lifter_id=lifter.id, day=day, opened_at=at, last_set_at=at, exercise="bench press")
    return done(store, lambda work: work.sessions.add(session))


def bench(session: Session, *, at: datetime = NOW, key: str = "m1", place: int = 0, reps: int = 5) -> LoggedSet:
    """A set of five at 80 kg, not stored yet."""
    return LoggedSet(
        session_id=session.id,
        at=at,
        root_key=key,
        place=place,
        exercise="bench press",
        load=80.0,
        unit=Unit.KG,
        load_kg=80.0,
        moved_kg=80.0,
        reps=reps,
        rir=2.0,
        counted=Counted.HARD,
    )


def stored(store: Store, lifter: Lifter, *sets: LoggedSet, day: date = TODAY, change: int = CHANGE) -> list[LoggedSet]:
    """Sets in the log."""
    days = [day] * len(sets)
    return list(done(store, lambda work: work.sets.add(lifter.id, sets, days=days, change=change)))


def arrived(key: str = "e1", *, address: Address = TOVE, text: str = "bench 80x5 rir2", at: datetime = NOW) -> InboxRow:
    """A message that comes in."""
    return InboxRow(
        address=address,
        event_key=key,
        kind=MessageKind.ARRIVED,
        message_key=f"m-{key}",
        text=text,
        sent_at=at,
        received_at=at,
    )


def answer(
    message_id: int | None = None, *, address: Address = TOVE, text: str = "bench press 80 kg × 5", at: datetime = NOW
) -> OutboxRow:
    """A message that goes out."""
    return OutboxRow(address=address, message_id=message_id, text=text, created_at=at)


def due(text: str, *, address: Address = TOVE) -> OutboxRow:
    """A message that goes out because of the clock."""
    return replace(answer(address=address, text=text), scheduled=True)


def asked(lifter: Lifter, *, question_id: str = "q1", key: str = "m1", at: datetime = NOW) -> AskedQuestion:
    """A question with two options."""
    return AskedQuestion(
        id=question_id,
        lifter_id=lifter.id,
        doubt="unit",
        sends=("bench press 80 kg x 5", "bench press 80 lb x 5"),
        labels=("80 kg", "80 lb"),
        habits=(("unit", "kg"), ("unit", "lb")),
        message_key=key,
        sent_at=at,
        asked_at=at,
        expires_at=at + timedelta(hours=12),
    )


def estimated(
    store: Store, lifter: Lifter, session: Session, *, at: datetime = NOW, family: str = "bench press"
) -> SessionEstimate:
    """An estimate of 98.5 kg after a session, and the checkpoint before it, as they are stored."""
    item = SessionEstimate(session_id=session.id, exercise=family, at=at, estimate_kg=98.5, low_kg=94.25, high_kg=103.0)
    checkpoint = Checkpoint(session_id=session.id, at=at, state="before")
    done(store, lambda work: work.estimates.note(lifter.id, family, item))
    done(store, lambda work: work.estimates.checkpoint(lifter.id, family, checkpoint))
    return item
