"""The next set: what a set that was just done changes about the one after it."""

from dataclasses import dataclass
from fractions import Fraction

from core.domain.equipment import NG_PER_KG
from core.domain.exercises import Exercise
from core.domain.guidance import Move, Reason
from core.domain.prescriptions import Care
from core.planning.care import least_left
from core.planning.loading import Loadable, Loads, heaviest_within

WITHIN = 1.0
"""Distance from the expected repetitions left within which nothing changes. [repetitions]"""

CLEARLY = 2.0
"""Distance from which the load changes. [repetitions]"""

FIRST_SETS = 2
"""Sets after which the load still goes up. [sets]"""

MOST_UP_COARSE = Fraction(5, 100)
"""Most that the smallest step may be: 2.5 %, or 5 % where steps are coarse. [1]"""

DOWN = (Fraction(25, 1000), Fraction(5, 100))
"""Least and most that the load goes down after a set that was harder than expected. [1]"""

DOWN_MISSED = Fraction(10, 100)
"""How far it goes down after a failed repetition or two missed ones. [1]"""

MISSED_CLEARLY = 2
"""Repetitions missed that count as a failed set. [repetitions]"""

FAR_SHORT = 3.0
"""Repetitions short of what was expected from which pain is asked about first. [repetitions]"""

FAR_BELOW = 0.92
"""Day's strength below this part of the interval's lower end asks about pain first. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class DoneSet:
    """A work set that was just done.

    Args:
        number: Its place among the lift's work sets, from 1.
        load: What was loaded.
        planned_reps: Repetitions asked for. [repetitions]
        reps: Repetitions done alone. [repetitions]
        failed: A repetition was tried and missed.
        left: Repetitions left as told; None if untold. [repetitions]
        at_least: `left` is a lower bound.
        expected_left: Repetitions that this set was expected to leave; None without an estimate. [repetitions]
        body_kg: Body mass moved beside the load: shares are of all that moves. [kg]

    """

    number: int
    load: Loadable
    planned_reps: int
    reps: int
    failed: bool = False
    left: float | None = None
    at_least: bool = False
    expected_left: float | None = None
    body_kg: float = 0.0

    @property
    def moved_ng(self) -> int:
        """What the set moved. [ng]"""
        return self.load.ng + round(self.body_kg * NG_PER_KG)

    @property
    def missed(self) -> int:
        """Repetitions short of the plan that could not be done: who stopped with some left missed none of those.

        [repetitions]
        """
        short = self.planned_reps - self.reps
        if not self.failed and self.left is not None:
            short -= round(self.left)
        return max(0, short)


@dataclass(frozen=True, slots=True, kw_only=True)
class SessionSoFar:
    """What happened earlier in the session.

    Args:
        raised: The load of this lift was raised already.
        failed_sets: Sets of this lift that failed before this one.
        day_kg: Maximum that this set alone implies; None if it implies none. [kg]
        low_kg: Lower end of the estimate's interval before the session; None without an estimate. [kg]

    """

    raised: bool = False
    failed_sets: int = 0
    day_kg: float | None = None
    low_kg: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class NextSet:
    """What to do in the next set of the lift.

    Args:
        move: What happens to the load.
        load: What to load; the old load where the lift ends.
        reason: Why.
        ask_pain: Ask whether something hurts before anything else.

    """

    move: Move
    load: Loadable
    reason: Reason
    ask_pain: bool = False


def next_set(done: DoneSet, so_far: SessionSoFar, available: Loads, exercise: Exercise, care: Care) -> NextSet:
    """The next set of a lift after one was done, by the repetitions left against those expected for that set.

    Within 1, or effort untold and the repetitions made: the same load. 2 or more over, in the first two sets, once a
    session: up the smallest step, at most 2.5 %, or 5 % where steps are coarse. 2 under, or one repetition missed: down
    2.5 to 5 %. Two missed, or a failed repetition: down 10 %; a second failed set ends the lift. Down too where fewer
    were left than safeties or screening allow, even with effort as expected.

    Args:
        done: The set.
        so_far: What happened earlier.
        available: What can be loaded.
        exercise: The lift.
        care: What safeties and screening allow.

    """
    on_bar = available.on(done.load.bar)
    ask = _far_off(done, so_far)
    if done.failed or done.missed >= MISSED_CLEARLY:
        if so_far.failed_sets:
            return NextSet(move=Move.END, load=done.load, reason=Reason.FAILED_TWICE, ask_pain=ask)
        return _down(done, on_bar, Reason.FAILED, least=DOWN_MISSED, most=DOWN_MISSED, ask_pain=ask)
    if done.missed == 1:
        return _down(done, on_bar, Reason.ONE_MISSED, least=DOWN[0], most=DOWN[1], ask_pain=ask)
    too_few = done.left is not None and not done.at_least and done.left < least_left(exercise, care)[0]
    if done.left is None or done.expected_left is None:
        if too_few:
            return _down(done, on_bar, Reason.KEPT_BACK, least=DOWN[0], most=DOWN[1], ask_pain=ask)
        return NextSet(move=Move.SAME, load=done.load, reason=Reason.UNTOLD, ask_pain=ask)
    over = done.left - done.expected_left
    if over >= CLEARLY:
        return _up(done, so_far, on_bar, exercise, care)
    if over <= -CLEARLY and not done.at_least:
        return _down(done, on_bar, Reason.HARDER, least=DOWN[0], most=DOWN[1], ask_pain=ask)
    if too_few:
        # The sets to come carry more fatigue: on this load they would leave less still than may be left.
        return _down(done, on_bar, Reason.KEPT_BACK, least=DOWN[0], most=DOWN[1], ask_pain=ask)
    reason = Reason.AS_EXPECTED if abs(over) <= WITHIN else Reason.NOT_CLEAR
    return NextSet(move=Move.SAME, load=done.load, reason=reason, ask_pain=ask)


def _far_off(done: DoneSet, so_far: SessionSoFar) -> bool:
    if done.missed >= FAR_SHORT:
        return True
    if done.left is not None and done.expected_left is not None and not done.at_least:
        short = done.expected_left - done.left + done.missed
        if short >= FAR_SHORT:
            return True
    return so_far.day_kg is not None and so_far.low_kg is not None and so_far.day_kg < FAR_BELOW * so_far.low_kg


def _up(done: DoneSet, so_far: SessionSoFar, available: Loads, exercise: Exercise, care: Care) -> NextSet:
    def same(reason: Reason) -> NextSet:
        return NextSet(move=Move.SAME, load=done.load, reason=reason)

    if so_far.raised:
        return same(Reason.RAISED_ONCE)
    if done.number > FIRST_SETS:
        return same(Reason.LATE)
    if so_far.failed_sets:
        return same(Reason.NOT_CLEAR)
    up = available.above(done.load.ng)
    if up is None or up.ng - done.load.ng > MOST_UP_COARSE * done.moved_ng:
        return same(Reason.STEP_TOO_LARGE)
    least, _ = least_left(exercise, care)
    # What was told must leave room for the heavier bar and the fatigue to come.
    if done.left is not None and done.left < least + WITHIN:
        return same(Reason.KEPT_BACK)
    return NextSet(move=Move.UP, load=up, reason=Reason.EASIER)


def _down(
    done: DoneSet, available: Loads, reason: Reason, *, least: Fraction, most: Fraction, ask_pain: bool
) -> NextSet:
    low, high = (done.load.ng - int(done.moved_ng * part) for part in (most, least))
    found = heaviest_within(available, low_ng=low, high_ng=high) or available.at_most(high)
    if found is None or found.ng >= done.load.ng:
        return NextSet(move=Move.SAME, load=done.load, reason=Reason.LIGHTEST, ask_pain=ask_pain)
    return NextSet(move=Move.DOWN, load=found, reason=reason, ask_pain=ask_pain)
