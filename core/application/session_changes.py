"""Changes of the day's session: another lift, fewer, a shorter or an easier session, another day; this day only."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace
from datetime import timedelta

from core.application import questions, resolve, today
from core.application.course import Course, course
from core.application.replanning import is_of, is_out, lift_meant, replanned, without
from core.application.session_plan import eased, gym, laid_out_for, lifts_of
from core.application.training_day import SETTLED, in_line, is_away, trains_beside, week_days
from core.application.turn import Turn
from core.domain.commands import Cancel, DaysAgo
from core.domain.guidance import CueTold, DayChange, MovedAway
from core.domain.plans import DayKind, Plan, PlannedLift, PlannedSession, Role
from core.domain.prescriptions import DayState, PlannedDay
from core.domain.replies import Acknowledged, Ask, Done, Guided, Nothing, NothingThere, Option, Reply
from core.domain.session_commands import (
    AddSet,
    Cue,
    MoveSession,
    RepeatSession,
    Short,
    Skip,
    Swap,
    TellCue,
    Tired,
    TiredToday,
    Train,
)
from core.domain.sets import LoggedSet
from core.planning.alternatives import alternatives
from core.planning.calendar import sessions_of, week_of
from core.planning.short_session import short_session
from core.planning.undulation import scheme

MOST_SETS_ADDED = 10
"""Most sets of a lift in a session that can be asked for. [sets]"""


def swap(turn: Turn, command: Swap) -> list[Reply]:
    """Put another exercise in a lift's place; without one told, offer up to three that train the same."""
    planned = course(turn)
    if planned is None:
        return [NothingThere(Nothing.SUCH_LIFT_TODAY, command.exercise)]
    on = lift_meant(turn, planned, command.exercise)
    out = _left_out(turn, planned, command.exercise) if on is None else None
    if on is None and out is None:
        return [NothingThere(Nothing.SUCH_LIFT_TODAY, command.exercise)]
    name = command.exercise if on is None else on.exercise.name
    there = {each.exercise for each in planned.day.session.lifts}
    if command.to is None:
        offered = alternatives(turn.known(name), turn.lifts, turn.setup.wishes, gym(turn), besides=there)
        if not offered:
            return [NothingThere(Nothing.OTHER_LIFTS, name)]
        options = [*(Option(Swap(name, each)) for each in offered), Option(Cancel())]
        return [questions.ask(turn, Ask.SWAP, options, word=name)]
    exercise = turn.exercise(command.to)
    if exercise is None:
        return [NothingThere(Nothing.NO_SUCH_EXERCISE, command.to)]
    if is_out(planned, exercise.name):
        return [NothingThere(Nothing.NO_MORE_SETS, exercise.name)]
    lifts: list[PlannedLift] = []
    for each in planned.day.session.lifts:
        if on is None or not is_of(each, on):
            lifts.append(each)
            continue
        if on.now.done:
            lifts.append(replace(each, sets=on.now.done))
        lifts.append(_in_place(each, exercise.name, each.sets - on.now.done, turn))
    if out is not None:
        lifts.append(_in_place(out, exercise.name, out.sets, turn))
    text = f"swap {name} for {exercise.name}"
    return replanned(turn, planned, lifts, DayChange.SWAPPED, exercise.name, text)


def skip(turn: Turn, command: Skip) -> list[Reply]:
    """Leave out a lift, or the whole session; which of them is asked where nothing was done yet."""
    planned = course(turn)
    if planned is None or not planned.left:
        return [NothingThere(Nothing.SUCH_SESSION)]
    first = planned.left[0]
    begun = any(each.taken for each in planned.lifts)
    if command.exercise is None and not command.whole and not begun:
        options = (Option(Skip(first.exercise.name)), Option(Skip(whole=True)))
        return [questions.ask(turn, Ask.SKIP, options)]
    if command.whole and not begun:
        turn.work.plans.keep_day(replace(planned.day, state=DayState.SKIPPED))
        return [Acknowledged(Done.SESSION_SKIPPED)]
    if command.whole:
        gone = list(planned.left)
    else:
        on = first if command.exercise is None else lift_meant(turn, planned, command.exercise)
        if on is None:
            return [NothingThere(Nothing.SUCH_LIFT_TODAY, command.exercise or "")]
        gone = [on]
    about = ", ".join(each.exercise.name for each in gone)
    texts = [f"skip {each.exercise.name}" for each in gone]
    return replanned(turn, planned, without(planned, gone), DayChange.LEFT_OUT, about, *texts)


def move(turn: Turn, command: MoveSession) -> list[Reply]:
    """Move the day's session to another day of this week; a session that is there changes places with it."""
    planned, plan = course(turn), turn.plan
    if planned is None or plan is None or any(each.taken for each in planned.lifts):
        return [NothingThere(Nothing.SUCH_SESSION)]
    if in_line(plan):
        return [NothingThere(Nothing.IN_LINE)]
    weekday = (turn.today.weekday() + 1) % 7 if command.weekday is None else command.weekday
    target = turn.today + timedelta(days=(weekday - turn.today.weekday() - 1) % 7 + 1)
    if week_of(plan, target) != planned.day.week:
        return [NothingThere(Nothing.OTHER_WEEK)]
    there = _on_day(turn, planned.day.week, target.weekday())
    fresh = replace(_whole_again(plan, planned.day), day=target, state=DayState.PLANNED, prescription=None)
    turn.work.plans.keep_day(fresh)
    here = None if there is None else replace(there, day=turn.today)
    if here is not None:
        turn.work.plans.keep_day(here)
    # Two that changed places were as near to each other before.
    beside = trains_beside(turn, plan, fresh, apart=here)
    beside_today = None if here is None else trains_beside(turn, plan, here, apart=fresh)
    return [Guided(MovedAway(target, swapped=here is not None, beside=beside, beside_today=beside_today))]


def train(turn: Turn, command: Train) -> list[Reply]:
    """Do another day's session of this week today; one that was planned for today takes that day."""
    plan = turn.plan
    if plan is None or turn.lifter.stopped_at is not None:
        return [NothingThere(Nothing.SUCH_SESSION)]
    if in_line(plan):
        return [NothingThere(Nothing.IN_LINE)]
    if is_away(turn.setup, turn.today):
        return [today.no_session(turn)]
    there = _on_day(turn, week_of(plan, turn.today), command.weekday)
    if there is None:
        return [NothingThere(Nothing.SUCH_SESSION)]
    mine = _on_day(turn, week_of(plan, turn.today), turn.today.weekday())
    if mine is not None and mine.place != there.place:
        turn.work.plans.keep_day(replace(mine, day=there.day, state=DayState.PLANNED, prescription=None))
    session = resolve.session_now(turn)
    day = replace(there, day=turn.today, state=DayState.OPEN, prescription=None)
    if session is not None:
        day = replace(day, state=DayState.DONE, session_id=session.id)
    return today.changed(turn, day, DayChange.BROUGHT_HERE, str(command.weekday))


def short(turn: Turn, command: Short) -> list[Reply]:
    """Keep the sets that are worth most for the minutes there are."""
    planned = course(turn)
    if planned is None or not planned.left:
        return [NothingThere(Nothing.SUCH_SESSION)]
    known = lifts_of(turn, planned.day.session)
    left = [
        replace(each, sets=len(on.lift.sets) - on.now.done)
        for each in planned.day.session.lifts
        for on in planned.left
        if is_of(each, on)
    ]
    cut = short_session(
        replace(planned.day.session, lifts=tuple(left)),
        command.minutes,
        known,
        most=turn.setup.wishes.most,
        warm={(each.exercise.name, each.lift.role) for each in planned.left if each.now.done},
        finding={(each.exercise.name, each.lift.role) for each in planned.left if each.lift.sets[0].load is None},
    )
    kept = {(each.exercise, each.role): each.sets for each in cut.lifts}
    if not kept:
        return [NothingThere(Nothing.SHORTER, str(command.minutes))]
    lifts = []
    for each in planned.day.session.lifts:
        on = next((on for on in planned.lifts if is_of(each, on)), None)
        sets = kept.get((each.exercise, each.role), 0) + (0 if on is None else on.now.done)
        if sets:
            lifts.append(laid_out_for(turn, planned.day, each, sets))
    minutes = str(command.minutes)
    return replanned(turn, planned, lifts, DayChange.SHORTENED, minutes, f"short {minutes}")


def add_set(turn: Turn, command: AddSet) -> list[Reply]:
    """Add one set to a lift: the one named, the one going on, or the one just done."""
    planned = course(turn)
    if planned is None:
        return [NothingThere(Nothing.SUCH_SESSION)]
    name = command.exercise
    if name is None and planned.session is not None and planned.of(planned.session.exercise or "") is not None:
        name = planned.session.exercise
    on = planned.of(name) if name is not None else next(iter(planned.left), None)
    on = on or (lift_meant(turn, planned, name) if name is not None else None)
    if on is None:
        return [NothingThere(Nothing.SUCH_LIFT_TODAY, name or "")]
    hurts = eased(turn, planned.day, lifts_of(turn, planned.day.session))
    if on.exercise.name in hurts or is_out(planned, on.exercise.name) or len(on.lift.sets) >= MOST_SETS_ADDED:
        return [NothingThere(Nothing.NO_MORE_SETS, on.exercise.name)]
    lifts = [replace(each, sets=each.sets + 1) if is_of(each, on) else each for each in planned.day.session.lifts]
    name = on.exercise.name
    return replanned(turn, planned, lifts, DayChange.SET_ADDED, name, f"add set {name}")


def repeat(turn: Turn, command: RepeatSession) -> list[Reply]:
    """Do the lifts, sets and repetitions of an earlier session again, with the loads that suit today."""
    plan = turn.plan
    sets = _sets_of(turn, command)
    if plan is None or turn.lifter.stopped_at is not None or not sets:
        return [NothingThere(Nothing.SUCH_SESSION)]
    planned = course(turn)
    if planned is not None and any(each.taken for each in planned.lifts):
        return [NothingThere(Nothing.SUCH_SESSION)]
    if planned is None and (in_line(plan) or is_away(turn.setup, turn.today) or turn.today < plan.starts):
        return [NothingThere(Nothing.SUCH_SESSION)]
    names = list(dict.fromkeys(each.exercise for each in sets))
    kind = DayKind.VOLUME if planned is None else planned.day.session.kind
    session = PlannedSession(
        day=turn.today.weekday(),
        kind=kind,
        lifts=tuple(_as_planned(turn, name, sets, kind) for name in names),
        seconds=0,
    )
    text = f"repeat {sets[0].at.date().isoformat()}"
    if planned is not None:
        day = replace(planned.day, session=session, prescription=None, adjusted=(*planned.day.adjusted, text))
    else:
        week = week_of(plan, turn.today)
        places = [each.place for each in week_days(turn, plan, week)]
        day = PlannedDay(
            plan_id=plan.id,
            week=week,
            place=max(places, default=-1) + 1,
            day=turn.today,
            state=DayState.OPEN,
            session=session,
            adjusted=(text,),
        )
    return today.changed(turn, day, DayChange.REPEATED, turn.lifter.day_of(sets[0].at).isoformat())


def tired(turn: Turn, command: TiredToday) -> list[Reply]:
    """Make what is left of the session easier; how is asked."""
    planned = course(turn)
    if planned is None or not planned.left:
        return [NothingThere(Nothing.SUCH_SESSION)]
    if command.choice is None:
        return [questions.ask(turn, Ask.TIRED, [Option(TiredToday(each)) for each in Tired])]
    told = {
        Tired.ONE_MORE_LEFT: DayChange.EASIER,
        Tired.ONE_SET_FEWER: DayChange.FEWER_SETS,
        Tired.AS_PLANNED: DayChange.AS_PLANNED,
    }[command.choice]
    rest = tuple(each for each in planned.day.adjusted if not each.startswith("tired "))
    day = replace(planned.day, adjusted=rest)
    texts = () if command.choice is Tired.AS_PLANNED else (f"tired {command.choice}",)
    return replanned(turn, replace(planned, day=day), day.session.lifts, told, "", *texts)


def spotter(turn: Turn) -> list[Reply]:
    """A spotter is there today: what is left is worked out with that."""
    turn.settle_setup(replace(turn.setup, spotter_on=turn.today))
    planned = course(turn)
    if planned is None or not planned.left:
        return [Acknowledged(Done.SPOTTER)]
    return replanned(turn, planned, planned.day.session.lifts, DayChange.SPOTTER, "")


def cue(turn: Turn, command: TellCue) -> list[Reply]:
    """Note that a technique point fails: its reminder comes more often."""
    if command.failing is None:
        return [questions.ask(turn, Ask.CUE, [Option(TellCue(each)) for each in Cue])]
    name = command.failing.name
    failing = {**turn.setup.failing, name: turn.setup.failing.get(name, 0) + 1}
    turn.settle_setup(replace(turn.setup, failing=failing))
    return [Guided(CueTold(command.failing))]


def unplanned(turn: Turn, sets: Iterable[LoggedSet]) -> Reply | None:
    """Sets on a day without a session: ask whether they are the next one's that has such a lift; None if there is none."""
    plan = turn.plan
    if plan is None or in_line(plan) or turn.lifter.stopped_at is not None:
        return None
    names = {each.exercise for each in sets}
    days = week_days(turn, plan, week_of(plan, turn.today))
    if any(each.day == turn.today for each in days):
        return None
    for each in days:
        if each.state not in SETTLED and any(lift.exercise in names for lift in each.session.lifts):
            options = (Option(Train(each.day.weekday())), Option(Cancel()))
            return questions.ask(turn, Ask.WHICH_SESSION, options, word=str(each.day.weekday()))
    return None


def _in_place(lift: PlannedLift, name: str, sets: int, turn: Turn) -> PlannedLift:
    """Another exercise in a lift's place, with repetitions that suit it."""
    exercise = turn.known(name)
    role = lift.role
    if role not in (Role.MAIN, Role.BACK_OFF) and not exercise.multi_joint:
        role = Role.SINGLE_JOINT
    asked = lift.scheme if role is lift.role else scheme(role, DayKind.VOLUME, exercise)
    return replace(lift, exercise=name, role=role, sets=sets, scheme=asked)


def _left_out(turn: Turn, planned: Course, name: str) -> PlannedLift | None:
    """A lift that was laid out for the day and is left out because something hurts."""
    plan = turn.plan
    if plan is None or not is_out(planned, name):
        return None
    sessions = sessions_of(plan, planned.day.week)
    if planned.day.place >= len(sessions):
        return None
    return next((each for each in sessions[planned.day.place].lifts if each.exercise == name), None)


def _whole_again(plan: Plan, day: PlannedDay) -> PlannedDay:
    """A session that was cut to today's minutes as it was laid out: on another day there is the usual time."""
    sessions = sessions_of(plan, day.week)
    if not any(each.startswith("short ") for each in day.adjusted) or day.place >= len(sessions):
        return day
    return replace(day, session=sessions[day.place], adjusted=())


def _on_day(turn: Turn, week: int, weekday: int) -> PlannedDay | None:
    plan = turn.plan
    if plan is None:
        return None
    days = [each for each in week_days(turn, plan, week) if each.day.weekday() == weekday]
    return next((each for each in days if each.state not in SETTLED), None)


def _sets_of(turn: Turn, command: RepeatSession) -> list[LoggedSet]:
    """Work sets of the session that is to be done again."""
    if command.weekday is None:
        last = turn.last_session()
        sets = [] if last is None else turn.work.sets.of_session(last.id)
    else:
        day = resolve.told_day(turn, DaysAgo(weekday=command.weekday))
        sets = turn.work.sets.between(turn.lifter.id, day, day)
    return [each for each in sets if not each.warmup and each.reps and each.seconds is None]


def _as_planned(turn: Turn, name: str, sets: Iterable[LoggedSet], kind: DayKind) -> PlannedLift:
    """A lift as it was done: as many sets of as many repetitions."""
    mine = [each for each in sets if each.exercise == name]
    exercise = turn.known(name)
    main = turn.setup.wishes.main
    role = Role.MAIN if name == main else Role.MULTI_JOINT if exercise.multi_joint else Role.SINGLE_JOINT
    reps = Counter(each.reps or 0 for each in mine).most_common(1)[0][0]
    usual = scheme(role, kind, exercise)
    left = usual.left if usual.left is not None else 2.0
    asked = replace(usual, reps=reps, top=max(reps, min(usual.top, reps + 2)), left=left, share=None)
    return PlannedLift(exercise=name, role=role, sets=min(len(mine), MOST_SETS_ADDED), scheme=asked)
