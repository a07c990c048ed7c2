"""Set-ups: how a lifter trains, as they settled it: wishes, equipment, care, and the times of messages."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date, time
from enum import StrEnum
from types import MappingProxyType

from core.domain.checkins import Ache, Tag
from core.domain.equipment import Owned, usual_gym
from core.domain.plans import Wishes
from core.domain.prescriptions import Care, Place
from core.domain.units import Unit

USUAL_SESSIONS = 3
"""Sessions a week until the lifter says otherwise. [sessions] Two to three days a week for a start: ACSM position stand
2009, MSSE 41:687-708."""


class SetupStep(StrEnum):
    """One question of setting up."""

    UNITS = "units"
    SCREENING = "screening"
    SAFETIES = "safeties"
    DAYS = "days"
    MINUTES = "minutes"
    EQUIPMENT = "equipment"
    MATTERS = "what matters"
    STRENGTH = "recent sets"
    SETS_NOW = "sets now"
    TIMES = "times"


_USUAL_WISHES = Wishes(sessions=USUAL_SESSIONS)

_CAREFUL = Care()


@dataclass(frozen=True, slots=True)
class Away:
    """A time without training.

    Args:
        since: First day away.
        until: First day back, where it was told; None for "until I write".
        sick: Away because of illness: no training advice, and the weeks leave the trend.
        told: The lifter was told how training begins again.

    """

    since: date
    until: date | None = None
    sick: bool = False
    told: bool = False


@dataclass(frozen=True, slots=True)
class Hurting:
    """A place that hurts, how it behaves, since when it was told so, and until which day what loads it is left out."""

    place: Place
    ache: Ache
    since: date
    out_until: date | None = None

    def is_out(self, day: date) -> bool:
        """Whether what loads the place is left out on a day."""
        return self.out_until is not None and day < self.out_until


@dataclass(frozen=True, slots=True)
class Tagged:
    """What explains a dip, and since when it was told."""

    tag: Tag
    since: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Setup:
    """How a lifter trains, as they settled it; what was never told has its careful default.

    Args:
        asked: The question of setting up that waits for an answer; None when none does.
        answered: Questions that were answered, by an answer or by a setting.
        skipped: Questions that were skipped.
        wishes: What the lifter wants of a week.
        owned: What they can load with; None for a usual gym in their unit.
        care: What they said about screening and safeties.
        screened_on: When screening was last answered; what applies is not kept.
        paused_bench: Their plain bench press is paused; None until told.
        check_in_day: Weekday of the check-in, 0 for Monday.
        check_in_at: When it is sent, by the lifter's wall clock; None for never.
        spotter_on: The day for which a spotter was told.
        failing: How often each technique reminder was said to fail, by its name.
        shown: How often each was shown, by its name.
        reminded_on: The day of the last one.
        away: A time without training that is going on or was the last one.
        hurting: What hurts now.
        recent_on: When sets of the last weeks were told: until then the lifter trained, whatever the log holds.
        cautious: Other reasons for no maximal tests and no failure, such as talk of fast cuts.
        cutting: Losing body mass on purpose: it explains a dip, and changes nothing by itself.
        tagged: Travel and night shifts that are going on: they explain a dip too.

    """

    asked: SetupStep | None = None
    answered: frozenset[SetupStep] = frozenset()
    skipped: frozenset[SetupStep] = frozenset()
    wishes: Wishes = _USUAL_WISHES
    owned: Owned | None = None
    care: Care = _CAREFUL
    screened_on: date | None = None
    paused_bench: bool | None = None
    check_in_day: int = 6
    check_in_at: time | None = time(18, 0)
    spotter_on: date | None = None
    failing: Mapping[str, int] = field(default_factory=dict)
    shown: Mapping[str, int] = field(default_factory=dict)
    reminded_on: date | None = None
    away: Away | None = None
    hurting: tuple[Hurting, ...] = ()
    recent_on: date | None = None
    cautious: bool = False
    cutting: bool = False
    tagged: tuple[Tagged, ...] = ()

    def __post_init__(self) -> None:
        """Keep what is handed in from changing later."""
        # A frozen dataclass sets what it derives from its own arguments in this way only.
        object.__setattr__(self, "failing", MappingProxyType(dict(self.failing)))
        object.__setattr__(self, "shown", MappingProxyType(dict(self.shown)))

    def gym(self, unit: Unit) -> Owned:
        """What the lifter can load with; a usual gym until they say otherwise."""
        return usual_gym(unit) if self.owned is None else self.owned

    def care_on(self, day: date) -> Care:
        """What safeties and screening allow on a day."""
        return replace(
            self.care,
            spotter_today=self.spotter_on == day,
            cautious=self.care.cautious or self.cautious,
        )


NEW_SETUP = Setup()
"""A lifter who told nothing yet."""
