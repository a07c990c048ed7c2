"""Link replies: what there is to say to a lifter who writes from two chats."""

from dataclasses import dataclass
from enum import StrEnum

from core.domain.profile import Address


@dataclass(frozen=True, slots=True)
class CodeGiven:
    """A code for the other chat, how long it is valid, and the chats that share this log already. [min]"""

    code: str
    minutes: int
    others: tuple[Address, ...] = ()


class LinkRefusal(StrEnum):
    """Why chats are not linked, or not taken apart."""

    NO_SUCH_CODE = "no such code"
    OWN_CODE = "own code"
    TWO_LOGS = "two logs"
    TOO_MANY_CODES = "too many codes"
    TOO_MANY_TRIES = "too many tries"
    NOBODY_WAITS = "nobody waits"
    NOT_LINKED = "not linked"
    NO_SUCH_CHAT = "no such chat"
    NOT_FROM_HERE = "not from here"


@dataclass(frozen=True, slots=True)
class LinkRefused:
    """Nothing was linked or taken apart; `minutes` is how long to wait, where waiting helps. [min]"""

    why: LinkRefusal
    minutes: int = 0


@dataclass(frozen=True, slots=True)
class LinkAwaited:
    """The code is right; the chat that gave it was asked whether it was its own lifter who typed it."""

    other: Address


@dataclass(frozen=True, slots=True)
class Linked:
    """Two chats share one log from now on; `log_here`: it is the one of the chat that reads this."""

    other: Address
    log_here: bool


@dataclass(frozen=True, slots=True)
class LinkDeclined:
    """The lifter said that it was not them; `by_us`: in the chat that reads this."""

    other: Address
    by_us: bool


@dataclass(frozen=True, slots=True)
class Unlinked:
    """A chat no longer shares the log.

    Args:
        left: The chat that was taken out.
        here: It is the one that reads this: its log begins anew.

    """

    left: Address
    here: bool


@dataclass(frozen=True, slots=True)
class ErasedElsewhere:
    """Everything was erased from another chat that shared the log."""

    where: Address


LinkReply = CodeGiven | LinkRefused | LinkAwaited | Linked | LinkDeclined | Unlinked | ErasedElsewhere
