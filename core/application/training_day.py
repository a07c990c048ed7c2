"""The training day: which planned session a day has, with missed days, sessions in line and times away."""

from dataclasses import replace
from datetime import date, timedelta

from core.application.turn import Turn
from core.domain.plans import DAYS, Plan
from core.domain.prescriptions import DayState, PlannedDay
from core.domain.setups import Away, Setup, SetupStep
from core.planning.calendar import first_day, planned_days, sessions_of, week_of
from core.planning.missed_days import CaughtUp, caught_up, trained_directly
from core.planning.returns import AS_PLANNED_WEEKS, LONG_WEEKS, Adjustment, StartAfresh, returned

AFRESH_WEEKS = 2.0
"""How long loads are found anew after a time too long for any plan. [weeks] As long as the longest return."""

SETTLED = frozenset({DayState.DONE, DayState.SKIPPED, DayState.DROPPED})
"""States in which nothing more is to be done of a session."""


def planned_for(turn: Turn, day: date) -> PlannedDay | None:
    """The planned session of a training day; None without a plan, while away, and on days of rest.

    One that is open or planned goes before one that is settled; a settled one tells that the day had its session. Of
    sessions in line it is the next one, on whatever day it is asked for, until that day has had one. For today,
    sessions of the week whose day has passed are moved or dropped first, and written so.
    """
    if day == turn.today:
        note_absence(turn)
    plan = turn.plan
    if plan is None or is_away(turn.setup, day) or day < plan.starts:
        return None
    if in_line(plan):
        return _next_in_line(turn, plan, day)
    if day == turn.today:
        settle_missed(turn)
    here = [each for each in week_days(turn, plan, week_of(plan, day)) if each.day == day]
    return min(here, key=lambda each: (each.state in SETTLED, each.state is not DayState.OPEN), default=None)


def in_line(plan: Plan) -> bool:
    """Whether sessions are taken one after the other, on no fixed days."""
    return not plan.own and plan.wishes.sessions > 0


def is_away(setup: Setup, day: date) -> bool:
    """Whether a day falls into a time without training."""
    away = setup.away
    return away is not None and away.since <= day and (away.until is None or day < away.until)


def week_days(turn: Turn, plan: Plan, week: int) -> tuple[PlannedDay, ...]:
    """Sessions of a week as they stand; of the week in which the plan was made, those from that day on."""
    if week < 0:
        return ()
    made = turn.lifter.day_of(plan.made_at)
    written = turn.work.plans.days(plan.id, first=week, last=week)
    there = {each.place for each in written}
    return tuple(each for each in planned_days(plan, week, written) if each.place in there or each.day >= made)


def days_now(turn: Turn, plan: Plan, week: int) -> tuple[PlannedDay, ...]:
    """Sessions of a week as they stand, this week's missed ones where they are going to be moved; nothing is written."""
    if in_line(plan):
        return turn.days_of_week(plan, week)
    days = week_days(turn, plan, week)
    if plan.own or week != week_now(turn, plan) or is_away(turn.setup, turn.today):
        return days
    moved = {each.place: each for one in missed_days(turn, plan, turn.today) for each in one.changed}
    return tuple(sorted((moved.get(each.place, each) for each in days), key=lambda each: (each.day, each.place)))


def settle_missed(turn: Turn) -> tuple[CaughtUp, ...]:
    """Move or drop the sessions of this week whose day has passed, and write that; nothing is written twice.

    A lifter's own week stays as they laid it out, and what falls into a time away is left alone.
    """
    plan = turn.plan
    if plan is None or plan.own or in_line(plan) or is_away(turn.setup, turn.today):
        return ()
    found = missed_days(turn, plan, turn.today)
    for each in found:
        for changed in each.changed:
            turn.work.plans.keep_day(changed)
    return found


def missed_days(turn: Turn, plan: Plan, today: date) -> tuple[CaughtUp, ...]:
    """What becomes of the sessions of a week whose day has passed; nothing is written."""
    week = week_of(plan, today)
    if week < 0:
        return ()
    days = [each for each in week_days(turn, plan, week) if not is_away(turn.setup, each.day)]
    return caught_up(days, first_day(plan, week), today, turn.lifts)


def trains_beside(turn: Turn, plan: Plan, moved: PlannedDay, *, apart: PlannedDay | None = None) -> date | None:
    """The day directly before or behind a moved session whose session trains a muscle of it, too; None if there is none.

    Args:
        turn: The turn.
        plan: The lifter's plan.
        moved: The session, on its new day.
        apart: One that changed places with it, and is left out.

    """
    left_out = {(each.week, each.place) for each in (moved, apart) if each is not None}
    muscles = trained_directly(moved.session, turn.lifts)
    weeks = {week_of(plan, moved.day + timedelta(days=each)) for each in (-1, 1)}
    for each in (day for week in sorted(weeks) for day in week_days(turn, plan, week)):
        gone = each.state in (DayState.SKIPPED, DayState.DROPPED) or (each.week, each.place) in left_out
        if not gone and abs((each.day - moved.day).days) == 1 and muscles & trained_directly(each.session, turn.lifts):
            return each.day
    return None


def _next_in_line(turn: Turn, plan: Plan, day: date) -> PlannedDay:
    last = turn.work.plans.last_settled(plan.id)
    if last is not None and last.day == day and last.state in (DayState.DONE, DayState.SKIPPED):
        return last  # one a day: who leaves it out today does not get the next one today
    if last is None:
        week, place = 0, 0
    elif last.place + 1 < len(sessions_of(plan, last.week)):
        week, place = last.week, last.place + 1
    else:
        week, place = last.week + 1, 0
    found = next(each for each in turn.days_of_week(plan, week) if each.place == place)
    if found.day != day and found.session_id is None:
        # What was given out on another day is worked out anew.
        found = replace(found, prescription=None)
    return replace(found, day=day)


def week_now(turn: Turn, plan: Plan) -> int:
    """Week of the plan, from 0, that today falls into, or that sessions in line have come to."""
    return _next_in_line(turn, plan, turn.today).week if in_line(plan) else (turn.today - plan.starts).days // DAYS


def easing(turn: Turn, day: date) -> Adjustment | StartAfresh | None:
    """What a time away that is over changes of the session of a day; None for as planned.

    It counts from the first day back, for the weeks that the return is eased in.
    """
    away = turn.setup.away
    if away is None or away.until is None or day < away.until:
        return None
    found = returned((away.until - away.since).days / DAYS)
    if isinstance(found, Adjustment) and (day - away.until).days >= DAYS * found.weeks:
        return None
    if isinstance(found, StartAfresh) and (day - away.until).days >= DAYS * AFRESH_WEEKS:
        return None
    return found


def note_absence(turn: Turn) -> Away | None:
    """Write down a time without training that nobody told of, once the lifter is back; None where there was none.

    Who said when they would be back, and did not train for more than a week from then on, was away all the time.
    """
    last = turn.last_session()
    setup = turn.setup
    if last is None or is_away(setup, turn.today):
        return None
    trained = max(last.day, setup.recent_on or last.day)
    begins, sick = trained + timedelta(days=1), False
    if setup.away is not None and _covers(setup.away, trained):
        begins, sick = setup.away.until or turn.today, setup.away.sick
    if (turn.today - begins).days / DAYS <= AS_PLANNED_WEEKS:
        return None
    away = Away(trained + timedelta(days=1), turn.today, sick=sick, told=True)
    turn.settle_setup(back(setup, away))
    return away


def back(setup: Setup, away: Away) -> Setup:
    """The set-up of a lifter who is back; after long away screening is asked again, and holds as yes until then."""
    setup = replace(setup, away=replace(away, told=True))
    if away.until is None or (away.until - away.since).days / DAYS <= LONG_WEEKS:
        return setup
    return replace(
        setup,
        care=replace(setup.care, screened=True),
        screened_on=None,
        answered=setup.answered - {SetupStep.SCREENING},
        skipped=setup.skipped - {SetupStep.SCREENING},
    )


def _covers(away: Away, last: date) -> bool:
    """Whether a time away tells of the days since the last session."""
    return away.until is None or away.until > last
