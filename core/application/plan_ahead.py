"""The plan ahead: the weeks of the block from this one on, with what each session would load as things stand."""

from dataclasses import dataclass, replace

from core.application.session_plan import given
from core.application.training_day import in_line, missed_days, week_days, week_now
from core.application.turn import Turn
from core.domain.exercises import Muscle
from core.domain.plans import Plan
from core.domain.prescriptions import PlannedDay
from core.planning.calendar import is_reduced
from core.planning.targets import counted
from core.planning.undulation import week_number


@dataclass(frozen=True, slots=True)
class WeekAhead:
    """A week of the plan: its sessions with their prescriptions, and weekly hard sets by muscle. [sets]"""

    number: int
    reduced: bool
    days: tuple[PlannedDay, ...]
    muscles: tuple[tuple[Muscle, float], ...]


@dataclass(frozen=True, slots=True)
class PlanAhead:
    """A plan and the weeks of its block that are left, this one first."""

    plan: Plan
    weeks: tuple[WeekAhead, ...]


def plan_ahead(turn: Turn) -> PlanAhead | None:
    """The plan from this week to the end of the block; nothing is written. None without a plan."""
    plan = turn.plan
    if plan is None:
        return None
    now = max(week_now(turn, plan), 0)
    left = plan.block.weeks + 1 - week_number(now)
    return PlanAhead(plan, tuple(_week(turn, plan, week) for week in range(now, now + left + 1)))


def _week(turn: Turn, plan: Plan, week: int) -> WeekAhead:
    if in_line(plan):
        days = turn.days_of_week(plan, week)
    else:
        days = week_days(turn, plan, week)
        if week == week_now(turn, plan) and not plan.own:
            moved = {each.place: each for one in missed_days(turn, plan, turn.today) for each in one.changed}
            days = tuple(moved.get(each.place, each) for each in days)
    prescribed = tuple(
        each if each.prescription is not None else replace(given(turn, each), state=each.state) for each in days
    )
    sets: dict[str, float] = {}
    for each in prescribed:
        for lift in each.session.lifts:
            if lift.scheme.left is not None:
                sets[lift.exercise] = sets.get(lift.exercise, 0.0) + lift.sets
    return WeekAhead(week_number(week), is_reduced(plan, week), prescribed, tuple(counted(sets, turn.lifts).items()))
