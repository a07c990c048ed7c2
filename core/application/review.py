"""Looking back: the session closed, the week, the maximum, the history of an exercise."""

from dataclasses import replace
from datetime import date, timedelta

from core.application import follow, log, questions, replay, resolve, rests, trends
from core.application.turn import Turn
from core.domain.commands import Done
from core.domain.replies import Acknowledged, Ask, Logged, Nothing, NothingThere, Option, Reply
from core.domain.replies import Done as Small
from core.domain.reviews import (
    EstimateAt,
    ExerciseDone,
    HistoryTold,
    MaxTold,
    NotCounted,
    SessionClosed,
    WeekTold,
)
from core.domain.sessions import Session
from core.domain.sets import Counted, LoggedSet
from core.strength.equations import EQUATIONS
from core.strength.evidence import Lift
from core.strength.records import table_from

MOST_REPS_OF_EQUATIONS = 10
"""Repetitions up to which the older equations are shown; above 10 all of them were wrong (Mayhew et al. 1995)."""

SESSIONS_RESTED_ON = 3
"""Sessions whose most telling sets are named as what an estimate rests on most."""

MOST_EFFORT = 10
"""Upper end of the scale of session effort. Foster et al. 2001."""

EFFORT_TOLD_WITHIN = timedelta(hours=24)
"""How long after its end a session's effort can still be told. [h]"""

SESSIONS_TOLD = 5
"""Sessions that `history` tells: a phone's screenful."""


def done(turn: Turn, command: Done) -> list[Reply]:
    """Close the session and tell what it did."""
    session = turn.last_session()
    if session is not None and session.closed_at is not None and _effort_told_late(turn, session, command):
        turn.work.sessions.save(replace(session, effort=command.effort))
        turn.session_changed()
        return [Acknowledged(Small.EFFORT_OF_SESSION, f"{command.effort:g}")]
    if session is None or session.closed_at is not None:
        return [NothingThere(Nothing.TO_CLOSE)]
    sets = turn.work.sets.of_session(session.id)
    if not sets:
        return [NothingThere(Nothing.TO_CLOSE)]
    closed = min(turn.at, turn.now)
    session = replace(session, closed_at=max(closed, session.last_set_at), effort=command.effort)
    turn.work.sessions.save(session)
    turn.session_changed()
    names = dict.fromkeys(each.exercise for each in sets)
    exercises = []
    for name in names:
        work = tuple(each for each in sets if each.exercise == name and not each.warmup)
        exercises.append(
            ExerciseDone(exercise=name, sets=work, hard=sum(each.counted is Counted.HARD for each in work))
        )
    estimates = [told for name in names if (told := log.estimate_told(turn, name)) is not None]
    minutes = round((session.last_set_at - session.opened_at).total_seconds() / 60)
    closed_now = [
        SessionClosed(
            day=session.day,
            minutes=minutes,
            exercises=tuple(each for each in exercises if each.sets),
            estimates=tuple(estimates) if turn.lifter.stopped_at is None else (),
            week=log.week_of(turn, session.day, sets),
            effort=command.effort,
        )
    ]
    rests.after_session(turn)
    if command.effort is not None:
        return [*closed_now]
    options = [Option(Done(float(effort))) for effort in range(MOST_EFFORT + 1)]
    return [*closed_now, questions.ask(turn, Ask.SESSION_EFFORT, options)]


def closed_behind(turn: Turn, replies: list[Reply], command: Done) -> list[Reply]:
    """The replies to sets that a word closes the session behind; what they would tell of it is told at its close."""
    logged = next((reply for reply in replies if isinstance(reply, Logged)), None)
    if logged is None:
        return replies  # something has to be answered first, and the answer brings the close with it
    return [replace(logged, estimates=(), week=(), coming=None, taps=None), *done(turn, command)]


def _effort_told_late(turn: Turn, session: Session, command: Done) -> bool:
    """Whether an effort is of a session that was closed without one, a short while ago."""
    if command.effort is None or session.effort is not None or session.closed_at is None:
        return False
    return turn.now - session.closed_at <= EFFORT_TOLD_WITHIN


def week(turn: Turn, day: date | None = None) -> list[Reply]:
    """Hard sets of the week of a day (None: of today)."""
    return [week_told(turn, day or turn.today)]


def week_told(turn: Turn, day: date) -> WeekTold:
    """Hard sets of the week of a day, and what was not counted and why."""
    first, last = resolve.week_around(day)
    sets = turn.work.sets.between(turn.lifter.id, first, last)
    return WeekTold(
        first=first,
        last=last,
        muscles=log.muscles_of_week(turn, day),
        not_counted=tuple(NotCounted(set=each, why=each.counted) for each in sets if each.counted is not Counted.HARD),
        sets=len(sets),
    )


def maximum(turn: Turn, name: str | None) -> list[Reply]:
    """All about the estimated maximum of an exercise (None: of the last one)."""
    found = named(turn, name)
    if not isinstance(found, str):
        return [found]
    told = max_told(turn, found)
    return [NothingThere(no_estimate(turn, found), found) if told is None else told]


def no_estimate(turn: Turn, name: str) -> Nothing:
    """Why there is no estimate of an exercise."""
    moves_body = turn.known(name).body_share > 0
    if moves_body and turn.work.sets.recent_sessions(turn.lifter.id, name, limit=1):
        return Nothing.ESTIMATE_WITHOUT_BODY_MASS
    return Nothing.NO_ESTIMATE


def max_told(turn: Turn, name: str) -> MaxTold | None:
    """The estimate, its history and what it rests on; None without any evidence."""
    told = log.estimate_told(turn, name)
    if told is None:
        return None
    carried = 0.0
    exercise = turn.known(name)
    if exercise.body_share > 0 and turn.lifter.body_mass_kg is not None:
        carried = exercise.body_share * turn.lifter.body_mass_kg
    history = tuple(
        EstimateAt(
            at=each.at,
            day=turn.lifter.day_of(each.at),
            estimate_kg=each.estimate_kg - carried,
            low_kg=None if each.low_kg is None else each.low_kg - carried,
            high_kg=None if each.high_kg is None else each.high_kg - carried,
        )
        for each in turn.work.estimates.history(turn.lifter.id, name)
    )
    recent = turn.work.sets.recent_sessions(turn.lifter.id, name, limit=SESSIONS_RESTED_ON)
    work = [[each for each in sets if _tells(each)] for _, sets in recent]
    # A set far from the limit, or of a day of pain, says little; it is named only where there is nothing else.
    strong = [[each for each in sets if not each.weak and each.counted is not Counted.TOO_EASY] for sets in work]
    bests = tuple(max(sets, key=_sharpness) for sets in (strong if any(strong) else work) if sets)
    compared = next((each for each in bests if _by_equations(each)), None)
    gained = trends.trend_of(turn, Lift.of(exercise))
    table = table_from(turn.work.records.table(turn.lifter.id, name))
    return MaxTold(
        told=told,
        at=history[-1].at if history else turn.now,
        history=history,
        equations=() if compared is None or carried else _by_equations(compared),
        compared=None if carried else compared,
        rests_on=bests,
        weekly=None if gained is None else gained.weekly,
        rising=None if gained is None else gained.rising,
        records=tuple(follow.record_told(name, each, bodyweight=exercise.body_share > 0) for each in table.records[:4]),
    )


def history(turn: Turn, name: str | None) -> list[Reply]:
    """The last sessions of an exercise (None: of the last one)."""
    found = named(turn, name)
    if not isinstance(found, str):
        return [found]
    sessions = turn.work.sets.recent_sessions(turn.lifter.id, found, limit=SESSIONS_TOLD)
    if not sessions:
        return [NothingThere(Nothing.LOGGED_OF_EXERCISE, found)]
    return [HistoryTold(exercise=found, sessions=tuple((day, tuple(sets)) for day, sets in sessions))]


def named(turn: Turn, name: str | None) -> str | NothingThere:
    """The exercise that was asked about (None: the last one), or why there is none."""
    if name is not None:
        exercise = turn.exercise(name)
        return NothingThere(Nothing.NO_SUCH_EXERCISE, name) if exercise is None else exercise.name
    session = turn.last_session()
    if session is None or session.exercise is None:
        return NothingThere(Nothing.WHICH_EXERCISE)
    return session.exercise


def _tells(each: LoggedSet) -> bool:
    return not each.warmup and not each.helped and (bool(each.reps) or each.failed)


def _sharpness(each: LoggedSet) -> tuple[bool, bool, float]:
    """Order of the sets of a session by what they tell: measured, missed, then by Epley with r/30."""
    left, _ = replay.told_left(each)
    return each.measured, each.failed, (each.moved_kg or 0.0) * (1 + ((each.reps or 0) + (left or 0.0)) / 30)


def _by_equations(each: LoggedSet) -> tuple[tuple[str, float], ...]:
    left, _ = replay.told_left(each)
    repetitions = (each.reps or 0) + (left or 0.0)
    # A single with nothing left is its own maximum: there is nothing to work out.
    if each.moved_kg is None or not 1 < repetitions <= MOST_REPS_OF_EQUATIONS:
        return ()
    return tuple((name, equation(each.moved_kg, repetitions)) for name, equation in EQUATIONS.items())
