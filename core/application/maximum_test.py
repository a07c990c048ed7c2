"""A tested maximum in the chat: guided step by step, refused where it is not safe, counted as measured by one tap."""

from dataclasses import replace
from datetime import timedelta

from core.application import log, questions, resolve
from core.application.session_plan import gym
from core.application.strength_now import StrengthNow
from core.application.training_day import note_absence, week_now
from core.application.turn import Turn
from core.domain.commands import Cancel, Fix, LogSets
from core.domain.equipment import PLATED
from core.domain.exercises import Exercise, Pattern
from core.domain.guidance import (
    AttemptTold,
    MaximumEnd,
    MaximumOver,
    MaximumRefusal,
    MaximumRefused,
    MaximumTold,
)
from core.domain.prescriptions import Bound, WarmUpSet
from core.domain.replies import Ask, Asked, Guided, Nothing, NothingThere, Option, Reply
from core.domain.session_commands import FindMaximum, MaximumAttempt
from core.domain.sets import SetRead
from core.domain.units import Load
from core.notation.messages import Context, read
from core.notation.words import names_with
from core.planning.calendar import is_reduced
from core.planning.care import refuses_test, under_the_bar
from core.planning.loading import loads
from core.planning.pain import loaded_places
from core.planning.targets import PRESSES
from core.planning.tested_maximum import ATTEMPT_REST_S, STEP_REST_S, Attempt, maximum_test, next_attempt, reach

ATTEMPT_WAITS = timedelta(hours=1)
"""How long an attempt waits for its outcome: far beyond any rest before one. [h]"""

WITHIN = 0.02
"""How far below the estimate a single counts as having come to it. [1] The noise of an estimate (about 2 %)."""

TWICE = 0.95
"""Share of a maximum that can be lifted twice. [1] NSCA table; a single below it, with nothing missed, is none."""

TESTED = PRESSES | {Pattern.SQUAT, Pattern.HINGE, Pattern.VERTICAL_PULL}
"""Movements of which a single says something: presses, squats, lifts from the floor, pull-ups. Common practice."""


def find_maximum(turn: Turn, command: FindMaximum) -> list[Reply]:
    """Tell the steps and the first attempt of a tested maximum, or why there is none."""
    # After a long time away screening is asked again first.
    note_absence(turn)
    name = command.exercise
    if name is None:
        session = turn.last_session()
        name = turn.setup.wishes.main if session is None or session.exercise is None else session.exercise
    exercise = turn.exercise(name)
    if exercise is None:
        return [NothingThere(Nothing.NO_SUCH_EXERCISE, name)]
    refused = refusal(turn, exercise)
    if refused is not None:
        return [Guided(MaximumRefused(exercise.name, refused))]
    known = StrengthNow(turn).estimate(exercise)
    if known is None:
        return [Guided(MaximumRefused(exercise.name, MaximumRefusal.NO_ESTIMATE))]
    test = maximum_test(exercise, known, loads(exercise, gym(turn)), turn.setup.care_on(turn.today))
    if isinstance(test, Bound):
        return [Guided(MaximumRefused(exercise.name, MaximumRefusal(test.value)))]
    first = test.first.load
    furthest = reach(test.first, loads(exercise, gym(turn)), body_kg=known.body_kg)
    told = MaximumTold(
        exercise=exercise.name,
        steps=tuple(WarmUpSet(each.load.told_in(turn.unit), each.reps, each.load.side) for each in test.steps),
        first=WarmUpSet(first.told_in(turn.unit), 1, first.side),
        step_rest_s=STEP_REST_S,
        attempt_rest_s=ATTEMPT_REST_S,
        under_the_bar=under_the_bar(exercise),
        reach=furthest.told_in(turn.unit) if furthest.kg < known.estimate_kg * (1.0 - WITHIN) else None,
    )
    return [Guided(told, _taps(turn, exercise, 1, first.told_in(turn.unit)))]


def attempt(turn: Turn, command: MaximumAttempt) -> list[Reply]:
    """Log an attempt, then tell the next one, or that the test is over and ask whether it counts as measured."""
    exercise = turn.exercise(command.exercise)
    if exercise is None or command.made is None:
        return [NothingThere(Nothing.ATTEMPT)]
    refused = refusal(turn, exercise)
    if refused is not None:
        return [Guided(MaximumRefused(exercise.name, refused))]
    body = exercise.body_share > 0
    bare = command.load.amount == 0
    one = SetRead(
        exercise=exercise.name,
        load=None if bare else command.load.amount,
        unit=None if bare else command.load.unit,
        bodyweight=body,
        reps=1 if command.made else 0,
        failed=not command.made,
    )
    replies = log.log_sets(turn, LogSets((one,)), sure=True, guided=False)
    return [*replies, *_after(turn, exercise, command)]


def refusal(turn: Turn, exercise: Exercise) -> MaximumRefusal | None:
    """What stands against a tested maximum now; None if nothing does."""
    if turn.lifter.stopped_at is not None:
        return MaximumRefusal.STOPPED
    bound = refuses_test(exercise, turn.setup.care_on(turn.today))
    if bound is not None:
        return MaximumRefusal(bound.value)
    aching = {each.place for each in turn.setup.hurting}
    if aching & loaded_places(exercise) or _eased_today(turn, exercise):
        return MaximumRefusal.HURTS
    plan = turn.plan
    if plan is not None and turn.today >= plan.starts and is_reduced(plan, week_now(turn, plan)):
        return MaximumRefusal.REDUCED_WEEK
    loaded = exercise.equipment in PLATED or exercise.body_share > 0
    if exercise.pattern not in TESTED or not loaded or exercise.timed or exercise.assisted or exercise.one_side:
        return MaximumRefusal.NOT_THIS_LIFT
    return None


def open_attempt(turn: Turn, *, newest_of_all: bool = True) -> MaximumAttempt | None:
    """The attempt that waits for its outcome, as made; None while none does. Its question is answered by that.

    Words alone (`made it`) are of the question asked last, whatever that is; a set that was typed names its lift.
    """
    waiting = [each for each in turn.work.questions.open(turn.lifter.id) if turn.now < each.expires_at]
    if not newest_of_all:
        waiting = [each for each in waiting if each.doubt == Ask.ATTEMPT.value]
    newest = next(iter(waiting), None)
    if newest is None or newest.doubt != Ask.ATTEMPT.value or turn.now - newest.asked_at > ATTEMPT_WAITS:
        return None
    told = read(newest.sends[0], Context(names=names_with(turn.own_exercises().values()))).outcome
    if not isinstance(told, MaximumAttempt):
        return None
    turn.work.questions.answer(newest.id, 0)
    return told


def typed(turn: Turn, command: LogSets) -> list[Reply]:
    """What follows a single that was typed while an attempt of that lift was open; nothing otherwise."""
    session = turn.last_session()
    if len(command.sets) != 1 or session is None or command.day is not None:
        return []
    sets = turn.work.sets.of_session(session.id)
    last = sets[-1] if sets else None
    if last is None or last.root_key != turn.row.message_key or last.load is None or (last.reps or 0) > 1:
        return []
    tried = open_attempt(turn, newest_of_all=False)
    exercise = turn.exercise(last.exercise)
    if tried is None or exercise is None or tried.exercise != exercise.name:
        return []
    made = last.reps == 1 and not last.failed
    return _after(turn, exercise, replace(tried, load=Load(last.load, last.unit), made=made))


def _after(turn: Turn, exercise: Exercise, command: MaximumAttempt) -> list[Reply]:
    available = loads(exercise, gym(turn))
    tried = Attempt(available.of(command.load), command.number)
    made = command.made is True
    body_kg = exercise.body_share * (turn.lifter.body_mass_kg or 0.0)
    # Earlier attempts were made, or this one would not be: only how many there were counts.
    before = [(tried, True)] * (command.number - 1)
    following = next_attempt([*before, (tried, made)], available, body_kg=body_kg)
    if isinstance(following, Attempt):
        load = following.load.told_in(turn.unit)
        told = AttemptTold(
            exercise=exercise.name,
            number=following.number,
            load=load,
            side=following.load.side,
            rest_s=ATTEMPT_REST_S,
        )
        return [Guided(told, _taps(turn, exercise, following.number, load))]
    return _over(turn, exercise, following)


def _over(turn: Turn, exercise: Exercise, why: MaximumEnd) -> list[Reply]:
    """The test is over: its heaviest single counts as measured after one tap."""
    session = resolve.session_now(turn)
    sets = () if session is None else turn.work.sets.of_session(session.id)
    singles = [
        each
        for each in sets
        if each.exercise == exercise.name and each.reps == 1 and not each.failed and not each.warmup and not each.helped
    ]
    best = max(singles, key=lambda each: each.load_kg, default=None)
    if best is None or best.load is None:
        return [Guided(MaximumOver(exercise=exercise.name, why=why, best=None))]
    known = StrengthNow(turn, before=best.session_id).estimate(exercise)
    twice_kg = 0.0 if known is None else (known.estimate_kg + known.body_kg) * TWICE - known.body_kg
    more_there = why is not MaximumEnd.MISSED and best.load_kg < twice_kg
    heaviest = Load(best.load, best.unit)
    told = Guided(MaximumOver(exercise=exercise.name, why=why, best=heaviest, more_there=more_there))
    if best.measured or more_there:
        return [told]
    measured = SetRead(load=best.load, unit=best.unit, reps=1, bodyweight=best.bodyweight, measured=True)
    options = (Option(Fix((measured,))), Option(Cancel()))
    question: Asked = questions.ask(turn, Ask.MEASURED, options, word=exercise.name, key=best.root_key)
    return [told, question]


def _taps(turn: Turn, exercise: Exercise, number: int, load: Load) -> Asked:
    tried = MaximumAttempt(exercise.name, number, load)
    options = (Option(replace(tried, made=True)), Option(replace(tried, made=False)))
    return questions.ask(turn, Ask.ATTEMPT, options, word=exercise.name, key=f"{turn.row.message_key} attempt")


def _eased_today(turn: Turn, exercise: Exercise) -> bool:
    session = turn.last_session()
    day = None if session is None else turn.work.plans.of_session(turn.lifter.id, session.id)
    texts = () if day is None or day.day != turn.today else day.adjusted
    return any(text in (f"ease {exercise.name}", f"out {exercise.name}") for text in texts)
