"""Links in texts: codes for another chat, answers about them, and chats taken apart."""

import re
from collections.abc import Sequence
from typing import assert_never

from core.domain.link_commands import (
    CODE_LENGTH,
    CODE_LETTERS,
    AnswerLink,
    GiveCode,
    LinkCommand,
    TakeCode,
    Unlink,
    parted,
)
from core.domain.problems import ProblemKind
from core.domain.profile import Address
from core.notation.asking import Answer, Asking
from core.notation.doubts import Refused
from core.notation.tokens import Token

_CODE = re.compile(rf"(?:(yes|no|share)\s+)?([{CODE_LETTERS}](?:[\s-]*[{CODE_LETTERS}]){{{CODE_LENGTH - 1}}})")

_AROUND = " \n\t:=.,`'\"<>()"
"""What may stand around a code that was copied."""

_CHATS = frozenset(
    """my me to the this that another other second new with and a an it here them us phone chat chats account accounts app
    telegram matrix terminal please off""".split()
)
"""Words behind `link` and `unlink` that say no more than that."""

LONGEST_CHAT = 400
"""Longest name of a chat. [characters] A Matrix id has 255 bytes at most."""


def link_told(asking: Asking, spoken: Sequence[Token]) -> Answer:
    """`link`, `link bcdg-hjkl-mnpq`.

    Raises:
        Refused: what stands behind it is no code.

    """
    start, end = _behind(asking, spoken)
    told = asking.text.folded[start:end]
    if all(word in _CHATS for word in told.split()):
        return GiveCode()
    found = _CODE.fullmatch(told)
    if found is None:
        raise Refused(ProblemKind.NOT_A_CODE, start, end, detail=str(CODE_LENGTH))
    code = re.sub(r"[\s-]", "", found[2])
    match found[1]:
        case "yes" | "no":
            return AnswerLink(code, yes=found[1] == "yes")
        case _:
            return TakeCode(code, shares=found[1] == "share")


def unlink_told(asking: Asking, spoken: Sequence[Token]) -> Answer:
    """`unlink`, `unlink matrix @tove:example.org`."""
    start, end = _behind(asking, spoken)
    typed = asking.text.typed_part(start, end)
    if all(word in _CHATS for word in typed.lower().split()):
        return Unlink()
    connector, _, chat = typed.partition(" ")
    if "\n" in typed or len(typed) > LONGEST_CHAT or not chat.strip():
        return None
    return Unlink(Address(connector.lower(), chat.strip()))


def link_text(command: LinkCommand) -> str:
    """The one text of a command."""
    match command:
        case GiveCode():
            return "link"
        case TakeCode(code=code, shares=shares):
            return f"link share {parted(code)}" if shares else f"link {parted(code)}"
        case AnswerLink(code=code, yes=yes):
            return f"link {'yes' if yes else 'no'} {parted(code)}"
        case Unlink(address=None):
            return "unlink"
        case Unlink(address=address) if address is not None:
            return f"unlink {address.connector} {address.chat}"
        case Unlink():
            raise ValueError("every address is one or none")
        case _:
            assert_never(command)


def _behind(asking: Asking, spoken: Sequence[Token]) -> tuple[int, int]:
    """Where in the folded text stands what is behind the verb, without what may stand around it."""
    text = asking.text.folded
    start, end = spoken[0].end, len(text)
    while start < end and text[start] in _AROUND:
        start += 1
    while end > start and text[end - 1] in _AROUND:
        end -= 1
    return start, end
