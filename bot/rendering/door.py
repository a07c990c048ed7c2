"""Words at the door: what strangers, groups and a flood of messages are told, outside of any conversation."""

from bot.rendering import care
from core.domain.commands import Sign


def stranger(contact: str) -> str:
    """What a stranger is told, once, by a bot that is not open to everybody."""
    whom = f"ask {contact} for an invitation" if contact else "ask whoever runs it for an invitation"
    return f"this bot is not open to everybody: {whom}. Nothing of this message was kept"


def wrong_invitation(contact: str) -> str:
    """What is said to an invitation that is none (any more)."""
    return f"that invitation is not valid (any more). {stranger(contact)}"


def flood(most: int) -> str:
    """What is said when more comes than is taken."""
    return (
        f"that was more than {most} messages in a minute: what came after them was not taken. Send it again in a while"
    )


def in_a_group() -> str:
    """What a group sees of an answer."""
    return "answered in our own chat: a group sees nobody's log"


def not_yet_in_a_group() -> str:
    """What a group sees when the bot may not write to whoever asked."""
    return "open a chat with me first: a group sees nobody's log"


def emergency(sign: Sign) -> str:
    """What to do at a warning sign, for somebody whose message was not taken."""
    first, *_ = care.emergency(sign).splitlines()
    return first


def away() -> str:
    """What is added to an emergency line while the log cannot be written."""
    return "(the log can't be written right now; what you sent is taken as soon as it can)"
