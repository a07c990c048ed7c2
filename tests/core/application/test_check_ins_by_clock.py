# ruff: noqa: DTZ001 - wall times of lifters who live in UTC
"""The check-in by the clock: at the day and time chosen, one reminder, and nothing while it is not wanted."""

from collections.abc import Sequence
from datetime import UTC, datetime, time, timedelta

import pytest

from core.application.callings import CALLINGS
from core.application.due import Fired
from core.application.ports import Store
from core.domain.checkins import Item
from core.domain.reminded import GoneQuiet, RemindersTold
from core.domain.reminders import Due, Kind, Quiet, Reminders
from core.domain.replies import Ask, Asked
from tests.core.application.chats import Chat, the
from tests.core.application.plans import in_turn
from tests.core.application.test_due import fired, kinds, waiting

SUNDAY = datetime(2027, 1, 10, 18, tzinfo=UTC)
"""The first check-in of a lifter who said yes on Monday, unless they choose another time."""

HOUR = timedelta(hours=1)
DAY = timedelta(days=1)
WEEK = timedelta(weeks=1)

CHECK_INS = {Kind.CHECK_IN, Kind.CHECK_IN_AGAIN}


@pytest.fixture
def store(chat: Chat) -> Store:
    """The store that this lifter is kept in."""
    return chat.store


@pytest.fixture
def willing(chat: Chat) -> Chat:
    """A lifter who said yes to health data on Monday evening."""
    chat.say("consent on")
    return chat


def come(store: Store, at: datetime) -> list[Fired]:
    """What comes by the clock until an instant, at which it wakes once."""
    return fired(store, at, callings=CALLINGS)


def asked_for(found: Sequence[Fired]) -> list[Kind]:
    return [each.due.kind for each in found if each.due.kind in CHECK_INS]


def check_in_rows(chat: Chat) -> list[Due]:
    return [row for row in waiting(chat) if row.kind in CHECK_INS]


def test_the_check_in_comes_at_its_time_and_is_reminded_of_once(store: Store, willing: Chat) -> None:
    before = come(store, SUNDAY - HOUR)
    then = come(store, SUNDAY)
    next_day = come(store, SUNDAY + DAY)
    after = [come(store, SUNDAY + DAY * days) for days in (2, 3, 4, 5, 6)]
    next_week = come(store, SUNDAY + WEEK)

    assert before == []
    assert kinds(then) == [(Kind.CHECK_IN, "2027-01-10")]
    assert the(Asked, then[0].replies).word == Item.ENERGY
    assert kinds(next_day) == [(Kind.CHECK_IN_AGAIN, "2027-01-11")]
    assert the(Asked, next_day[0].replies).word == Item.ENERGY
    assert after == [[]] * 5
    assert kinds(next_week) == [(Kind.CHECK_IN, "2027-01-17")]


def test_an_answered_check_in_is_not_reminded_of(store: Store, willing: Chat) -> None:
    come(store, SUNDAY)
    willing.now = SUNDAY + HOUR
    willing.say("check-in 4 4 4 4 4")
    willing.say("check-in no pain")

    assert come(store, SUNDAY + DAY) == []
    assert asked_for(come(store, SUNDAY + WEEK)) == [Kind.CHECK_IN]


def test_one_that_was_answered_before_its_time_does_not_come(store: Store, willing: Chat) -> None:
    willing.now = SUNDAY - HOUR
    willing.say("check-in 4 4 4 4 4")
    willing.say("check-in no pain")

    assert come(store, SUNDAY) == []
    assert come(store, SUNDAY + DAY) == []


def test_the_reminder_goes_on_where_the_answers_stopped(store: Store, willing: Chat) -> None:
    [found] = come(store, SUNDAY)
    willing.now = SUNDAY
    willing.tap(the(Asked, found.replies), 3)

    [again] = come(store, SUNDAY + DAY)

    assert the(Asked, again.replies).word == Item.SLEEP
    assert dict(the(Asked, again.replies).figures)["again"]


def test_the_reminder_may_be_about_pain_alone(store: Store, willing: Chat) -> None:
    come(store, SUNDAY)
    willing.now = SUNDAY
    willing.say("check-in 4 4 4 4 4")

    [again] = come(store, SUNDAY + DAY)

    assert the(Asked, again.replies).about is Ask.ANY_PAIN


def test_one_that_is_being_answered_is_not_reminded_of(store: Store, willing: Chat) -> None:
    come(store, SUNDAY)
    willing.now = SUNDAY + DAY - timedelta(minutes=1)
    willing.say("energy 4")

    assert come(store, SUNDAY + DAY) == []


def test_without_a_yes_to_health_data_no_check_in_comes(store: Store, chat: Chat) -> None:
    chat.say("bench 80x5")
    chat.say("days mon thu")
    never_asked = check_in_rows(chat)
    chat.say("consent on")
    yes = check_in_rows(chat)
    chat.say("consent off")

    assert never_asked == []
    assert {row.kind for row in yes} == CHECK_INS
    assert check_in_rows(chat) == []


@pytest.mark.parametrize(
    ("told", "first"),
    [
        ("check-in sat 10:00", datetime(2027, 1, 9, 10, tzinfo=UTC)),
        ("check-in tue 6:30 pm", datetime(2027, 1, 5, 18, 30, tzinfo=UTC)),
        # It is Monday at six in the evening: half past seven is still to come, half past five is gone.
        ("check-in mon 19:30", datetime(2027, 1, 4, 19, 30, tzinfo=UTC)),
        ("check-in mon 17:30", datetime(2027, 1, 11, 17, 30, tzinfo=UTC)),
    ],
)
def test_the_day_and_time_can_be_chosen(store: Store, willing: Chat, told: str, first: datetime) -> None:
    willing.say(told)

    rows = check_in_rows(willing)

    assert [(row.kind, row.at) for row in rows if row.kind is Kind.CHECK_IN] == [(Kind.CHECK_IN, first)]
    assert come(store, first - HOUR / 60) == []
    assert asked_for(come(store, first)) == [Kind.CHECK_IN]
    assert asked_for(come(store, first + DAY)) == [Kind.CHECK_IN_AGAIN]


def test_the_check_in_can_be_ended(store: Store, willing: Chat) -> None:
    willing.say("check-in off")

    assert check_in_rows(willing) == []
    assert come(store, SUNDAY) == []


def test_a_changed_time_after_the_check_in_came_moves_its_reminder(store: Store, willing: Chat) -> None:
    come(store, SUNDAY)
    willing.now = SUNDAY + HOUR
    willing.say("check-in sun 20:00")

    # The check-in of the day came already; the reminder follows the new time.
    assert come(store, SUNDAY + 2 * HOUR) == []
    assert come(store, SUNDAY + DAY) == []
    assert asked_for(come(store, SUNDAY + DAY + 2 * HOUR)) == [Kind.CHECK_IN_AGAIN]


def test_another_zone_keeps_the_wall_time(willing: Chat) -> None:
    willing.say("zone America/New_York")

    [row] = [row for row in check_in_rows(willing) if row.kind is Kind.CHECK_IN]

    # Six in the evening in New York in winter is eleven in UTC.
    assert row.at == datetime(2027, 1, 10, 23, tzinfo=UTC)


@pytest.mark.parametrize("away", ["pause until 25 jan", "pause 3 weeks"])
def test_a_break_has_no_check_in_and_the_first_one_after_it_comes(store: Store, willing: Chat, away: str) -> None:
    willing.say(away)
    rows = check_in_rows(willing)

    # Both breaks end on Monday 25 January; its week's check-in comes on Sunday.
    assert [row.occasion for row in rows if row.kind is Kind.CHECK_IN] == ["2027-01-31"]
    assert asked_for(come(store, datetime(2027, 1, 30, tzinfo=UTC))) == []


@pytest.mark.parametrize("away", ["sick", "pause"])
def test_who_is_away_until_further_word_gets_none_until_they_are_back(willing: Chat, away: str) -> None:
    willing.say(away)
    meanwhile = check_in_rows(willing)
    willing.now += 2 * WEEK
    willing.say("resume")

    assert meanwhile == []
    # Back on Monday 18 January.
    assert [row.occasion for row in check_in_rows(willing) if row.kind is Kind.CHECK_IN] == ["2027-01-24"]


def test_a_break_that_begins_after_the_check_in_came_has_no_reminder(store: Store, willing: Chat) -> None:
    come(store, SUNDAY)
    willing.now = SUNDAY + HOUR
    willing.say("pause 2 weeks")

    assert come(store, SUNDAY + DAY) == []


@pytest.mark.parametrize(
    ("down_h", "told"),
    [
        (1, [Kind.CHECK_IN]),
        (24, [Kind.CHECK_IN]),
        # Monday's reminder is gone with its day, the check-in itself comes up to two days late.
        (47, [Kind.CHECK_IN]),
        (49, []),
        (240, []),
    ],
)
def test_after_a_downtime_the_check_in_comes_up_to_two_days_late_and_nothing_comes_in_a_burst(
    store: Store, willing: Chat, down_h: int, told: list[Kind]
) -> None:
    # given a program that stops an hour before the check-in and is back an hour, a day, ten days after its time
    back = SUNDAY + HOUR * down_h

    found = come(store, back)
    again = come(store, back + HOUR / 60)

    assert asked_for(found) == told
    assert again == []
    assert len(check_in_rows(willing)) == 2
    assert all(row.at > back for row in check_in_rows(willing))


def test_a_check_in_half_a_day_late_is_reminded_of_at_the_usual_time_and_a_later_one_is_not(
    store: Store, willing: Chat
) -> None:
    in_turn(willing, lambda turn: turn.work.reminders.save(turn.lifter.id, Reminders(quiet=None)))
    come(store, SUNDAY + 11 * HOUR)
    reminded = come(store, SUNDAY + DAY)
    come(store, SUNDAY + WEEK + 13 * HOUR)
    not_reminded = come(store, SUNDAY + WEEK + DAY)

    assert asked_for(reminded) == [Kind.CHECK_IN_AGAIN]
    assert not_reminded == []


def test_quiet_hours_put_the_check_in_off_and_nothing_said_meanwhile_loses_it(store: Store, willing: Chat) -> None:
    # given a check-in at eleven in the evening and quiet hours from ten to seven
    willing.say("check-in sun 23:00")
    in_turn(willing, lambda turn: turn.work.reminders.save(turn.lifter.id, Reminders(quiet=Quiet(time(22), time(7)))))
    at_night = come(store, datetime(2027, 1, 10, 23, tzinfo=UTC))
    willing.now = datetime(2027, 1, 10, 23, 30, tzinfo=UTC)
    willing.say("minutes 45")

    in_the_morning = come(store, datetime(2027, 1, 11, 7, tzinfo=UTC))

    assert at_night == []
    assert asked_for(in_the_morning) == [Kind.CHECK_IN]


def test_three_weeks_without_a_word_are_followed_by_one_line_and_silence_until_one_comes(
    store: Store, willing: Chat
) -> None:
    told = [found.replies for day in range(42) for found in come(store, SUNDAY + DAY * day)]
    silent = check_in_rows(willing)
    willing.now = SUNDAY + WEEK * 7
    willing.say("week")

    # Sunday evening of the first week is six days after the last word, and so on: the fourth check-in is 27 days after.
    assert [type(each) for replies in told for each in replies] == [Asked] * 6 + [GoneQuiet]
    assert told[-1] == [GoneQuiet(weeks=True)]
    assert silent == []
    assert {row.kind for row in check_in_rows(willing)} == CHECK_INS


def test_an_erased_lifter_leaves_nothing_due(store: Store, willing: Chat) -> None:
    lifter = willing.lifter
    assert lifter is not None
    willing.say("pause until 25 jan")

    store.submit(lambda work: work.lifters.erase(lifter.id)).result()

    assert store.submit(lambda work: work.due.of_lifter(lifter.id, limit=9)).result() == []
    assert come(store, SUNDAY + 9 * WEEK) == []


def test_what_was_sent_stays_so_whatever_is_settled_after(store: Store, willing: Chat) -> None:
    come(store, SUNDAY)
    willing.now = SUNDAY + HOUR
    for text in ("check-in off", "check-in sun 18:00", "check-in sun 19:30", "zone London", "pause 2 weeks", "resume"):
        willing.say(text)

    assert come(store, SUNDAY + 3 * HOUR) == []


def test_reminders_tells_of_both(willing: Chat) -> None:
    told = the(RemindersTold, willing.say("reminders"))

    assert told.coming == (
        (Kind.CHECK_IN, datetime(2027, 1, 10, 18)),
        (Kind.CHECK_IN_AGAIN, datetime(2027, 1, 11, 18)),
    )
