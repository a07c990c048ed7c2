"""Plans: a lifter's wishes, and the week and the block laid out for them."""

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from core.domain.exercises import Muscle

DAYS = 7
"""Days of a week. [d]"""

MOST_WEEKLY_SETS = 40
"""Highest ceiling that can be wished. [sets] Twice the number from which more sets are no answer (cp)."""

SHORTEST_SESSION_MIN = 15
"""Shortest session that is laid out. [min] The main lift's warm-up and three sets take as long."""

LONGEST_SESSION_MIN = 180
"""Longest session that is laid out. [min]"""


class DayKind(StrEnum):
    """What a day asks of the main lift."""

    STRENGTH = "strength"
    VOLUME = "volume"
    POWER = "power"


class Role(StrEnum):
    """What a lift is to its session; sessions are in this order."""

    MAIN = "main lift"
    BACK_OFF = "back-off sets"
    PRESS = "second press"
    ROW = "row"
    MULTI_JOINT = "multi-joint"
    SINGLE_JOINT = "single-joint"


@dataclass(frozen=True, slots=True, kw_only=True)
class Wishes:
    """What a lifter wants of a week.

    Args:
        days: Weekdays to train on, 0 for Monday; empty when sessions are taken in line.
        sessions: Sessions a week, next in line; 0 when days are fixed.
        minutes: Longest session. [min]
        main: Name of the main lift.
        most: Muscles that matter most, the first before all.
        left_out: Muscles that get no sets of their own.
        banned: Exercises never to be planned.
        liked: Exercises to be preferred.
        sets_now: Hard sets a week that the lifter does now or has accepted, by muscle. [sets]
        floor: Fewest weekly hard sets of a muscle. [sets]
        ceiling: Most weekly hard sets of a muscle. [sets]
        pressing_days: Days of the main lift; None leaves it to the plan.

    Raises:
        ValueError: A wish that no week can have.

    """

    days: tuple[int, ...] = ()
    sessions: int = 0
    minutes: int = 60
    main: str = "bench press"
    most: tuple[Muscle, ...] = (Muscle.CHEST,)
    left_out: frozenset[Muscle] = frozenset()
    banned: frozenset[str] = frozenset()
    liked: frozenset[str] = frozenset()
    sets_now: tuple[tuple[Muscle, float], ...] = ()
    floor: int = 4
    ceiling: int = 16
    pressing_days: int | None = None

    def __post_init__(self) -> None:
        """Refuse days that no week has and bounds that cross."""
        if tuple(sorted(set(self.days))) != self.days or not all(0 <= day < DAYS for day in self.days):
            raise ValueError(f"weekdays are told once, in order, from 0 to 6: {self.days}")
        if bool(self.days) == bool(self.sessions) or not 0 <= self.sessions <= DAYS:
            raise ValueError("either weekdays or a number of sessions, at most seven")
        if not SHORTEST_SESSION_MIN <= self.minutes <= LONGEST_SESSION_MIN:
            raise ValueError(f"not a session's minutes: {self.minutes}")
        if not 0 <= self.floor <= self.ceiling <= MOST_WEEKLY_SETS:
            raise ValueError(f"no floor and ceiling: {self.floor}, {self.ceiling}")
        if self.pressing_days is not None and not 1 <= self.pressing_days <= min(4, len(self.days) or self.sessions):
            raise ValueError(f"not a number of pressing days: {self.pressing_days}")
        if any(sets < 0 for _, sets in self.sets_now):
            raise ValueError("sets a week are none or more")
        if self.main in self.banned:
            raise ValueError(f"{self.main}: the main lift, and never to be planned")

    @property
    def training_days(self) -> tuple[int, ...]:
        """Weekdays of the sessions; sessions taken in line are spread evenly over the week."""
        return self.days or tuple(place * DAYS // self.sessions for place in range(self.sessions))


@dataclass(frozen=True, slots=True, kw_only=True)
class Scheme:
    """What each set of a lift asks for.

    Args:
        reps: Repetitions. [repetitions]
        top: Most repetitions before the load goes up, where the smallest step is large. [repetitions]
        left: Repetitions left after the last set, as the lifter reports them; None asks for no effort. [repetitions]
        share: Share of the estimated maximum that fixes the load instead; None leaves it to `left`. [1]

    """

    reps: int
    top: int
    left: float | None
    share: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedLift:
    """One lift of a planned session."""

    exercise: str
    role: Role
    sets: int
    scheme: Scheme


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedSession:
    """One session of a planned week.

    Args:
        day: Weekday, 0 for Monday; with sessions in line only their order counts.
        kind: What the day asks of the main lift; a day without it is a volume day.
        lifts: In the order in which they are done.
        seconds: How long it takes, at most. [s]

    """

    day: int
    kind: DayKind
    lifts: tuple[PlannedLift, ...]
    seconds: int

    @property
    def main_kind(self) -> DayKind | None:
        """What it asks of the main lift; None without it."""
        return self.kind if any(lift.role is Role.MAIN for lift in self.lifts) else None


class Reason(StrEnum):
    """Why a muscle's sets are not what was wished, or which wish stands against it."""

    MINUTES = "minutes"
    DAYS = "days"
    EQUIPMENT = "equipment"
    BANNED = "banned exercises"
    LEFT_OUT = "muscles left out"
    CEILING = "ceiling"
    SETS = "sets a week"
    PRESSING_DAYS = "pressing days"
    PULLS = "pulls at least as many as presses"


@dataclass(frozen=True, slots=True)
class Miss:
    """A muscle whose weekly sets lie outside the tolerance around the target. [sets]"""

    muscle: Muscle
    target: float
    planned: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekPlan:
    """A week of sessions that stays for a block.

    Args:
        sessions: In order of their days.
        muscles: Weekly hard sets of each muscle that gets any. [sets]
        targets: What was aimed at. [sets]
        misses: Targets that the week does not meet within the tolerance.
        without_main: Pressing days that the main lift found no room on.

    """

    sessions: tuple[PlannedSession, ...]
    muscles: tuple[tuple[Muscle, float], ...]
    targets: tuple[tuple[Muscle, float], ...]
    misses: tuple[Miss, ...] = ()
    without_main: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Conflict:
    """A wish that stands against the others.

    Args:
        reason: Which wish.
        enough: Giving up this one alone meets everything.
        value: What would be needed: minutes, or days a week; None where the wish has no number.
        lacking: Sets outside the tolerance that remain when it is given up. [sets]

    """

    reason: Reason
    enough: bool
    value: int | None
    lacking: float


class Difference(StrEnum):
    """What an offered week has of its own."""

    USUAL = "usual"
    MORE_PRESSING = "more pressing days"
    FEWER_PRESSING = "fewer pressing days"
    OTHER_LIFTS = "other lifts"


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """Weeks on one layout, then one with less work."""

    week: WeekPlan
    weeks: int
    reduced: WeekPlan


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A block of weeks that a lifter trains by, from a day on.

    Args:
        id: The store's number; 0 before it has one.
        lifter_id: Whose it is.
        starts: First day of its first week.
        made_at: When it was made; aware.
        block: Its weeks; after the last one the block begins again.
        wishes: What it was laid out for.
        own: The lifter laid it out; nothing in it is changed by the program.
        ended_on: First day on which it held no more; None while it holds.
        relieved: Weeks, from 0, that are reduced ahead of the block's own reduced week; the block begins anew after
            each.

    """

    id: int = 0
    lifter_id: int
    starts: date
    made_at: datetime
    block: Block
    wishes: Wishes
    own: bool = False
    ended_on: date | None = None
    relieved: tuple[int, ...] = ()
