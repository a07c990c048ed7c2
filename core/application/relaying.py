"""Relaying a plan: its weeks from one on laid out for changed wishes, and those before it left as they stand."""

from datetime import timedelta

from core.application.training_day import in_line
from core.application.turn import Turn
from core.application.worked_out import LaidOut, LayoutAsked
from core.domain.plans import Plan, WeekPlan, Wishes
from core.domain.prescriptions import DayState, PlannedDay
from core.planning.calendar import first_day, sessions_of
from core.planning.main_lift import with_possible_main
from core.planning.undulation import block


def laid_out(
    turn: Turn, wishes: Wishes, *, previous: WeekPlan | None = None, with_conflicts: bool = True
) -> tuple[Wishes, LaidOut] | None:
    """The week for some wishes, with a main lift that can be done; None where there is none.

    Args:
        turn: The lifter's turn.
        wishes: What is wished.
        previous: The week before, which is changed as little as can be.
        with_conflicts: Name the wishes that stand against a better week, too.

    Raises:
        NotWorkedOut: it has to be worked out first, outside of the open transaction.

    """
    owned = turn.setup.gym(turn.unit)
    possible = with_possible_main(wishes, owned, turn.lifts)
    main = turn.lifts.get(possible.main)
    if main is None or not owned.offers(main.equipment):
        return None
    return possible, turn.replays.weeks.layout(LayoutAsked(possible, owned, previous, with_conflicts=with_conflicts))


def relaid(turn: Turn, plan: Plan, wishes: Wishes, week: WeekPlan, *, first: int) -> None:
    """Change a plan's weeks from one on, counted from 0; the week before that one is written as it stands."""
    if first > 0:
        _hold_week(turn, plan, first - 1, week)
    turn.work.plans.change_block(plan.id, block(week), wishes)
    turn.work.plans.forget_days(plan.id, first=max(first, 0))
    turn.plan_changed()


def _hold_week(turn: Turn, plan: Plan, week: int, changed: WeekPlan) -> None:
    """Write a week's sessions as they are, so that a changed plan leaves them alone."""
    for each in turn.days_of_week(plan, week):
        if each.state is DayState.PLANNED:
            turn.work.plans.keep_day(each)
    if in_line(plan):
        return
    there = len(sessions_of(plan, week))
    for place, session in enumerate(changed.sessions[there:], start=there):
        day = first_day(plan, week) + timedelta(days=session.day)
        turn.work.plans.keep_day(
            PlannedDay(plan_id=plan.id, week=week, place=place, day=day, state=DayState.DROPPED, session=session)
        )
