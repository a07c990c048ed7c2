"""Trends: which way a lift goes, and what it gained against four weeks ago, told only where it is beyond noise."""

from datetime import timedelta

from core.application.turn import Turn
from core.strength.estimate import Estimate
from core.strength.evidence import Lift
from core.strength.trend import Trend, change, trend

COMPARED_WITH = timedelta(weeks=4)
"""How far back the estimate lies that today's is compared with."""

OLDEST_COMPARED = timedelta(weeks=8)
"""An estimate further back is not told as one of four weeks ago."""

FEWEST_SESSIONS = 4
"""Sessions of a lift from which its trend is told."""

FEWEST_WEEKS = timedelta(weeks=3)
"""Time over which they are spread at least: before that a trend is mostly what was assumed."""


def change_kg(turn: Turn, lift: Lift, found: Estimate) -> float | None:
    """Change of a lift's maximum against four weeks ago; None within noise, or where there is nothing to compare. [kg]"""
    then = turn.work.estimates.before(turn.lifter.id, lift.name, until=turn.now - COMPARED_WITH)
    if then is None or then.low_kg is None or then.at < turn.now - OLDEST_COMPARED:
        return None
    state = turn.standing(lift.family).state
    moved = change(state, lift, turn.now, then_kg=then.estimate_kg, then_low_kg=then.low_kg)
    return found.mean_kg - then.estimate_kg if moved else None


def trend_of(turn: Turn, lift: Lift) -> Trend | None:
    """Trend of a lift; None before there are sessions enough to tell of one."""
    history = turn.work.estimates.history(turn.lifter.id, lift.name)
    if len(history) < FEWEST_SESSIONS or history[-1].at - history[0].at < FEWEST_WEEKS:
        return None
    return trend(turn.standing(lift.family).state, lift, turn.now)
