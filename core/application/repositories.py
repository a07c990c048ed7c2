"""Repositories: what the application asks to be kept of a lifter, one of them a noun."""

from collections.abc import Sequence
from datetime import date, datetime
from typing import Protocol

from core.application.rows import Checkpoint, CountedRow, SessionEstimate
from core.domain.advice import GivenAdvice
from core.domain.checkins import CheckIn
from core.domain.exercises import Exercise
from core.domain.plans import Block, Plan, Wishes
from core.domain.prescriptions import PlannedDay
from core.domain.profile import Address, Lifter
from core.domain.sessions import Session
from core.domain.sets import Counted, LoggedSet
from core.domain.setups import Setup
from core.strength.records import Record


class Lifters(Protocol):
    """Lifters and their addresses."""

    def at_address(self, address: Address) -> Lifter | None:
        """The lifter who writes from an address."""

    def by_id(self, lifter_id: int) -> Lifter | None:
        """A lifter by their number; in a work that may write, nobody else works on them until it ends."""

    def wrote_at(self, lifter_id: int) -> datetime | None:
        """When something was last written from any address of a lifter."""

    def written_after(self, lifter_id: int, *, limit: int) -> Sequence[tuple[int, datetime]]:
        """Lifters by number from behind one on, and when each last wrote."""

    def alone_with(self, address: Address) -> bool:
        """Whether no other process works on an address now; if so, none does until this work ends."""

    def create(self, address: Address, *, name: str, now: datetime, zone: str) -> Lifter:
        """A new lifter with this address."""

    def save(self, lifter: Lifter) -> None:
        """Write the lifter's row, with its version raised by one."""

    def erase(self, lifter_id: int) -> None:
        """Delete the lifter and all that hangs on them, inbox and outbox included."""

    def find(self, name: str) -> Sequence[Lifter]:
        """Lifters of a name, oldest first."""

    def wrote(self, address: Address, *, at: datetime) -> None:
        """Note that something was written from an address: it can be reached, and is where to answer."""

    def unreachable(self, address: Address, *, at: datetime) -> None:
        """Note that an address takes no messages, until something is written from it."""

    def reach(self, lifter_id: int) -> Address | None:
        """The address last written from of those that take messages."""


class Sessions(Protocol):
    """Sessions."""

    def add(self, session: Session) -> Session:
        """Store a new session; returned with its number."""

    def save(self, session: Session) -> None:
        """Write all of a session's fields."""

    def go_on(self, session: Session) -> None:
        """Write when the last set of a session was, and of what exercise: nothing else of it has changed."""

    def last(self, lifter_id: int) -> Session | None:
        """The session with the latest last set."""

    def near(self, lifter_id: int, at: datetime) -> Sequence[Session]:
        """Sessions opened within three days of an instant, in order of opening."""

    def on_day(self, lifter_id: int, day: date) -> Sequence[Session]:
        """Sessions of a training day, in order of opening."""

    def by_id(self, lifter_id: int, session_id: int) -> Session | None:
        """One session of this lifter."""

    def hand_over(self, session_id: int, to: int, *, day: date, since: datetime) -> None:
        """Put the sets of a session from an instant on, those taken back too, into another one and its day."""

    def remove(self, session_id: int) -> None:
        """Delete a session that has no sets left."""


class Sets(Protocol):
    """Sets; those taken back are kept apart until they are erased, and no method but `taken_back_by` returns them."""

    def add(
        self, lifter_id: int, sets: Sequence[LoggedSet], *, days: Sequence[date], change: int
    ) -> Sequence[LoggedSet]:
        """Store sets under the inbox row that brought them; returned with their numbers."""

    def take_back(self, lifter_id: int, sets: Sequence[LoggedSet], *, change: int) -> None:
        """Take sets out of the log; `change` is the inbox row that did."""

    def last_change(self, lifter_id: int) -> int | None:
        """The newest inbox row that added or took back sets that still stand so."""

    def added_by(self, lifter_id: int, change: int) -> Sequence[LoggedSet]:
        """Sets in the log that a change added."""

    def taken_back_by(self, lifter_id: int, change: int) -> Sequence[LoggedSet]:
        """Sets that a change took out of the log."""

    def restore(self, ids: Sequence[int]) -> None:
        """Put sets that were taken back into the log again."""

    def erase(self, ids: Sequence[int]) -> None:
        """Delete sets for good."""

    def erase_taken_back(self, lifter_id: int, root_key: str) -> None:
        """Delete for good what a message told and a correction took back."""

    def forget_body_mass(self, lifter_id: int) -> Sequence[str]:
        """Erase what body mass was part of; the exercises that it was erased from."""

    def of_root(self, lifter_id: int, root_key: str) -> Sequence[LoggedSet]:
        """Sets that one message told, in order of place; corrections of them included."""

    def of_session(self, session_id: int, *, exercise: str | None = None) -> Sequence[LoggedSet]:
        """Sets of a session, of one exercise or of all, in order of position."""

    def of_exercises(
        self, lifter_id: int, exercises: Sequence[str], *, since: datetime | None = None
    ) -> Sequence[LoggedSet]:
        """Sets of some exercises in order of position, from an instant on."""

    def between(self, lifter_id: int, first: date, last: date) -> Sequence[LoggedSet]:
        """Sets of training days from `first` to `last`, both included, in order of position."""

    def judge(self, lifter_id: int, judged: Sequence[tuple[LoggedSet, Counted]]) -> None:
        """Write what some sets of the log count as."""

    def imply(self, lifter_id: int, implied: Sequence[tuple[LoggedSet, float | None]]) -> None:
        """Write the reps left that the estimate from before each of some sets implies."""

    def made(self, lifter_id: int, exercise: str) -> Sequence[Record]:
        """What was made of an exercise, each load and repetitions once, in order of their first set."""

    def counted(self, lifter_id: int, first: date, last: date) -> Sequence[CountedRow]:
        """How many sets of each verdict there are, by session and exercise, on the days from first to last."""

    def recent_sessions(
        self, lifter_id: int, exercise: str, *, limit: int
    ) -> Sequence[tuple[date, Sequence[LoggedSet]]]:
        """The last sessions that had an exercise, newest first, each with its day and its sets of it."""


class OwnExercises(Protocol):
    """A lifter's own exercises."""

    def all(self, lifter_id: int) -> Sequence[Exercise]:
        """Every own exercise of a lifter, by name."""

    def add(self, lifter_id: int, exercise: Exercise) -> None:
        """Store one."""


class Estimates(Protocol):
    """State of the estimator by family of lifts, and what it said after each session."""

    def state(self, lifter_id: int, family: str) -> str | None:
        """The state after the last set."""

    def save_state(self, lifter_id: int, family: str, state: str | None) -> None:
        """Write the state after the last set; None deletes it."""

    def checkpoint(self, lifter_id: int, family: str, checkpoint: Checkpoint) -> None:
        """Write the state before the first set of a session; the same session again replaces it."""

    def last_checkpoint(self, lifter_id: int, family: str, *, until: datetime | None = None) -> Checkpoint | None:
        """The newest checkpoint whose instant is not after `until`; without `until`, the newest."""

    def note(self, lifter_id: int, family: str, item: SessionEstimate) -> None:
        """Write what was estimated at the end of a session; the same session and exercise again replaces it."""

    def forget_from(self, lifter_id: int, family: str, at: datetime) -> None:
        """Delete checkpoints and session estimates of a family from an instant on."""

    def history(self, lifter_id: int, exercise: str) -> Sequence[SessionEstimate]:
        """What was estimated after each session, oldest first."""

    def before(self, lifter_id: int, exercise: str, *, until: datetime) -> SessionEstimate | None:
        """What was estimated after the last session that is not after an instant."""


class Records(Protocol):
    """Records by exercise, as text that `core.strength.records` reads."""

    def table(self, lifter_id: int, exercise: str) -> str | None:
        """The records of an exercise."""

    def save(self, lifter_id: int, exercise: str, table: str | None) -> None:
        """Write the records of an exercise; None deletes them."""


class Setups(Protocol):
    """How lifters train, as they settled it."""

    def get(self, lifter_id: int) -> Setup | None:
        """How a lifter trains; None for one who told nothing yet."""

    def save(self, lifter_id: int, setup: Setup) -> None:
        """Write how a lifter trains."""


class Plans(Protocol):
    """Plans, and their sessions day by day where something happened to them."""

    def current(self, lifter_id: int) -> Plan | None:
        """The plan that holds; None without one."""

    def last(self, lifter_id: int) -> Plan | None:
        """The plan made last, whether it holds or not."""

    def add(self, plan: Plan) -> Plan:
        """Store a plan, in place of the one that holds if there is one; returned with its number."""

    def end(self, lifter_id: int, on: date) -> None:
        """End the plan that holds; `on` is the first day without it."""

    def change_block(self, plan_id: int, block: Block, wishes: Wishes) -> None:
        """Write a plan's block and what it was laid out for anew."""

    def relieve(self, plan_id: int, weeks: Sequence[int]) -> None:
        """Write which weeks of a plan, from 0, are reduced ahead of its own."""

    def keep_day(self, day: PlannedDay) -> None:
        """Write how one session of a plan stands."""

    def days(self, plan_id: int, *, first: int, last: int) -> Sequence[PlannedDay]:
        """Sessions of weeks `first` to `last`, from 0, that were written; in order of week and place."""

    def last_settled(self, plan_id: int) -> PlannedDay | None:
        """The latest session of a plan, by week and place, that was done, skipped or dropped."""

    def of_session(self, lifter_id: int, session_id: int) -> PlannedDay | None:
        """The planned session that a session of the log was done by."""

    def forget_days(self, plan_id: int, *, first: int) -> None:
        """Delete sessions from a week on that are neither open nor done: a changed plan lays them out anew."""


class CheckIns(Protocol):
    """Check-ins: health data, kept only with the lifter's word."""

    def get(self, lifter_id: int, week: date) -> CheckIn | None:
        """The check-in about the week that begins on a day."""

    def since(self, lifter_id: int, week: date) -> Sequence[CheckIn]:
        """Check-ins about the weeks from one on, oldest first."""

    def save(self, lifter_id: int, check_in: CheckIn) -> None:
        """Write a check-in; the same week again replaces it."""

    def erase(self, lifter_id: int) -> None:
        """Delete all of a lifter's."""


class GivenAdvices(Protocol):
    """Advice as it was given, with its trace and the answer; health data too, for the trace tells of check-ins."""

    def since(self, lifter_id: int, week: date) -> Sequence[GivenAdvice]:
        """Advice given after check-ins about the weeks from one on, by week and in the order in which it was given."""

    def forget_open(self, lifter_id: int, week: date) -> None:
        """Delete advice about a week that has no answer."""

    def save(self, lifter_id: int, given: Sequence[GivenAdvice]) -> None:
        """Write advice; the same week and muscle again replaces it."""

    def erase(self, lifter_id: int) -> None:
        """Delete all of a lifter's."""
