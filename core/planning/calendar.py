"""Calendar: the sessions of a plan on the days of its weeks, with what happened to them."""

from collections.abc import Iterable
from datetime import date, timedelta

from core.domain.plans import DAYS, Plan, PlannedSession
from core.domain.prescriptions import DayState, PlannedDay
from core.planning.undulation import week_number


def week_of(plan: Plan, day: date) -> int:
    """Weeks since the plan began that a day falls into, from 0; below 0 before it began."""
    return (day - plan.starts).days // DAYS


def first_day(plan: Plan, week: int) -> date:
    """First day of a week of the plan."""
    return plan.starts + timedelta(days=DAYS * week)


def is_reduced(plan: Plan, week: int) -> bool:
    """Whether a week of the plan, from 0, is a reduced one: by the block, or ahead of it, after which it begins anew."""
    return week_in_block(plan, week) > plan.block.weeks


def week_in_block(plan: Plan, week: int) -> int:
    """Number of a week of the plan in its block, from 1; the one after the last is the reduced week."""
    if week in plan.relieved:
        return plan.block.weeks + 1
    since = max((each + 1 for each in plan.relieved if each < week), default=0)
    number = week_number(week - since)
    return (number - 1) % plan.block.weeks + 1 if plan.own else number


def sessions_of(plan: Plan, week: int) -> tuple[PlannedSession, ...]:
    """Sessions of a week of the plan, from 0, as they are laid out."""
    return (plan.block.reduced if is_reduced(plan, week) else plan.block.week).sessions


def planned_days(plan: Plan, week: int, written: Iterable[PlannedDay]) -> tuple[PlannedDay, ...]:
    """Sessions of a week as they stand, in order of their days.

    Args:
        plan: The plan.
        week: Week of it, from 0.
        written: What was written of its sessions; those of other weeks are passed over.

    """
    there = {each.place: each for each in written if each.plan_id == plan.id and each.week == week}
    found = list(there.values())
    for place, session in enumerate(sessions_of(plan, week)):
        if place not in there:
            found.append(
                PlannedDay(
                    plan_id=plan.id,
                    week=week,
                    place=place,
                    day=first_day(plan, week) + timedelta(days=session.day),
                    state=DayState.PLANNED,
                    session=session,
                )
            )
    return tuple(sorted(found, key=lambda each: (each.day, each.place)))
