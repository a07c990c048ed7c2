"""Outcomes: what each error of the Bot API means for the message that met it.

Telegram knows no idempotency key, so a message whose call broke off may have arrived: it is sent again, for a second copy
of an answer harms nobody and a missing one does.
"""

from telegram.error import (
    BadRequest,
    ChatMigrated,
    Forbidden,
    InvalidToken,
    NetworkError,
    RetryAfter,
    TelegramError,
    TimedOut,
)

from bot.delivery.connector import Delivered, Failed, Lost, Outcome, Rejected, Unreachable
from bot.delivery.connector import RetryAfter as Pause

LONGEST_WHY = 60
"""Characters of an error's words that go on; they are Telegram's own, of its errors' first clause. [characters]"""


def outcome_of(error: TelegramError, *, whole: bool = False) -> Outcome:
    """What becomes of a message whose sending ended like this.

    Args:
        error: What the library raised.
        whole: A pause that is asked for is for all chats.

    """
    match error:
        case RetryAfter():
            waited = error.retry_after
            return Pause(float(waited) if isinstance(waited, int) else waited.total_seconds(), whole=whole)
        case Forbidden():
            gone = "deactivated" in error.message.lower()
            return Unreachable(Lost.GONE if gone else Lost.BLOCKED)
        case ChatMigrated():
            # Only groups move, and no lifter's address is one.
            return Rejected("the chat has moved")
        case BadRequest():
            return _of_bad_request(error)
        case InvalidToken():
            return Failed("the token is refused")
        case TimedOut():
            return Failed("no answer in time; it may have arrived")
        case NetworkError():
            return Failed("the connection broke, or the server is ill; it may have arrived")
        case _:
            return Failed(type(error).__name__)


def is_unreadable_markup(error: TelegramError) -> bool:
    """Whether it was refused for its HTML: sent without, it is better than not sent."""
    return isinstance(error, BadRequest) and "parse entities" in error.message.lower()


def _of_bad_request(error: BadRequest) -> Outcome:
    told = error.message.lower()
    if "not modified" in told:
        return Delivered()
    if "chat not found" in told or "peer_id_invalid" in told:
        return Unreachable(Lost.GONE)
    return Rejected(error.message.partition(":")[0][:LONGEST_WHY])
