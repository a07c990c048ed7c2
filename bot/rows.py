"""Rows: events and messages as the store keeps them."""

from dataclasses import dataclass
from datetime import datetime
from typing import assert_never

from bot.messages import Arrived, Choice, Deleted, Edited, Event, NoText, OutgoingMessage, ReachChanged, Tapped
from core.application.rows import InboxRow, MessageKind, MessageState, OutboxRow

MOST_CHARACTERS = 16_000
"""Characters of a text that are kept; readings end far earlier, and an inbox is no place for a book."""


@dataclass(frozen=True, slots=True)
class Answer:
    """One queued message and its row in the outbox."""

    row_id: int
    message: OutgoingMessage
    at: datetime


@dataclass(frozen=True, slots=True)
class Queued:
    """The first message that was queued for an address, for who sends there to begin with it, without a look for it.

    Args:
        row: The message.
        behind: Numbers of what waited there before: three at the most.

    """

    row: OutboxRow
    behind: tuple[int, ...]


def inbox_row(event: Event, *, received_at: datetime) -> InboxRow:
    """An event as it is kept until it is handled."""
    key, kind = event.event_key, MessageKind.ARRIVED
    text: str | None = None
    question: str | None = None
    match event:
        case Arrived(text=text, message_key=key) | Edited(text=text, message_key=key):
            kind = MessageKind.EDITED if isinstance(event, Edited) else kind
        case NoText(message_key=key):
            pass
        case Deleted(message_key=key):
            kind = MessageKind.DELETED
        case Tapped(question=question, option=option):
            kind, text = MessageKind.TAPPED, str(option)
        case ReachChanged(reachable=reachable):
            kind, text = MessageKind.REACH_CHANGED, "1" if reachable else "0"
        case _:
            assert_never(event)
    return InboxRow(
        address=event.address,
        event_key=event.event_key,
        kind=kind,
        message_key=key,
        text=None if text is None else text[:MOST_CHARACTERS],
        question=question,
        sent_at=event.sent_at,
        received_at=received_at,
        state=MessageState.WAITING,
    )


def outbox_row(row: InboxRow, message: OutgoingMessage, *, now: datetime) -> OutboxRow:
    """A message as it is queued."""
    return OutboxRow(
        address=row.address,
        message_id=row.id,
        text=message.text,
        choices=tuple([(each.label, each.send) for each in message.choices]),
        question=message.question,
        data=message.data,
        created_at=now,
        chart=message.chart,
    )


def stored_message(row: OutboxRow) -> OutgoingMessage:
    """A queued row as the message that it is."""
    return OutgoingMessage(
        text=row.text,
        choices=tuple([Choice(label=label, send=send) for label, send in row.choices]),
        question=row.question,
        data=row.data,
        chart=row.chart,
    )
