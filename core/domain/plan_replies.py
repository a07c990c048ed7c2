"""Replies about the plan: what is set, the block, what was missed, times away, plates."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from core.domain.equipment import Bar
from core.domain.plan_commands import PlanCommand
from core.domain.plans import Conflict, Difference, Plan, WeekPlan
from core.domain.prescriptions import PlannedDay
from core.domain.units import Load


@dataclass(frozen=True, slots=True)
class Noted:
    """A setting that was taken over."""

    command: PlanCommand


class PlanRefusal(StrEnum):
    """Why something about the plan is not done."""

    NO_PLAN = "no plan"
    ALREADY_OFF = "already off"
    IS_MAIN_LIFT = "is main lift"
    NOT_A_MAIN_LIFT = "not a main lift"
    NO_SUCH_BAR = "no such bar"
    NO_BARBELL = "no barbell"
    TOO_MANY_LOADS = "too many loads"
    NOT_AWAY = "not away"
    DAY_GONE = "day gone"
    NO_SUCH_OFFER = "no such offer"
    STOPPED = "stopped"
    NOT_IN_CATALOGUE = "not in catalogue"


@dataclass(frozen=True, slots=True)
class PlanRefused:
    """Something about the plan that is not done, and why; `about` names what it is about."""

    why: PlanRefusal
    about: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanTold:
    """The block on one screen.

    Args:
        plan: The plan.
        week: Week of the block, from 1; the one past the last is the reduced one.
        days: Sessions of this week as they stand.
        new: It was made just now.
        conflicts: Wishes that stand against a week that meets all targets.
        away_until: They are away; the first day back, `date.max` for until they say so; None while they train.

    """

    plan: Plan
    week: int
    days: tuple[PlannedDay, ...]
    new: bool = False
    conflicts: tuple[Conflict, ...] = ()
    away_until: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanChanged:
    """A wish changed the weeks to come.

    Args:
        starts: First day of the first changed week.
        changed: How many sessions differ.
        sessions: How many there are.
        week: The week.
        conflicts: Wishes that stand against a week that meets all targets.

    """

    starts: date
    changed: int
    sessions: int
    week: WeekPlan
    conflicts: tuple[Conflict, ...] = ()


@dataclass(frozen=True, slots=True)
class PlanEnded:
    """There is no plan any more; everything else goes on."""


@dataclass(frozen=True, slots=True)
class OfferTold:
    """One of the weeks to choose from."""

    difference: Difference
    week: WeekPlan


@dataclass(frozen=True, slots=True, kw_only=True)
class PlatesTold:
    """Plates a side for a load.

    Args:
        wanted: What was asked for.
        made: What can be made nearest to it; the same where it can be made exactly.
        bar: On which bar.
        side: Discs of one side, heaviest first.
        exact: The load that is wished can be made to the last gram.
        above: The next load up where it cannot; None if there is none.
        above_side: Its discs of one side.

    """

    wanted: Load
    made: Load
    bar: Bar
    side: tuple[Load, ...]
    exact: bool
    above: Load | None = None
    above_side: tuple[Load, ...] = ()


@dataclass(frozen=True, slots=True)
class MissedTold:
    """A session whose day has passed: where it went, None for dropped; and one that gave way to it."""

    missed: PlannedDay
    to: date | None
    gave_way: PlannedDay | None = None


@dataclass(frozen=True, slots=True)
class AwayTold:
    """Away from now on; the first day back where it was told."""

    until: date | None
    sick: bool = False


class ReturnKind(StrEnum):
    """How a return is eased in."""

    AS_PLANNED = "as planned"
    SHORT = "short"
    MIDDLE = "middle"
    LONG = "long"
    AFRESH = "afresh"


@dataclass(frozen=True, slots=True)
class BackTold:
    """Back after some days away, and how training begins again. [d]

    By the clock it is said on the morning that was told as the first day back.
    """

    days: int
    kind: ReturnKind
    was_sick: bool = False
    by_clock: bool = False


PlanReply = Noted | PlanRefused | PlanTold | PlanChanged | PlanEnded | PlatesTold | MissedTold | AwayTold | BackTold
