"""Relaying a plan: its weeks from a day on laid out for changed wishes, changed as little as can be."""

from datetime import date, timedelta

from core.application.training_day import in_line, week_now
from core.application.turn import Turn
from core.domain.plans import Plan, WeekPlan, Wishes
from core.planning.calendar import week_of
from core.planning.undulation import block


def laid_out_from(turn: Turn, plan: Plan, wishes: Wishes, starts: date) -> WeekPlan:
    """Lay a plan's weeks out anew from the first day of one on; the week before stays as it stands."""
    # Loaded where it is used: the solver takes a third of a second.
    from core.planning.week_layout import week_layout

    week = week_layout(wishes, turn.setup.gym(turn.unit), turn.lifts, previous=plan.block.week)
    first = week_now(turn, plan) + 1 if in_line(plan) else week_of(plan, starts)
    if in_line(plan) or starts > turn.today:
        now = first - 1 if in_line(plan) else week_of(plan, starts - timedelta(days=1))
        if now >= 0:
            for day in turn.days_of_week(plan, now):
                turn.work.plans.keep_day(day)
    turn.work.plans.change_block(plan.id, block(week), wishes)
    turn.work.plans.forget_days(plan.id, first=max(first, 0))
    turn.plan_changed()
    return week
