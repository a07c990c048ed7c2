"""Replies of the check-in: the week beside the lifter's own past, advice, session load and charts, as values."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from core.domain.advice import AdviceAnswer, GivenAdvice
from core.domain.checkins import Item, Pain
from core.domain.exercises import Muscle
from core.domain.units import Load, Unit


@dataclass(frozen=True, slots=True)
class AnswerTold:
    """One answer of a check-in beside the same lifter's own.

    Args:
        item: The question.
        answer: This week's, 5 the best. [1]
        usual: Median of past weeks; None without any. [1]

    """

    item: Item
    answer: int
    usual: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckInTold:
    """A check-in as it was kept.

    Args:
        week: First day of the week that it is about.
        until: Last day on which it can be changed.
        answers: In the order in which they are asked.
        pains: What hurts; None where it was not answered.
        body_mass: If told.
        ask_mass: It was not told, and the lifter never said not to ask for it.

    """

    week: date
    until: date
    answers: tuple[AnswerTold, ...]
    pains: tuple[Pain, ...] | None
    body_mass: Load | None = None
    ask_mass: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class AdviceTold:
    """Advice after a check-in, or on request.

    Args:
        given: For each muscle that there is anything to say of, the one that matters most first.
        starts: First day of the week that it is for.
        planned: The lifter has a plan that follows it.

    """

    given: tuple[GivenAdvice, ...]
    starts: date
    planned: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class AdviceTaken:
    """What the lifter answered to advice, and what follows.

    Args:
        answer: What they said.
        given: The advice, with what holds from now on.
        starts: First day on which it holds.
        planned: The plan follows it from that day on.
        misses: Muscles whose sets the plan can't bring to what was taken, for want of minutes or days.

    """

    answer: AdviceAnswer
    given: tuple[GivenAdvice, ...]
    starts: date
    planned: bool
    misses: tuple[Muscle, ...] = ()


@dataclass(frozen=True, slots=True)
class AdviceReasoned:
    """How a piece of advice came about."""

    given: GivenAdvice


@dataclass(frozen=True, slots=True, kw_only=True)
class SessionLoadTold:
    """One session's load.

    Args:
        day: When.
        minutes: How long it took. [min]
        effort: Effort of the whole session; None where it was not told. [0 to 10]
        load: Effort times minutes; None without an effort. [effort x min]

    """

    day: date
    minutes: int
    effort: float | None
    load: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadTold:
    """Session load of seven days; no figure of it is good or bad.

    Args:
        first: First day.
        last: Seventh day.
        sessions: In order of their days.
        total: Sum of the loads. [effort x min]
        monotony: Mean daily load over its standard deviation; None where all days are equal. [1]
        strain: Total times monotony; None without it. [effort x min]

    """

    first: date
    last: date
    sessions: tuple[SessionLoadTold, ...]
    total: float
    monotony: float | None
    strain: float | None


@dataclass(frozen=True, slots=True)
class EstimatePoint:
    """An estimated maximum after one session, with its interval. [kg]"""

    day: date
    estimate_kg: float
    low_kg: float
    high_kg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class EstimateChart:
    """The estimate of a lift over time, oldest first."""

    exercise: str
    unit: Unit
    points: tuple[EstimatePoint, ...]
    level: float = 0.9


@dataclass(frozen=True, slots=True, kw_only=True)
class SetsChart:
    """Hard sets per muscle and week, the oldest week first.

    Args:
        weeks: First day of each week.
        muscles: Muscle, and its sets in each of the weeks. [sets]

    """

    weeks: tuple[date, ...]
    muscles: tuple[tuple[Muscle, tuple[float, ...]], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckInChart:
    """Check-ins over weeks, the oldest first.

    Args:
        weeks: First day of each week.
        items: Question, and its answer in each of the weeks; None where there was none. [1]

    """

    weeks: tuple[date, ...]
    items: tuple[tuple[Item, tuple[int | None, ...]], ...]


Chart = EstimateChart | SetsChart | CheckInChart


@dataclass(frozen=True, slots=True)
class ChartTold:
    """A chart, as the values that it is drawn from."""

    chart: Chart


class NoCheckIn(StrEnum):
    """Why there is nothing to do or tell about the check-in, its advice, load or charts."""

    OPEN_ADVICE = "open advice"
    ADVICE = "advice"
    LOAD = "load"
    TO_DRAW = "to draw"
    REDUCED_LATELY = "reduced lately"
    REDUCED_ALREADY = "reduced already"
    OUT_OF_BOUNDS = "out of bounds"
    NOT_OFFERED = "not offered"


@dataclass(frozen=True, slots=True)
class CheckInNothing:
    """There is nothing to do or tell; `about` names a bound or a muscle, if there is one."""

    why: NoCheckIn
    about: str = ""


CheckInReply = CheckInTold | AdviceTold | AdviceTaken | AdviceReasoned | LoadTold | ChartTold | CheckInNothing
