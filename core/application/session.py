"""Commands about the day's session: one function each."""

from typing import assert_never

from core.application import log, next_set
from core.application.course import course
from core.application.today import today
from core.application.turn import Turn
from core.application.whys import why
from core.domain.commands import LogSets
from core.domain.replies import Acknowledged, Done, Guided, Nothing, NothingThere, Reply
from core.domain.session_commands import (
    AddSet,
    AsPlanned,
    Better,
    FindMaximum,
    MaximumAttempt,
    Missed,
    MoveSession,
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


def answer(turn: Turn, command: SessionCommand) -> list[Reply]:
    """Do what a command about the session asks."""
    match command:
        case Today():
            return today(turn)
        case AsPlanned():
            planned = next_set.as_planned(turn, command)
            return log.log_sets(turn, planned) if isinstance(planned, LogSets) else [planned]
        case Missed():
            return next_set.missed(turn)
        case Why():
            return why(turn)
        case NothingHurts():
            return nothing_hurts(turn)
        case (
            Swap()
            | Skip()
            | MoveSession()
            | Train()
            | Short()
            | AddSet()
            | RepeatSession()
            | TiredToday()
            | SpotterToday()
            | TellCue()
            | Better()
            | FindMaximum()
            | MaximumAttempt()
        ):
            return [NothingThere(Nothing.PLANNED)]
        case _:
            assert_never(command)


def nothing_hurts(turn: Turn) -> list[Reply]:
    """Nothing hurt in a set far below what was expected: the next one follows."""
    planned = course(turn)
    if planned is None or planned.session is None:
        return [Acknowledged(Done.NOTHING_HURTS)]
    sets = turn.work.sets.of_session(planned.session.id)
    on = planned.took(sets[-1]) or planned.going_on if sets else planned.going_on
    if on is None:
        return [Acknowledged(Done.NOTHING_HURTS)]
    coming = next_set.followed(turn, planned, on, None)
    return [Acknowledged(Done.NOTHING_HURTS)] if coming.coming is None else [Guided(coming.coming, coming.taps)]
