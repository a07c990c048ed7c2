"""Session texts: the one text of each command about the day's session."""

from typing import assert_never

from core.domain.session_commands import (
    AddSet,
    AsPlanned,
    Better,
    FindMaximum,
    LastRepMissed,
    MaximumAttempt,
    Missed,
    MoveSession,
    Nod,
    NothingHurts,
    RepeatSession,
    SessionCommand,
    Short,
    Skip,
    SpotterToday,
    Swap,
    TellCue,
    TiredToday,
    Today,
    Train,
    Why,
)

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")

FEWER = ("did it", "one rep fewer", "two reps fewer")
"""Texts of a planned set done with so many repetitions fewer."""


def session_text(command: SessionCommand) -> str:
    """The one text that stands for a command about the day's session.

    >>> session_text(MoveSession(3))
    'move thu'

    """
    match command:
        case AsPlanned(fewer=fewer):
            return FEWER[fewer]
        case Swap(exercise=exercise, to=to):
            return f"swap {exercise}" if to is None else f"swap {exercise} for {to}"
        case Skip(exercise=exercise, whole=whole):
            return "skip session" if whole else "skip" if exercise is None else f"skip {exercise}"
        case MoveSession(weekday=weekday):
            return "move tomorrow" if weekday is None else f"move {WEEKDAYS[weekday]}"
        case Train(weekday=weekday):
            return f"train {WEEKDAYS[weekday]}"
        case Short(minutes=minutes):
            return f"short {minutes}"
        case AddSet(exercise=exercise):
            return "add set" if exercise is None else f"add set {exercise}"
        case RepeatSession(weekday=weekday):
            return "repeat last session" if weekday is None else f"repeat last {WEEKDAYS[weekday]}"
        case TiredToday(choice=choice):
            return "tired" if choice is None else f"tired {choice}"
        case TellCue(failing=failing):
            return "cue" if failing is None else f"cue {failing.name.lower()}"
        case Better(place=place):
            return f"{place} better"
        case FindMaximum(exercise=exercise):
            return "test" if exercise is None else f"test {exercise}"
        case MaximumAttempt(exercise=exercise, number=number, load=load, made=made):
            told = "" if made is None else " made" if made else " missed"
            amount = f"{load.amount:.6f}".rstrip("0").rstrip(".")
            return f"attempt {number} {exercise} {amount} {load.unit}{told}"
        case Today() | Missed() | LastRepMissed() | Nod() | Why() | SpotterToday() | NothingHurts():
            return _PLAIN[type(command)]
        case _:
            assert_never(command)


_PLAIN: dict[type, str] = {
    Today: "today",
    Missed: "missed it",
    LastRepMissed: "missed the last rep",
    Nod: "thanks",
    Why: "why",
    SpotterToday: "spotter today",
    NothingHurts: "nothing hurts",
}
