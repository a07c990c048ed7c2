"""The door: who may talk to the bot, and how much in a minute."""

from collections import OrderedDict, deque
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from hmac import compare_digest
from typing import TypeVar

from bot.connectors.telegram.updates import Said
from bot.rendering import door as words
from core.domain.profile import Address

TOLD_AGAIN = timedelta(days=1)
"""A stranger is told once a day at most: whoever writes again has read it."""

MINUTE = timedelta(minutes=1)

TOLD_A_MINUTE = 20
"""Strangers who are told something in a minute; a crowd at the door must not hold up the lifters' answers."""

REMEMBERED = 10_000
"""Strangers and writers remembered; past that those quiet for longest are forgotten."""


K = TypeVar("K")

V = TypeVar("V")


class Verdict(StrEnum):
    """What becomes of a message at the door."""

    TAKEN = "taken"
    STRANGER = "stranger"
    NO_INVITATION = "no invitation"
    FLOOD = "flood"


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """Who may talk.

    Args:
        is_open: Everybody may.
        allowed: Numbers of those who may without an invitation.
        invitations: Words of which one comes with the first `/start` of everybody else.
        a_minute: Messages of one lifter that are taken in a minute of their sending; what a phone sends at once when
            it finds its network again was written over a longer time.
        contact: How to reach whoever runs the bot.

    """

    is_open: bool = False
    allowed: frozenset[str] = frozenset()
    invitations: frozenset[str] = frozenset()
    a_minute: int = 60
    contact: str = ""


class Door:
    """Judges messages as they come in.

    Args:
        rules: Who may talk.

    """

    def __init__(self, rules: Rules) -> None:
        self.rules = rules
        # An invited lifter's first message is not handled yet when the second one comes.
        self._let_in: OrderedDict[str, None] = OrderedDict()
        self._sent: OrderedDict[str, deque[tuple[datetime, str]]] = OrderedDict()
        self._told: OrderedDict[tuple[str, Verdict], datetime] = OrderedDict()
        self._tellings: deque[datetime] = deque()

    def needs_look(self, address: Address) -> bool:
        """Whether it matters if this one is known."""
        return not (self.rules.is_open or address.chat in self.rules.allowed or address.chat in self._let_in)

    def judge(self, said: Said, known: Collection[Address]) -> Verdict:
        """What becomes of a message, `known` being those of the senders whom the store knows."""
        address = said.event.address
        if self.needs_look(address) and address not in known:
            if not said.payload:
                return Verdict.STRANGER
            if not self._is_invitation(said.payload):
                return Verdict.NO_INVITATION
            _remember(self._let_in, address.chat, None)
        return Verdict.TAKEN if self._has_room(said) else Verdict.FLOOD

    def told(self, address: Address, verdict: Verdict, now: datetime) -> str | None:
        """What to say to one whose message is not taken; None if they were told, or too many are."""
        key = (address.chat, verdict)
        again = MINUTE if verdict is Verdict.FLOOD else TOLD_AGAIN
        if key in self._told and now - self._told[key] < again:
            return None
        while self._tellings and now - self._tellings[0] >= MINUTE:
            self._tellings.popleft()
        if len(self._tellings) >= TOLD_A_MINUTE:
            return None
        self._tellings.append(now)
        _remember(self._told, key, now)
        texts: Mapping[Verdict, str] = {
            Verdict.STRANGER: words.stranger(self.rules.contact),
            Verdict.NO_INVITATION: words.wrong_invitation(self.rules.contact),
            Verdict.FLOOD: words.flood(self.rules.a_minute),
        }
        return texts[verdict]

    def _is_invitation(self, payload: str) -> bool:
        # All are compared, so that the time it takes tells nothing of any.
        found = [compare_digest(payload.encode(), each.encode()) for each in self.rules.invitations]
        return any(found)

    def _has_room(self, said: Said) -> bool:
        chat, sent_at, key = said.event.address.chat, said.event.sent_at, said.event.event_key
        sent = self._sent.get(chat, deque())
        if any(each == key for _, each in sent):
            # It comes again, for it could not be kept the last time.
            return True
        while sent and sent_at - sent[0][0] >= MINUTE:
            sent.popleft()
        if len(sent) >= self.rules.a_minute:
            return False
        sent.append((sent_at, key))
        _remember(self._sent, chat, sent)
        return True


def _remember(kept: OrderedDict[K, V], key: K, value: V) -> None:
    kept[key] = value
    kept.move_to_end(key)
    if len(kept) > REMEMBERED:
        kept.popitem(last=False)
