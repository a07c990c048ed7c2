"""One turn of the conversation: a lifter, their message, the time, and the open unit of work."""

from collections import ChainMap
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from functools import cache

from core.application.ports import UnitOfWork
from core.application.replay import NONE_BEFORE, Replays
from core.application.rows import (
    InboxRow,
)
from core.application.standing import Standing, standing_from
from core.domain.exercises import Catalogue, Exercise, catalogue
from core.domain.plans import Plan
from core.domain.prescriptions import PlannedDay
from core.domain.profile import Address, Lifter
from core.domain.replies import Asked, Reply
from core.domain.sessions import Session
from core.domain.setups import NEW_SETUP, Setup
from core.domain.units import Unit
from core.planning.calendar import planned_days


@cache
def _lifts_by_name() -> dict[str, Exercise]:
    return {exercise.name: exercise for exercise in catalogue()}


@dataclass(frozen=True, slots=True)
class Letter:
    """Something said at another address than the one that is answered; nobody's where it is the last word there."""

    address: Address
    lifter_id: int | None
    reply: Reply


def unlabelled(_asked: Asked) -> tuple[str, ...]:
    """No words for the options of a question: their letters and taps alone answer it."""
    return ()


@dataclass(slots=True)
class Turn:
    """What a command needs: filled when the turn begins, written back when it ends.

    Args:
        work: The open unit of work.
        lifter: As they stand now; `settle` changes them.
        row: The message.
        now: The clock; aware.
        token: Gives a new random word for a question's id.
        labels: What the options of a question read.
        new: The lifter wrote for the first time.
        touched: The lifter changed and is written when the turn ends.
        gone: Everything of the lifter was erased.
        replays: What was worked out before the work began.
        asked: Questions that this turn has asked.
        letters: What is said elsewhere.
        standings: States of families of lifts, as this turn has read or written them.

    """

    work: UnitOfWork
    lifter: Lifter
    row: InboxRow
    now: datetime
    token: Callable[[], str]
    labels: Callable[[Asked], tuple[str, ...]] = unlabelled
    new: bool = False
    touched: bool = False
    gone: bool = False
    replays: Replays = NONE_BEFORE
    asked: int = 0
    letters: list[Letter] = field(default_factory=list)
    standings: dict[str, Standing] = field(default_factory=dict)
    _own: Mapping[str, Exercise] | None = None
    _day: tuple[Lifter, date] | None = None
    _session: Session | None = None
    _session_read: bool = False
    _setup: Setup | None = None
    _plan: Plan | None = None
    _plan_read: bool = False

    @property
    def at(self) -> datetime:
        """When the sets of this message count: when it was sent, never later than the clock."""
        return min(self.row.sent_at, self.now)

    @property
    def today(self) -> date:
        """The lifter's training day, worked out once for the lifter as they stand."""
        known = self._day
        if known is None or known[0] is not self.lifter:
            known = self._day = self.lifter, self.lifter.day_of(self.now)
        return known[1]

    @property
    def unit(self) -> Unit:
        """The unit to tell figures in."""
        return self.lifter.unit

    @property
    def lifts(self) -> Catalogue:
        """The catalogue of lifts."""
        return catalogue()

    def own_exercises(self) -> Mapping[str, Exercise]:
        """The lifter's own exercises by name, read once a turn."""
        if self._own is None:
            self._own = {exercise.name: exercise for exercise in self.work.exercises.all(self.lifter.id)}
        return self._own

    def exercise(self, name: str) -> Exercise | None:
        """A lift by its stored name: the catalogue's, or the lifter's own."""
        return self.lifts.get(name) or self.own_exercises().get(name)

    def known(self, name: str) -> Exercise:
        """A lift that the log already holds.

        Raises:
            LookupError: the log holds a name that nobody knows; a fault of ours.

        """
        exercise = self.exercise(name)
        if exercise is None:
            raise LookupError(f"no such exercise: {name}")
        return exercise

    def exercises(self) -> Mapping[str, Exercise]:
        """Every lift that the log can hold, by stored name."""
        own = self.own_exercises()
        return ChainMap(dict(own), dict(_lifts_by_name())) if own else _lifts_by_name()

    def keep(self, exercise: Exercise) -> None:
        """Store an exercise of the lifter's own."""
        self.work.exercises.add(self.lifter.id, exercise)
        self._own = None

    def last_session(self) -> Session | None:
        """The session with the latest last set, read once a turn."""
        if not self._session_read:
            self._session = self.work.sessions.last(self.lifter.id)
            self._session_read = True
        return self._session

    def standing(self, family: str) -> Standing:
        """The state of a family of lifts, read once a turn."""
        found = self.standings.get(family)
        if found is None:
            found = standing_from(self.work.estimates.state(self.lifter.id, family))
            self.standings[family] = found
        return found

    def session_changed(self) -> None:
        """Read the last session anew when it is next asked for."""
        self._session_read = False

    def session_is(self, session: Session) -> None:
        """Take this as the last session: it was just written."""
        self._session = session
        self._session_read = True

    def settle(self, lifter: Lifter) -> None:
        """Take over a changed lifter; written when the turn ends."""
        self.lifter = lifter
        self.touched = True

    def becomes(self, lifter: Lifter) -> None:
        """The chat that wrote is another lifter's from now on."""
        if lifter.id == self.lifter.id:
            return
        self.lifter, self.touched, self.standings = lifter, False, {}
        self._own = self._setup = None
        self.session_changed()
        self.plan_changed()

    @property
    def setup(self) -> Setup:
        """How the lifter trains, read once a turn."""
        if self._setup is None:
            self._setup = self.work.setups.get(self.lifter.id) or NEW_SETUP
        return self._setup

    def settle_setup(self, setup: Setup) -> None:
        """Take over a changed set-up, and write it."""
        self._setup = setup
        self.work.setups.save(self.lifter.id, setup)

    @property
    def plan(self) -> Plan | None:
        """The plan that holds, read once a turn."""
        if not self._plan_read:
            self._plan = self.work.plans.current(self.lifter.id)
            self._plan_read = True
        return self._plan

    def plan_changed(self) -> None:
        """Read the plan anew when it is next asked for."""
        self._plan_read = False

    def days_of_week(self, plan: Plan, week: int) -> tuple[PlannedDay, ...]:
        """Sessions of a week of the plan, from 0, as they stand now, in order of their days."""
        return planned_days(plan, week, self.work.plans.days(plan.id, first=week, last=week))

    def learn(self, key: str, value: str) -> None:
        """Keep a habit of writing."""
        if key and self.lifter.habits.get(key) != value:
            self.settle(replace(self.lifter, habits={**self.lifter.habits, key: value}))
