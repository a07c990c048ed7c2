"""Mornings: the day's session by itself, on days that have one."""

from datetime import date, timedelta

from core.application.block_plans import missed_told
from core.application.today import today
from core.application.training_day import SETTLED, in_line, is_away, planned_for
from core.application.turn import Turn
from core.domain.reminders import Due
from core.domain.replies import Reply

LOOKED_AHEAD = timedelta(days=15)
"""A plan without a session in so many days has none."""


def say(turn: Turn, row: Due) -> list[Reply]:
    """Tell what became of a session that was missed, and the day's session; on other days nothing."""
    del row
    moved = missed_told(turn)
    planned = planned_for(turn, turn.today)
    return [*moved, *today(turn)] if planned is not None and planned.state not in SETTLED else moved


def next_day(turn: Turn, after: date) -> date | None:
    """The next date that may have a session; None without a plan, and for sessions in line, which have no days.

    The day after a session that is not done yet is one: a session that was missed may move there.
    """
    plan = turn.plan
    if plan is None or in_line(plan):
        return None
    missed = planned_for(turn, after) if after >= turn.today else None
    if missed is not None and missed.state not in SETTLED:
        return after + timedelta(days=1)
    day = after + timedelta(days=1)
    away = turn.setup.away
    if away is not None and away.until is not None and is_away(turn.setup, day):
        # However long a break is, its end is not too far ahead.
        day = away.until
    last = day + LOOKED_AHEAD
    while day <= last:
        planned = planned_for(turn, day)
        if planned is not None and planned.state not in SETTLED:
            return day
        day += timedelta(days=1)
    return None
