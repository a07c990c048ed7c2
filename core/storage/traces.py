"""Traces: what a work did that the store must know of once it is committed."""

from dataclasses import dataclass


@dataclass(slots=True)
class Traces:
    """What the works of one transaction did.

    Args:
        received: New events were received; committed, they may be confirmed to the platform.
        erased: Something personal was erased; committed, it must leave the files, too.

    """

    received: bool = False
    erased: bool = False

    def clear(self) -> None:
        """Begin with a new transaction."""
        self.received = self.erased = False
