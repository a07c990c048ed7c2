"""Linking in words: codes for another chat, and chats that share one log."""

from typing import assert_never

from core.domain.link_commands import AnswerLink, LinkCommand, TakeCode, Unlink, parted
from core.domain.link_replies import (
    CodeGiven,
    ErasedElsewhere,
    LinkAwaited,
    LinkDeclined,
    Linked,
    LinkRefusal,
    LinkRefused,
    LinkReply,
    Unlinked,
)
from core.domain.profile import Address

_PLATFORMS = {"telegram": "Telegram", "matrix": "Matrix", "terminal": "the terminal"}

LONGEST_NAME = 60
"""Letters of a chat's name that are shown. [characters]"""


def text(reply: LinkReply) -> str:
    """The words of what is said about links."""
    match reply:
        case CodeGiven(code=code, minutes=minutes, others=others):
            shared = (
                [f"this log is shared with {' and '.join(map(chat, others))}; `unlink` ends that"] if others else []
            )
            told = [
                f"text this in your other chat with me, within {minutes} minutes:",
                f"`link {parted(code)}`",
                "then I ask here whether that was you. Show the code to nobody",
            ]
            return "\n".join([*told, *shared])
        case LinkRefused():
            return _refused(reply)
        case LinkAwaited(other=other):
            return f"right. I asked in {chat(other)} whether that was you: say yes there, and both chats share one log"
        case Linked(other=other, log_here=True):
            return f"linked: {chat(other)} shares this log now. `unlink` ends that"
        case Linked(other=other):
            return f"linked: what you text here goes into the log of {chat(other)} from now on. Not yours? `unlink`"
        case LinkDeclined(other=other, by_us=True):
            return f"nothing was linked, and that code is void. It was typed in {chat(other)}; `link` gives a new one"
        case LinkDeclined():
            return "the other side says that it was not them: nothing was linked"
        case Unlinked(here=True):
            return "this chat is out: the log stays with the other one, and here a new one begins"
        case Unlinked(left=left):
            return f"{chat(left)} is out: it shares this log no more"
        case ErasedElsewhere(where=where):
            return f"in {chat(where)} you had everything of yours erased, which is gone here, too. All the best"
        case _:
            assert_never(reply)


def chat(address: Address) -> str:
    """A chat as its lifter knows it: the platform, and the name there.

    >>> chat(Address("matrix", "@tove:example.org"))
    'Matrix (@tove:example.org)'

    """
    name = "".join(
        [each if each.isprintable() and each != "`" else "\N{REPLACEMENT CHARACTER}" for each in address.chat]
    )
    shown = name if len(name) <= LONGEST_NAME else name[: LONGEST_NAME - 1] + "…"
    return f"{_PLATFORMS.get(address.connector, address.connector)} ({shown})"


def told_chat(word: str) -> str:
    """A chat that a question names, by its connector and its name there."""
    connector, _, name = word.partition(" ")
    return chat(Address(connector, name))


def label(command: LinkCommand, *, here: str) -> str:
    """A short label of an answer; `here` is the chat that it is given in."""
    match command:
        case AnswerLink(yes=yes):
            return "yes, that was me" if yes else "no, not me"
        case TakeCode():
            return "yes, that chat is mine too"
        case Unlink(address=address) if address is not None:
            return "this chat" if f"{address.connector} {address.chat}" == here else chat(address)
        case _:
            return "never mind"


def _refused(reply: LinkRefused) -> str:
    match reply.why:
        case LinkRefusal.NO_SUCH_CODE:
            return "that code is not valid (any more): `link` in your other chat gives a new one"
        case LinkRefusal.OWN_CODE:
            return "that code is for your other chat: text it there"
        case LinkRefusal.TWO_LOGS:
            return (
                "both chats have a log or settings of their own, and I can't join two\n"
                "text `forget me` in the one that you can do without, then `link` again"
            )
        case LinkRefusal.TOO_MANY_CODES:
            return f"that were many codes: the next one in {reply.minutes} min"
        case LinkRefusal.TOO_MANY_TRIES:
            return f"too many codes that were none: try again in {reply.minutes} min"
        case LinkRefusal.NOBODY_WAITS:
            return "nothing waits for that (any more): `link` gives a new code"
        case LinkRefusal.NOT_LINKED:
            return "this chat shares its log with no other; `link` does that"
        case LinkRefusal.NO_SUCH_CHAT:
            return "no such chat shares this log; `unlink` shows which do"
        case LinkRefusal.NOT_FROM_HERE:
            return "only the chat that the log began in takes others out; `unlink` takes this one out"
        case _:
            assert_never(reply.why)
