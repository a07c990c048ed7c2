"""Lost keys in words: what is said of messages that came encrypted and cannot be read."""

from bot.rendering.phone import count


def unreadable(messages: int) -> str:
    """What a lifter is told once, whose messages cannot be read."""
    if messages == 1:
        return "a message of yours came encrypted and can't be read here: send it again"
    return f"{count(messages, 'message')} of yours came encrypted and can't be read here: send them again"
