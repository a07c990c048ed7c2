"""Times away: told or not, and the way back."""

from datetime import UTC, date, datetime, timedelta

import pytest

from core.application.callings import CALLINGS
from core.application.training_day import easing, note_absence, planned_for
from core.domain.plan_replies import AwayTold, BackTold, PlanRefusal, PlanRefused, ReturnKind
from core.domain.reminders import Kind
from core.domain.setups import Away, Setup
from core.planning.returns import Adjustment, SetsChange, StartAfresh
from tests.core.application.chats import Chat, the
from tests.core.application.guided import today_told
from tests.core.application.plans import in_turn, with_plan
from tests.core.application.test_due import fired, kinds, waiting

MONDAY = date(2027, 1, 4)


def setup(chat: Chat) -> Setup:
    return in_turn(chat, lambda turn: turn.setup)


@pytest.mark.parametrize(
    ("text", "until"),
    [
        ("pause until 25 jan", date(2027, 1, 25)),
        ("pause until 3 jan", date(2028, 1, 3)),
        ("pause until mon", MONDAY + timedelta(days=7)),
        ("pause 2 weeks", MONDAY + timedelta(days=14)),
        ("pause", None),
    ],
)
def test_a_pause_ends_on_the_next_such_day(chat: Chat, text: str, until: date | None) -> None:
    with_plan(chat)

    assert the(AwayTold, chat.say(text)).until == until
    assert setup(chat).away == Away(MONDAY, until)
    assert in_turn(chat, lambda turn: planned_for(turn, MONDAY)) is None


@pytest.mark.parametrize(
    ("days", "kind"),
    [
        # Up to a week as planned; 1-2, 2-4, 4-12 weeks; longer afresh: common practice, no source.
        (7, ReturnKind.AS_PLANNED),
        (8, ReturnKind.SHORT),
        (14, ReturnKind.SHORT),
        (28, ReturnKind.MIDDLE),
        (84, ReturnKind.LONG),
        (85, ReturnKind.AFRESH),
    ],
)
def test_a_return_is_eased_in_by_how_long_the_lifter_was_away(chat: Chat, days: int, kind: ReturnKind) -> None:
    with_plan(chat)
    chat.say("pause")
    chat.now += timedelta(days=days)

    told = the(BackTold, chat.say("resume"))

    assert (told.days, told.kind) == (days, kind)
    eased = in_turn(chat, lambda turn: easing(turn, turn.today))
    assert (eased is None) == (kind is ReturnKind.AS_PLANNED)
    assert isinstance(eased, StartAfresh) == (kind is ReturnKind.AFRESH)


def test_an_eased_return_is_over_after_its_weeks(chat: Chat) -> None:
    with_plan(chat)
    chat.say("pause")
    chat.now += timedelta(days=21)
    chat.say("resume")

    first = in_turn(chat, lambda turn: easing(turn, turn.today + timedelta(days=6)))
    then = in_turn(chat, lambda turn: easing(turn, turn.today + timedelta(days=7)))

    # Two to four weeks away: a tenth less and half the sets for a week.
    assert isinstance(first, Adjustment)
    assert (first.factor, first.sets) == (0.9, SetsChange.HALF)
    assert then is None


def test_after_twelve_weeks_screening_is_asked_again_and_holds_until_then(chat: Chat) -> None:
    with_plan(chat)
    chat.say("consent on")
    chat.say("screening clear")
    chat.say("pause")
    chat.now += timedelta(days=90)

    chat.say("resume")

    assert setup(chat).care.screened


def test_a_time_away_that_nobody_told_of_is_noted_once_the_lifter_is_back(chat: Chat) -> None:
    with_plan(chat)
    chat.say("bench 80x5")
    chat.now += timedelta(days=20)

    found = in_turn(chat, note_absence)

    assert found == Away(MONDAY + timedelta(days=1), MONDAY + timedelta(days=20), told=True)
    assert in_turn(chat, note_absence) is None
    assert isinstance(in_turn(chat, lambda turn: easing(turn, turn.today)), Adjustment)


def test_training_once_a_week_is_no_time_away(chat: Chat) -> None:
    with_plan(chat)
    chat.say("bench 80x5")
    chat.now += timedelta(days=8)

    assert in_turn(chat, note_absence) is None


def test_being_ill_stops_messages_until_the_lifter_is_back_and_is_kept_only_with_consent(chat: Chat) -> None:
    with_plan(chat)

    assert the(AwayTold, chat.say("sick")).sick
    assert setup(chat).away == Away(MONDAY, None, sick=False)
    chat.say("consent on")
    chat.say("sick")
    assert setup(chat).away == Away(MONDAY, None, sick=True)


@pytest.mark.parametrize("again", ["sick", "pause", "pause until 26 jan"])
def test_a_time_away_that_is_told_again_only_goes_on(chat: Chat, again: str) -> None:
    with_plan(chat)
    chat.say("consent on")
    chat.say("sick")
    chat.now += timedelta(days=21)
    chat.say(again)
    chat.now += timedelta(days=1)

    told = the(BackTold, chat.say("resume"))

    # Two to four weeks: common practice, no source (coaching, section 6).
    assert (told.days, told.kind, told.was_sick) == (22, ReturnKind.MIDDLE, True)


def test_who_does_not_train_for_weeks_after_a_break_was_away_all_the_time(chat: Chat) -> None:
    with_plan(chat)
    chat.say("bench 80x5")
    chat.now += timedelta(days=1)
    chat.say("pause until 11 jan")
    chat.now += timedelta(days=27)

    found = in_turn(chat, note_absence)

    assert found == Away(MONDAY + timedelta(days=1), MONDAY + timedelta(days=28), told=True)
    assert in_turn(chat, note_absence) is None


def test_who_trains_within_a_week_after_a_break_was_away_as_long_as_they_said(chat: Chat) -> None:
    with_plan(chat)
    chat.say("bench 80x5")
    chat.say("pause until 11 jan")
    chat.now += timedelta(days=13)

    assert in_turn(chat, note_absence) is None


def test_after_twelve_weeks_that_nobody_told_of_screening_is_asked_again_too(chat: Chat) -> None:
    with_plan(chat)
    chat.say("consent on")
    chat.say("screening clear")
    chat.say("bench 80x5")
    chat.now += timedelta(weeks=13)

    session = chat.say("today")

    assert setup(chat).care.screened
    assert setup(chat).screened_on is None
    assert today_told(session).screening_open


def test_who_is_not_away_cannot_come_back(chat: Chat) -> None:
    with_plan(chat)

    assert the(PlanRefused, chat.say("resume")).why is PlanRefusal.NOT_AWAY


def test_travel_and_nights_are_kept_until_they_are_over(chat: Chat) -> None:
    chat.say("travel")
    chat.say("night shifts")
    chat.say("travel off")

    assert [(each.tag.value, each.since) for each in setup(chat).tagged] == [("nights", MONDAY)]


BACK = datetime(2027, 1, 25, 7, tzinfo=UTC)
"""The morning of the first day back after three weeks."""


def returns(chat: Chat, at: datetime) -> list[BackTold]:
    """What is said of the way back by an instant."""
    found = fired(chat.store, at, callings=CALLINGS)
    return [reply for each in found for reply in each.replies if isinstance(reply, BackTold)]


def test_the_morning_on_which_a_break_ends_says_how_to_come_back_before_the_session(chat: Chat) -> None:
    with_plan(chat)
    chat.say("pause until 25 jan")

    before = fired(chat.store, BACK - timedelta(minutes=1), callings=CALLINGS)
    found = fired(chat.store, BACK, callings=CALLINGS)
    again = returns(chat, BACK + timedelta(hours=3))

    assert before == []
    assert kinds(found) == [(Kind.RETURN, "2027-01-25"), (Kind.SESSION, "2027-01-25")]
    # Two to four weeks: 10 % less, half the sets (coaching, section 6; common practice).
    assert found[0].replies == [BackTold(21, ReturnKind.MIDDLE, by_clock=True)]
    assert again == []


def test_a_break_that_is_ended_earlier_is_not_ended_again_by_the_clock(chat: Chat) -> None:
    with_plan(chat)
    chat.say("pause until 25 jan")
    chat.now += timedelta(days=14)
    chat.say("resume")

    assert [row for row in waiting(chat) if row.kind is Kind.RETURN] == []
    assert returns(chat, BACK) == []


def test_a_longer_break_moves_the_way_back(chat: Chat) -> None:
    with_plan(chat)
    chat.say("pause until 18 jan")
    chat.say("pause until 25 jan")

    assert returns(chat, BACK - timedelta(days=7)) == []
    assert returns(chat, BACK) == [BackTold(21, ReturnKind.MIDDLE, by_clock=True)]


def test_who_trains_on_the_morning_of_the_return_needs_no_word_on_it(chat: Chat) -> None:
    with_plan(chat)
    chat.say("pause until 25 jan")
    chat.now = BACK - timedelta(minutes=30)
    chat.say("bench 80x5")

    assert returns(chat, BACK) == []


def test_the_way_back_is_told_once_though_it_was_said_by_a_word_that_morning(chat: Chat) -> None:
    with_plan(chat)
    chat.say("pause until 25 jan")
    chat.now = BACK - timedelta(minutes=30)
    chat.say("resume")

    assert returns(chat, BACK) == []


def test_the_word_on_a_return_follows_the_mornings_time(chat: Chat) -> None:
    with_plan(chat)
    chat.say("pause until 25 jan")
    chat.say("morning 8:30")
    moved = [row.at for row in waiting(chat) if row.kind is Kind.RETURN]
    chat.say("morning off")

    assert moved == [BACK + timedelta(hours=1, minutes=30)]
    assert [row for row in waiting(chat) if row.kind is Kind.RETURN] == []


@pytest.mark.parametrize(("down_h", "told"), [(1, 1), (24, 1), (38, 1), (49, 0), (240, 0)])
def test_after_a_downtime_the_way_back_is_told_up_to_two_days_late(chat: Chat, down_h: int, told: int) -> None:
    with_plan(chat)
    chat.say("pause until 25 jan")

    assert len(returns(chat, BACK + timedelta(hours=down_h))) == told


def test_after_twelve_weeks_the_return_asks_for_screening_again(chat: Chat) -> None:
    with_plan(chat)
    chat.say("consent on")
    chat.say("screening clear")
    chat.say("pause 13 weeks")

    [told] = returns(chat, BACK + timedelta(weeks=10))

    assert told.kind is ReturnKind.AFRESH
    assert setup(chat).care.screened
    assert setup(chat).screened_on is None
