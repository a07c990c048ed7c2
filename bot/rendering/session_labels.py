"""Session labels: what a choice about the day's session reads."""

from bot.rendering.phone import figure
from core.domain.commands import Cancel, Command, Done, Doubt, Fix, LogSets, Pain
from core.domain.replies import Ask, Asked
from core.domain.session_commands import (
    AsPlanned,
    MaximumAttempt,
    Missed,
    MoveSession,
    NothingHurts,
    Skip,
    Swap,
    TellCue,
    TiredToday,
    Train,
)
from core.domain.sets import SetRead

LEAST_EFFORT, MOST_EFFORT = 0.0, 10.0
"""Ends of the scale of session effort, the only ones with words. Foster et al. 2001."""


def session_label(asked: Asked, command: Command) -> str | None:
    """Label of a choice about the session; None where it is about something else."""
    match asked.about, command:
        case Ask.LEFT, Fix(sets=(one,)):
            return _left(one)
        case Doubt.AT, Fix(sets=(one,)) if one.rir is not None and one.reps is None:
            return f"{_left(one)} left"
        case Doubt.AT, Done(effort=effort):
            return f"effort {figure(effort or 0.0)} of {MOST_EFFORT:g}"
        case Ask.PLANNED_SET, LogSets(sets=(one,)):
            return f"{_left(one)} left"
        case Ask.PLANNED_SET, AsPlanned(fewer=0):
            return "did it"
        case Ask.PLANNED_SET, AsPlanned():
            return "one rep fewer"
        case Ask.PLANNED_SET, Missed():
            return "missed"
        case Ask.REPS_MADE, LogSets(sets=(one,)):
            return str(one.reps)
        case Ask.LAST_REP, Fix(sets=(one,)):
            return f"{one.reps} made, then the miss"
        case Ask.SESSION_EFFORT, Done(effort=effort):
            ends = {LEAST_EFFORT: "0, rest", MOST_EFFORT: "10, all I had"}
            return ends.get(effort or 0.0, figure(effort or 0.0))
        case Ask.WHICH_LIFT, LogSets(sets=(one, *_)):
            return one.exercise
        case Ask.REST_DAY, Train():
            return "do it today"
        case Ask.REST_DAY, Cancel():
            return "rest"
        case Ask.WHICH_SESSION, Train():
            return "yes"
        case Ask.WHICH_SESSION | Ask.SWAP, Cancel():
            return "no"
        case Ask.SWAP, Swap(to=to):
            return to
        case Ask.SKIP, Skip(exercise=exercise, whole=whole):
            return "the whole session" if whole else exercise
        case _, MoveSession():
            return "move it"
        case Ask.TIRED, TiredToday(choice=choice):
            return None if choice is None else str(choice)
        case Ask.CUE, TellCue(failing=cue):
            return None if cue is None else cue.name.lower()
        case Ask.ATTEMPT, MaximumAttempt(made=made):
            return "made it" if made else "missed"
        case Ask.MEASURED, Fix():
            return "yes, measured"
        case Ask.MEASURED, Cancel():
            return "no, just a set"
        case Ask.HURTS, NothingHurts():
            return "no, nothing"
        case Ask.PLACE, Pain(place=place):
            return None if place is None else str(place)
        case _:
            return None


def _left(one: SetRead) -> str:
    return f"{figure(one.rir or 0.0)}{'+' if one.at_least else ''}"
