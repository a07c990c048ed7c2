"""Which planned session a day has: by its weekday, moved, next in line, or none."""

from dataclasses import replace
from datetime import date, timedelta

from core.application.training_day import planned_for, settle_missed, week_days
from core.domain.plans import DayKind, Wishes
from core.domain.prescriptions import DayState, PlannedDay
from core.domain.setups import Away
from tests.core.application.chats import Chat
from tests.core.application.guided import planned_lifter, today_told
from tests.core.application.plans import in_turn, set_up, settled, with_plan

MONDAY = date(2027, 1, 4)


def planned(chat: Chat, day: date) -> PlannedDay | None:
    return in_turn(chat, lambda turn: planned_for(turn, day))


def on(chat: Chat, day: date) -> None:
    chat.now = chat.now.replace(year=day.year, month=day.month, day=day.day)


def test_without_a_plan_no_day_has_a_session(chat: Chat) -> None:
    chat.say("help")

    assert planned(chat, MONDAY) is None


def test_a_planned_weekday_has_its_session_and_the_days_between_have_none(chat: Chat) -> None:
    with_plan(chat)

    kinds = [
        None if (found := planned(chat, MONDAY + timedelta(days=each))) is None else found.session.kind
        for each in range(7)
    ]

    # Volume, power, strength on three pressing days: Zourdos et al. 2016.
    assert kinds == [DayKind.VOLUME, None, DayKind.POWER, None, DayKind.STRENGTH, None, None]


def test_days_before_the_plan_was_made_are_not_missed(chat: Chat) -> None:
    on(chat, MONDAY + timedelta(days=3))
    with_plan(chat)

    assert in_turn(chat, settle_missed) == ()
    found = planned(chat, MONDAY + timedelta(days=4))
    assert found is not None
    assert found.session.kind is DayKind.STRENGTH


def test_a_missed_session_is_moved_once_and_stays_moved(chat: Chat) -> None:
    with_plan(chat)
    on(chat, MONDAY + timedelta(days=1))

    assert planned(chat, MONDAY + timedelta(days=1)) is None
    assert in_turn(chat, settle_missed) == ()

    # Volume takes the place of Wednesday's power, which is dropped first.
    on(chat, MONDAY + timedelta(days=2))
    found = planned(chat, MONDAY + timedelta(days=2))
    assert found is not None
    assert (found.session.kind, found.state) == (DayKind.VOLUME, DayState.PLANNED)


def test_a_session_that_was_done_stays_on_its_day(chat: Chat) -> None:
    with_plan(chat)
    first = planned(chat, MONDAY)
    assert first is not None
    settled(chat, first)

    on(chat, MONDAY + timedelta(days=1))

    assert in_turn(chat, settle_missed) == ()
    done = planned(chat, MONDAY)
    assert done is not None
    assert done.state is DayState.DONE


def test_while_away_no_day_has_a_session_and_none_is_missed(chat: Chat) -> None:
    with_plan(chat)
    set_up(chat, lambda setup: replace(setup, away=Away(MONDAY, MONDAY + timedelta(days=4))))
    on(chat, MONDAY + timedelta(days=4))

    assert planned(chat, MONDAY + timedelta(days=2)) is None
    found = planned(chat, MONDAY + timedelta(days=4))
    assert found is not None
    assert found.session.kind is DayKind.STRENGTH
    assert in_turn(chat, settle_missed) == ()


def test_sessions_in_line_wait_for_whatever_day_comes(chat: Chat) -> None:
    with_plan(chat, Wishes(sessions=2))
    places = []
    for day in (0, 1, 9, 20):
        on(chat, MONDAY + timedelta(days=day))
        found = planned(chat, chat.now.date())
        assert found is not None
        assert found.day == chat.now.date()
        places.append((found.week, found.place))
        settled(chat, found)
        # Once a day.
        again = planned(chat, chat.now.date())
        assert again is not None
        assert again.state is DayState.DONE

    assert places == [(0, 0), (0, 1), (1, 0), (1, 1)]


def test_a_skipped_session_in_line_gives_way_to_the_next_on_another_day(chat: Chat) -> None:
    with_plan(chat, Wishes(sessions=2))
    first = planned(chat, MONDAY)
    assert first is not None

    settled(chat, first, DayState.SKIPPED)

    # Who leaves today's out does not want another one today.
    today, found = planned(chat, MONDAY), planned(chat, MONDAY + timedelta(days=1))
    assert today is not None
    assert found is not None
    assert (today.state, today.place) == (DayState.SKIPPED, 0)
    assert (found.week, found.place) == (0, 1)


def test_a_lifter_s_own_week_is_left_as_they_laid_it_out(chat: Chat) -> None:
    plan = with_plan(chat, own=True)
    on(chat, MONDAY + timedelta(days=1))

    assert in_turn(chat, settle_missed) == ()
    days = in_turn(chat, lambda turn: week_days(turn, plan, 0))
    assert [each.day.weekday() for each in days] == [0, 2, 4]


def test_sets_told_as_recent_are_no_sign_of_a_time_away(chat: Chat) -> None:
    # Logged a week back, they stand for the last weeks; the first session comes three days after they were told.
    chat.say("recent bench 80x5 2 left")
    with_plan(chat, Wishes(days=(3,)))
    chat.now += timedelta(days=3)

    told = today_told(chat.say("today"))

    assert told.back_after is None
    assert in_turn(chat, lambda turn: turn.setup.away) is None


def test_a_session_after_a_time_away_says_that_it_is_eased_in(chat: Chat) -> None:
    planned_lifter(chat)
    chat.now += timedelta(days=7)

    told = today_told(chat.say("today"))

    # The last session was a week before the plan's first Monday: thirteen days lie between it and today.
    assert told.back_after == 13
    assert told.cue is None


def test_what_was_given_out_of_a_session_in_line_on_another_day_is_worked_out_anew(chat: Chat) -> None:
    planned_lifter(chat)
    with_plan(chat, Wishes(sessions=3))
    chat.say("today")
    chat.now += timedelta(days=21)

    found = in_turn(chat, lambda turn: planned_for(turn, turn.today))

    assert found is not None
    assert found.prescription is None


def test_what_was_given_out_of_a_missed_session_is_worked_out_anew_on_its_new_day(chat: Chat) -> None:
    planned_lifter(chat)
    chat.say("today")
    chat.now += timedelta(days=1)

    [moved] = in_turn(chat, settle_missed)

    assert [each.prescription for each in moved.changed[:1]] == [None]


def test_sets_told_a_day_late_were_the_planned_session_of_their_day(chat: Chat) -> None:
    planned_lifter(chat)
    monday = chat.now.date()
    chat.now += timedelta(days=1)
    in_turn(chat, settle_missed)

    chat.say("yesterday bench 70x8")

    plan = in_turn(chat, lambda turn: turn.plan)
    assert plan is not None
    days = in_turn(chat, lambda turn: week_days(turn, plan, 0))
    # Monday is done, and the power session that had given way to it on Wednesday is back.
    assert [(each.day, each.session.kind, each.state) for each in days] == [
        (monday, DayKind.VOLUME, DayState.DONE),
        (monday + timedelta(days=2), DayKind.POWER, DayState.PLANNED),
        (monday + timedelta(days=4), DayKind.STRENGTH, DayState.PLANNED),
    ]
    chat.say("undo")
    assert in_turn(chat, settle_missed)
