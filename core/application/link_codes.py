"""Link codes: what is kept of a code by which one chat joins another, and the chats of one lifter."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Protocol

from core.domain.profile import Address

VALID_FOR = timedelta(minutes=10)
"""How long a code can be taken, and how long its taking then waits for a yes. [min]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class LinkCode:
    """A code that was given.

    Args:
        code: Its letters.
        lifter_id: Who was given it.
        address: The chat that it was given in.
        given_at: When; aware.
        taker_id: Who typed it; None while nobody did.
        taker: The chat that it was typed in.
        taken_at: When.
        shares: The taker knows that their log becomes the other side's, too.
        ended: It was used, declined, or another one was given after it.

    """

    code: str
    lifter_id: int
    address: Address
    given_at: datetime
    taker_id: int | None = None
    taker: Address | None = None
    taken_at: datetime | None = None
    shares: bool = False
    ended: bool = False

    def can_be_taken(self, now: datetime) -> bool:
        """Whether it can be typed in another chat."""
        return not self.ended and self.taker_id is None and now < self.given_at + VALID_FOR

    def waits_for_yes(self, now: datetime) -> bool:
        """Whether the side that gave it can say whether it was them."""
        return not self.ended and self.taken_at is not None and now < self.taken_at + VALID_FOR


class LinkCodes(Protocol):
    """Codes that were given, and tries at codes that are none."""

    def give(self, code: LinkCode) -> None:
        """Store a code; those given to the same lifter before it end."""

    def get(self, code: str) -> LinkCode | None:
        """A code by its letters, whosever it is."""

    def given_since(self, lifter_id: int, at: datetime) -> Sequence[datetime]:
        """When a lifter was given codes since an instant, oldest first."""

    def take(self, code: LinkCode) -> bool:
        """Write who took a code; whether nobody was quicker."""

    def end(self, code: str) -> None:
        """Put an end to a code."""

    def tried(self, address: Address, *, at: datetime) -> None:
        """Note that a code that is none was typed in a chat."""

    def tried_since(self, address: Address, at: datetime) -> Sequence[datetime]:
        """When codes that are none were typed in a chat since an instant, oldest first."""

    def forget_before(self, at: datetime) -> None:
        """Delete what was given and tried before an instant."""


class Addresses(Protocol):
    """The chats that a lifter writes from."""

    def of(self, lifter_id: int) -> Sequence[Address]:
        """The chats of a lifter: first the one that the log began in, then those that joined it, in their order."""

    def join(self, guest_id: int, keeper_id: int, *, at: datetime) -> None:
        """Make the chats of one lifter another's, with what was received there and waits to be sent, and drop the one."""

    def part(self, address: Address) -> None:
        """Make a chat nobody's; where it was the one that the log began in, the next one is."""
