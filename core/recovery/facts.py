"""Facts that advice rests on, of the week and of one muscle, and the advice itself with its trace; values, no text."""

from dataclasses import dataclass
from enum import StrEnum

from core.domain.checkins import Ache, Tag
from core.domain.exercises import Muscle
from core.recovery.wellness import BesidePast


class Rule(StrEnum):
    """A rule of the check-in's advice; they are looked at in this order, and the first that applies decides."""

    WARNING_SIGN = "warning sign"
    PAIN = "pain"
    NO_JUDGEMENT = "no judgement"
    RELIEF = "relief"
    TOO_MUCH = "too much"
    RISING = "rising"
    ENOUGH = "enough"
    LOSING_MASS = "losing mass"
    BUILD_UP = "build up"
    FLAT = "flat"
    TOO_EARLY = "too early"


OFFERS = frozenset({Rule.RELIEF, Rule.TOO_MUCH, Rule.BUILD_UP, Rule.FLAT})
"""Rules that change sets, which the lifter may decline; the others only keep, or take care."""


class Action(StrEnum):
    """What is advised for one muscle."""

    STOP = "stop"
    STOP_HERE = "stop here"
    CHANGE_EXERCISE = "change exercise"
    KEEP_WITH_CARE = "keep with care"
    KEEP = "keep"
    REDUCED_WEEK = "reduced week"
    CUT = "cut"
    LOOK_ELSEWHERE = "look elsewhere"
    ADD = "add"


class Fact(StrEnum):
    """A figure that a rule looks at."""

    WARNED = "warned"
    ACHE = "ache"
    ILL = "ill"
    DONE_SHARE = "done share"
    LIFTS_UNDER = "lifts under"
    WEEKS_BELOW = "weeks below"
    RELIEF_ASKED = "relief asked"
    WEEKS_SINCE_REDUCED = "weeks since reduced"
    DOWN = "down"
    STEPS = "steps"
    RISING_PROBABILITY = "rising probability"
    TREND_WEEKS = "trend weeks"
    TREND_EXPOSURES = "trend exposures"
    WEEKLY_SETS = "weekly sets"
    ROOM = "room"
    MASS_CHANGE = "mass change"
    CUTTING = "cutting"
    CHECK_INS = "check-ins"
    COMPLETE = "complete"
    LOWEST_ANSWER = "lowest answer"
    ON_TARGET = "on target"
    WEEKS_SINCE_CHANGE = "weeks since change"
    WEEKS_SINCE_CUT = "weeks since cut"
    HAS_ESTIMATE = "has estimate"


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure as a rule saw it.

    Args:
        what: Which.
        value: What it was; None where it is not known.
        met: Whether it spoke for the rule.
        bound: What it was held against, if it is a number.

    """

    what: Fact
    value: float | bool | Ache | None
    met: bool
    bound: float | None = None


@dataclass(frozen=True, slots=True)
class Look:
    """One rule that was looked at.

    Args:
        rule: Which.
        applies: Whether its condition held.
        figures: What it looked at, in order.
        declined: It was declined before and its reasons have not grown since, so the next rules were looked at.

    """

    rule: Rule
    applies: bool
    figures: tuple[Figure, ...] = ()
    declined: bool = False


@dataclass(frozen=True, slots=True)
class Declined:
    """Advice that the lifter declined.

    Args:
        rule: The rule that had brought it; `Advice.besides` where that lowered the sets beside pain.
        reasons: As `Advice` had them.
        weeks_ago: When. [weeks]

    Raises:
        ValueError: A rule that offers nothing to decline; care and judgement cannot be declined away.

    """

    rule: Rule
    reasons: tuple[int, ...]
    weeks_ago: int

    def __post_init__(self) -> None:
        if self.rule not in OFFERS:
            raise ValueError(f"nothing to decline: {self.rule}")


@dataclass(frozen=True, slots=True)
class Performance:
    """How strength went on the lifts that train a muscle; weeks and exposures of reduced weeks and illness left out.

    Args:
        rising_probability: Probability that strength rises. [0 to 1]
        weeks: Weeks that the trend is over. [weeks]
        exposures: Sessions with such a lift in them.
        down: Performance lies below expectation beyond noise.

    Raises:
        ValueError: Anything out of its range.

    """

    rising_probability: float
    weeks: int
    exposures: int
    down: bool

    def __post_init__(self) -> None:
        if not 0.0 <= self.rising_probability <= 1.0:
            raise ValueError(f"not a probability: {self.rising_probability}")
        if self.weeks < 0 or self.exposures < 0:
            raise ValueError("a trend has no negative length")


@dataclass(frozen=True, slots=True)
class LastCut:
    """The last accepted cut of a muscle's sets: how long ago, and from how many weekly sets."""

    weeks_ago: int
    from_sets: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekFacts:
    """What is known of the lifter's week.

    Args:
        beside_past: The check-in beside the lifter's past; None without a check-in.
        check_ins: How many there were, this one included.
        weeks_below: Weeks running, this one included, below the lifter's own median. [weeks]
        warned: A warning sign still keeps training suggestions back.
        ill: Ill in this week.
        done_share: Sessions done of those planned; None without a plan. [1]
        lifts_under: Lifts that were beyond noise under expectation in two exposures running.
        relief_asked: The lifter asked for a reduced week.
        weeks_since_reduced: Weeks since the last reduced week or week off; None if there was none. [weeks]
        mass_change_per_week: Change of body mass as a share of it; None if not told. [1/week]
        tags: What the lifter said about the week.
        declined: Reduced weeks that were declined.

    """

    beside_past: BesidePast | None
    check_ins: int
    weeks_below: int = 0
    warned: bool = False
    ill: bool = False
    done_share: float | None = None
    lifts_under: int = 0
    relief_asked: bool = False
    weeks_since_reduced: int | None = None
    mass_change_per_week: float | None = None
    tags: frozenset[Tag] = frozenset()
    declined: tuple[Declined, ...] = ()

    def __post_init__(self) -> None:
        if self.done_share is not None and not self.done_share >= 0.0:
            raise ValueError(f"not a share of sessions: {self.done_share}")


@dataclass(frozen=True, slots=True, kw_only=True)
class MuscleFacts:
    """What is known of one muscle.

    Args:
        muscle: Which.
        rank: Its place among what matters to the lifter, 1 first; equal ranks go in the order of `Muscle`.
        target: Planned weekly hard sets; without a plan, what was done, rounded. [sets]
        weekly_sets: Hard sets done in the week. [sets]
        floor: Fewest weekly sets. [sets]
        ceiling: Most weekly sets. [sets]
        weeks_since_change: Weeks since the target last changed, or since it began. [weeks]
        ache: The most serious ache where training this muscle loads the body.
        on_target: The last sets ended with the reps left that were planned; None if that is not known.
        performance: How strength went; None without an estimate.
        cut: The last accepted cut.
        declined: Advice for this muscle that was declined.

    Raises:
        ValueError: A negative number of sets, or a floor above the ceiling.

    """

    muscle: Muscle
    rank: int
    target: int
    weekly_sets: float
    floor: int
    ceiling: int
    weeks_since_change: int
    ache: Ache | None = None
    on_target: bool | None = None
    performance: Performance | None = None
    cut: LastCut | None = None
    declined: tuple[Declined, ...] = ()

    def __post_init__(self) -> None:
        if not 0 <= self.floor <= self.ceiling:
            raise ValueError(f"the floor lies between 0 and the ceiling, not {self.floor} and {self.ceiling}")
        if self.target < 0 or not self.weekly_sets >= 0.0:
            raise ValueError("weekly sets are not negative")


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """What to do about one muscle's sets.

    Args:
        muscle: Which.
        rule: The rule that decided.
        besides: After `Rule.PAIN`, the rule that lowers the sets as it would without pain.
        action: What is advised.
        change: Lasting change of the weekly target. [sets]
        sets: Weekly sets of the coming week, which a reduced week, pain or a warning sign lowers for now. [sets]
        reasons: How strong the reasons are; kept if it is declined, so that it returns only when they grew.
        waits_for: The muscle that comes first where this one would have been raised.
        explained_by: What the lifter said about a week whose dip brought the advice.
        trace: The rules looked at, in order. After `Rule.PAIN` the trace goes on: a cut that is due stays due.

    """

    muscle: Muscle
    rule: Rule
    besides: Rule | None = None
    action: Action
    change: int
    sets: int
    reasons: tuple[int, ...] = ()
    waits_for: Muscle | None = None
    explained_by: frozenset[Tag] = frozenset()
    trace: tuple[Look, ...]
