"""Foresight: what handling a message mostly does first and reads, sent for before anybody waits for it."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from core.domain.exercises import catalogue
from core.domain.profile import Address, Lifter
from core.domain.sessions import Session
from core.storage.due import REMINDERS, WAITING
from core.storage.estimates import RECORDS, STATE
from core.storage.outbox import WAITING_THERE
from core.storage.own_exercises import OWN_EXERCISES
from core.storage.plans import CURRENT_PLAN, PLANNED_DAY, SETUP
from core.storage.sessions import LAST_SESSION
from core.storage.set_statements import OF_EXERCISE_IN_SESSION
from core.storage.statements import Query, Value

if TYPE_CHECKING:
    from core.storage.postgres_link import PostgresLink


Taken = tuple[int, int, int]
"""Numbers of an event that was taken, and of an answer and a set that may follow from it."""


class Foresight:
    """Asks ahead on a connection where each answer is waited for: many questions come back in one round trip.

    It changes no answer. What is asked for but not read later is thrown away with the transaction, and so is what a
    change in between makes worthless.

    Args:
        link: The connection, in a work whose lifter is locked once they are known.

    """

    def __init__(self, link: "PostgresLink") -> None:
        self._link = link
        self._event: _Event | None = None
        self._locked: tuple[Address, Lifter] | None = None

    def begun(self) -> None:
        """Begin with a new transaction."""
        self._event = self._locked = None

    def coming(
        self, address: Address, take: Query[Taken], take_next: Query[Taken], values: Mapping[str, Value]
    ) -> None:
        """An event from an address is about to be taken, by one statement or the other, once its lifter is locked."""
        self._event = _Event(address, take, take_next, values)

    def comes_from(self, address: Address) -> bool:
        """Whether an event from an address is about to be taken."""
        return self._event is not None and self._event.address == address and self._event.sent is None

    def take(self, *, next_only: bool) -> None:
        """Send the statement that takes the event; the one that locks its lifter was sent just before."""
        event = self._event
        if event is not None:
            event.sent = event.take_next if next_only else event.take
            self._link.sooner(event.sent, **event.values)
            if next_only:
                # Who is answered at once is answered without a look at the outbox.
                self._link.ahead(WAITING_THERE, connector=event.address.connector, chat=event.address.chat)

    def taken(self, address: Address, event_key: str) -> Taken | None:
        """Numbers of an event that was taken so; None if it was not, or not so."""
        event = self._event
        if event is None or event.sent is None or event.address != address or event.values["event_key"] != event_key:
            return None
        self._event = None
        return self._link.first(event.sent, **event.values)

    def locked(self, address: Address, lifter: Lifter) -> None:
        """Keep a lifter who was locked where nobody had asked for them yet."""
        self._locked = address, lifter

    def locked_at(self, address: Address) -> Lifter | None:
        """A lifter who was locked already, once: they may be changed after."""
        if self._locked is None or self._locked[0] != address:
            return None
        _, lifter = self._locked
        self._locked = None
        return lifter

    def of_lifter(self, lifter_id: int) -> None:
        """Ask for what every message needs to know of its lifter."""
        self._link.ahead(REMINDERS, lifter_id=lifter_id)
        self._link.ahead(LAST_SESSION, lifter_id=lifter_id)
        self._link.ahead(OWN_EXERCISES, lifter_id=lifter_id)
        self._link.ahead(SETUP, lifter_id=lifter_id)
        self._link.ahead(CURRENT_PLAN, lifter_id=lifter_id)
        self._link.ahead(WAITING, lifter_id=lifter_id)

    def of_session(self, session: Session) -> None:
        """Ask for what a further set of the same exercise needs: most messages are one."""
        lifter_id, exercise = session.lifter_id, session.exercise
        if session.closed_at is not None or exercise is None:
            return
        known = catalogue().get(exercise)
        family = exercise if known is None or known.variation_of is None else known.variation_of
        self._link.ahead(PLANNED_DAY, lifter_id=lifter_id, session_id=session.id)
        self._link.ahead(OF_EXERCISE_IN_SESSION, session_id=session.id, exercise=exercise)
        self._link.ahead(STATE, lifter_id=lifter_id, family=family)
        self._link.ahead(RECORDS, lifter_id=lifter_id, exercise=exercise)


class _Event:
    """An event that is about to be taken."""

    __slots__ = ("address", "sent", "take", "take_next", "values")

    def __init__(
        self, address: Address, take: Query[Taken], take_next: Query[Taken], values: Mapping[str, Value]
    ) -> None:
        self.address = address
        self.take = take
        self.take_next = take_next
        self.values = values
        self.sent: Query[Taken] | None = None
