"""Commands about the day's session: one function each."""

from dataclasses import replace
from typing import assert_never

from core.application import correct, hurts, log, maximum_test, next_set, session_changes
from core.application.course import course
from core.application.today import today
from core.application.turn import Turn
from core.application.whys import why
from core.domain.commands import LogSets
from core.domain.replies import Acknowledged, Done, Guided, Reply
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


def answer(turn: Turn, command: SessionCommand) -> list[Reply]:
    """Do what a command about the session asks."""
    if isinstance(command, AsPlanned | Missed) and (tried := maximum_test.open_attempt(turn)) is not None:
        return maximum_test.attempt(turn, replace(tried, made=isinstance(command, AsPlanned)))
    match command:
        case Today():
            return _today(turn)
        case AsPlanned():
            planned = next_set.as_planned(turn, command)
            return log.log_sets(turn, planned) if isinstance(planned, LogSets) else [planned]
        case Missed():
            return next_set.missed(turn)
        case LastRepMissed():
            return correct.last_rep_missed(turn)
        case Nod():
            return [Acknowledged(Done.NOD)]
        case Why():
            return why(turn)
        case NothingHurts():
            return nothing_hurts(turn)
        case Swap():
            return session_changes.swap(turn, command)
        case Skip():
            return session_changes.skip(turn, command)
        case MoveSession():
            return session_changes.move(turn, command)
        case Train():
            return session_changes.train(turn, command)
        case Short():
            return session_changes.short(turn, command)
        case AddSet():
            return session_changes.add_set(turn, command)
        case RepeatSession():
            return session_changes.repeat(turn, command)
        case TiredToday():
            return session_changes.tired(turn, command)
        case SpotterToday():
            return session_changes.spotter(turn)
        case TellCue():
            return session_changes.cue(turn, command)
        case Better():
            return hurts.better(turn, command)
        case FindMaximum():
            return maximum_test.find_maximum(turn, command)
        case MaximumAttempt():
            return maximum_test.attempt(turn, command)
        case _:
            assert_never(command)


def _today(turn: Turn) -> list[Reply]:
    """The day's session; what hurts, and was not answered yet, is asked first, and alone, so that a letter answers it."""
    waiting = hurts.asked_again(turn)
    told = today(turn)
    if not waiting:
        return told
    next_set.withdraw(turn)
    return [*waiting, *(replace(each, taps=None) if isinstance(each, Guided) else each for each in told)]


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
