"""A lifter's chat on the application: texts in, replies as values out."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from functools import partial
from itertools import count
from typing import TypeVar

from core.application.handle import handle
from core.application.ports import Store, UnitOfWork
from core.application.replay import Replays
from core.application.rows import InboxRow, MessageKind
from core.application.turn import Letter, unlabelled
from core.application.worked_out import NotWorkedOut
from core.domain.profile import Address, Lifter
from core.domain.replies import Asked, Reply
from core.domain.sets import LoggedSet

R = TypeVar("R")

MONDAY = datetime(2027, 1, 4, 18, 0, tzinfo=UTC)
"""A Monday evening; the lifters here live in UTC."""

EVENTS = count(1)

TOKENS = count(1)


@dataclass(slots=True)
class Chat:
    """One lifter writing.

    Args:
        store: Where it is kept.
        name: Who writes.
        now: The clock; messages are sent now unless told otherwise.

    """

    store: Store
    name: str = "tove"
    now: datetime = MONDAY
    written: int = field(default=0)
    event_keys: list[str] = field(default_factory=list)
    letters: Sequence[Letter] = field(default=())
    """What the last message had said elsewhere."""
    labels: Callable[[Asked], tuple[str, ...]] = unlabelled

    @property
    def address(self) -> Address:
        return Address("test", self.name)

    def say(self, text: str, *, at: datetime | None = None, key: str | None = None) -> list[Reply]:
        """Write a message; its key is its number unless told."""
        self.written += 1
        return self._event(MessageKind.ARRIVED, key or f"{self.written:06d}", text=text, at=at)

    def edit(self, number: int, text: str) -> list[Reply]:
        return self._event(MessageKind.EDITED, f"{number:06d}", text=text)

    def delete(self, number: int) -> list[Reply]:
        return self._event(MessageKind.DELETED, f"{number:06d}")

    def tap(self, asked: Asked, option: int) -> list[Reply]:
        self.written += 1
        return self._event(MessageKind.TAPPED, f"{self.written:06d}", text=str(option), question=asked.id)

    def _event(
        self,
        kind: MessageKind,
        key: str,
        *,
        text: str | None = None,
        question: str | None = None,
        at: datetime | None = None,
    ) -> list[Reply]:
        self.event_keys.append(f"event {next(EVENTS)}")
        row = InboxRow(
            address=self.address,
            event_key=self.event_keys[-1],
            kind=kind,
            message_key=key,
            text=text,
            question=question,
            sent_at=at or self.now,
            received_at=self.now,
        )

        def handled(work: UnitOfWork, replays: Replays) -> list[Reply]:
            [new] = work.inbox.receive([row])
            lifter_id, replies, self.letters = handle(
                work,
                new,
                work.lifters.at_address(self.address),
                now=self.now,
                token=lambda: f"question{next(TOKENS)}",
                name=self.name,
                zone="UTC",
                labels=self.labels,
                replays=replays,
            )
            work.inbox.handled(new.id, at=self.now, lifter_id=lifter_id)
            return replies

        replays = Replays()
        while True:
            try:
                return self.store.submit(partial(handled, replays=replays)).result()
            except NotWorkedOut as missing:
                replays = replays.after(missing)

    @property
    def lifter(self) -> Lifter | None:
        return self.store.submit(lambda work: work.lifters.at_address(self.address)).result()

    @property
    def texts(self) -> list[str | None]:
        """The raw texts of what was written, as far as they are kept."""
        with self.store.read() as work:
            rows = [work.inbox.by_key(self.address.connector, key) for key in self.event_keys]
            return [None if row is None else row.text for row in rows]

    @property
    def sets(self) -> Sequence[LoggedSet]:
        lifter = self.lifter
        if lifter is None:
            return []
        first, last = date.min, date.max
        return self.store.submit(lambda work: work.sets.between(lifter.id, first, last)).result()


def the(kind: type[R], replies: Sequence[Reply]) -> R:
    """The one reply of a kind."""
    [found] = [reply for reply in replies if isinstance(reply, kind)]
    return found
