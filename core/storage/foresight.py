"""Foresight: what handling a message mostly reads, sent for before anybody waits for it."""

from core.domain.exercises import catalogue
from core.domain.sessions import Session
from core.storage.due import REMINDERS, WAITING
from core.storage.estimates import RECORDS, STATE
from core.storage.own_exercises import OWN_EXERCISES
from core.storage.plans import CURRENT_PLAN, PLANNED_DAY, SETUP
from core.storage.sessions import LAST_SESSION
from core.storage.set_statements import OF_EXERCISE_IN_SESSION
from core.storage.statements import Link


class Foresight:
    """Asks ahead on a connection where each answer is waited for: many questions come back in one round trip.

    It changes no answer. What is asked for but not read later is thrown away with the transaction, and so is what a
    change in between makes worthless.

    Args:
        link: The connection, in a work whose lifter is locked once they are known.

    """

    def __init__(self, link: Link) -> None:
        self._link = link

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
