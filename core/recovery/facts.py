"""Facts that advice rests on: what is known of the week and of one muscle; values, no text."""

from dataclasses import dataclass

from core.domain.advice import OFFERS, Rule
from core.domain.checkins import Ache, Tag
from core.domain.exercises import Muscle
from core.recovery.wellness import BesidePast


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
        lean: Deviations from expectation of the last exposures together, negative below it; None without any. [1]
        since_earlier: Deviations of the estimate from the lifter's own of three months ago, negative below it; None
            where there is none, or a pause lies between. [1]
        since_added: The same from before sets were last added, some weeks ago. [1]

    Raises:
        ValueError: Anything out of its range.

    """

    rising_probability: float
    weeks: int
    exposures: int
    down: bool
    lean: float | None = None
    since_earlier: float | None = None
    since_added: float | None = None

    def __post_init__(self) -> None:
        if not 0.0 <= self.rising_probability <= 1.0:
            raise ValueError(f"not a probability: {self.rising_probability}")
        if self.weeks < 0 or self.exposures < 0:
            raise ValueError("a trend has no negative length")


@dataclass(frozen=True, slots=True)
class LastCut:
    """The last accepted cut of a muscle's sets.

    Args:
        weeks_ago: How long ago. [weeks]
        below: Weekly sets below which they stay meanwhile. [sets]
        remembered: How long sets stay below what they were. [weeks]

    """

    weeks_ago: int
    below: int
    remembered: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekFacts:
    """What is known of the lifter's week.

    Args:
        beside_past: The check-in beside the lifter's past; None without a check-in.
        check_ins: How many there were, this one included.
        weeks_below: Weeks running, this one included, below the lifter's own median. [weeks]
        shortfall: What the answers came to below the lifter's own usual over weeks. [points]
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
    shortfall: float = 0.0
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
