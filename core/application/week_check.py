"""The weekly check: which function answers each command of the check-in."""

from typing import assert_never

from core.application import advising, charts, check_ins, session_loads
from core.application.turn import Turn
from core.domain.check_in_commands import (
    AnswerAdvice,
    AskReducedWeek,
    BeginCheckIn,
    ChangeAdvice,
    CheckInCommand,
    DrawChart,
    Felt,
    Hurts,
    PainFree,
    TellLoad,
    WhyAdvice,
)
from core.domain.replies import Reply


def answer(turn: Turn, command: CheckInCommand) -> list[Reply]:
    """What a command of the check-in leads to."""
    match command:
        case BeginCheckIn():
            return check_ins.begin(turn)
        case Felt():
            return check_ins.felt(turn, command)
        case PainFree():
            return check_ins.nothing_hurts(turn)
        case Hurts():
            return check_ins.hurts(turn, command)
        case AnswerAdvice():
            return advising.answer(turn, command)
        case ChangeAdvice():
            return advising.change(turn, command)
        case AskReducedWeek():
            return advising.reduced_week(turn)
        case WhyAdvice():
            return advising.why(turn)
        case TellLoad():
            return session_loads.load(turn)
        case DrawChart():
            return charts.chart(turn, command)
        case _:
            assert_never(command)
