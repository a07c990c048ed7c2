"""Week facts: what the log, the plan and the check-ins say of a week, as the advice takes it."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from statistics import median

from core.application import replay
from core.application.performance import TREND_OVER, Progress
from core.application.training_day import in_line, is_away, week_days, week_now
from core.application.turn import Turn
from core.domain.advice import OFFERS, Action, AdviceAnswer, GivenAdvice
from core.domain.checkins import MUSCLES_AT, Ache, CheckIn, Tag
from core.domain.exercises import Muscle
from core.domain.plans import Plan
from core.domain.prescriptions import DayState, PlannedDay
from core.domain.sets import Counted, LoggedSet
from core.planning.calendar import is_reduced, week_of
from core.recovery.bounds import WEEKS_A_CUT_IS_REMEMBERED, WEEKS_A_SURE_CUT_IS_REMEMBERED
from core.recovery.facts import Declined, LastCut, MuscleFacts, WeekFacts
from core.recovery.rules import SLOW
from core.recovery.wellness import beside_past, mass_change_per_week, pains_now, shortfall, weeks_running_below
from core.workload.hard_sets import weekly_sets

DAYS = 7
"""Days of a week. [d]"""

USUAL_OVER = 8
"""Weeks over which a lifter's usual sessions are taken where no plan says how many. [weeks] Own figure."""

FEWEST_USUAL_WEEKS = 2
"""Fewest weeks with sessions that make something usual. [weeks] Own figure."""

ON_TARGET_WITHIN = 1.0
"""How many repetitions fewer than the target may be left. [repetitions] Coaching rules, section 5: within 1."""

_WEEK = timedelta(weeks=1)


@dataclass(frozen=True, slots=True)
class Known:
    """All that advice rests on.

    Args:
        week: Of the week.
        muscles: Of each muscle, the one that matters most first.

    """

    week: WeekFacts
    muscles: tuple[MuscleFacts, ...]


def week_facts(
    turn: Turn,
    check_in: CheckIn | None,
    *,
    week: date,
    check_ins: Sequence[CheckIn],
    given: Sequence[GivenAdvice],
    relief_asked: bool = False,
) -> Known:
    """What is known of a week up to today.

    Args:
        turn: The turn.
        check_in: The week's, if there is one.
        week: First day of the week.
        check_ins: All of the lifter's check-ins.
        given: Advice of the last weeks that are remembered, this week's not among it.
        relief_asked: A reduced week was asked for.

    """
    last = min(turn.today, week + timedelta(days=DAYS - 1))
    plan = turn.plan
    reduced = weeks_reduced(turn, plan, given, until=last)
    sets = turn.work.sets.between(turn.lifter.id, last - TREND_OVER, last)
    progress = Progress(turn, sets, left_out=reduced | weeks_ill(turn, last))
    of_week = [each for each in sets if week <= turn.lifter.day_of(each.at) <= last]
    answered = [each for each in check_ins if each.answers]
    tags = {each.tag for each in turn.setup.tagged}
    if turn.setup.cutting:
        tags.add(Tag.CUTTING)
    away = turn.setup.away
    ill = away is not None and away.sick and is_away(turn.setup, last)
    since = _weeks_since(max(reduced, default=None), week)
    facts = WeekFacts(
        beside_past=beside_past(check_in, past=check_ins) if check_in is not None and check_in.answers else None,
        check_ins=len(answered),
        weeks_below=weeks_running_below(check_ins, until=week),
        shortfall=shortfall(check_ins, until=week, since=_after_less(given)),
        warned=turn.lifter.stopped_at is not None,
        ill=ill,
        done_share=_done_share(turn, plan, week, last, sets),
        lifts_under=progress.lifts_under(),
        relief_asked=relief_asked,
        weeks_since_reduced=since,
        mass_change_per_week=mass_change_per_week(check_ins, until=week),
        tags=frozenset(tags),
        declined=_declined(given, week),
    )
    aches = _aches(check_in, check_ins)
    targets = _targets(turn, plan, of_week)
    wishes = turn.setup.wishes if plan is None else plan.wishes
    on_target = {} if week in reduced else _on_target(turn, plan, week, of_week)
    done = weekly_sets(turn.work.sets.counted(turn.lifter.id, week, last), exercises=turn.exercises()).muscles
    muscles = [
        MuscleFacts(
            muscle=muscle,
            rank=wishes.most.index(muscle) + 1 if muscle in wishes.most else len(wishes.most) + 1,
            target=target,
            weekly_sets=done[muscle].sets if muscle in done else 0.0,
            floor=wishes.floor,
            ceiling=wishes.ceiling,
            # Fresh from less work a week says little: what counts is how the full weeks after it go.
            weeks_since_change=min(
                _weeks_since_change(turn, muscle, given, plan, week),
                WEEKS_A_CUT_IS_REMEMBERED if since is None else since,
            ),
            ache=aches.get(muscle),
            on_target=on_target.get(muscle),
            performance=progress.of(muscle, until=last, added=_last_added(muscle, given)),
            cut=_last_cut(muscle, given, week),
            declined=_declined(given, week, muscle),
        )
        for muscle, target in targets.items()
    ]
    order = list(Muscle)
    return Known(facts, tuple(sorted(muscles, key=lambda each: (each.rank, order.index(each.muscle)))))


def weeks_reduced(
    turn: Turn, plan: Plan | None, given: Iterable[GivenAdvice], *, until: date, since: timedelta = TREND_OVER
) -> frozenset[date]:
    """First days of the weeks, up to a day, that had less work: by the plan, on accepted advice, or without any session.

    A week off counts as a reduced one; before the first session there is none.
    """
    first = until - timedelta(days=until.weekday())
    mondays = [first - number * _WEEK for number in range(since // _WEEK + 1)]
    found = {
        each.week + _WEEK
        for each in given
        if each.advice.action is Action.REDUCED_WEEK and each.answer is AdviceAnswer.ACCEPTED
    }
    if plan is not None:
        weeks = {
            monday: week_now(turn, plan) if in_line(plan) and monday == first else week_of(plan, monday)
            for monday in mondays
        }
        found |= {monday for monday, week in weeks.items() if week >= 0 and is_reduced(plan, week)}
    trained = {
        row.day - timedelta(days=row.day.weekday())
        for row in turn.work.sets.counted(turn.lifter.id, mondays[-1], until)
    }
    if trained:
        found |= {monday for monday in mondays[1:] if monday > min(trained) and monday not in trained}
    return frozenset(each for each in found if each <= until)


def weeks_ill(turn: Turn, last: date) -> frozenset[date]:
    """First days of the weeks, up to a day, that an illness fell into; the day on which they are back is none of it."""
    away = turn.setup.away
    if away is None or not away.sick:
        return frozenset()

    until = last if away.until is None else min(last, away.until - timedelta(days=1))
    first = away.since - timedelta(days=away.since.weekday())
    return frozenset(first + number * _WEEK for number in range(max(0, (until - first) // _WEEK + 1)))


def _done_share(turn: Turn, plan: Plan | None, week: date, last: date, sets: Sequence[LoggedSet]) -> float | None:
    sessions: dict[date, set[int]] = {}
    for each in sets:
        day = turn.lifter.day_of(each.at)
        sessions.setdefault(day - timedelta(days=day.weekday()), set()).add(each.session_id)
    done = len(sessions.get(week, ()))
    if plan is not None and in_line(plan):
        due = sum(week + timedelta(days=day) <= last for day in plan.wishes.training_days)
        return min(1.0, done / due) if due else None
    if plan is not None:
        days = [each for each in _days_of(turn, plan, week) if each.day <= last]
        return sum(_is_done(turn, each, sets) for each in days) / len(days) if days else None
    before = [week - number * _WEEK for number in range(1, USUAL_OVER + 1)]
    began = min(sessions, default=week)
    usual = [len(sessions.get(monday, ())) for monday in before if monday >= began]
    if len(usual) < FEWEST_USUAL_WEEKS or not median(usual):
        return None
    # By the lifter's own usual: of the days that are still to come nothing is asked.
    passed = ((last - week).days + 1) / DAYS
    return min(1.0, done / max(1.0, median(usual) * passed))


def _days_of(turn: Turn, plan: Plan, week: date) -> tuple[PlannedDay, ...]:
    number = week_of(plan, week)
    return week_days(turn, plan, number) if number >= 0 else ()


def _is_done(turn: Turn, day: PlannedDay, sets: Sequence[LoggedSet]) -> bool:
    if day.state is DayState.DONE:
        return True
    planned = {lift.exercise for lift in day.session.lifts}
    return any(each.exercise in planned and turn.lifter.day_of(each.at) == day.day for each in sets)


def _targets(turn: Turn, plan: Plan | None, of_week: Sequence[LoggedSet]) -> Mapping[Muscle, int]:
    """Weekly sets that each muscle is to get; without a plan, what was done, rounded."""
    if plan is not None and not plan.own:
        asked = dict(plan.wishes.sets_now)
        return {
            muscle: round(asked.get(muscle, sets))
            for muscle, sets in plan.block.week.targets
            if muscle not in plan.wishes.left_out
        }
    done: dict[Muscle, float] = {}
    for each in of_week:
        if each.counted is Counted.HARD:
            exercise = turn.known(each.exercise)
            for muscle in exercise.direct:
                done[muscle] = done.get(muscle, 0.0) + 1.0
            for muscle in exercise.indirect:
                done[muscle] = done.get(muscle, 0.0) + 0.5
    direct = {muscle for each in of_week for muscle in turn.known(each.exercise).direct}
    return {muscle: round(sets) for muscle, sets in done.items() if muscle in direct}


def _on_target(turn: Turn, plan: Plan | None, week: date, of_week: Sequence[LoggedSet]) -> dict[Muscle, bool]:
    """Whether at least half of the last sets that train a muscle ended as planned; without a plan, without a miss.

    Effort that was not told counts as planned where the repetitions were made (coaching rules, section 5).
    """
    verdicts: dict[Muscle, list[bool]] = {}
    last: dict[tuple[int, str], LoggedSet] = {}
    for each in of_week:
        if not each.warmup and each.seconds is None:
            last[each.session_id, each.exercise] = each
    planned = (
        {}
        if plan is None
        else {
            (day.day, lift.exercise): lift.scheme
            for day in _days_of(turn, plan, week)
            for lift in day.session.lifts
            if lift.scheme.left is not None
        }
    )
    for each in last.values():
        scheme = planned.get((turn.lifter.day_of(each.at), each.exercise))
        met = not each.failed
        if scheme is not None and scheme.left is not None:
            left, _ = replay.told_left(each)
            reps = each.reps or 0
            # A repetition more or less of the scheme is one less or more left.
            met = met and (
                reps >= scheme.reps if left is None else left + reps - scheme.reps >= scheme.left - ON_TARGET_WITHIN
            )
        for muscle in turn.known(each.exercise).direct:
            verdicts.setdefault(muscle, []).append(met)
    return {muscle: 2 * sum(met) >= len(met) for muscle, met in verdicts.items()}


def _aches(check_in: CheckIn | None, check_ins: Sequence[CheckIn]) -> dict[Muscle, Ache]:
    """The most serious ache where training a muscle loads the body."""
    if check_in is None:
        return {}
    before = max((each for each in check_ins if each.week < check_in.week), key=lambda each: each.week, default=None)
    worst: dict[Muscle, Ache] = {}
    order = list(Ache)
    for pain in pains_now(check_in, before=before):
        for muscle in MUSCLES_AT[pain.place]:
            if muscle not in worst or order.index(pain.ache) > order.index(worst[muscle]):
                worst[muscle] = pain.ache
    return worst


def _declined(given: Iterable[GivenAdvice], week: date, muscle: Muscle | None = None) -> tuple[Declined, ...]:
    """Advice that was declined: for one muscle, or for the week as a whole, which reduced weeks are."""
    found = []
    for each in given:
        rule = each.advice.besides or each.advice.rule
        relief = each.advice.action is Action.REDUCED_WEEK
        theirs = relief if muscle is None else not relief and each.advice.muscle is muscle
        if each.answer is AdviceAnswer.DECLINED and rule in OFFERS and theirs:
            found.append(Declined(rule, each.advice.reasons, (week - each.week) // _WEEK))
    return tuple(dict.fromkeys(found))


def _changes(muscle: Muscle, given: Iterable[GivenAdvice]) -> list[GivenAdvice]:
    return [
        each
        for each in given
        if each.advice.muscle is muscle and each.to_sets is not None and each.to_sets != each.from_sets
    ]


def _last_cut(muscle: Muscle, given: Iterable[GivenAdvice], week: date) -> LastCut | None:
    cuts = [
        (each, each.to_sets)
        for each in _changes(muscle, given)
        if each.to_sets is not None and each.to_sets < each.from_sets
    ]
    if not cuts:
        return None
    last, to_sets = cuts[-1]
    # Neither many weeks nor two cuts within half a year are likely to be chance; a step back up from there would show as
    # slowly as what the cut was for.
    sure = (last.advice.besides or last.advice.rule) in SLOW or any(
        last.week - each.week < WEEKS_A_SURE_CUT_IS_REMEMBERED * _WEEK for each, _ in cuts[:-1]
    )
    return LastCut(
        # Sets were done at the lower number from the week after on.
        weeks_ago=(week - last.week) // _WEEK,
        below=to_sets + 1 if sure else last.from_sets,
        remembered=WEEKS_A_SURE_CUT_IS_REMEMBERED if sure else WEEKS_A_CUT_IS_REMEMBERED,
    )


def _last_added(muscle: Muscle, given: Iterable[GivenAdvice]) -> datetime | None:
    added = [
        each.given_at for each in _changes(muscle, given) if each.to_sets is not None and each.to_sets > each.from_sets
    ]
    return max(added, default=None)


def _after_less(given: Iterable[GivenAdvice]) -> date:
    """First day of the first week after the last accepted cut or reduced week: what was answered is not held again."""
    taken = [
        each.week
        for each in given
        if (each.to_sets is not None and each.to_sets < each.from_sets)
        or (each.advice.action is Action.REDUCED_WEEK and each.answer is AdviceAnswer.ACCEPTED)
    ]
    return max(taken) + _WEEK if taken else date.min


def _weeks_since_change(turn: Turn, muscle: Muscle, given: Iterable[GivenAdvice], plan: Plan | None, week: date) -> int:
    changes = _changes(muscle, given)
    if changes:
        return (week - changes[-1].week) // _WEEK
    began = turn.lifter.day_of(turn.lifter.created_at) if plan is None else plan.starts
    return min(WEEKS_A_CUT_IS_REMEMBERED, max(0, (week - began) // _WEEK + 1))


def _weeks_since(then: date | None, week: date) -> int | None:
    return None if then is None else max(0, (week - then) // _WEEK)
