"""Session load by Foster: effort times minutes, and a week's monotony and strain, none of them called good or bad."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import fsum, isfinite
from statistics import fmean, stdev

MOST_EFFORT = 10.0
"""Highest effort of a session. [1] Foster et al. 2001 rate a whole session from 0 to 10."""

DAYS = 7
"""Days over which monotony and strain are taken; days without training count as 0. [d] Foster 1998."""

_SAME = 1e-9
"""Share of the mean below which a standard deviation is rounding, not variation. [1]"""


@dataclass(frozen=True, slots=True)
class WeekLoad:
    """Load of seven days.

    Args:
        total: Sum of the session loads. [effort x min]
        monotony: Mean daily load over its standard deviation; None where all days are equal. [1]
        strain: Total times monotony; None without monotony. [effort x min]

    """

    total: float
    monotony: float | None
    strain: float | None


def session_load(effort: float, *, minutes: float) -> float:
    """Load of one session. [effort x min].

    Args:
        effort: Effort of the whole session, 0 to 10. [1]
        minutes: Its length. [min]

    Raises:
        ValueError: An effort outside 0 to 10, or a length that is negative or not finite.

    Source:
        Foster et al. 2001.

    >>> session_load(7, minutes=60)
    420.0

    """
    if not 0.0 <= effort <= MOST_EFFORT:
        raise ValueError(f"the effort of a session lies between 0 and {MOST_EFFORT:.0f}, not {effort}")
    if not (isfinite(minutes) and minutes >= 0.0):
        raise ValueError(f"not a length of a session: {minutes} min")
    return float(effort * minutes)


def daily_loads(sessions: Iterable[tuple[date, float]], *, first: date) -> tuple[float, ...]:
    """Sums of the session loads on each of seven days; sessions on other days are left out. [effort x min].

    Args:
        sessions: The lifter's training day and the load of each session. [effort x min]
        first: First of the seven days.

    """
    loads: list[list[float]] = [[] for _ in range(DAYS)]
    for day, load in sessions:
        if first <= day < first + timedelta(days=DAYS):
            loads[(day - first).days].append(load)
    return tuple(map(fsum, loads))


def week_load(daily: Sequence[float]) -> WeekLoad:
    """Total, monotony and strain of seven days, with the sample standard deviation.

    Args:
        daily: Load of each day, 0 for days without training. [effort x min]

    Raises:
        ValueError: Not seven days, or a load that is negative or not finite.

    Source:
        Foster 1998, MSSE 30:1164-1168.

    >>> week_load([300, 300, 300, 300, 300, 300, 300])
    WeekLoad(total=2100.0, monotony=None, strain=None)

    """
    if len(daily) != DAYS:
        raise ValueError(f"monotony is taken over {DAYS} days, not {len(daily)}")
    if not all(isfinite(load) and load >= 0.0 for load in daily):
        raise ValueError("the load of a day is finite and not negative")
    total, mean, deviation = fsum(daily), fmean(daily), stdev(daily)
    if deviation <= _SAME * mean:
        return WeekLoad(total=total, monotony=None, strain=None)
    monotony = mean / deviation
    return WeekLoad(total=total, monotony=monotony, strain=total * monotony)
