"""What the application asks of a store."""

from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import Future
from contextlib import AbstractContextManager
from datetime import date, datetime
from typing import Protocol, TypeVar

from core.application.rows import (
    AskedQuestion,
    Checkpoint,
    CountedRow,
    InboxRow,
    OutboxRow,
    SessionEstimate,
)
from core.domain.exercises import Exercise
from core.domain.profile import Address, Lifter
from core.domain.sessions import Session
from core.domain.sets import Counted, LoggedSet

T = TypeVar("T")


class Lifters(Protocol):
    """Lifters and their addresses."""

    def at_address(self, address: Address) -> Lifter | None:
        """The lifter who writes from an address."""

    def create(self, address: Address, *, name: str, now: datetime, zone: str) -> Lifter:
        """A new lifter with this address."""

    def save(self, lifter: Lifter) -> None:
        """Write the lifter's row, with its version raised by one."""

    def erase(self, lifter_id: int) -> None:
        """Delete the lifter and all that hangs on them, inbox and outbox included."""

    def find(self, name: str) -> Sequence[Lifter]:
        """Lifters of a name, oldest first."""


class Sessions(Protocol):
    """Sessions."""

    def add(self, session: Session) -> Session:
        """Store a new session; returned with its number."""

    def save(self, session: Session) -> None:
        """Write all of a session's fields."""

    def last(self, lifter_id: int) -> Session | None:
        """The session with the latest last set."""

    def near(self, lifter_id: int, at: datetime) -> Sequence[Session]:
        """Sessions opened within three days of an instant, in order of opening."""

    def on_day(self, lifter_id: int, day: date) -> Sequence[Session]:
        """Sessions of a training day, in order of opening."""

    def by_id(self, lifter_id: int, session_id: int) -> Session | None:
        """One session of this lifter."""

    def remove(self, session_id: int) -> None:
        """Delete a session that has no sets left."""


class Sets(Protocol):
    """Sets; those taken back are kept apart until they are erased, and no method but `taken_back_by` returns them."""

    def add(
        self, lifter_id: int, sets: Sequence[LoggedSet], *, days: Sequence[date], change: int
    ) -> Sequence[LoggedSet]:
        """Store sets under the inbox row that brought them; returned with their numbers."""

    def take_back(self, ids: Sequence[int], *, change: int) -> None:
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

    def of_root(self, lifter_id: int, root_key: str) -> Sequence[LoggedSet]:
        """Sets that one message told, in order of place; corrections of them included."""

    def of_session(self, session_id: int) -> Sequence[LoggedSet]:
        """Sets of a session, in order of position."""

    def of_exercises(
        self, lifter_id: int, exercises: Sequence[str], *, since: datetime | None = None
    ) -> Sequence[LoggedSet]:
        """Sets of some exercises in order of position, from an instant on."""

    def between(self, lifter_id: int, first: date, last: date) -> Sequence[LoggedSet]:
        """Sets of training days from `first` to `last`, both included, in order of position."""

    def judge(self, verdicts: Mapping[int, Counted]) -> None:
        """Write what some sets count as."""

    def imply(self, implied: Mapping[int, float | None]) -> None:
        """Write the reps left that the estimate from before each set implies."""

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

    def before(self, lifter_id: int, exercise: str, *, session_id: int) -> SessionEstimate | None:
        """What was estimated after the last session before this one."""


class Records(Protocol):
    """Records by exercise, as text that `core.strength.records` reads."""

    def table(self, lifter_id: int, exercise: str) -> str | None:
        """The records of an exercise."""

    def save(self, lifter_id: int, exercise: str, table: str | None) -> None:
        """Write the records of an exercise; None deletes them."""


class Questions(Protocol):
    """Questions that wait for a tap."""

    def ask(self, question: AskedQuestion) -> None:
        """Store a question."""

    def get(self, question_id: str) -> AskedQuestion | None:
        """A question by its id, whosever it is."""

    def open(self, lifter_id: int) -> Sequence[AskedQuestion]:
        """Questions of a lifter without an answer, newest first."""

    def answer(self, question_id: str, chosen: int) -> None:
        """Write the option taken."""

    def withdraw(self, lifter_id: int, message_key: str) -> None:
        """Delete the open questions about a message."""


class Inbox(Protocol):
    """Received events."""

    def receive(self, rows: Sequence[InboxRow]) -> Sequence[InboxRow]:
        """Store events; those whose key is there already are passed over. Returned: the new ones, numbered."""

    def by_key(self, connector: str, event_key: str) -> InboxRow | None:
        """The event of a key."""

    def waiting(self, *, limit: int) -> Sequence[InboxRow]:
        """Events that wait: the oldest of each address, oldest first; locked, where the engine locks rows."""

    def next_for(self, address: Address) -> InboxRow | None:
        """The oldest event that waits from one address."""

    def handled(self, row_id: int, *, at: datetime) -> None:
        """Mark an event as handled."""

    def set_aside(self, row_id: int, *, at: datetime, reference: str) -> None:
        """Mark an event as one that could not be handled through a fault of ours."""

    def erase_text(self, connector: str, message_key: str, *, chat: str | None = None) -> None:
        """Erase the raw text of a chat message at once, and answers to it that were sent, which quote it.

        Without a chat, in every chat of the connector: for connectors whose message keys are unique among all chats.
        """

    def erase_texts_before(self, at: datetime) -> int:
        """Erase the raw texts of events handled before an instant, and what quotes them; how many."""

    def forget_keys_before(self, at: datetime) -> int:
        """Drop events that were handled before an instant and have no text any more; how many."""

    def claim(self, row_id: int, lifter_id: int) -> None:
        """Note whose event it is."""


class Outbox(Protocol):
    """Messages to send."""

    def add(self, rows: Sequence[OutboxRow], *, lifter_id: int | None) -> Sequence[OutboxRow]:
        """Queue messages; returned with their numbers."""

    def answers_to(self, message_id: int) -> Sequence[OutboxRow]:
        """The answers to an event, in order."""

    def waiting(self, connector: str, *, limit: int) -> Sequence[OutboxRow]:
        """Messages not sent yet: live before scheduled, each address in order."""

    def tried(self, row_id: int) -> None:
        """Count an attempt to send a message."""

    def sent(self, row_id: int, *, at: datetime) -> None:
        """Mark a message as sent; one that is nobody's, as the goodbye to a forgotten lifter, is deleted."""

    def refused(self, row_id: int) -> None:
        """Mark a message as one that its address takes no more; one that is nobody's is deleted."""

    def expired(self, row_id: int) -> None:
        """Mark a message as one that came too late to be sent; one that is nobody's is deleted."""


class UnitOfWork(Protocol):
    """One transaction's view of the store."""

    @property
    def lifters(self) -> Lifters:
        """Lifters."""

    @property
    def sessions(self) -> Sessions:
        """Sessions."""

    @property
    def sets(self) -> Sets:
        """Sets."""

    @property
    def exercises(self) -> OwnExercises:
        """Own exercises."""

    @property
    def estimates(self) -> Estimates:
        """Estimates."""

    @property
    def records(self) -> Records:
        """Records."""

    @property
    def questions(self) -> Questions:
        """Questions."""

    @property
    def inbox(self) -> Inbox:
        """Received events."""

    @property
    def outbox(self) -> Outbox:
        """Messages to send."""


class Observer(Protocol):
    """Told the named points that a unit of work and delivery pass; tests crash a process there."""

    def __call__(self, point: str, /) -> None:
        """Take note of a point."""


class StoreUnavailable(Exception):  # noqa: N818 - it names a state of the store, not a mistake of the caller
    """The engine can't do the work now, through no fault of the work: it is tried again, never apologised for."""


class StoreBusy(StoreUnavailable):
    """Another process holds a lock for too long, or the database cannot be reached."""


class StoreFull(StoreUnavailable):
    """There is no room on the disk."""


class Store(Protocol):
    """Runs units of work: each commits when its work returns and rolls back when it raises."""

    def submit(self, work: Callable[[UnitOfWork], T], *, live: bool = True) -> Future[T]:
        """Run work that may write; its result comes after the commit. Live work goes before work that is due.

        One unit of work may be run again when the engine refuses it for a lock, a lost connection or a full disk.
        Refused too often, its future raises StoreUnavailable.
        """

    def read(self) -> AbstractContextManager[UnitOfWork]:
        """A unit of work that sees one snapshot and writes nothing."""

    def close(self) -> None:
        """Finish running work and let go of connections."""
