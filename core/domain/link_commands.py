"""Link commands: what a lifter who writes from two chats can ask for."""

from dataclasses import dataclass

from core.domain.profile import Address

CODE_LETTERS = "bcdghjklmnpqrstvz"
"""Letters of a code: no vowels, so that none spells a word; no digits, so that none reads as a set; and neither f, w nor
x, which stand for a miss, a warm-up and a sign between numbers."""

CODE_LENGTH = 12
"""Letters of a code. [letters] 17 to the 12th is 5.8e14: a thousand people who guess once a second for the ten minutes
of a thousand codes find one in a million such storms."""


@dataclass(frozen=True, slots=True)
class GiveCode:
    """Give a code by which another chat joins this one (canonical text `link`)."""


@dataclass(frozen=True, slots=True)
class TakeCode:
    """Join the chat that gave a code; `shares`: in the knowledge that the log here becomes that chat's, too."""

    code: str
    shares: bool = False


@dataclass(frozen=True, slots=True)
class AnswerLink:
    """Say whether it was oneself who typed the code in the other chat."""

    code: str
    yes: bool


@dataclass(frozen=True, slots=True)
class Unlink:
    """Take a chat out of those that share a log; None asks which."""

    address: Address | None = None


LinkCommand = GiveCode | TakeCode | AnswerLink | Unlink


def parted(code: str) -> str:
    """A code as it is read best: in groups of four.

    >>> parted("bcdghjklmnpq")
    'bcdg-hjkl-mnpq'

    """
    return "-".join(code[place : place + 4] for place in range(0, len(code), 4))
