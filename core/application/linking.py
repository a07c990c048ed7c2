"""Linking: one log from two chats, by a code that the one gives and the other takes.

Both sides have their say, for each could be somebody else's. A code that was overheard joins nobody: the chat that gave
it is asked first. And nobody gives a log away by typing a code that somebody told them: where the log is on the side that
takes the code, that side is asked, too.
"""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from hashlib import blake2b
from typing import assert_never

from core.application import questions
from core.application.link_codes import VALID_FOR, LinkCode
from core.application.ports import UnitOfWork
from core.application.turn import Letter, Turn
from core.domain.commands import Cancel
from core.domain.link_commands import (
    CODE_LENGTH,
    CODE_LETTERS,
    AnswerLink,
    GiveCode,
    LinkCommand,
    TakeCode,
    Unlink,
)
from core.domain.link_replies import (
    CodeGiven,
    LinkAwaited,
    LinkDeclined,
    Linked,
    LinkRefusal,
    LinkRefused,
    Unlinked,
)
from core.domain.profile import Address, Lifter
from core.domain.replies import Ask, Option, Reply
from core.domain.setups import NEW_SETUP

CODES_IN = timedelta(hours=1)
CODES_AT_MOST = 5
"""Codes that one lifter is given in that time; each puts an end to the one before it. [codes]"""

TRIES_IN = VALID_FOR
TRIES_AT_MOST = 5
"""Codes that are none and can be tried from one chat in that time. [tries]"""


def answer(turn: Turn, command: LinkCommand) -> list[Reply]:
    """Do what a command about links asks."""
    match command:
        case GiveCode():
            return give_code(turn)
        case TakeCode():
            return take_code(turn, command)
        case AnswerLink():
            return answer_link(turn, command)
        case Unlink():
            return unlink(turn, command)
        case _:
            assert_never(command)


def give_code(turn: Turn) -> list[Reply]:
    """Give a code for another chat; the one before it ends."""
    given = turn.work.link_codes.given_since(turn.lifter.id, turn.now - CODES_IN)
    if len(given) >= CODES_AT_MOST:
        return [_wait(LinkRefusal.TOO_MANY_CODES, given[0] + CODES_IN - turn.now)]
    code = code_from(turn.token())
    made = LinkCode(code=code, lifter_id=turn.lifter.id, address=turn.row.address, given_at=turn.now)
    turn.work.link_codes.give(made)
    return [CodeGiven(code, round(VALID_FOR.total_seconds() / 60), _others(turn))]


def code_from(word: str) -> str:
    """The code that a random word makes.

    >>> len(code_from("some random word")), set(code_from("some random word")) <= set(CODE_LETTERS)
    (12, True)

    """
    number = int.from_bytes(blake2b(word.encode(), digest_size=16).digest())
    letters: list[str] = []
    for _ in range(CODE_LENGTH):
        number, letter = divmod(number, len(CODE_LETTERS))
        letters.append(CODE_LETTERS[letter])
    return "".join(letters)


def take_code(turn: Turn, command: TakeCode) -> list[Reply]:
    """Take a code: the chat that gave it is asked whether it was its own lifter who typed it."""
    codes = turn.work.link_codes
    tried = codes.tried_since(turn.row.address, turn.now - TRIES_IN)
    if len(tried) >= TRIES_AT_MOST:
        return [_wait(LinkRefusal.TOO_MANY_TRIES, tried[0] + TRIES_IN - turn.now)]
    found = codes.get(command.code)
    if found is not None and found.lifter_id == turn.lifter.id:
        return [LinkRefused(LinkRefusal.OWN_CODE)]
    giver = None if found is None or not found.can_be_taken(turn.now) else turn.work.lifters.by_id(found.lifter_id)
    if found is None or giver is None:
        codes.tried(turn.row.address, at=turn.now)
        # Which it is, a code that never was or one that was used, is nobody's business.
        return [LinkRefused(LinkRefusal.NO_SUCH_CODE)]
    log_here = has_log(turn.work, turn.lifter)
    if log_here and has_log(turn.work, giver):
        return [LinkRefused(LinkRefusal.TWO_LOGS)]
    if log_here and not command.shares:
        options = (Option(Cancel()), Option(replace(command, shares=True)))
        return [questions.ask(turn, Ask.SHARE_LOG, options, word=_named(found.address), open_for=VALID_FOR)]
    taken = replace(
        found, taker_id=turn.lifter.id, taker=turn.row.address, taken_at=turn.now, shares=log_here and command.shares
    )
    if not codes.take(taken):
        codes.tried(turn.row.address, at=turn.now)
        return [LinkRefused(LinkRefusal.NO_SUCH_CODE)]
    # A no comes first: "a" may be meant for the question before this one.
    options = (Option(AnswerLink(found.code, yes=False)), Option(AnswerLink(found.code, yes=True)))
    asked = questions.ask(
        turn,
        Ask.LINK,
        options,
        word=_named(turn.row.address),
        key=f"link {found.code}",
        open_for=VALID_FOR,
        lifter_id=giver.id,
    )
    turn.letters.append(Letter(found.address, giver.id, asked))
    return [LinkAwaited(found.address)]


def answer_link(turn: Turn, command: AnswerLink) -> list[Reply]:
    """Say whether it was oneself who took the code; if so, both chats share the log that there is."""
    codes = turn.work.link_codes
    found = codes.get(command.code)
    if found is None or found.lifter_id != turn.lifter.id or found.taker is None or not found.waits_for_yes(turn.now):
        return [LinkRefused(LinkRefusal.NOBODY_WAITS)]
    taker = None if found.taker_id is None else turn.work.lifters.by_id(found.taker_id)
    if taker is None or found.taker not in turn.work.addresses.of(taker.id):
        return [LinkRefused(LinkRefusal.NOBODY_WAITS)]
    codes.end(found.code)
    if not command.yes:
        turn.letters.append(Letter(found.taker, taker.id, LinkDeclined(found.address, by_us=False)))
        return [LinkDeclined(found.taker, by_us=True)]
    log_here, log_there = has_log(turn.work, turn.lifter), has_log(turn.work, taker)
    if log_there and (log_here or not found.shares):
        # Something was logged there since it was asked for.
        refused = LinkRefused(LinkRefusal.TWO_LOGS if log_here else LinkRefusal.NOBODY_WAITS)
        turn.letters.append(Letter(found.taker, taker.id, refused))
        return [refused]
    keeper, guest = (taker, turn.lifter) if log_there else (turn.lifter, taker)
    turn.work.addresses.join(guest.id, keeper.id, at=turn.now)
    turn.becomes(keeper)
    if guest.stopped_at is not None and keeper.stopped_at is None:
        # A warning sign told in the other chat holds here, too.
        turn.settle(replace(keeper, stopped_at=guest.stopped_at))
    turn.letters.append(Letter(found.taker, keeper.id, Linked(found.address, log_here=log_there)))
    return [Linked(found.taker, log_here=not log_there)]


def unlink(turn: Turn, command: Unlink) -> list[Reply]:
    """Take a chat out of those that share the log; the log stays with the others.

    The chat that the log began in can take out any; each other one only itself. So whoever gets hold of a chat that was
    added cannot keep the log from its lifter.
    """
    here = turn.row.address
    chats = turn.work.addresses.of(turn.lifter.id)
    if len(chats) < 2:
        return [LinkRefused(LinkRefusal.NOT_LINKED)]
    may = [*(each for each in chats if each != here), here] if here == chats[0] else [here]
    if command.address is None:
        options = [*(Option(Unlink(each)) for each in may), Option(Cancel())]
        return [questions.ask(turn, Ask.UNLINK, options, word=_named(here), open_for=VALID_FOR)]
    left = command.address
    if left not in chats:
        return [LinkRefused(LinkRefusal.NO_SUCH_CHAT)]
    if left not in may:
        return [LinkRefused(LinkRefusal.NOT_FROM_HERE)]
    # What waits for that chat tells of the log.
    turn.work.outbox.refuse_waiting(left)
    turn.work.addresses.part(left)
    # They are no stranger, and begin anew there.
    turn.work.lifters.create(left, name=left.chat, now=turn.now, zone=turn.lifter.zone)
    for each in chats:
        if each == here:
            continue
        # Of the chat that is out this is the last word, and nobody's.
        whose = None if each == left else turn.lifter.id
        turn.letters.append(Letter(each, whose, Unlinked(left, here=each == left)))
    turn.gone = here == left
    return [Unlinked(left, here=here == left)]


def has_log(work: UnitOfWork, lifter: Lifter) -> bool:
    """Whether a lifter told anything that they would miss."""
    setup = work.setups.get(lifter.id)
    return (
        lifter.body_mass_kg is not None
        or (setup is not None and replace(setup, asked=None) != NEW_SETUP)
        or work.sessions.last(lifter.id) is not None
        or work.plans.last(lifter.id) is not None
        or bool(work.exercises.all(lifter.id))
        or bool(work.check_ins.since(lifter.id, date.min))
    )


def _others(turn: Turn) -> tuple[Address, ...]:
    return tuple([each for each in turn.work.addresses.of(turn.lifter.id) if each != turn.row.address])


def _named(address: Address) -> str:
    return f"{address.connector} {address.chat}"


def _wait(why: LinkRefusal, left: timedelta) -> LinkRefused:
    return LinkRefused(why, minutes=max(1, -(-left // timedelta(minutes=1))))


def told_elsewhere(turn: Turn, addresses: Sequence[Address], reply: Reply) -> None:
    """Tell other chats something that is nobody's any more."""
    turn.letters += [Letter(each, None, reply) for each in addresses if each != turn.row.address]
