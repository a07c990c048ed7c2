"""Today: the day's session as it stands, or why there is none."""

from dataclasses import replace
from datetime import timedelta

from core.application import next_set, questions
from core.application.course import Course, course, course_of
from core.application.session_plan import given, lifts_of
from core.application.training_day import SETTLED, easing, in_line, planned_for
from core.application.turn import Turn
from core.domain.checkins import Ache
from core.domain.commands import Cancel
from core.domain.guidance import DayChange, NoSession, NoSessionTold, TodayTold
from core.domain.plans import DAYS, PlannedLift, Role
from core.domain.prescriptions import DayState, PlannedDay
from core.domain.replies import Ask, Asked, Guided, Option, Reply
from core.domain.session_commands import Cue, Train
from core.domain.setups import SetupStep
from core.planning.calendar import is_reduced, week_of
from core.planning.cues import cue
from core.planning.minutes import session_s, warm_up_s
from core.planning.returns import StartAfresh

CUED = "bench press"
"""The lift that technique reminders are about, its variations included."""


def today(turn: Turn) -> list[Reply]:
    """Tell today's session, and give it out; or why there is none."""
    if turn.lifter.stopped_at is not None:
        return [Guided(NoSessionTold(why=NoSession.STOPPED))]
    planned = course(turn)
    if planned is None:
        return [no_session(turn)]
    if not planned.left:
        return [no_session(turn)]
    return [told(turn, given_out(turn, planned))]


def given_out(turn: Turn, planned: Course) -> Course:
    """The session as it was given out; before its first set it is worked out anew, for the log may have changed."""
    day = planned.day
    if planned.session is None or not any(each.taken for each in planned.lifts):
        day = given(turn, day)
        sets = () if planned.session is None else turn.work.sets.of_session(planned.session.id)
        planned = course_of(turn, day, planned.session, sets)
    turn.work.plans.keep_day(day)
    return planned


def changed(turn: Turn, day: PlannedDay, change: DayChange, about: str = "") -> list[Reply]:
    """Write a changed session, and tell what is left of it."""
    before = course_of(turn, day, None, ())
    turn.work.plans.keep_day(before.day)
    planned = course(turn)
    if planned is None or not planned.left:
        return [Guided(NoSessionTold(why=NoSession.EMPTY))]
    return [told(turn, planned, change, about)]


def told(turn: Turn, planned: Course, change: DayChange | None = None, about: str = "") -> Guided:
    """What is left of a session, with the taps for its next set."""
    next_set.withdraw(turn)
    left = planned.left
    day = planned.day
    plan = turn.plan
    hurting = turn.setup.hurting
    back = _back_after(turn)
    return Guided(
        TodayTold(
            day=day.day,
            kind=day.session.main_kind,
            minutes=_minutes_left(turn, planned),
            lifts=tuple(each.told for each in left),
            cue=_cue(turn, planned) if change is None and not hurting and back is None else None,
            reduced=plan is not None and plan.id == day.plan_id and is_reduced(plan, day.week),
            change=change,
            about=about,
            hurting=tuple(each.place for each in hurting if each.ache is not Ache.SHARP),
            spared=tuple(each.place for each in hurting if each.ache is Ache.SHARP),
            back_after=back,
            screening_open=isinstance(easing(turn, turn.today), StartAfresh)
            and SetupStep.SCREENING not in turn.setup.answered | turn.setup.skipped,
            rested=tuple(
                (each.place, each.out_until)
                for each in hurting
                if each.out_until is not None and each.is_out(turn.today)
            ),
        ),
        next_set.taps(turn, left[0]),
    )


def no_session(turn: Turn) -> Guided:
    """Why there is no session today, and when the next one is."""
    plan = turn.plan
    if plan is None:
        return Guided(NoSessionTold(why=NoSession.NO_PLAN))
    away = turn.setup.away
    if away is not None and away.since <= turn.today and (away.until is None or turn.today < away.until):
        return Guided(NoSessionTold(why=NoSession.SICK if away.sick else NoSession.AWAY, next_day=away.until))
    here = planned_for(turn, turn.today)
    upcoming = next_planned(turn)
    next_day = None if upcoming is None else upcoming.day
    kind = None if upcoming is None else upcoming.session.main_kind
    if here is not None and here.state is DayState.DONE:
        return Guided(NoSessionTold(why=NoSession.DONE, next_day=next_day, kind=kind))
    if here is not None and here.state in SETTLED:
        return Guided(NoSessionTold(why=NoSession.SKIPPED, next_day=next_day, kind=kind))
    taps: Asked | None = None
    if upcoming is not None and upcoming.week == week_of(plan, turn.today) and not in_line(plan):
        options = (Option(Train(upcoming.day.weekday())), Option(Cancel()))
        taps = questions.ask(turn, Ask.REST_DAY, options)
    return Guided(NoSessionTold(why=NoSession.REST, next_day=next_day, kind=kind), taps)


def next_planned(turn: Turn) -> PlannedDay | None:
    """The next session after today that is still to be done, in this week or the next."""
    for ahead in range(1, 2 * DAYS):
        found = planned_for(turn, turn.today + timedelta(days=ahead))
        if found is not None and found.state not in SETTLED:
            return found
    return None


def _minutes_left(turn: Turn, planned: Course) -> int:
    known = lifts_of(turn, planned.day.session)
    there: dict[tuple[str, Role], PlannedLift] = {
        (each.exercise, each.role): each for each in planned.day.session.lifts
    }
    lifts, warm_s = [], 0
    for each in planned.left:
        lift, exercise = there.get((each.exercise.name, each.lift.role)), known.get(each.exercise.name)
        if lift is not None and exercise is not None:
            lifts.append((replace(lift, sets=max(len(each.lift.sets) - each.now.done, 1)), exercise))
            # What is under way has its warm-up behind it.
            warm_s += warm_up_s(lift.role, exercise) if each.now.done else 0
    return -(-(session_s(lifts) - warm_s) // 60)


def _back_after(turn: Turn) -> int | None:
    """How long the time away was that today is eased in after. [d]"""
    away = turn.setup.away
    if away is None or away.until is None or easing(turn, turn.today) is None:
        return None
    return (away.until - away.since).days


def _cue(turn: Turn, planned: Course) -> Cue | None:
    """The session's one technique reminder, noted as shown; None where it was shown already, or for another lift."""
    setup = turn.setup
    main = [each for each in planned.left if each.lift.role is Role.MAIN]
    if setup.reminded_on == turn.today or not main:
        return None
    if CUED not in (main[0].exercise.name, main[0].exercise.variation_of):
        return None
    shown = {each: setup.shown.get(each.name, 0) for each in Cue}
    found = cue(shown, {each: setup.failing.get(each.name, 0) for each in Cue})
    turn.settle_setup(replace(setup, shown={**setup.shown, found.name: shown[found] + 1}, reminded_on=turn.today))
    return found
