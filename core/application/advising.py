"""Advising: what a check-in or a request leads to, the lifter's answer, and the plan that follows it."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta

from core.application import questions
from core.application.relaying import laid_out, relaid
from core.application.training_day import in_line, week_now
from core.application.turn import Turn
from core.application.week_facts import week_facts, weeks_reduced
from core.domain.advice import Action, Advice, AdviceAnswer, GivenAdvice, Rule
from core.domain.check_in_commands import AnswerAdvice, ChangeAdvice
from core.domain.check_in_replies import AdviceReasoned, AdviceTaken, AdviceTold, CheckInNothing, NoCheckIn
from core.domain.checkins import CheckIn
from core.domain.exercises import Muscle
from core.domain.plans import Plan
from core.domain.replies import Ask, Option, Reply
from core.planning.calendar import is_reduced, week_of
from core.recovery.advice import advise
from core.recovery.bounds import MOST_CHANGE, WEEKS_A_SURE_CUT_IS_REMEMBERED, WEEKS_BETWEEN_REDUCED

_WEEK = timedelta(weeks=1)

CAREFUL = frozenset({Action.STOP, Action.STOP_HERE, Action.CHANGE_EXERCISE, Action.KEEP_WITH_CARE})
"""What is advised for the sake of care; there is nothing to decline in it."""


def after(turn: Turn, check_in: CheckIn) -> list[Reply]:
    """Advice after a check-in; nothing more once this week's was answered."""
    given = _remembered(turn, check_in.week)
    if any(each.week == check_in.week and _is_answered(each) for each in given):
        return []
    before = [each for each in given if each.week < check_in.week]
    check_ins = turn.work.check_ins.since(turn.lifter.id, date.min)
    known = week_facts(turn, check_in, week=check_in.week, check_ins=check_ins, given=before)
    advices = advise(known.week, known.muscles)
    targets = {each.muscle: each.target for each in known.muscles}
    turn.work.advice.forget_open(turn.lifter.id, check_in.week)
    told = _worth_telling(advices)
    if not told:
        return []
    rows = tuple(
        GivenAdvice(week=check_in.week, given_at=turn.now, advice=each, from_sets=targets[each.muscle]) for each in told
    )
    turn.work.advice.save(turn.lifter.id, rows)
    return [_reply(turn, AdviceTold(given=rows, starts=_starts(turn), planned=_follows(turn.plan)))]


def answer(turn: Turn, command: AnswerAdvice) -> list[Reply]:
    """Take the open advice, or decline it."""
    offered = _offered(turn)
    if not offered:
        return [CheckInNothing(NoCheckIn.OPEN_ADVICE)]
    if not command.taken:
        rows = tuple(replace(each, answer=AdviceAnswer.DECLINED) for each in offered)
        turn.work.advice.save(turn.lifter.id, rows)
        return [_taken(turn, AdviceAnswer.DECLINED, rows)]
    rows = tuple(
        replace(
            each,
            answer=AdviceAnswer.ACCEPTED,
            to_sets=each.from_sets + each.advice.change if each.advice.change else None,
        )
        for each in offered
    )
    return _held(turn, AdviceAnswer.ACCEPTED, rows)


def change(turn: Turn, command: ChangeAdvice) -> list[Reply]:
    """Take another number than advised, or ask which."""
    row = next((each for each in _offered(turn) if each.advice.muscle is command.muscle and each.advice.change), None)
    if row is None:
        return [CheckInNothing(NoCheckIn.NOT_OFFERED, command.muscle)]
    numbers = _numbers(turn, row)
    if command.sets is None:
        options = [
            Option(ChangeAdvice(command.muscle, each)) for each in numbers if each != row.from_sets + row.advice.change
        ]
        return [questions.ask(turn, Ask.OTHER_SETS, options, word=command.muscle, figures=(("now", row.from_sets),))]
    if command.sets not in numbers:
        return [CheckInNothing(NoCheckIn.OUT_OF_BOUNDS, f"{numbers[0]} to {numbers[-1]}")]
    advised = row.from_sets + row.advice.change
    if command.sets == advised:
        return answer(turn, AnswerAdvice(taken=True))
    if command.sets == row.from_sets:
        return answer(turn, AnswerAdvice(taken=False))
    return _held(turn, AdviceAnswer.CHANGED, (replace(row, answer=AdviceAnswer.CHANGED, to_sets=command.sets),))


def reduced_week(turn: Turn) -> list[Reply]:
    """Reduce the next week on request, unless one was reduced within three weeks."""
    week = turn.today - timedelta(days=turn.today.weekday())
    given = _remembered(turn, week)
    starts = _starts(turn)
    plan = turn.plan
    due = plan is not None and is_reduced(plan, _plan_week(turn, plan, starts))
    if due or any(_is_taken_relief(each) and each.week + _WEEK == starts for each in given):
        return [CheckInNothing(NoCheckIn.REDUCED_ALREADY)]
    last = max(weeks_reduced(turn, plan, given, until=turn.today), default=None)
    if last is not None and (starts - last) // _WEEK < WEEKS_BETWEEN_REDUCED:
        return [CheckInNothing(NoCheckIn.REDUCED_LATELY)]
    known = week_facts(turn, None, week=week, check_ins=(), given=(), relief_asked=True)
    # Asked for, it needs no other reason, and nothing else stands against it.
    facts = replace(known.week, warned=False, ill=False, done_share=None, weeks_since_reduced=None)
    targets = {each.muscle: each.target for each in known.muscles}
    advices = advise(facts, [replace(each, ache=None) for each in known.muscles])
    rows = tuple(
        GivenAdvice(
            week=starts - _WEEK,
            given_at=turn.now,
            advice=each,
            from_sets=targets[each.muscle],
            answer=AdviceAnswer.ACCEPTED,
        )
        for each in advices
    )
    turn.work.advice.forget_open(turn.lifter.id, starts - _WEEK)
    # What was answered about that week before stays known.
    answered = {each.advice.muscle for each in given if each.week == starts - _WEEK and _is_answered(each)}
    return _held(
        turn,
        AdviceAnswer.ACCEPTED,
        tuple(each for each in rows if each.advice.muscle not in answered),
        relief=True,
    )


def why(turn: Turn) -> list[Reply]:
    """How the last advice came about."""
    given = _remembered(turn, turn.today)
    if not given:
        return [CheckInNothing(NoCheckIn.ADVICE)]
    week = given[-1].week
    return [AdviceReasoned(next(each for each in given if each.week == week))]


def _remembered(turn: Turn, week: date) -> Sequence[GivenAdvice]:
    """Advice as long as it is remembered."""
    return turn.work.advice.since(turn.lifter.id, week - (2 * WEEKS_A_SURE_CUT_IS_REMEMBERED + 1) * _WEEK)


def _worth_telling(advices: Sequence[Advice]) -> tuple[Advice, ...]:
    """Advice that changes something or takes care; where none does, that of the muscle that matters most."""
    told = tuple(each for each in advices if _is_offer(each) or each.action in CAREFUL)
    return told or tuple(advices[:1])


def _is_answered(given: GivenAdvice) -> bool:
    return given.answer is not AdviceAnswer.OPEN


def _is_taken_relief(given: GivenAdvice) -> bool:
    return given.advice.action is Action.REDUCED_WEEK and given.answer is AdviceAnswer.ACCEPTED


def _is_offer(advice: Advice) -> bool:
    return advice.change != 0 or advice.action is Action.REDUCED_WEEK or advice.besides is Rule.RELIEF


def _reply(turn: Turn, told: AdviceTold) -> Reply:
    offers = [each for each in told.given if _is_offer(each.advice)]
    if not offers:
        return told
    options = [Option(AnswerAdvice(taken=True)), Option(AnswerAdvice(taken=False))]
    if len(offers) == 1 and offers[0].advice.change:
        options.insert(1, Option(ChangeAdvice(offers[0].advice.muscle)))
    return replace(questions.ask(turn, Ask.ADVICE, options), advice=told)


def _offered(turn: Turn) -> list[GivenAdvice]:
    """Offers of the last check-in that wait for an answer."""
    given = _remembered(turn, turn.today)
    if not given:
        return []
    week = given[-1].week
    return [each for each in given if each.week == week and each.answer is AdviceAnswer.OPEN and _is_offer(each.advice)]


def _numbers(turn: Turn, row: GivenAdvice) -> list[int]:
    """Weekly sets that may be taken in place of those advised: never more than now where a cut was."""
    wishes = turn.setup.wishes if turn.plan is None else turn.plan.wishes
    most = row.from_sets + (MOST_CHANGE if row.advice.change > 0 else 0)
    numbers = range(max(wishes.floor, row.from_sets - MOST_CHANGE), min(wishes.ceiling, most) + 1)
    return list(numbers) or [row.from_sets]


def _held(turn: Turn, answered: AdviceAnswer, rows: tuple[GivenAdvice, ...], *, relief: bool = False) -> list[Reply]:
    turn.work.advice.save(turn.lifter.id, rows)
    starts = _starts(turn)
    reduced = relief or any(
        Action.REDUCED_WEEK is each.advice.action or each.advice.besides is Rule.RELIEF for each in rows
    )
    if reduced and turn.plan is not None:
        turn.work.plans.relieve(turn.plan.id, (*turn.plan.relieved, _plan_week(turn, turn.plan, starts)))
        turn.plan_changed()
    changed = {each.advice.muscle: each.to_sets for each in rows if each.to_sets is not None}
    misses = _settle_sets(turn, changed, starts) if changed else ()
    return [_taken(turn, answered, rows, misses=misses)]


def _settle_sets(turn: Turn, changed: Mapping[Muscle, int], starts: date) -> tuple[Muscle, ...]:
    """Keep weekly sets as wishes, and lay the plan out for them; the muscles that it can't bring there."""
    setup, plan = turn.setup, turn.plan
    kept = {**dict(setup.wishes.sets_now), **{muscle: float(sets) for muscle, sets in changed.items()}}
    turn.settle_setup(replace(setup, wishes=replace(setup.wishes, sets_now=tuple(kept.items()))))
    if plan is None or plan.own:
        return ()
    asked = {**dict(plan.wishes.sets_now), **{muscle: float(sets) for muscle, sets in changed.items()}}
    wishes = replace(plan.wishes, sets_now=tuple(asked.items()))
    possible = laid_out(turn, wishes, previous=plan.block.week, with_conflicts=False)
    if possible is None:
        return tuple(changed)
    wishes, found = possible
    # Of sessions in line the round that they have come to stays, for some of it may be done.
    first = week_now(turn, plan) + 1 if in_line(plan) else week_of(plan, starts)
    relaid(turn, plan, wishes, found.week, first=first)
    missed = {each.muscle for each in found.week.misses}
    return tuple(muscle for muscle in changed if muscle in missed)


def _taken(
    turn: Turn, answered: AdviceAnswer, rows: tuple[GivenAdvice, ...], *, misses: tuple[Muscle, ...] = ()
) -> AdviceTaken:
    return AdviceTaken(answer=answered, given=rows, starts=_starts(turn), planned=_follows(turn.plan), misses=misses)


def _follows(plan: Plan | None) -> bool:
    return plan is not None and not plan.own


def _starts(turn: Turn) -> date:
    """First day of the week that advice is for: this week while nothing of it was done, on its first two days."""
    monday = turn.today - timedelta(days=turn.today.weekday())
    late = (turn.today - monday).days < 2
    if late and not turn.work.sets.counted(turn.lifter.id, monday, turn.today):
        return monday
    return monday + _WEEK


def _plan_week(turn: Turn, plan: Plan, starts: date) -> int:
    """Week of the plan, from 0, that begins on a day; of sessions in line the one after that they have come to."""
    if not in_line(plan):
        return week_of(plan, starts)
    return week_now(turn, plan) + (starts > turn.today)
