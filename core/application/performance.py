"""Performance: how strength went on the lifts that train a muscle, as the check-in's advice looks at it."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import pairwise
from statistics import fmean

from core.application import replay
from core.application.standing import standing_from
from core.application.turn import Turn
from core.domain.exercises import Exercise, Muscle
from core.domain.sets import LoggedSet
from core.recovery.bounds import CLEARLY_RISING, TREND_WEEKS, WEEKS_A_LOSS_TAKES, WEEKS_TO_SEE_A_CHANGE
from core.recovery.facts import Performance
from core.strength import estimate as strength
from core.strength.evidence import Lift
from core.strength.trend import deviations, trend

TREND_OVER = timedelta(weeks=10)
"""Over about how long the estimate's gain is learned. [weeks]"""

REPORT_SD = 1.0
"""Noise of repetitions told as left after one set. [repetitions] Hackett et al. 2017: about one with 0 to 5 left."""

FORM_SD = 0.7
"""Noise that all sets of one session share. [repetitions] The day's form, some 2 % of the load; own figure."""

UNDER_BY = 1.28
"""How many standard deviations below what was expected lie beyond noise. [1] One session in ten does so by chance, two
running one in a hundred; own figure."""

EXPOSURES_UNDER = 2
"""Exposures running under expectation before a lift counts as under it. Coaching rules, section 9."""

EXPOSURES_TOGETHER = (2, 4)
"""Exposures over which the lifts that train a muscle are looked at together: about one week, and two. Own figure."""

UNDER_TOGETHER_BY = 1.64
"""As `UNDER_BY`, for lifts that are looked at together. [1] One time in twenty by chance, for there are two looks; beside
a check-in that is worse than usual, one week in forty. Own figure."""

LONGEST_PAUSE = timedelta(weeks=2)
"""Longest time between two sessions of a lift over which a loss may come of the work: after more it may be the pause."""

FIRST_WEEKS = timedelta(weeks=3)
"""How long a lift is trained before its estimate is one to be held against: the first sessions find the load."""

FAILED_LEFT = -0.5
"""Repetitions left in a set whose last one failed: between none and one too few. [repetitions]"""


@dataclass(frozen=True, slots=True)
class Exposure:
    """One session's sets of a lift beside what the estimate from before that session implied.

    Args:
        day: When.
        gap: Repetitions told as left beyond those implied, on average over the sets; None where no set tells.
        told: How many sets tell.

    """

    day: date
    gap: float | None
    told: int

    @property
    def under(self) -> bool:
        """Whether it lies below expectation beyond noise."""
        if self.gap is None:
            return False
        return self.gap < -UNDER_BY * _noise(1, self.told)


class Progress:
    """What the log says of each lift's way, up to a day; sets of weeks that are left out say nothing.

    Args:
        turn: The turn.
        sets: Work sets of the last `TREND_OVER`, in order of position.
        left_out: First days of weeks that are left out: reduced ones, and those of illness.

    """

    def __init__(self, turn: Turn, sets: Sequence[LoggedSet], *, left_out: frozenset[date]) -> None:
        self._turn = turn
        sessions: dict[str, dict[int, list[LoggedSet]]] = {}
        for each in sets:
            day = turn.lifter.day_of(each.at)
            if each.warmup or day - timedelta(days=day.weekday()) in left_out:
                continue
            sessions.setdefault(each.exercise, {}).setdefault(each.session_id, []).append(each)
        self._sessions: Mapping[str, Sequence[Sequence[LoggedSet]]] = {
            name: list(by_session.values()) for name, by_session in sessions.items()
        }
        self._since = max(left_out, default=date.min)
        self._last: dict[tuple[str, int], Sequence[Exposure]] = {}

    def lifts_under(self) -> int:
        """Lifts that were under expectation, beyond noise, in their last two exposures."""
        return sum(self.is_under(name) for name in self._sessions)

    def is_under(self, name: str) -> bool:
        """Whether one lift was under expectation, beyond noise, in its last two exposures."""
        last = self._exposures(name, EXPOSURES_UNDER)
        return len(last) == EXPOSURES_UNDER and all(each.under for each in last)

    def _are_under(self, names: Sequence[str]) -> bool:
        """Whether all these lifts together were under expectation, beyond noise, in their last exposures.

        Noise that buries each lift alone is less in all their sets together, and what piles up slowly shows over more
        exposures only.
        """
        lean = self._lean(names)
        return lean is not None and lean < -UNDER_TOGETHER_BY

    def _lean(self, names: Sequence[str]) -> float | None:
        """Deviations of these lifts together from expectation, over as many exposures as make it the lowest. [1]"""
        leans = [self._lean_over(names, exposures) for exposures in EXPOSURES_TOGETHER]
        return min((each for each in leans if each is not None), default=None)

    def _lean_over(self, names: Sequence[str], exposures: int) -> float | None:
        last = [each for name in names for each in self._exposures(name, exposures) if each.told]
        days = len({each.day for each in last})
        if days < exposures:
            return None
        told = sum(each.told for each in last)
        gap = sum(each.gap * each.told for each in last if each.gap is not None) / told
        return gap / _noise(days, told)

    def _exposures(self, name: str, count: int) -> Sequence[Exposure]:
        """The last exposures of a lift since any week that was left out, beside the estimate from before the first.

        After the first the estimate has taken it in: a lifter who is worn for two sessions would be as expected in the
        second. What was answered with less work is not answered again.
        """
        if (name, count) not in self._last:
            last = [each for each in self._sessions[name] if self._day(each) >= self._since][-count:]
            found = [_exposure(self._turn, each, before=last[0][0].at) for each in last]
            while found and not found[0].told:
                # Nothing was expected of a lift's very first session: those after it are judged by what it told.
                last = last[1:]
                found = [_exposure(self._turn, each, before=last[0][0].at) for each in last]
            self._last[name, count] = found
        return self._last[name, count]

    def _day(self, sets: Sequence[LoggedSet]) -> date:
        return self._turn.lifter.day_of(sets[0].at)

    def of(self, muscle: Muscle, *, until: date, added: datetime | None = None) -> Performance | None:
        """How strength went on the lift that trains a muscle most often; None without an estimate of any.

        Args:
            muscle: Which.
            until: The last day that is looked at.
            added: When its sets were last added to.

        """
        trained = [name for name in self._sessions if muscle in self._turn.known(name).direct]
        for name in sorted(trained, key=lambda name: (-len(self._sessions[name]), name)):
            rising = rising_probability(self._turn, self._turn.known(name))
            if rising is None:
                continue
            sessions = self._sessions[name]
            weeks = (until - self._turn.lifter.day_of(sessions[0][0].at)).days // 7 + 1
            falling = rising <= 1.0 - CLEARLY_RISING and weeks >= TREND_WEEKS
            return Performance(
                rising_probability=rising,
                weeks=weeks,
                exposures=len(sessions),
                down=falling or any(self.is_under(each) for each in trained) or self._are_under(trained),
                lean=self._lean(trained),
                since_earlier=since(
                    self._turn, self._turn.known(name), self._turn.now - timedelta(weeks=WEEKS_A_LOSS_TAKES)
                ),
                since_added=None
                if added is None or self._turn.now - added < timedelta(weeks=WEEKS_TO_SEE_A_CHANGE)
                else since(self._turn, self._turn.known(name), added),
            )
        return None


def rising_probability(turn: Turn, exercise: Exercise) -> float | None:
    """Probability that strength in a lift rises; None without evidence of that very lift. [1]"""
    lift = Lift.of(exercise)
    state = turn.standing(lift.family).state
    if state.track(lift.name) is None:
        return None
    found = trend(state, lift, turn.now)
    return None if found is None else found.rising


def since(turn: Turn, exercise: Exercise, then: datetime) -> float | None:
    """Deviations of a lift's estimate from what it was; None without one to be held against, or across a pause. [1]

    Each week's estimate takes in a little of a slow loss, so that no session lies far below it; an estimate from weeks
    before has none of that yet.
    """
    lift = Lift.of(exercise)
    history = turn.work.estimates.history(turn.lifter.id, lift.name)
    before = [each for each in history if each.at <= then]
    if not before or before[-1].low_kg is None or before[-1].at - before[0].at < FIRST_WEEKS:
        return None
    times = [*(each.at for each in history if each.at >= before[-1].at), turn.now]
    if any(later - earlier > LONGEST_PAUSE for earlier, later in pairwise(times)):
        return None
    return deviations(
        turn.standing(lift.family).state,
        lift,
        turn.now,
        then_kg=before[-1].estimate_kg,
        then_low_kg=before[-1].low_kg,
    )


def _noise(days: int, told: int) -> float:
    """Noise of a mean gap over sets of some days. [repetitions]"""
    return math.sqrt(FORM_SD**2 / days + REPORT_SD**2 / told)


def _exposure(turn: Turn, sets: Sequence[LoggedSet], *, before: datetime) -> Exposure:
    exercise = turn.known(sets[0].exercise)
    lift = Lift.of(exercise)
    # What both were expected to be is what the estimate said before the first: after it, it has taken the first in.
    checkpoint = turn.work.estimates.last_checkpoint(turn.lifter.id, lift.family, until=before)
    state = standing_from(None if checkpoint is None else checkpoint.state).state
    gaps: list[float] = []
    for number, each in enumerate(sets, start=1):
        if each.moved_kg is None or each.reps is None or each.seconds is not None or each.weak or each.helped:
            continue
        left, at_least = replay.told_left(each)
        if each.failed:
            left, at_least = FAILED_LEFT, False
        if left is None or at_least or (each.reps == 0 and not each.failed):
            continue
        implied = strength.expected_left(
            state, lift, each.at, load_kg=each.moved_kg, repetitions=each.reps, set_number=number
        )
        if implied is not None:
            gaps.append(left - implied)
    return Exposure(turn.lifter.day_of(sets[0].at), fmean(gaps) if gaps else None, len(gaps))
