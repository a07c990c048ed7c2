"""Traces: what a work did that the store must know of once it is committed."""

from collections.abc import Sequence
from dataclasses import dataclass

from core.application.ports import Hint


@dataclass(slots=True)
class Traces:
    """What the works of one transaction did.

    Args:
        received: New events were received; committed, they may be confirmed to the platform.
        waiting: Some of them wait to be handled.
        erased: Something personal was erased; committed, it must leave the files, too.
        queued: There are new messages to send.
        due: The next instant at which something is due may have changed.

    """

    received: bool = False
    waiting: bool = False
    erased: bool = False
    queued: bool = False
    due: bool = False

    def clear(self) -> None:
        """Begin with a new transaction."""
        self.received = self.waiting = self.erased = self.queued = self.due = False

    @property
    def hints(self) -> Sequence[Hint]:
        """What those who wait are told."""
        told = ((self.waiting, Hint.RECEIVED), (self.queued, Hint.QUEUED), (self.due, Hint.DUE))
        return [hint for happened, hint in told if happened]
