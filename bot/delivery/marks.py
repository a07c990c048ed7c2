"""Marks: works that write what became of a message."""

from collections.abc import Callable
from datetime import datetime

from bot.messages import ReachChanged
from bot.rows import inbox_row
from core.application.ports import UnitOfWork
from core.application.rows import OutboxRow


def losing(row: OutboxRow, now: datetime) -> Callable[[UnitOfWork], None]:
    """Marks a message as refused, and has it noted that its address takes none."""
    lost = ReachChanged(address=row.address, event_key=f"unreachable:{row.id}", sent_at=now, reachable=False)

    def work(unit: UnitOfWork) -> None:
        unit.outbox.refused(row.id)
        unit.inbox.receive([inbox_row(lost, received_at=now)])

    return work


def marking_sent(row: OutboxRow, key: str | None, now: datetime) -> Callable[[UnitOfWork], bool]:
    """Marks a message as sent; whether more waits for its address."""
    return lambda work: work.outbox.sent_there(row.id, row.address, at=now, platform_key=key)


def noting_parts(row: OutboxRow, sent: int) -> Callable[[UnitOfWork], None]:
    """Notes how many parts of a message are sent."""
    return lambda work: work.outbox.part_sent(row.id, parts=sent)


def trying_again(row: OutboxRow) -> Callable[[UnitOfWork], None]:
    """Counts an attempt."""
    return lambda work: work.outbox.tried(row.id)


def pausing(row: OutboxRow, chat: str, until: datetime) -> Callable[[UnitOfWork], None]:
    """Notes until when a platform wants nothing sent to a chat."""
    return lambda work: work.outbox.pause(row.address.connector, chat=chat, until=until)
