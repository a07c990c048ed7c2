"""Guidance: what a planned session tells: the day, the next set, its reasons, a tested maximum; values, no text."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from core.domain.plans import DayKind
from core.domain.prescriptions import Bound, Place, PrescribedLift, WarmUpSet, Why
from core.domain.session_commands import Cue
from core.domain.units import Load, Unit


class Move(StrEnum):
    """What happens to the load after a set."""

    SAME = "same"
    UP = "up"
    DOWN = "down"
    END = "end of the lift"


class Reason(StrEnum):
    """Why the load moves, or stays."""

    AS_EXPECTED = "as expected"
    UNTOLD = "effort not told, reps made"
    NOT_CLEAR = "not clear enough"
    EASIER = "clearly easier than expected"
    RAISED_ONCE = "raised once already"
    LATE = "too late in the lift to go up"
    STEP_TOO_LARGE = "the smallest step is too large"
    KEPT_BACK = "safeties or screening"
    HARDER = "harder than expected"
    ONE_MISSED = "one rep missed"
    FAILED = "failed"
    FAILED_TWICE = "failed twice"
    LIGHTEST = "nothing lighter"


class NoSession(StrEnum):
    """Why there is no session to do."""

    NO_PLAN = "no plan"
    REST = "rest"
    AWAY = "away"
    SICK = "sick"
    STOPPED = "stopped"
    DONE = "done"
    SKIPPED = "skipped"
    EMPTY = "empty"


@dataclass(frozen=True, slots=True, kw_only=True)
class NoSessionTold:
    """There is nothing to do today, and when there is: the next session's day and kind, where one is known."""

    why: NoSession
    next_day: date | None = None
    kind: DayKind | None = None


class DayChange(StrEnum):
    """What was changed about today's session."""

    SWAPPED = "swapped"
    LEFT_OUT = "left out"
    SHORTENED = "shortened"
    SET_ADDED = "set added"
    EASIER = "one more left"
    FEWER_SETS = "one set fewer"
    AS_PLANNED = "as planned"
    SPOTTER = "spotter"
    BROUGHT_HERE = "brought here"
    REPEATED = "repeated"
    EASED = "eased"
    OUT_THIS_WEEK = "out this week"
    ENDED = "region ended"
    BETTER = "better"
    BACK_EASED = "back eased"


@dataclass(frozen=True, slots=True, kw_only=True)
class LiftTold:
    """One lift of a session with the way its load is told.

    Args:
        lift: As it is prescribed.
        done: Work sets done of it.
        per_hand: The load is told for one hand.
        body_mass: The load is added to body mass, or, negative, taken off it.
        finding_at: What to load next while its load is being found; None before that began.

    """

    lift: PrescribedLift
    done: int = 0
    finding_at: Load | None = None
    per_hand: bool = False
    body_mass: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class TodayTold:
    """The day's session: what is left of it, the next lift first.

    Args:
        day: The day.
        kind: What it asks of the main lift; None without it.
        minutes: How long what is left takes. [min]
        lifts: What is left.
        cue: One technique reminder, once a session.
        reduced: The week is a reduced one.
        change: What was just changed about it.
        about: What that is about: an exercise, minutes.
        hurting: Places that hurt, for which lifts are eased.
        spared: Places with a sharp pain, for which lifts are left out until a clinician has looked.
        rested: Places for which lifts are left out until a day.
        back_after: Time away after which the session is eased in; None where it is not. [d]
        screening_open: Screening is to be asked again after that.

    """

    day: date
    kind: DayKind | None
    minutes: int
    lifts: tuple[LiftTold, ...]
    cue: Cue | None = None
    reduced: bool = False
    change: DayChange | None = None
    about: str = ""
    hurting: tuple[Place, ...] = ()
    spared: tuple[Place, ...] = ()
    rested: tuple[tuple[Place, date], ...] = ()
    back_after: int | None = None
    screening_open: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class NextSetTold:
    """The next set of a lift that is going on.

    Args:
        lift: The lift.
        number: Which work set it is, from 1.
        of: How many there are.
        load: What to load.
        reps: Repetitions. [repetitions]
        side: Plates of one side, where the load changed on a bar.
        changed: The load is another one than in the set before.
        move: What happens to the load.
        reason: Why.
        finding: The load is still to be found: the repetitions left are asked for.

    """

    lift: LiftTold
    number: int
    of: int
    load: Load
    reps: int
    side: tuple[Load, ...] = ()
    changed: bool = False
    move: Move = Move.SAME
    reason: Reason = Reason.AS_EXPECTED
    finding: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class NextLiftTold:
    """A lift is done and the next one begins; `ended` tells that it was ended early, after two failed sets."""

    lift: LiftTold
    ended: bool = False


@dataclass(frozen=True, slots=True)
class LastLiftDone:
    """All lifts of the session are done."""

    ended: bool = False


Coming = NextSetTold | NextLiftTold | LastLiftDone
"""What comes after a set."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WhyTold:
    """How a load came about, first step first.

    Args:
        exercise: The lift.
        load: What it came to; None where it is to be found.
        unit: Unit of all masses told.
        why: The chain to the load of the day.
        since: What the sets done since changed, in order: the load after each change.
        cuts: Changes of the day's session that were asked for, such as `short 30`.
        out: Exercises that are left out because something hurts.
        taken: The load that the lifter took in place of the one given out, from which the next set goes on; else None.

    """

    exercise: str
    load: Load | None
    unit: Unit
    why: tuple[Why, ...]
    since: tuple[tuple[Move, Reason, Load], ...] = ()
    cuts: tuple[str, ...] = ()
    out: tuple[str, ...] = ()
    taken: Load | None = None


@dataclass(frozen=True, slots=True)
class MovedAway:
    """Today's session was moved to another day.

    Args:
        to: That day.
        swapped: It changed places with that day's session.
        beside: A day next to it whose session trains some of the same muscles; None if there is none.
        beside_today: The same of today, where that day's session came here.

    """

    to: date
    swapped: bool = False
    beside: date | None = None
    beside_today: date | None = None


@dataclass(frozen=True, slots=True)
class CueTold:
    """A technique reminder that was said to fail; it comes more often from now on."""

    cue: Cue


class MaximumEnd(StrEnum):
    """Why a tested maximum is over."""

    MISSED = "missed"
    ATTEMPTS = "three attempts"
    HEAVIEST = "heaviest load there is"


class MaximumRefusal(StrEnum):
    """Why no maximum is tested."""

    ALONE = Bound.ALONE.value
    SCREENED = Bound.SCREENED.value
    STOPPED = "warning sign"
    REDUCED_WEEK = "reduced week"
    HURTS = "hurts"
    NO_ESTIMATE = "no estimate"
    NOT_THIS_LIFT = "not this lift"


@dataclass(frozen=True, slots=True, kw_only=True)
class MaximumTold:
    """The way to a tested maximum: the steps, the first attempt, whether the bar is over the lifter. Rests [s].

    `reach` is the most that the attempts can come to, told where that is below the estimate: the estimate is not sure
    enough yet for a test.
    """

    exercise: str
    steps: tuple[WarmUpSet, ...]
    first: WarmUpSet
    step_rest_s: int
    attempt_rest_s: tuple[int, int]
    under_the_bar: bool
    reach: Load | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class AttemptTold:
    """The next attempt. Rests [s]."""

    exercise: str
    number: int
    load: Load
    side: tuple[Load, ...]
    rest_s: tuple[int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class MaximumOver:
    """A tested maximum is over: why, and the heaviest load that was made; None where none was.

    `more_there` tells that nothing was missed and the best could be lifted twice by the estimate: it is no maximum.
    """

    exercise: str
    why: MaximumEnd
    best: Load | None
    more_there: bool = False


@dataclass(frozen=True, slots=True)
class MaximumRefused:
    """No maximum is tested, and why."""

    exercise: str
    why: MaximumRefusal


Guidance = (
    NoSessionTold
    | TodayTold
    | NextSetTold
    | NextLiftTold
    | LastLiftDone
    | WhyTold
    | MovedAway
    | CueTold
    | MaximumTold
    | AttemptTold
    | MaximumOver
    | MaximumRefused
)
