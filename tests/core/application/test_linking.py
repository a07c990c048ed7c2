"""Linking: two chats of one lifter share one log, and nobody else's ever does."""

from collections.abc import Sequence
from datetime import timedelta

import pytest

from core.application.link_codes import VALID_FOR
from core.application.linking import CODES_AT_MOST, TRIES_AT_MOST
from core.domain.link_commands import CODE_LETTERS, parted
from core.domain.link_replies import (
    CodeGiven,
    ErasedElsewhere,
    LinkAwaited,
    LinkDeclined,
    Linked,
    LinkRefusal,
    LinkRefused,
    Unlinked,
)
from core.domain.profile import Address
from core.domain.replies import Ask, Asked, Forgotten, Reply, TapDidNothing, TapRefusal
from tests.core.application.chats import Chat, the

NO, YES = 0, 1
"""Options of the question whether it was oneself who typed a code."""

MINUTE = timedelta(minutes=1)


def other(chat: Chat, name: str = "phone") -> Chat:
    """Another chat on the same store."""
    return Chat(chat.store, name, now=chat.now)


def code_of(chat: Chat) -> str:
    return the(CodeGiven, chat.say("link")).code


def asked_in(taker: Chat, giver: Chat) -> Asked:
    """The question that the other side was asked."""
    [letter] = taker.letters
    assert letter.address == giver.address
    assert isinstance(letter.reply, Asked)
    assert letter.reply.about is Ask.LINK
    return letter.reply


def linked(giver: Chat, taker: Chat) -> None:
    """Link two chats, the code coming from the first."""
    taker.say(f"link {code_of(giver)}")
    asked = asked_in(taker, giver)
    the(Linked, giver.tap(asked, YES))


def refusal(replies: Sequence[Reply]) -> LinkRefusal:
    return the(LinkRefused, replies).why


def loads(chat: Chat) -> list[float]:
    return [each.load_kg for each in chat.sets]


def test_a_code_typed_in_an_empty_chat_and_confirmed_in_the_old_one_makes_one_log(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")
    phone = other(chat)
    phone.say("start")

    awaited = the(LinkAwaited, phone.say(f"link {parted(code_of(chat))}"))
    done = the(Linked, chat.tap(asked_in(phone, chat), YES))

    [letter] = chat.letters
    assert awaited.other == chat.address
    assert done == Linked(phone.address, log_here=True)
    assert (letter.address, letter.reply) == (phone.address, Linked(chat.address, log_here=False))
    phone.say("bench 82.5x5")
    chat.say("undo")
    phone.say("85x3")
    assert loads(phone) == loads(chat) == [80.0, 85.0]
    assert phone.lifter == chat.lifter


def test_the_log_may_be_on_the_side_that_types_the_code_which_is_then_asked_too(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")
    new = other(chat)
    code = code_of(new)

    shared = the(Asked, chat.say(f"link {code}"))
    nothing_yet = list(chat.letters)
    the(LinkAwaited, chat.tap(shared, YES))
    done = the(Linked, new.tap(asked_in(chat, new), YES))

    assert shared.about is Ask.SHARE_LOG
    assert nothing_yet == []
    assert done == Linked(chat.address, log_here=False)
    assert loads(new) == loads(chat) == [80.0]
    new.say("bench 82.5x5")
    assert loads(chat) == [80.0, 82.5]


def test_a_log_is_never_given_away_by_typing_what_somebody_told(chat: Chat) -> None:
    # given a stranger who tells their code to a lifter with a log
    chat.say("bench 80x5 rir2")
    stranger = other(chat, "mallory")

    shared = the(Asked, chat.say(f"link {code_of(stranger)}"))
    chat.tap(shared, NO)

    assert chat.letters == []
    assert loads(stranger) == []
    assert stranger.lifter != chat.lifter


def test_a_code_that_was_overheard_links_nobody_without_a_yes_and_is_void_after_a_no(chat: Chat) -> None:
    # given a code that was pasted where others read it
    chat.say("bench 80x5 rir2")
    code = code_of(chat)
    stranger, phone = other(chat, "mallory"), other(chat)

    stranger.say(f"link {code}")
    declined = the(LinkDeclined, chat.tap(asked_in(stranger, chat), NO))

    [letter] = chat.letters
    assert declined == LinkDeclined(stranger.address, by_us=True)
    assert (letter.address, letter.reply) == (stranger.address, LinkDeclined(chat.address, by_us=False))
    assert loads(stranger) == []
    assert refusal(phone.say(f"link {code}")) is LinkRefusal.NO_SUCH_CODE


def test_a_code_is_used_once(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")
    code = code_of(chat)
    first, second = other(chat, "first"), other(chat, "second")

    first.say(f"link {code}")
    late = refusal(second.say(f"link {code}"))
    chat.tap(asked_in(first, chat), YES)
    again = refusal(other(chat, "third").say(f"link {code}"))

    assert late is again is LinkRefusal.NO_SUCH_CODE
    assert second.letters == []
    assert second.lifter != chat.lifter


@pytest.mark.parametrize(("after", "taken"), [(VALID_FOR - timedelta(seconds=1), True), (VALID_FOR, False)])
def test_a_code_is_valid_for_ten_minutes(chat: Chat, after: timedelta, *, taken: bool) -> None:
    code = code_of(chat)
    phone = other(chat)
    phone.now = chat.now + after

    replies = phone.say(f"link {code}")

    assert any(isinstance(each, LinkAwaited) for each in replies) is taken


def test_a_yes_that_comes_too_late_links_nothing(chat: Chat) -> None:
    phone = other(chat)
    code = code_of(chat)
    phone.say(f"link {code}")
    asked = asked_in(phone, chat)
    chat.now += VALID_FOR

    tapped = the(TapDidNothing, chat.tap(asked, YES)).why
    typed = refusal(chat.say(f"link yes {code}"))

    assert tapped is TapRefusal.TOO_LATE
    assert typed is LinkRefusal.NOBODY_WAITS
    assert phone.lifter != chat.lifter


def test_a_newer_code_ends_the_older_one(chat: Chat) -> None:
    phone = other(chat)
    older, newer = code_of(chat), code_of(chat)

    assert refusal(phone.say(f"link {older}")) is LinkRefusal.NO_SUCH_CODE
    the(LinkAwaited, phone.say(f"link {newer}"))


def test_nobody_but_the_side_that_gave_a_code_can_say_yes(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")
    stranger = other(chat, "mallory")
    code = code_of(chat)
    stranger.say(f"link {code}")
    asked = asked_in(stranger, chat)

    typed = refusal(stranger.say(f"link yes {code}"))
    tapped = the(TapDidNothing, stranger.tap(asked, YES)).why

    assert typed is LinkRefusal.NOBODY_WAITS
    assert tapped is TapRefusal.NOT_YOURS
    assert loads(stranger) == []


def test_a_yes_before_anybody_typed_the_code_links_nothing(chat: Chat) -> None:
    code = code_of(chat)

    assert refusal(chat.say(f"link yes {code}")) is LinkRefusal.NOBODY_WAITS
    assert refusal(chat.say(f"link {code}")) is LinkRefusal.OWN_CODE


@pytest.mark.parametrize(
    "told",
    [
        "bench 80x5 rir2",
        "consent on\nbw 80",
        "my own mon: bench 5x5",
        "new exercise tyre flip: quadriceps",
        "minutes 60",
        "consent on\npain changes shoulder",
    ],
)
def test_two_chats_with_something_of_their_own_are_not_linked(chat: Chat, told: str) -> None:
    chat.say("squat 100x5 rir2")
    phone = other(chat)
    for line in told.split("\n"):
        phone.say(line)

    assert refusal(phone.say(f"link {code_of(chat)}")) is LinkRefusal.TWO_LOGS
    assert phone.letters == []


def test_what_is_logged_between_the_code_and_the_yes_is_not_lost(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")
    phone = other(chat)
    phone.say(f"link {code_of(chat)}")
    asked = asked_in(phone, chat)
    phone.say("squat 100x5 rir2")

    refused = refusal(chat.tap(asked, YES))

    assert refused is LinkRefusal.TWO_LOGS
    assert (loads(chat), loads(phone)) == ([80.0], [100.0])


@pytest.mark.parametrize("giver", ["the chat with the log", "the new chat"])
def test_a_warning_sign_told_in_the_new_chat_holds_in_the_log_that_is_shared(chat: Chat, giver: str) -> None:
    chat.say("bench 80x5 rir2")
    phone = other(chat)
    phone.say("chest pain")
    first, second = (chat, phone) if giver == "the chat with the log" else (phone, chat)
    replies = second.say(f"link {code_of(first)}")
    if giver == "the new chat":
        second.tap(the(Asked, replies), YES)

    the(Linked, first.tap(asked_in(second, first), YES))

    assert chat.lifter is not None
    assert chat.lifter.stopped_at == chat.now
    assert chat.lifter == phone.lifter


def test_codes_cannot_be_guessed_in_numbers_and_forgetting_oneself_is_no_way_round(chat: Chat) -> None:
    code = code_of(chat)
    guesser = other(chat, "mallory")

    first = [refusal(guesser.say(f"link {letter * 12}")) for letter in CODE_LETTERS[: TRIES_AT_MOST - 1]]
    guesser.say("forget me yes")
    last = refusal(guesser.say(f"link {CODE_LETTERS[-1] * 12}"))
    even_the_right_one = the(LinkRefused, guesser.say(f"link {code}"))

    assert set(first) == {last} == {LinkRefusal.NO_SUCH_CODE}
    assert even_the_right_one == LinkRefused(LinkRefusal.TOO_MANY_TRIES, minutes=10)
    guesser.now += 10 * MINUTE
    assert refusal(guesser.say(f"link {'b' * 12}")) is LinkRefusal.NO_SUCH_CODE


def test_codes_are_given_in_small_numbers(chat: Chat) -> None:
    for _ in range(CODES_AT_MOST):
        the(CodeGiven, chat.say("link"))
        chat.now += MINUTE

    refused = the(LinkRefused, chat.say("link"))
    chat.now += 60 * MINUTE
    given = the(CodeGiven, chat.say("link"))

    assert refused == LinkRefused(LinkRefusal.TOO_MANY_CODES, minutes=55)
    assert given.minutes == 10


def test_an_added_chat_can_leave_and_begins_anew(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")
    phone = other(chat)
    linked(chat, phone)

    asked = the(Asked, phone.say("unlink"))
    done = the(Unlinked, phone.tap(asked, 0))

    [letter] = phone.letters
    assert len(asked.options) == 2
    assert done == Unlinked(phone.address, here=True)
    assert (letter.address, letter.reply) == (chat.address, Unlinked(phone.address, here=False))
    assert (loads(chat), loads(phone)) == ([80.0], [])
    phone.say("squat 100x5")
    assert (loads(chat), loads(phone)) == ([80.0], [100.0])


def test_an_added_chat_cannot_take_the_log_from_the_one_it_began_in(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")
    phone = other(chat)
    linked(chat, phone)

    assert refusal(phone.say(f"unlink test {chat.name}")) is LinkRefusal.NOT_FROM_HERE
    assert refusal(phone.say("unlink test nobody")) is LinkRefusal.NO_SUCH_CHAT
    assert loads(chat) == [80.0]


@pytest.mark.parametrize("which", ["the other chat", "this chat"])
def test_the_chat_that_the_log_began_in_takes_out_whichever_it_names(chat: Chat, which: str) -> None:
    chat.say("bench 80x5 rir2")
    phone = other(chat)
    linked(chat, phone)
    asked = the(Asked, chat.say("unlink"))

    chat.tap(asked, 0 if which == "the other chat" else 1)

    stays, leaves = (chat, phone) if which == "the other chat" else (phone, chat)
    assert loads(stays) == [80.0]
    assert loads(leaves) == []
    # What stays alone is linked with nobody, and can give a code again.
    assert refusal(stays.say("unlink")) is LinkRefusal.NOT_LINKED
    the(CodeGiven, stays.say("link"))


def test_three_chats_share_one_log_and_each_is_told_of(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")
    phone, terminal = other(chat), other(chat, "terminal")
    linked(chat, phone)
    linked(phone, terminal)

    given = the(CodeGiven, terminal.say("link"))

    assert given.others == (chat.address, phone.address)
    assert loads(terminal) == [80.0]
    asked = the(Asked, chat.say("unlink"))
    chat.tap(asked, 0)
    assert {each.address for each in chat.letters} == {phone.address, terminal.address}


def test_forgetting_in_one_chat_erases_all_and_tells_the_others(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")
    phone = other(chat)
    linked(chat, phone)

    asked = the(Asked, phone.say("forget me"))
    the(Forgotten, phone.tap(asked, 0))

    [letter] = phone.letters
    assert dict(asked.figures)["chats"] == 2
    assert letter.address == chat.address
    assert letter.lifter_id is None
    assert letter.reply == ErasedElsewhere(phone.address)
    assert chat.lifter is None
    assert phone.lifter is None


@pytest.mark.parametrize("who", ["the giver", "the taker"])
def test_who_is_forgotten_between_the_code_and_the_yes_is_linked_with_nobody(chat: Chat, who: str) -> None:
    phone = other(chat)
    code = code_of(chat)
    phone.say(f"link {code}")
    (chat if who == "the giver" else phone).say("forget me yes")

    assert refusal(chat.say(f"link yes {code}")) is LinkRefusal.NOBODY_WAITS
    assert phone.lifter is None or phone.lifter != chat.lifter


def test_a_message_of_one_chat_is_edited_and_deleted_there_after_they_are_linked(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")
    phone = Chat(chat.store, "phone", now=chat.now, written=100)
    linked(chat, phone)
    phone.say("bench 85x5 rir2", key="000777")

    phone.edit(777, "bench 90x5 rir2")
    chat.edit(1, "bench 82.5x5 rir2")

    assert sorted(loads(chat)) == [82.5, 90.0]
    phone.delete(777)
    assert loads(chat) == [82.5]


def test_addresses_are_told_oldest_first(chat: Chat) -> None:
    chat.say("bench 80x5 rir2")
    phone = other(chat, "a phone that sorts first")
    linked(chat, phone)
    lifter = chat.lifter
    assert lifter is not None

    found = chat.store.submit(lambda work: work.addresses.of(lifter.id)).result()

    assert list(found) == [Address("test", "tove"), Address("test", "a phone that sorts first")]
