"""The plan in the chat: shown, changed from next week on, offered anew, left; a week of one's own; plates."""

from datetime import date, timedelta

import pytest

from core.domain.plan_commands import TakePlan
from core.domain.plan_replies import (
    Noted,
    PlanChanged,
    PlanEnded,
    PlanRefusal,
    PlanRefused,
    PlanTold,
    PlatesTold,
)
from core.domain.plans import Plan
from core.domain.prescriptions import DayState
from core.domain.replies import Ask, Asked, Logged
from core.domain.units import Load, Unit
from tests.core.application.chats import Chat, the
from tests.core.application.plans import in_turn, settled, with_plan

MONDAY = date(2027, 1, 4)


def current(chat: Chat) -> Plan:
    plan = in_turn(chat, lambda turn: turn.plan)
    assert plan is not None
    return plan


def test_without_a_plan_everything_else_works(chat: Chat) -> None:
    assert the(PlanRefused, chat.say("plan")).why is PlanRefusal.NO_PLAN
    assert the(PlanRefused, chat.say("plan off")).why is PlanRefusal.ALREADY_OFF
    assert isinstance(chat.say("bench 80x5")[0], Logged)


def test_a_changed_wish_changes_a_plan_that_was_not_begun_at_once(chat: Chat) -> None:
    with_plan(chat)

    noted, changed = chat.say("days mon tue thu fri")

    assert isinstance(noted, Noted)
    assert isinstance(changed, PlanChanged)
    assert changed.starts == MONDAY
    assert [session.day for session in current(chat).block.week.sessions] == [0, 1, 3, 4]


def test_a_changed_wish_leaves_a_week_that_was_begun_as_it_is(chat: Chat) -> None:
    before = with_plan(chat)
    told = the(PlanTold, chat.say("plan"))
    settled(chat, told.days[0])

    changed = the(PlanChanged, chat.say("days mon tue thu fri"))

    assert changed.starts == MONDAY + timedelta(days=7)
    this_week = [each for each in the(PlanTold, chat.say("plan")).days if each.state is not DayState.DROPPED]
    assert [each.session for each in this_week] == list(before.block.week.sessions)
    chat.now += timedelta(days=7)
    assert len(the(PlanTold, chat.say("plan")).days) == 4


def test_every_session_that_is_still_possible_stays_when_a_wish_changes(chat: Chat) -> None:
    before = with_plan(chat)

    changed = the(PlanChanged, chat.say("minutes 75"))

    # More minutes make nothing impossible.
    assert changed.changed == 0
    assert current(chat).block.week.sessions == before.block.week.sessions


def test_a_banned_exercise_leaves_the_plan_and_the_main_lift_cannot_be_banned(chat: Chat) -> None:
    before = with_plan(chat)
    other = next(
        lift.exercise
        for session in before.block.week.sessions
        for lift in session.lifts
        if lift.exercise != before.wishes.main
    )

    chat.say(f"ban {other}")

    names = {lift.exercise for session in current(chat).block.week.sessions for lift in session.lifts}
    assert other not in names
    assert the(PlanRefused, chat.say("ban bench press")).why is PlanRefusal.IS_MAIN_LIFT


def test_two_plans_are_offered_and_one_tap_takes_one(chat: Chat) -> None:
    with_plan(chat)

    asked = the(Asked, chat.say("plan new"))

    assert asked.about is Ask.OFFERS
    first, second = asked.offers
    assert first.week.sessions != second.week.sessions
    assert [option.command for option in asked.options] == [TakePlan(first.difference), TakePlan(second.difference)]
    chat.tap(asked, 1)
    assert current(chat).block.week == second.week


def test_a_plan_is_left_from_one_day_to_the_next(chat: Chat) -> None:
    with_plan(chat)

    assert chat.say("plan off") == [PlanEnded()]
    assert in_turn(chat, lambda turn: turn.plan) is None


def test_a_warning_sign_keeps_plans_back(chat: Chat) -> None:
    chat.say("help")
    chat.say("chest pain")

    assert the(PlanRefused, chat.say("plan new")).why is PlanRefusal.STOPPED


def test_a_week_of_ones_own_is_kept_as_it_was_laid_out(chat: Chat) -> None:
    chat.say("help")

    told = the(PlanTold, chat.say("my own\nmon: bench 5x5, row 3x8\nthu: squat 5x5 3 left"))

    assert told.plan.own
    monday, thursday = told.plan.block.week.sessions
    assert [(lift.exercise, lift.sets, lift.scheme.reps) for lift in monday.lifts] == [
        ("bench press", 5, 5),
        ("barbell row", 3, 8),
    ]
    assert [(lift.exercise, lift.scheme.left) for lift in thursday.lifts] == [("squat", 3.0)]
    # Settings are noted, and change nothing in it.
    before = current(chat).block
    chat.say("minutes 30")
    assert current(chat).block == before


@pytest.mark.parametrize(
    ("text", "side"),
    [
        # IWF: 100 kg on a 20 kg bar without collars is 40 a side, 25 + 15.
        ("plates 100", (25.0, 15.0)),
        ("plates 92.5", (25.0, 10.0, 1.25)),
        ("plates 20", ()),
    ],
)
def test_plates_are_the_fewest_a_side(chat: Chat, text: str, side: tuple[float, ...]) -> None:
    told = the(PlatesTold, [each for each in chat.say(text) if isinstance(each, PlatesTold)])

    assert told.exact
    assert tuple(disc.amount for disc in told.side) == side


def test_without_a_barbell_there_are_no_plates_a_side(chat: Chat) -> None:
    chat.say("equipment dumbbells")

    assert chat.say("plates 40 kg") == [PlanRefused(PlanRefusal.NO_BARBELL)]
    chat.say("equipment barbell, dumbbells")
    assert the(PlatesTold, chat.say("plates 40 kg")).exact


def test_a_load_that_cannot_be_made_is_told_with_those_on_either_side(chat: Chat) -> None:
    chat.say("plates 20 10 5 2.5 kg")

    told = the(PlatesTold, chat.say("plates 72"))

    # 20 + 2 x 25 and 20 + 2 x 27.5, by hand.
    assert not told.exact
    assert (told.made, told.above) == (Load(70.0, Unit.KG), Load(75.0, Unit.KG))


def test_sets_of_a_block_begin_again_after_the_reduced_week(chat: Chat) -> None:
    with_plan(chat)
    weeks = []
    for _ in range(7):
        weeks.append(the(PlanTold, chat.say("plan")).week)
        chat.now += timedelta(days=7)

    # Five weeks and a reduced one.
    assert weeks == [1, 2, 3, 4, 5, 6, 1]


def test_a_main_lift_is_changed_and_one_that_nobody_plans_is_refused(chat: Chat) -> None:
    with_plan(chat)

    chat.say("main lift squat")

    assert current(chat).wishes.main == "squat"
    assert the(PlanRefused, chat.say("main lift dumbbell curl")).why is PlanRefusal.NOT_A_MAIN_LIFT
