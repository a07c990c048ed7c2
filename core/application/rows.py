"""Rows that a store hands over: events, messages to send, questions, estimates kept."""

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from core.domain.check_in_replies import Chart
from core.domain.profile import Address
from core.domain.sets import Counted


class MessageKind(StrEnum):
    """What happened in a chat."""

    ARRIVED = "arrived"
    EDITED = "edited"
    DELETED = "deleted"
    TAPPED = "tapped"
    REACH_CHANGED = "reach changed"


class MessageState(StrEnum):
    """Where a received message stands."""

    WAITING = "waiting"
    HANDLED = "handled"
    SET_ASIDE = "set aside"


@dataclass(frozen=True, slots=True, kw_only=True)
class InboxRow:
    """One event as it was received.

    Args:
        id: The store's number; 0 before it has one. It orders the events as received.
        address: Where it came from.
        event_key: Unique within the connector; the same key again is the same event.
        kind: What happened.
        message_key: Key of the chat message it is about; keys of one chat sort in the order of writing.
        text: The text (arrived, edited), or the option (tapped); None once erased, and for what came without one.
        question: The question a tap answers.
        sent_at: When the lifter sent it; aware.
        received_at: When it was received; aware.
        state: Where it stands.
        reference: The reference under which the log has the trace, for one set aside.

    """

    id: int = 0
    address: Address
    event_key: str
    kind: MessageKind
    message_key: str
    text: str | None
    question: str | None = None
    sent_at: datetime
    received_at: datetime
    state: MessageState = MessageState.WAITING
    reference: str | None = None


class OutboxState(StrEnum):
    """Where an answer stands."""

    WAITING = "waiting"
    SENT = "sent"
    REFUSED = "refused"
    EXPIRED = "expired"


@dataclass(frozen=True, slots=True, kw_only=True)
class OutboxRow:
    """One message to send.

    Args:
        id: The store's number; 0 before it has one. It orders the messages to one address.
        address: Where it goes.
        message_id: The inbox row that it answers; None for one that is due by the clock.
        text: What to say.
        choices: Label and what a tap sends, for each choice.
        question: The question that the choices belong to.
        data: The reply as a JSON object, for `--json`.
        scheduled: It was due by the clock (silent, after live answers) rather than asked for.
        created_at: When it was queued; aware.
        expires_at: After this it is not sent any more; None for never.
        state: Where it stands.
        attempts: How often sending was tried.
        sent_at: When it was sent; aware.
        parts_sent: How many parts of a text too long for one message are sent.
        platform_key: What the platform calls it, where it says so.
        chart: The values of the picture that it carries; the text says what it shows.

    """

    id: int = 0
    address: Address
    message_id: int | None
    text: str
    choices: tuple[tuple[str, str], ...] = ()
    question: str | None = None
    data: str = "{}"
    scheduled: bool = False
    created_at: datetime
    expires_at: datetime | None = None
    state: OutboxState = OutboxState.WAITING
    attempts: int = 0
    sent_at: datetime | None = None
    parts_sent: int = 0
    platform_key: str | None = None
    chart: Chart | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedQuestion:
    """A question that waits for a tap.

    Args:
        id: Random and unguessable.
        lifter_id: Whose it is; nobody else's tap does anything.
        doubt: What was in doubt; a value of `Doubt`, or a question's own name.
        sends: The canonical command text of each option.
        labels: What each option reads, in the same order.
        habits: Key and value that each option teaches; empty strings for none.
        message_key: Message that was in doubt; sets of the chosen reading count under it.
        sent_at: When that message was sent; the sets count at that time.
        asked_at: When it was asked.
        expires_at: From then on a tap says that it is too late.
        chosen: Index of the option taken; None while none was.

    """

    id: str
    lifter_id: int
    doubt: str
    sends: tuple[str, ...]
    labels: tuple[str, ...]
    habits: tuple[tuple[str, str], ...]
    message_key: str
    sent_at: datetime
    asked_at: datetime
    expires_at: datetime
    chosen: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SessionEstimate:
    """An estimated maximum as it stood at the end of one session, never changed by later sets. [kg]"""

    session_id: int
    exercise: str
    at: datetime
    estimate_kg: float
    low_kg: float | None
    high_kg: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Checkpoint:
    """The state of a family of lifts as it was before its first set of a session."""

    session_id: int
    at: datetime
    state: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CountedRow:
    """Sets of one exercise on one day that have one verdict: how many."""

    day: date
    session_id: int
    exercise: str
    counted: Counted
    sets: int
