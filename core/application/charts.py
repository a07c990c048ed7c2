"""Charts: the values that a picture of the estimate, the weekly sets or the check-ins is drawn from."""

from datetime import date, timedelta

from core.application import review
from core.application.turn import Turn
from core.domain.check_in_commands import ChartOf, DrawChart
from core.domain.check_in_replies import (
    ChartTold,
    CheckInChart,
    CheckInNothing,
    EstimateChart,
    EstimatePoint,
    NoCheckIn,
    SetsChart,
)
from core.domain.checkins import Item
from core.domain.exercises import Muscle
from core.domain.replies import Nothing, NothingThere, Reply
from core.domain.reviews import MaxTold
from core.workload.hard_sets import weekly_sets

FEWEST_POINTS = 2
"""Fewest points of a line."""

MOST_POINTS = 60
"""Most sessions drawn: about half a year at two or three a week."""

WEEKS = 12
"""Weeks drawn of sets and check-ins. [weeks] As many as make up a lifter's own usual."""

MUSCLES = 6
"""Muscles drawn: more lines are no picture on a phone."""

_WEEK = timedelta(weeks=1)


def chart(turn: Turn, command: DrawChart) -> list[Reply]:
    """The values of a chart, or why there is nothing to draw."""
    match command.of:
        case ChartOf.ESTIMATE:
            return [_estimate(turn, command.exercise)]
        case ChartOf.WEEK:
            return [_sets(turn)]
        case ChartOf.CHECK_INS:
            return [_check_ins(turn)]


def _estimate(turn: Turn, exercise: str | None) -> Reply:
    [found] = review.maximum(turn, exercise)
    if not isinstance(found, MaxTold):
        return found
    points = tuple(
        EstimatePoint(each.day, each.estimate_kg, each.low_kg, each.high_kg)
        for each in found.history[-MOST_POINTS:]
        if each.low_kg is not None and each.high_kg is not None
    )
    if len(points) < FEWEST_POINTS:
        return CheckInNothing(NoCheckIn.TO_DRAW)
    return ChartTold(EstimateChart(exercise=found.told.exercise, unit=turn.unit, points=points, level=found.told.level))


def _sets(turn: Turn) -> Reply:
    this_week = turn.today - timedelta(days=turn.today.weekday())
    weeks = [this_week - number * _WEEK for number in reversed(range(WEEKS))]
    by_week = [
        {muscle: found.sets for muscle, found in weekly_sets(rows, exercises=turn.exercises()).muscles.items()}
        for rows in (turn.work.sets.counted(turn.lifter.id, week, week + timedelta(days=6)) for week in weeks)
    ]
    while by_week and not by_week[0]:
        by_week.pop(0)
        weeks.pop(0)
    if not by_week:
        return NothingThere(Nothing.LOGGED_THIS_WEEK)
    totals = {muscle: sum(week.get(muscle, 0.0) for week in by_week) for muscle in Muscle}
    wanted = list(turn.setup.wishes.most)
    most = sorted(
        (muscle for muscle, total in totals.items() if total), key=lambda each: (each not in wanted, -totals[each])
    )
    return ChartTold(
        SetsChart(
            weeks=tuple(weeks),
            muscles=tuple((muscle, tuple(week.get(muscle, 0.0) for week in by_week)) for muscle in most[:MUSCLES]),
        )
    )


def _check_ins(turn: Turn) -> Reply:
    there = {each.week: each for each in turn.work.check_ins.since(turn.lifter.id, date.min) if each.answers}
    if len(there) < FEWEST_POINTS:
        return CheckInNothing(NoCheckIn.TO_DRAW)
    last = max(there)
    weeks = [week for week in (last - number * _WEEK for number in reversed(range(WEEKS))) if week >= min(there)]
    return ChartTold(
        CheckInChart(
            weeks=tuple(weeks),
            items=tuple(
                (item, tuple(there[week].answers.get(item) if week in there else None for week in weeks))
                for item in Item
            ),
        )
    )
