"""What the application asks of a store for what comes in, what goes out and what is due."""

from collections.abc import Collection, Mapping, Sequence
from datetime import datetime
from typing import Protocol

from core.application.rows import InboxRow, OutboxRow
from core.domain.profile import Address
from core.domain.reminders import Due, DueState, Kind, Reminders


class Inbox(Protocol):
    """Received events."""

    def receive(self, rows: Sequence[InboxRow]) -> Sequence[InboxRow]:
        """Store events; those whose key is there already are passed over. Returned: the new ones, numbered."""

    def take_next(self, row: InboxRow, *, at: datetime, lifter_id: int | None) -> InboxRow | None:
        """The same, and None, too, if an event of the same address waits, which has to be handled first."""

    def by_key(self, connector: str, event_key: str) -> InboxRow | None:
        """The event of a key."""

    def waiting(self, *, limit: int) -> Sequence[InboxRow]:
        """Events that wait: the oldest of each address, oldest first; locked, where the engine locks rows."""

    def next_for(self, address: Address) -> InboxRow | None:
        """The oldest event that waits from one address."""

    def coming(self, row: InboxRow, *, at: datetime) -> None:
        """Say which event is taken next, before its lifter is asked for; it changes nothing of what that does."""

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

    def erase_texts_of(self, lifter_id: int) -> None:
        """Erase the raw texts of a lifter's events that were handled, and what was sent or asked and answered on them."""

    def erase_texts_before(self, at: datetime) -> int:
        """Erase the raw texts of events handled before an instant, and what quotes them; how many."""

    def forget_keys_before(self, at: datetime) -> int:
        """Drop events that were handled before an instant and have no text any more; how many."""


class Outbox(Protocol):
    """Messages to send."""

    def add(self, rows: Sequence[OutboxRow], *, lifter_id: int | None, handed: bool = False) -> Sequence[OutboxRow]:
        """Queue messages; returned with their numbers. Of those that are handed to who sends them no hint is told."""

    def answers_to(self, message_id: int) -> Sequence[OutboxRow]:
        """The answers to an event, in order."""

    def waiting(self, connector: str, *, limit: int) -> Sequence[OutboxRow]:
        """Messages not sent yet: live before scheduled, each address in order."""

    def heads(self, connector: str, *, limit: int) -> Sequence[OutboxRow]:
        """The first message that waits for each chat, live before scheduled, each in order."""

    def waiting_there(self, address: Address) -> Sequence[int]:
        """Numbers of messages that wait to be sent to an address: three at the most."""

    def tried(self, row_id: int) -> None:
        """Count an attempt to send a message."""

    def part_sent(self, row_id: int, *, parts: int) -> None:
        """Note how many parts of a message are sent."""

    def sent(self, row_id: int, *, at: datetime, platform_key: str | None = None) -> None:
        """Mark a message as sent; one that is nobody's, as the goodbye to a forgotten lifter, is deleted."""

    def sent_there(self, row_id: int, address: Address, *, at: datetime, platform_key: str | None = None) -> bool:
        """Mark a message to an address as sent; whether any other waits to be sent there."""

    def refused(self, row_id: int) -> None:
        """Mark a message as one that its address takes no more; one that is nobody's is deleted."""

    def expired(self, row_id: int) -> None:
        """Mark a message as one that came too late to be sent; one that is nobody's is deleted."""

    def refuse_waiting(self, address: Address) -> None:
        """Mark all that waits for an address as refused."""

    def scheduled_waiting(self, connector: str) -> int:
        """How many scheduled messages wait."""

    def pause(self, connector: str, *, chat: str, until: datetime) -> None:
        """Note until when a platform wants nothing sent to a chat; an empty one stands for all of them."""

    def pauses(self, connector: str, *, now: datetime) -> Mapping[str, datetime]:
        """Pauses that are not over, by chat."""

    def end_pauses_before(self, at: datetime) -> None:
        """Drop pauses that were over before an instant."""


class DueRows(Protocol):
    """What is due by the clock."""

    def put(self, row: Due) -> None:
        """Have something come, or come at another time; what was settled stays so, and never comes twice."""

    def put_first(self, row: Due) -> None:
        """Have something come, unless it waits or is settled already: then nothing is written."""

    def withdraw(self, lifter_id: int, kind: Kind, *, but: str = "") -> None:
        """Delete what waits of a kind, but for one occasion."""

    def of_lifter(self, lifter_id: int, *, limit: int) -> Sequence[Due]:
        """What waits of a lifter, first to come first."""

    def settled_at(self, lifter_id: int, kind: Kind, occasion: str) -> datetime | None:
        """When something was sent or dropped; None where it was neither."""

    def claim(
        self, at: datetime, *, kinds: Collection[Kind], limit: int, lifter_id: int | None = None
    ) -> Sequence[Due]:
        """What is due by an instant, of one lifter or of all; nobody else works on it or its lifter meanwhile."""

    def settle(self, row_id: int, state: DueState, *, at: datetime) -> None:
        """Note that something was sent or dropped."""

    def move(self, row_id: int, *, to: datetime) -> None:
        """Have something come at another instant."""

    def next_at(self, lifter_id: int | None = None) -> datetime | None:
        """The instant of what comes first, of one lifter or of all and the house."""

    def wishes_after(self, row_id: int, *, limit: int) -> Sequence[Due]:
        """What waits and was meant at a wall time, by number."""

    def forget_before(self, at: datetime) -> None:
        """Delete what was settled before an instant."""


class RemindersKept(Protocol):
    """What lifters settled about messages that come by themselves."""

    def of(self, lifter_id: int) -> Reminders:
        """What a lifter settled; the usual where they settled nothing."""

    def save(self, lifter_id: int, settled: Reminders) -> None:
        """Write what a lifter settled."""
