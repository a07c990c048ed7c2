"""The check-in in a chat: five answers, what hurts, health data with consent only, and the lifter's own past."""

from datetime import date, timedelta

import pytest

from core.application.check_ins import last_day_of_check_in, week_of_check_in
from core.domain.check_in_commands import BeginCheckIn, Felt
from core.domain.check_in_replies import AnswerTold, CheckInTold
from core.domain.checkins import Ache, CheckIn, Item, Pain, Place
from core.domain.commands import PainAnswer
from core.domain.prescriptions import Place as Region
from core.domain.replies import Ask, Asked, PainAdvice
from tests.core.application.chats import Chat, the
from tests.core.application.plans import in_turn

SUNDAY = timedelta(days=6)
WEEK = timedelta(weeks=1)


@pytest.fixture
def willing(chat: Chat) -> Chat:
    """A lifter who said yes to health data, on a Sunday evening."""
    chat.say("consent on")
    chat.now += SUNDAY
    return chat


def kept(chat: Chat) -> list[CheckIn]:
    return list(in_turn(chat, lambda turn: turn.work.check_ins.since(turn.lifter.id, date.min)))


@pytest.mark.parametrize("on", range(7))
def test_a_check_in_on_any_weekday_is_about_one_week_until_two_days_later_and_then_about_the_next(on: int) -> None:
    # Design, section 6: after downtime a check-in is sent within two days.
    day = date(2027, 1, 4) + timedelta(days=on)
    week = week_of_check_in(day, on=on)

    about = [week_of_check_in(day + timedelta(days=late), on=on) for late in range(3)]
    until = last_day_of_check_in(week, on=on)

    # From Thursday on the week is mostly over; before, the one that has ended is meant.
    assert about == [date(2027, 1, 4) if on >= 3 else date(2026, 12, 28)] * 3
    assert week_of_check_in(until, on=on) == week
    assert week_of_check_in(until + timedelta(days=1), on=on) == week + WEEK
    assert day + timedelta(days=2) <= until


@pytest.mark.parametrize(
    ("today", "week"),
    [
        (date(2027, 1, 10), date(2027, 1, 4)),  # Sunday
        (date(2027, 1, 11), date(2027, 1, 4)),  # Monday: a late one
        (date(2027, 1, 12), date(2027, 1, 4)),
        (date(2027, 1, 13), date(2027, 1, 11)),  # Wednesday
    ],
)
def test_a_check_in_is_about_its_week_up_to_two_days_late(today: date, week: date) -> None:
    # Design, section 6: after downtime a check-in is sent within two days.
    assert week_of_check_in(today) == week
    assert week <= today <= last_day_of_check_in(week)


def test_five_taps_and_nothing_hurts_are_a_whole_check_in(willing: Chat) -> None:
    replies = willing.say("check-in")
    asked_items = []
    for answer in (4, 3, 5, 4, 2):
        asked = the(Asked, replies)
        asked_items.append(asked.word)
        assert [option.command for option in asked.options] == [
            Felt(((Item(asked.word), number),)) for number in (1, 2, 3, 4, 5)
        ]
        replies = willing.tap(asked, answer - 1)
    assert the(Asked, replies).about is Ask.ANY_PAIN
    told = the(CheckInTold, willing.tap(the(Asked, replies), 0))

    # McLean et al. 2010: fatigue, sleep, soreness, stress, mood, none of them after a muscle or an exercise.
    assert asked_items == ["energy", "sleep", "muscles", "calm", "mood"]
    assert [(each.item, each.answer) for each in told.answers] == list(zip(Item, (4, 3, 5, 4, 2), strict=True))
    assert told.pains == ()
    assert kept(willing)[0].unanswered == ()


def test_one_line_answers_all_five(willing: Chat) -> None:
    asked = the(Asked, willing.say("check-in 4 3 5 4 2"))

    assert asked.about is Ask.ANY_PAIN
    assert dict(kept(willing)[0].answers) == dict(zip(Item, (4, 3, 5, 4, 2), strict=True))


def test_answers_come_in_any_order_and_the_rest_is_asked(willing: Chat) -> None:
    willing.say("mood 5")
    asked = the(Asked, willing.say("energy 2"))

    assert asked.word == Item.SLEEP
    assert kept(willing)[0].unanswered == (Item.SLEEP, Item.MUSCLES, Item.CALM)


def test_an_answer_can_be_changed_until_the_week_ends(willing: Chat) -> None:
    willing.say("check-in 4 3 5 4 2")
    willing.say("check-in no pain")
    willing.now += timedelta(days=2)

    told = the(CheckInTold, willing.say("sleep 1"))

    assert (told.week, told.until) == (date(2027, 1, 4), willing.now.date())
    assert told.answers[1] == AnswerTold(Item.SLEEP, 1, None)
    willing.now += timedelta(days=1)
    willing.say("sleep 5")
    # On the third day it is about the week that has begun.
    assert [(each.week, each.answers[Item.SLEEP]) for each in kept(willing)] == [
        (date(2027, 1, 4), 1),
        (date(2027, 1, 11), 5),
    ]


def test_a_week_stands_beside_the_lifters_own_median(willing: Chat) -> None:
    for answers in ("4 4 4 4 4", "2 4 4 4 4", "5 4 4 4 4"):
        willing.say(f"check-in {answers}")
        willing.say("check-in no pain")
        willing.now += WEEK

    willing.say("check-in 3 5 4 4 4")
    told = the(CheckInTold, willing.say("check-in no pain"))

    # The median of 4, 2 and 5 is 4, by hand.
    assert told.answers[0] == AnswerTold(Item.ENERGY, 3, 4.0)
    assert told.answers[1] == AnswerTold(Item.SLEEP, 5, 4.0)


def test_an_ache_is_told_by_its_place_and_its_behaviour_and_more_than_one_can_be(willing: Chat) -> None:
    willing.say("check-in 4 4 4 4 4")
    how = the(Asked, willing.say("check-in shoulder"))
    more = the(Asked, willing.tap(how, 0))
    assert more.about is Ask.MORE_PAIN
    assert more.options[0].command == BeginCheckIn()
    willing.say("check-in knee")
    willing.say("check-in knee changes")

    the(CheckInTold, willing.tap(more, 0))

    assert kept(willing)[0].pains == (Pain(Place.SHOULDER, Ache.FADES), Pain(Place.KNEE, Ache.CHANGES_LIFTING))
    hurting = in_turn(willing, lambda turn: turn.setup.hurting)
    assert [(each.place, each.ache) for each in hurting] == [
        (Region.SHOULDER, Ache.FADES),
        (Region.KNEE, Ache.CHANGES_LIFTING),
    ]


def test_a_sharp_pain_is_answered_with_care_first(willing: Chat) -> None:
    willing.say("check-in 4 4 4 4 4")

    replies = willing.say("check-in elbow sharp")

    assert replies[0] == PainAdvice(PainAnswer.SHARP)


def test_when_nothing_hurts_any_more_the_sessions_know_it(willing: Chat) -> None:
    willing.say("check-in elbow fades")

    willing.say("check-in no pain")

    assert in_turn(willing, lambda turn: turn.setup.hurting) == ()


def test_nothing_is_kept_without_the_lifters_word(chat: Chat) -> None:
    for text in ("check-in", "sleep 4", "check-in no pain", "check-in knee fades"):
        assert the(Asked, [each for each in chat.say(text) if isinstance(each, Asked)]).about is Ask.CHECK_IN

    assert kept(chat) == []


def test_one_tap_gives_consent_and_keeps_the_answer(chat: Chat) -> None:
    chat.say("help")
    asked = the(Asked, chat.say("sleep 4"))

    replies = chat.tap(asked, 0)

    assert the(Asked, replies).word == Item.ENERGY
    assert [dict(each.answers) for each in kept(chat)] == [{Item.SLEEP: 4}]


def test_consent_off_erases_check_ins_and_advice_and_what_hurts(willing: Chat) -> None:
    willing.say("bench 80x5 rir2")
    willing.say("check-in 4 4 4 4 4")
    willing.say("check-in knee fades")
    willing.say("check-in")
    assert in_turn(willing, lambda turn: len(turn.work.advice.since(turn.lifter.id, date.min))) > 0

    willing.say("consent off")

    assert kept(willing) == []
    assert in_turn(willing, lambda turn: list(turn.work.advice.since(turn.lifter.id, date.min))) == []
    assert in_turn(willing, lambda turn: turn.setup.hurting) == ()


def test_body_mass_joins_the_weeks_check_in(willing: Chat) -> None:
    willing.say("check-in 4 4 4 4 4")
    willing.say("bw 81.5 kg")

    told = the(CheckInTold, willing.say("check-in no pain"))

    assert kept(willing)[0].body_mass_kg == 81.5
    assert not told.ask_mass


def test_body_mass_is_not_mentioned_where_it_was_turned_off(willing: Chat) -> None:
    willing.say("bw off")
    willing.say("check-in 4 4 4 4 4")

    assert not the(CheckInTold, willing.say("check-in no pain")).ask_mass


def test_bare_numbers_answer_a_check_in_where_no_session_goes_on(willing: Chat) -> None:
    willing.say("check-in")
    for number in ("4", "3", "4", "5", "4"):
        willing.say(number)

    willing.say("nothing hurts")

    assert [dict(each.answers) for each in kept(willing)] == [
        {Item.ENERGY: 4, Item.SLEEP: 3, Item.MUSCLES: 4, Item.CALM: 5, Item.MOOD: 4}
    ]
    assert willing.sets == []
