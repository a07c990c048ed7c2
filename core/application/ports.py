"""What the application asks of a store: what waits and was asked, units of work, and the store itself."""

from collections.abc import Callable, Sequence
from concurrent.futures import Future
from contextlib import AbstractContextManager
from datetime import datetime
from typing import Protocol, TypeVar

from core.application.repositories import (
    Estimates,
    Lifters,
    OwnExercises,
    Plans,
    Records,
    Sessions,
    Sets,
    Setups,
)
from core.application.rows import AskedQuestion, InboxRow, OutboxRow
from core.domain.profile import Address

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

    def take(self, row: InboxRow, *, at: datetime, lifter_id: int | None) -> InboxRow | None:
        """Store an event as handled, for it is in the same transaction; numbered, or None if its key is there."""

    def handled(self, row_id: int, *, at: datetime, lifter_id: int | None = None) -> None:
        """Mark an event as handled, and note whose it is."""

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
    def setups(self) -> Setups:
        """Set-ups."""

    @property
    def plans(self) -> Plans:
        """Plans."""

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
