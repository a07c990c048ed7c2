"""Block plans: made from the wishes, shown, offered anew, changed from next week on, and ended."""

from dataclasses import replace
from datetime import date, timedelta

from core.application import questions
from core.application.relaying import laid_out, relaid
from core.application.session_plan import spared
from core.application.training_day import SETTLED, days_now, is_away, settle_missed, week_now
from core.application.turn import Turn
from core.application.worked_out import LaidOut, OffersAsked
from core.domain.equipment import mass_ng
from core.domain.exercises import Equipment, Exercise
from core.domain.plan_commands import OwnDay, OwnLift, OwnWeek, PlatesFor, TakePlan
from core.domain.plan_replies import (
    MissedTold,
    OfferTold,
    PlanChanged,
    PlanEnded,
    PlanRefusal,
    PlanRefused,
    PlanTold,
    PlatesTold,
)
from core.domain.plans import (
    DAYS,
    Block,
    Conflict,
    DayKind,
    Plan,
    PlannedLift,
    PlannedSession,
    Role,
    Scheme,
    WeekPlan,
    Wishes,
)
from core.domain.prescriptions import DayState
from core.domain.replies import Ask, Option, Reply
from core.planning.calendar import first_day, week_in_block
from core.planning.loading import loads
from core.planning.main_lift import with_possible_main
from core.planning.minutes import session_s
from core.planning.session_lifts import role_beside
from core.planning.targets import counted
from core.planning.undulation import BLOCK_WEEKS, STRENGTH, TARGET_LEFT, block, reduced

PLATED_LIFT = "bench press"
"""The lift whose bars `plates` asks for: any on a barbell would do."""


def after_setting_up(turn: Turn) -> list[Reply]:
    """The plan at the end of setting up; the one that holds is changed where wishes changed."""
    if turn.plan is not None:
        changed = followed(turn)
        return changed or shown(turn)
    if turn.lifter.stopped_at is not None:
        return [PlanRefused(PlanRefusal.STOPPED)]
    return made(turn)


def made(turn: Turn) -> list[Reply]:
    """A plan for what the lifter wishes; it holds from this week on, or from the next where no day of it is left."""
    possible = laid_out(turn, turn.setup.wishes)
    if possible is None:
        return [PlanRefused(PlanRefusal.NOT_A_MAIN_LIFT, turn.setup.wishes.main)]
    wishes, found = possible
    plan = _kept(turn, block(found.week), wishes)
    return [told(turn, plan, new=True, conflicts=found.conflicts)]


def shown(turn: Turn) -> list[Reply]:
    """The plan that holds, with what came of missed days; a question without one."""
    plan = turn.plan
    if plan is None:
        return [PlanRefused(PlanRefusal.NO_PLAN)]
    return [*missed_told(turn), told(turn, plan)]


def told(turn: Turn, plan: Plan, *, new: bool = False, conflicts: tuple[Conflict, ...] = ()) -> PlanTold:
    """The block as it stands this week."""
    week = max(week_now(turn, plan), 0)
    days = tuple(
        each if each.state in SETTLED else replace(each, session=spared(turn, each.session))
        for each in days_now(turn, plan, week)
    )
    away = turn.setup.away
    until = (away.until or date.max) if away is not None and is_away(turn.setup, turn.today) else None
    return PlanTold(
        plan=plan, week=week_in_block(plan, week), days=days, new=new, conflicts=conflicts, away_until=until
    )


def missed_told(turn: Turn) -> list[Reply]:
    """What comes of the sessions whose day has passed, told once: when it is settled."""
    found: list[Reply] = []
    for each in settle_missed(turn):
        stands = each.changed[0]
        gave_way = each.changed[1] if len(each.changed) > 1 else None
        to = None if stands.state is DayState.DROPPED else stands.day
        found.append(MissedTold(each.missed, to, gave_way))
    return found


def offered(turn: Turn) -> list[Reply]:
    """Two weeks that differ, one tap takes one."""
    if turn.lifter.stopped_at is not None:
        return [PlanRefused(PlanRefusal.STOPPED)]
    asked = _offers_asked(turn)
    if asked is None:
        return [PlanRefused(PlanRefusal.NOT_A_MAIN_LIFT, turn.setup.wishes.main)]
    found = turn.replays.weeks.offered(asked)
    options = [Option(TakePlan(each.difference)) for each in found]
    offers = tuple(OfferTold(each.difference, each.week) for each in found)
    return [questions.ask(turn, Ask.OFFERS, options, offers=offers)]


def taken(turn: Turn, command: TakePlan) -> list[Reply]:
    """Train by one of the weeks that were offered."""
    asked = _offers_asked(turn)
    found = () if asked is None else turn.replays.weeks.offered(asked)
    offer = next((each for each in found if each.difference is command.difference), None)
    if offer is None:
        return [PlanRefused(PlanRefusal.NO_SUCH_OFFER)]
    turn.settle_setup(replace(turn.setup, wishes=offer.wishes))
    if turn.plan is None or turn.plan.own:
        return [told(turn, _kept(turn, block(offer.week), offer.wishes), new=True)]
    return [_changed(turn, turn.plan, offer.wishes, LaidOut(offer.week, ()))]


def ended(turn: Turn) -> list[Reply]:
    """Train without a plan from today on."""
    if turn.plan is None:
        return [PlanRefused(PlanRefusal.ALREADY_OFF)]
    turn.work.plans.end(turn.lifter.id, turn.today)
    turn.plan_changed()
    return [PlanEnded()]


def followed(turn: Turn) -> list[Reply]:
    """The plan follows the wishes from next week on; every session that is still possible stays as it is.

    A lifter's own week stays as it is, and without a plan nothing follows.
    """
    plan = turn.plan
    if plan is None or plan.own:
        return []
    possible = laid_out(turn, turn.setup.wishes, previous=plan.block.week)
    if possible is None:
        return [PlanRefused(PlanRefusal.NOT_A_MAIN_LIFT, turn.setup.wishes.main)]
    wishes, found = possible
    if found.week == plan.block.week and wishes == plan.wishes:
        return []
    return [_changed(turn, plan, wishes, found)]


def own_week(turn: Turn, command: OwnWeek) -> list[Reply]:
    """Train by the lifter's own week; the program changes nothing in it."""
    sessions = tuple(_own_session(turn, day) for day in command.days)
    sets: dict[str, float] = {}
    for session in sessions:
        for lift in session.lifts:
            sets[lift.exercise] = sets.get(lift.exercise, 0) + lift.sets
    muscles = counted(sets, turn.lifts)
    week = WeekPlan(sessions=sessions, muscles=tuple(muscles.items()), targets=())
    days = tuple(day.day for day in command.days)
    wishes = replace(turn.setup.wishes, days=days, sessions=0, pressing_days=None)
    turn.settle_setup(replace(turn.setup, wishes=wishes, asked=None))
    plan = _kept(turn, Block(week=week, weeks=BLOCK_WEEKS, reduced=reduced(week)), wishes, own=True)
    return [told(turn, plan, new=True)]


def plates(turn: Turn, command: PlatesFor) -> list[Reply]:
    """Plates a side for a load, the fewest; the nearest loads where it cannot be made."""
    owned = turn.setup.gym(turn.unit)
    if Equipment.BARBELL not in owned.has:
        return [PlanRefused(PlanRefusal.NO_BARBELL)]
    exercise = turn.lifts.get(PLATED_LIFT)
    if exercise is None or not any(bar.equipment is exercise.equipment for bar in owned.bars):
        return [PlanRefused(PlanRefusal.NO_SUCH_BAR)]
    available = loads(exercise, owned)
    wanted_ng = mass_ng(command.load)
    exact = available.exactly(wanted_ng)
    found = exact or available.at_most(wanted_ng) or available.lightest
    above = None if exact is not None else available.above(wanted_ng)
    if found.bar is None:
        return [PlanRefused(PlanRefusal.NO_SUCH_BAR)]
    return [
        PlatesTold(
            wanted=command.load,
            made=command.load if exact is not None else found.told_in(owned.unit),
            bar=found.bar,
            side=found.side,
            exact=exact is not None,
            above=None if above is None or above.ng == found.ng else above.told_in(owned.unit),
            above_side=() if above is None else above.side,
        )
    ]


def _offers_asked(turn: Turn) -> OffersAsked | None:
    owned = turn.setup.gym(turn.unit)
    possible = with_possible_main(turn.setup.wishes, owned, turn.lifts)
    main = turn.lifts.get(possible.main)
    return None if main is None or not owned.offers(main.equipment) else OffersAsked(possible, owned)


def _kept(turn: Turn, weeks: Block, wishes: Wishes, *, own: bool = False) -> Plan:
    monday = turn.today - timedelta(days=turn.today.weekday())
    if wishes.days and max(wishes.days) < turn.today.weekday():
        monday += timedelta(days=DAYS)
    plan = turn.work.plans.add(
        Plan(lifter_id=turn.lifter.id, starts=monday, made_at=turn.now, block=weeks, wishes=wishes, own=own)
    )
    turn.plan_changed()
    return plan


def _changed(turn: Turn, plan: Plan, wishes: Wishes, found: LaidOut) -> PlanChanged:
    """Change the weeks from the next one on; this one too where nothing of the plan was begun yet."""
    before = plan.block.week.sessions
    differing = [session for session in found.week.sessions if session not in before]
    week = week_now(turn, plan)
    if _is_fresh(turn, plan, week):
        _kept(turn, block(found.week), wishes)
        starts = turn.today
    else:
        relaid(turn, plan, wishes, found.week, first=week + 1)
        starts = first_day(plan, week + 1)
    return PlanChanged(
        starts=starts,
        changed=len(differing),
        sessions=len(found.week.sessions),
        week=found.week,
        conflicts=found.conflicts,
    )


def _is_fresh(turn: Turn, plan: Plan, week: int) -> bool:
    if week > 0 or turn.work.plans.last_settled(plan.id) is not None:
        return False
    return not any(each.state is DayState.OPEN for each in turn.work.plans.days(plan.id, first=0, last=max(week, 0)))


def _own_session(turn: Turn, day: OwnDay) -> PlannedSession:
    lifts = tuple(_own_lift(turn, lift) for lift in day.lifts)
    known = [(lift, exercise) for lift in lifts if (exercise := turn.exercise(lift.exercise)) is not None]
    main = next((lift for lift in lifts if lift.role is Role.MAIN), lifts[0])
    kind = DayKind.STRENGTH if main.scheme.reps <= STRENGTH.reps else DayKind.VOLUME
    return PlannedSession(day=day.day, kind=kind, lifts=lifts, seconds=session_s(known))


def _own_lift(turn: Turn, lift: OwnLift) -> PlannedLift:
    exercise = turn.exercise(lift.exercise)
    role = Role.MAIN if lift.exercise == turn.setup.wishes.main else _role(exercise)
    left = TARGET_LEFT if lift.left is None else lift.left
    return PlannedLift(
        exercise=lift.exercise, role=role, sets=lift.sets, scheme=Scheme(reps=lift.reps, top=lift.reps, left=left)
    )


def _role(exercise: Exercise | None) -> Role:
    return Role.SINGLE_JOINT if exercise is None else role_beside(exercise)
