"""What the application asks of a store: what waits and was asked, units of work, and the store itself."""

from collections.abc import Callable, Sequence
from concurrent.futures import Future
from contextlib import AbstractContextManager
from enum import StrEnum
from typing import Protocol, TypeVar

from core.application.link_codes import Addresses, LinkCodes
from core.application.mail import DueRows, Inbox, Outbox, RemindersKept
from core.application.repositories import (
    CheckIns,
    Estimates,
    GivenAdvices,
    Lifters,
    OwnExercises,
    Plans,
    Records,
    Sessions,
    Sets,
    Setups,
)
from core.application.rows import AskedQuestion

T = TypeVar("T")


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
    def setups(self) -> Setups:
        """Set-ups."""

    @property
    def plans(self) -> Plans:
        """Plans."""

    @property
    def check_ins(self) -> CheckIns:
        """Check-ins."""

    @property
    def advice(self) -> GivenAdvices:
        """Advice given after them."""

    @property
    def questions(self) -> Questions:
        """Questions."""

    @property
    def inbox(self) -> Inbox:
        """Received events."""

    @property
    def outbox(self) -> Outbox:
        """Messages to send."""

    @property
    def due(self) -> DueRows:
        """What is due by the clock."""

    @property
    def reminders(self) -> RemindersKept:
        """What lifters settled about messages that come by themselves."""

    @property
    def addresses(self) -> Addresses:
        """The chats that lifters write from."""

    @property
    def link_codes(self) -> LinkCodes:
        """Codes by which one chat joins another."""


class Hint(StrEnum):
    """What a commit brought that somebody may wait for."""

    RECEIVED = "received"
    QUEUED = "queued"
    DUE = "due"


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

    def watch(self, told: Callable[[Hint], None]) -> None:
        """Have somebody told what commits bring, those of other processes on PostgreSQL too, until the store closes.

        They are told by threads of the store and must neither raise nor take long. A hint may be missed: it saves the
        wait for the next tick, and nothing depends on it.
        """

    def close(self) -> None:
        """Finish running work and let go of connections."""
