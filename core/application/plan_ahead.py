"""The plan ahead: the weeks of the block from this one on, with what each session would load as things stand."""

from dataclasses import dataclass, replace

from core.application.session_plan import given
from core.application.training_day import days_now, week_now
from core.application.turn import Turn
from core.domain.exercises import Muscle
from core.domain.plans import Plan
from core.domain.prescriptions import DayState, PlannedDay
from core.planning.calendar import is_reduced, week_in_block
from core.planning.targets import counted

LEFT_OUT = frozenset({DayState.SKIPPED, DayState.DROPPED})
"""States of sessions that add nothing to their week."""


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
    last = next((week for week in range(now, now + plan.block.weeks + 1) if is_reduced(plan, week)), None)
    if last is None:
        last = now + plan.block.weeks + 1 - week_in_block(plan, now)
    return PlanAhead(plan, tuple(_week(turn, plan, week) for week in range(now, last + 1)))


def _week(turn: Turn, plan: Plan, week: int) -> WeekAhead:
    prescribed = tuple(
        each if each.prescription is not None else replace(given(turn, each), state=each.state)
        for each in days_now(turn, plan, week)
    )
    sets: dict[str, float] = {}
    for each in prescribed:
        for lift in each.session.lifts if each.state not in LEFT_OUT else ():
            if lift.scheme.left is not None:
                sets[lift.exercise] = sets.get(lift.exercise, 0.0) + lift.sets
    muscles = counted(sets, turn.lifts)
    return WeekAhead(week_in_block(plan, week), is_reduced(plan, week), prescribed, tuple(muscles.items()))
