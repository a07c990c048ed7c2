"""Reading a turn's text: what its reading may depend on of this lifter."""

from core.application.course import course
from core.application.resolve import session_now
from core.application.rows import MessageKind
from core.application.turn import Turn
from core.notation.context import Context
from core.notation.words import names_with


def context_of(turn: Turn) -> Context:
    """What reading this lifter's text may depend on."""
    going_on = session_now(turn)
    exercise = None if going_on is None else going_on.exercise
    lifter = turn.lifter
    planned = course(turn) if _may_need_plan(turn) else None
    if planned is not None and planned.going_on is not None:
        exercise = planned.going_on.exercise.name
    return Context(
        names=names_with(turn.own_exercises().values()),
        habits=lifter.habits,
        unit=lifter.unit if lifter.unit_told else None,
        bar_kg=lifter.bar.kg,
        exercise=exercise,
        planned_load=planned is not None and planned.going_on is not None,
        asked=turn.setup.asked,
    )


def _may_need_plan(turn: Turn) -> bool:
    """Whether reading a text may depend on the planned set: one that names no exercise begins with a number or a sign."""
    text = (turn.row.text or "").lstrip()
    return bool(text) and (not text[0].isalpha() or text[:1] in "xX") and turn.row.kind is not MessageKind.TAPPED
