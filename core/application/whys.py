"""Whys: how the load told last came about, step by step."""

from core.application.course import course
from core.application.hurts import OUT
from core.application.session_plan import EASED
from core.application.turn import Turn
from core.domain.guidance import WhyTold
from core.domain.replies import Guided, Nothing, NothingThere, Reply


def why(turn: Turn) -> list[Reply]:
    """Tell how the load of the next planned set came about."""
    planned = course(turn)
    left = () if planned is None else planned.left
    if planned is None or not left:
        return [NothingThere(Nothing.NEXT_PLANNED)]
    on = left[0]
    place = min(on.now.done, len(on.lift.sets) - 1)
    load = None if on.now.finding else on.now.load.told_in(turn.unit)
    adjusted = planned.day.adjusted
    given = on.lift.sets[place].load
    taken = on.now.done > 0 and not on.now.since and load is not None and given is not None and load != given
    return [
        Guided(
            WhyTold(
                exercise=on.exercise.name,
                load=load,
                unit=turn.unit,
                why=on.lift.sets[place].why,
                since=tuple((move, reason, after.told_in(turn.unit)) for move, reason, after in on.now.since),
                taken=load if taken else None,
                cuts=tuple(each for each in adjusted if not each.startswith((EASED, OUT))),
                out=tuple(each.removeprefix(OUT) for each in adjusted if each.startswith(OUT)),
            )
        )
    ]
