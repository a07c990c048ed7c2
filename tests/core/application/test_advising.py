"""Advice after the check-in in a chat: what it rests on, the answers to it, and the plan that follows."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from core.application.advising import after, answer
from core.application.week_facts import weeks_ill
from core.application.worked_out import LayoutAsked, NotWorkedOut
from core.domain.advice import Action, AdviceAnswer, Fact, GivenAdvice, Rule
from core.domain.check_in_commands import AnswerAdvice
from core.domain.check_in_replies import AdviceReasoned, AdviceTaken, AdviceTold, CheckInNothing, NoCheckIn
from core.domain.exercises import Muscle
from core.domain.plans import Plan
from core.domain.prescriptions import PlannedDay
from core.domain.replies import Ask, Asked, Reply
from core.domain.setups import Away
from core.planning.calendar import is_reduced, week_of
from tests.core.application.chats import Chat, the
from tests.core.application.plans import in_turn, set_up, with_plan
from tests.core.application.training import checked_in, next_monday, trained_week

BETTER, WORSE = "4 4 4 4 4", "3 3 3 3 3"


@pytest.fixture
def planned(chat: Chat) -> Chat:
    """A lifter with a plan of three days and a yes to health data, on its first Monday."""
    chat.say("consent on")
    with_plan(chat)
    return chat


def after_weeks(chat: Chat, count: int, answers: str = BETTER, *, fitted: bool = False) -> list[Reply]:
    """Weeks done as planned, each with a check-in; what the last one was answered."""
    replies: list[Reply] = []
    for number in range(count):
        if number:
            next_monday(chat)
        trained_week(chat, fitted=fitted)
        replies = checked_in(chat, answers)
    return replies


def offered(replies: list[Reply]) -> AdviceTold:
    asked = the(Asked, replies)
    assert asked.about is Ask.ADVICE
    assert asked.advice is not None
    return asked.advice


def plan_of(chat: Chat) -> Plan:
    plan = in_turn(chat, lambda turn: turn.plan)
    assert plan is not None
    return plan


def week_days(chat: Chat, week: int) -> tuple[PlannedDay, ...]:
    plan = plan_of(chat)
    return in_turn(chat, lambda turn: turn.days_of_week(plan, week))


def given(chat: Chat) -> list[GivenAdvice]:
    return list(in_turn(chat, lambda turn: turn.work.advice.since(turn.lifter.id, date.min)))


def wished(chat: Chat, muscle: Muscle) -> float | None:
    return dict(plan_of(chat).wishes.sets_now).get(muscle)


def test_a_first_check_in_keeps_for_it_has_nothing_to_stand_beside(planned: Chat) -> None:
    told = the(AdviceTold, after_weeks(planned, 1))

    assert [(each.advice.action, each.advice.rule) for each in told.given] == [(Action.KEEP, Rule.TOO_EARLY)]


def test_a_second_good_week_offers_one_set_and_the_accepted_one_is_planned(planned: Chat) -> None:
    told = offered(after_weeks(planned, 2))
    [row] = told.given
    muscle = row.advice.muscle
    assert (row.advice.rule, row.advice.change, told.starts) == (Rule.BUILD_UP, 1, date(2027, 1, 18))
    this_week = week_days(planned, 1)

    taken = the(AdviceTaken, planned.say("advice yes"))

    assert (taken.answer, taken.planned, taken.starts) == (AdviceAnswer.ACCEPTED, True, date(2027, 1, 18))
    assert wished(planned, muscle) == row.from_sets + 1
    assert dict(in_turn(planned, lambda turn: turn.setup.wishes.sets_now))[muscle] == row.from_sets + 1
    # The week that is over stays as it was; the next ones have more.
    assert week_days(planned, 1) == this_week
    assert dict(plan_of(planned).block.week.targets)[muscle] == row.from_sets + 1


def test_declined_advice_changes_nothing_and_stays_away(planned: Chat) -> None:
    told = offered(after_weeks(planned, 2))
    muscle = told.given[0].advice.muscle
    before = plan_of(planned)

    taken = the(AdviceTaken, planned.say("advice no"))
    next_monday(planned)
    trained_week(planned)
    again = checked_in(planned)

    assert taken.answer is AdviceAnswer.DECLINED
    assert plan_of(planned) == before
    others = [each.advice.muscle for each in offered(again).given]
    assert muscle not in others


def test_another_number_is_taken_within_two_of_now_and_the_bounds(planned: Chat) -> None:
    told = offered(after_weeks(planned, 2))
    [row] = told.given
    now = row.from_sets
    numbers = the(Asked, planned.say(f"advice {row.advice.muscle}"))
    # At most two sets a change; what is advised has its own tap.
    assert [option.command.sets for option in numbers.options] == [now - 2, now - 1, now, now + 2]  # type: ignore[union-attr]  # all of one kind

    refused = planned.say(f"advice {row.advice.muscle} {now + 3}")
    taken = the(AdviceTaken, planned.say(f"advice {row.advice.muscle} {now + 2}"))

    assert refused == [CheckInNothing(NoCheckIn.OUT_OF_BOUNDS, f"{now - 2} to {now + 2}")]
    assert taken.answer is AdviceAnswer.CHANGED
    assert wished(planned, row.advice.muscle) == now + 2
    assert planned.say("advice yes") == [CheckInNothing(NoCheckIn.OPEN_ADVICE)]


def test_why_shows_the_rules_in_order(planned: Chat) -> None:
    told = offered(after_weeks(planned, 2))

    reasoned = the(AdviceReasoned, planned.say("why advice"))

    assert reasoned.given == told.given[0]
    assert [look.rule for look in reasoned.given.advice.trace][-1] is Rule.BUILD_UP


def test_worse_answers_told_later_take_an_open_offer_back(planned: Chat) -> None:
    # Sets that agree on one maximum: the answers alone change.
    assert any(each.advice.change > 0 for each in offered(after_weeks(planned, 2, fitted=True)).given)

    told = the(AdviceTold, planned.say("sleep 1"))

    assert [each.advice.change for each in told.given] == [0]
    assert planned.say("advice yes") == [CheckInNothing(NoCheckIn.OPEN_ADVICE)]


def test_worse_answers_told_later_beside_lost_strength_leave_nothing_more_on_offer(planned: Chat) -> None:
    # The same load leaves two after eight repetitions and after four: the heavier days are far under what the light
    # ones promised.
    better = offered(after_weeks(planned, 2))
    assert any(each.advice.change > 0 for each in better.given)

    worse = offered(planned.say("sleep 1"))
    planned.say("advice yes")

    assert all(each.advice.change < 0 for each in worse.given)
    assert all((wished(planned, each.advice.muscle) or 0) < each.from_sets for each in worse.given)


def test_under_half_of_the_sessions_done_is_not_judged(planned: Chat) -> None:
    after_weeks(planned, 1)
    next_monday(planned)
    trained_week(planned, sessions=1)

    told = the(AdviceTold, checked_in(planned))

    assert told.given[0].advice.rule is Rule.NO_JUDGEMENT


def test_illness_is_not_judged(planned: Chat) -> None:
    after_weeks(planned, 1)
    next_monday(planned)
    trained_week(planned)
    set_up(planned, lambda setup: replace(setup, away=Away(planned.now.date(), sick=True)))

    told = the(AdviceTold, checked_in(planned))

    assert told.given[0].advice.rule is Rule.NO_JUDGEMENT


def test_sets_that_fall_short_of_their_target_add_nothing(planned: Chat) -> None:
    after_weeks(planned, 1)
    next_monday(planned)
    trained_week(planned, left=0)

    told = the(AdviceTold, checked_in(planned))

    chest = told.given[0].advice
    missing = {each.what for look in chest.trace if look.rule is Rule.BUILD_UP for each in look.figures if not each.met}
    assert Fact.ON_TARGET in missing


def test_lifts_under_and_worse_weeks_bring_less_work_that_the_plan_follows(planned: Chat) -> None:
    after_weeks(planned, 3)
    before = dict(plan_of(planned).block.week.targets)[Muscle.CHEST]
    for _ in range(2):
        next_monday(planned)
        # The same loads leave nothing where two were left: some 6 % less strength.
        trained_week(planned, left=0)
        told = offered(checked_in(planned, WORSE))
        assert {each.advice.action for each in told.given} <= {Action.CUT, Action.REDUCED_WEEK}

    planned.say("advice yes")

    plan = plan_of(planned)
    assert is_reduced(plan, 5) or dict(plan.block.week.targets)[Muscle.CHEST] < before


def test_a_reduced_week_comes_on_request_and_not_within_three_weeks(planned: Chat) -> None:
    trained_week(planned)

    taken = the(AdviceTaken, planned.say("reduced week"))

    plan = plan_of(planned)
    assert taken.starts == date(2027, 1, 11)
    assert plan.relieved == (1,)
    assert is_reduced(plan, week_of(plan, taken.starts))
    assert planned.say("reduced week") == [CheckInNothing(NoCheckIn.REDUCED_ALREADY)]
    planned.now += timedelta(days=8)
    trained_week(planned)
    assert planned.say("reduced week") == [CheckInNothing(NoCheckIn.REDUCED_LATELY)]


def test_an_ache_keeps_and_offers_nothing_more(planned: Chat) -> None:
    after_weeks(planned, 1)
    next_monday(planned)
    trained_week(planned)
    planned.say("check-in 4 4 4 4 4")
    planned.say("check-in shoulder fades")

    told = the(AdviceTold, planned.say("check-in"))

    assert {each.advice.action for each in told.given} == {Action.KEEP_WITH_CARE}


def test_without_a_plan_the_lifters_own_usual_sessions_are_the_measure(chat: Chat) -> None:
    chat.say("consent on")
    replies: list[Reply] = []
    for number in range(3):
        for _ in range(2):
            chat.say("bench 80kg x5 rir2, 80kg x5 rir2, 80kg x5 rir2")
            chat.now += timedelta(days=3)
        replies = checked_in(chat)
        if number < 2:
            next_monday(chat)

    [row] = offered(replies).given

    # Six hard sets were done: what was done is what stands as the target without a plan.
    assert (row.advice.muscle, row.from_sets, row.advice.change) == (Muscle.CHEST, 6, 1)
    assert not offered(replies).planned


def test_a_lifter_without_a_log_gets_no_advice(chat: Chat) -> None:
    chat.say("consent on")

    assert not any(isinstance(each, AdviceTold) for each in checked_in(chat))
    assert chat.say("why advice") == [CheckInNothing(NoCheckIn.ADVICE)]


def test_the_same_history_gives_the_same_advice(planned: Chat) -> None:
    first = offered(after_weeks(planned, 2))
    check_in = in_turn(planned, lambda turn: turn.work.check_ins.get(turn.lifter.id, date(2027, 1, 11)))
    assert check_in is not None

    again = in_turn(planned, lambda turn: after(turn, check_in))

    assert [each.advice for each in offered(again).given] == [each.advice for each in first.given]


def test_sets_that_were_accepted_are_laid_out_before_the_transaction_that_writes_them(planned: Chat) -> None:
    after_weeks(planned, 2)
    before = plan_of(planned)

    with pytest.raises(NotWorkedOut) as missing:
        in_turn(planned, lambda turn: answer(turn, AnswerAdvice(taken=True)))

    assert isinstance(missing.value.asked, LayoutAsked)
    assert not missing.value.asked.with_conflicts  # nobody is told of them
    assert plan_of(planned) == before
    assert all(each.answer is AdviceAnswer.OPEN for each in given(planned)[-1:])


@pytest.mark.parametrize(
    ("back", "weeks"),
    [
        # Ill from Monday the 4th; who is back on the Monday after trains all of that week.
        (date(2027, 1, 11), [date(2027, 1, 4)]),
        (date(2027, 1, 12), [date(2027, 1, 4), date(2027, 1, 11)]),
        (None, [date(2027, 1, 4), date(2027, 1, 11), date(2027, 1, 18)]),
    ],
)
def test_weeks_of_an_illness_end_with_the_day_before_they_are_back(
    planned: Chat, back: date | None, weeks: list[date]
) -> None:
    set_up(planned, lambda setup: replace(setup, away=Away(date(2027, 1, 4), back, sick=True)))

    found = in_turn(planned, lambda turn: weeks_ill(turn, date(2027, 1, 20)))

    assert sorted(found) == weeks
