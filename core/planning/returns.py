"""Returns: what a time away, a reduced week or a tired day changes of a session."""

from dataclasses import dataclass, replace
from enum import StrEnum

from core.domain.plans import PlannedLift, PlannedSession, Role
from core.domain.prescriptions import Change
from core.domain.session_commands import Tired
from core.planning.undulation import REDUCED_LOAD

AS_PLANNED_WEEKS = 1.0
"""Time away up to which everything stays as planned. [weeks]"""

SHORT_WEEKS = 2.0
"""Time away up to which a return is short. [weeks]"""

MIDDLE_WEEKS = 4.0
"""Time away up to which half the sets are done for a week. [weeks]"""

LONG_WEEKS = 12.0
"""Time away from which a lifter starts afresh, and screening is asked again. [weeks]"""

SHORT_LOAD = 0.95
"""Share of the usual load after a short time away. [1]"""

MIDDLE_LOAD = 0.90
"""Share of the usual load after two to four weeks away. [1]"""

LONG_LOADS = (0.85, 0.80)
"""Shares of the usual load after 4 and after 12 weeks away; between them in proportion. [1] Common practice; McMaster
et al. 2013, Sports Med 43:367-384 on how strength goes down."""

LONG_LEFT = 3.0
"""Repetitions left after a long time away. [repetitions]"""

REDUCED_EVERY_WEEKS = 3.0
"""Least time between two reduced weeks. [weeks]"""


class SetsChange(StrEnum):
    """How many sets a changed session has."""

    AS_PLANNED = "as planned"
    ONE_FEWER = "one fewer"
    HALF = "half"
    FLOOR = "floor"


@dataclass(frozen=True, slots=True, kw_only=True)
class Adjustment:
    """What changes a whole session.

    Args:
        change: What it is.
        factor: Of the load. [1]
        more_left: Repetitions to be left beyond the target. [repetitions]
        least_left: Fewest repetitions to be left. [repetitions]
        sets: How many sets.
        no_step: No load goes up.
        low_end: The lower end of the interval counts instead of the factor where it is lower; never both (cp).
        weeks: For how long it holds. [weeks]

    """

    change: Change
    factor: float = 1.0
    more_left: float = 0.0
    least_left: float = 0.0
    sets: SetsChange = SetsChange.AS_PLANNED
    no_step: bool = True
    low_end: bool = False
    weeks: float = 1.0


@dataclass(frozen=True, slots=True)
class StartAfresh:
    """Too long away for any plan: the loads are found anew, and screening is asked again."""


REDUCED = Adjustment(change=Change.REDUCED_WEEK, factor=REDUCED_LOAD)
"""A reduced week; its halved sets are already in its plan."""


def returned(weeks_away: float) -> Adjustment | StartAfresh | None:
    """What a return after a time away changes; None for as planned. [weeks]

    Up to a week nothing; to two weeks 5 % less and a set fewer; to four 10 % less and half the sets; to twelve 15 to
    20 % less, 3 left and floor sets for two weeks; longer: afresh.
    """
    if weeks_away <= AS_PLANNED_WEEKS:
        return None
    if weeks_away <= SHORT_WEEKS:
        return Adjustment(change=Change.RETURN, factor=SHORT_LOAD, sets=SetsChange.ONE_FEWER, low_end=True)
    if weeks_away <= MIDDLE_WEEKS:
        return Adjustment(change=Change.RETURN, factor=MIDDLE_LOAD, sets=SetsChange.HALF, low_end=True)
    if weeks_away <= LONG_WEEKS:
        far = (weeks_away - MIDDLE_WEEKS) / (LONG_WEEKS - MIDDLE_WEEKS)
        return Adjustment(
            change=Change.RETURN,
            factor=LONG_LOADS[0] + far * (LONG_LOADS[1] - LONG_LOADS[0]),
            least_left=LONG_LEFT,
            sets=SetsChange.FLOOR,
            low_end=True,
            weeks=2.0,
        )
    return StartAfresh()


def tired(choice: Tired) -> Adjustment | None:
    """What the choice of a tired lifter changes; None for as planned."""
    match choice:
        case Tired.ONE_MORE_LEFT:
            return Adjustment(change=Change.TIRED, more_left=1.0)
        case Tired.ONE_SET_FEWER:
            return Adjustment(change=Change.TIRED, sets=SetsChange.ONE_FEWER)
        case Tired.AS_PLANNED:
            return None


def adjusted_session(session: PlannedSession, adjustments: tuple[Adjustment, ...]) -> PlannedSession:
    """The session with as many sets as the adjustments leave, at least one a lift."""
    lifts = session.lifts
    for each in adjustments:
        lifts = tuple(lift for old in lifts if (lift := _adjusted(old, each.sets)) is not None)
    return replace(session, lifts=lifts)


def reduced_week_allowed(*, weeks_since_reduced: float | None) -> bool:
    """Whether an earlier reduced week may be taken: not within three weeks of the last one or of a week off. [weeks]"""
    return weeks_since_reduced is None or weeks_since_reduced >= REDUCED_EVERY_WEEKS


def _adjusted(lift: PlannedLift, sets: SetsChange) -> PlannedLift | None:
    match sets:
        case SetsChange.AS_PLANNED:
            return lift
        case SetsChange.ONE_FEWER:
            return replace(lift, sets=max(1, lift.sets - 1))
        case SetsChange.HALF:
            return replace(lift, sets=-(-lift.sets // 2))
        case SetsChange.FLOOR:
            # Two sets a lift on two or three days come to the floor of four; back-off sets are beyond it.
            return None if lift.role is Role.BACK_OFF else replace(lift, sets=min(2, lift.sets))
