"""Walk of a lift: its sets so far, one after the other, to what the next one is."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from core.domain.equipment import mass_ng
from core.domain.exercises import Exercise
from core.domain.guidance import Move, Reason
from core.domain.prescriptions import Care, PrescribedLift, PrescribedSet
from core.planning.loading import Loadable, Loads
from core.planning.next_set import MISSED_CLEARLY, DoneSet, SessionSoFar, next_set
from core.planning.ramp import RampStep, ramp_start, ramp_step

ON_THE_WAY = 0.9
"""Share of the planned load below which a set before the first work set is on the way up. [1] Warm-up ends at 92 %."""

WORK_LEFT = 1.0
"""Repetitions left beyond the target up to which a lighter set was work all the same. [repetitions]"""


MOST_OF_SINGLES = 2
"""Repetitions asked for up to which a single may be a work set. [repetitions]"""


class Expectation(Protocol):
    """What the estimate from before the session says of sets done in it."""

    def expected_left(self, exercise: Exercise, *, load_kg: float, reps: int, set_number: int) -> float | None:
        """Repetitions that the lifter is expected to report as left after a set, 1 being the first. [repetitions]"""

    def implied_kg(self, exercise: Exercise, *, load_kg: float, reps: int, left: float) -> float | None:
        """Maximum that a set alone implies, as it is told. [kg]"""

    def low_kg(self, exercise: Exercise) -> float | None:
        """Lower end of the interval. [kg]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class SetDone:
    """One set as it was logged.

    Args:
        ng: Its load as it is told; below 0 is assistance. [ng]
        reps: Repetitions done alone. [repetitions]
        failed: A repetition was tried and missed.
        left: Repetitions left as told; None if untold. [repetitions]
        at_least: `left` is a lower bound.
        warm_up: Marked as a warm-up.

    """

    ng: int
    reps: int
    failed: bool = False
    left: float | None = None
    at_least: bool = False
    warm_up: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class LiftNow:
    """Where a lift stands after its sets so far.

    Args:
        done: Work sets done.
        over: Nothing more is to be done of it.
        load: What to load next.
        reps: Repetitions to do next. [repetitions]
        move: What the last set did to the load.
        reason: Why.
        ask_pain: Ask whether something hurts before anything else.
        finding: The load is still to be found.
        changed: The load is another one than in the last set.
        ways_up: For each set that was taken, whether it was on the way to the load that is to be found.
        since: What the sets changed, in order: the load after each change.

    """

    done: int = 0
    over: bool = False
    load: Loadable
    reps: int
    move: Move = Move.SAME
    reason: Reason = Reason.AS_EXPECTED
    ask_pain: bool = False
    finding: bool = False
    changed: bool = True
    ways_up: tuple[bool, ...] = ()
    since: tuple[tuple[Move, Reason, Loadable], ...] = ()


def walked(
    lift: PrescribedLift,
    exercise: Exercise,
    available: Loads,
    sets: Sequence[SetDone],
    *,
    care: Care,
    expectation: Expectation,
    body_kg: float = 0.0,
) -> LiftNow:
    """Where a lift stands after some sets; those past its end are left to another lift of the same exercise.

    Args:
        lift: As it is prescribed.
        exercise: What it is.
        available: What can be loaded.
        sets: What was logged of it in the session, in order.
        care: What safeties and screening allow.
        expectation: What the estimate from before the session says.
        body_kg: Body mass moved beside the load. [kg]

    """
    walk = _Walk(lift, exercise, available, care, expectation, body_kg)
    for each in sets:
        if walk.over:
            break
        walk.take(each)
    return walk.now()


class _Walk:
    def __init__(
        self,
        lift: PrescribedLift,
        exercise: Exercise,
        available: Loads,
        care: Care,
        expectation: Expectation,
        body_kg: float,
    ) -> None:
        first = lift.sets[0]
        self.lift = lift
        self.exercise = exercise
        self.available = available
        self.care = care
        self.expectation = expectation
        self.body_kg = body_kg
        self.finding = first.load is None
        self.load = ramp_start(available).load if first.load is None else available.of(first.load, bar=lift.bar)
        self.number = 0
        self.failed = 0
        self.raised = False
        self.over = False
        self.move, self.reason = Move.SAME, Reason.AS_EXPECTED
        self.ask_pain = False
        self.changed = True
        self.ways_up: list[bool] = []
        self.climbed: SetDone | None = None  # the last set on the way to a load that is still to be found
        self.since: list[tuple[Move, Reason, Loadable]] = []

    def take(self, one: SetDone) -> None:
        """Go one set further."""
        done = self._as_loadable(one.ng)
        if self.finding:
            self._climb(one, done)
            return
        if one.warm_up or self._on_the_way(one, done) or self._is_single(one, done):
            self.ways_up.append(False)
            self.changed = True
            return
        self.ways_up.append(False)
        self.number += 1
        self._work(one, done)
        self.over = self.over or self.number >= len(self.lift.sets)

    def now(self) -> LiftNow:
        """Where it stands."""
        place = min(self.number, len(self.lift.sets) - 1)
        return LiftNow(
            done=self.number,
            over=self.over,
            load=self.load,
            reps=self.lift.sets[place].reps,
            move=self.move,
            reason=self.reason,
            ask_pain=self.ask_pain,
            finding=self.finding,
            changed=self.changed,
            ways_up=tuple(self.ways_up),
            since=tuple(self.since),
        )

    def _climb(self, one: SetDone, done: Loadable) -> None:
        wanted = self.lift.sets[0]
        missed = one.failed or one.reps + (one.left or 0.0) < wanted.reps
        step = ramp_step(
            done,
            self.available,
            self.exercise,
            told_left=one.left,
            target_left=wanted.left or 0.0,
            missed=missed,
            body_kg=self.body_kg,
        )
        again = not missed and self._chosen(one, done)
        if again:
            step = RampStep(done, found=True)
            self.ways_up[-1] = False
        before, self.climbed = self.climbed, one
        self.finding = not step.found
        self.ways_up.append(not step.found)
        self.load = self._loadable(step.load)
        self.changed = step.load.ng != done.ng
        if step.found:
            self.number = 2 if again and before is not None and not before.warm_up else 1
            self.move = Move.DOWN if self.changed else Move.SAME
            self.reason = Reason.FAILED if one.failed else Reason.HARDER if self.changed else Reason.AS_EXPECTED
            self.failed += one.failed
            self.over = len(self.lift.sets) <= self.number

    def _chosen(self, one: SetDone, done: Loadable) -> bool:
        """Whether a load is done a second time without a word of effort: the lifter has found it, and it was work both times."""
        if one.left is not None or one.warm_up or self.climbed is None or self.climbed.ng != one.ng:
            return False
        return done.ng > ramp_start(self.available).load.ng

    def _work(self, one: SetDone, done: Loadable) -> None:
        asked = self.lift.sets[min(self.number, len(self.lift.sets)) - 1]
        expected = self.expectation.expected_left(
            self.exercise, load_kg=done.kg, reps=one.reps or 1, set_number=self.number
        )
        # Fewer repetitions with more on the bar are the lifter's own choice, and nothing missed; the plan's load stands.
        chosen = done.ng > self.load.ng and one.reps < asked.reps and not one.failed
        told = DoneSet(
            number=self.number,
            load=self.load if chosen else done,
            planned_reps=one.reps if chosen else asked.reps,
            reps=one.reps,
            failed=one.failed,
            left=one.left,
            at_least=one.at_least,
            expected_left=expected if one.reps else None,
            body_kg=self.body_kg,
        )
        found = next_set(
            told,
            SessionSoFar(
                raised=self.raised,
                failed_sets=self.failed,
                day_kg=self._day_kg(one, done),
                low_kg=self.expectation.low_kg(self.exercise),
            ),
            self.available,
            self.exercise,
            self.care,
        )
        self.failed += told.failed or told.missed >= MISSED_CLEARLY
        self.raised = self.raised or found.move is Move.UP
        self.over = found.move is Move.END
        self.move, self.reason, self.ask_pain = found.move, found.reason, found.ask_pain
        self.load = self._loadable(found.load)
        if (lower := self._planned_step(asked)) < 0:
            # The sets to come were made easier while the lift was going on.
            self.load = self.available.on(self.load.bar).at_most(self.load.ng + lower) or self.load
        self.changed = self.load.ng != one.ng
        if found.move is not Move.SAME:
            self.since.append((found.move, found.reason, self.load))

    def _planned_step(self, asked: PrescribedSet) -> int:
        """How far the planned load of the next set lies from that of the set before. [ng]"""
        sets = self.lift.sets
        if self.number >= len(sets) or asked.load is None:
            return 0
        following = sets[self.number].load
        return 0 if following is None else mass_ng(following) - mass_ng(asked.load)

    def _day_kg(self, one: SetDone, done: Loadable) -> float | None:
        # Later sets carry the fatigue of those before: only the first one tells the day's strength.
        told = 0.0 if one.failed else one.left
        if self.number > 1 or told is None or one.at_least or one.reps == 0:
            return None
        return self.expectation.implied_kg(self.exercise, load_kg=done.kg, reps=one.reps, left=told)

    def _on_the_way(self, one: SetDone, done: Loadable) -> bool:
        """Whether a set that nobody marked is a warm-up all the same: lighter, easy, before the first work set."""
        if self.number or one.failed:
            return False
        body = self.body_kg * 1e12
        if done.ng + body >= ON_THE_WAY * (self.load.ng + body):
            return False
        aim = self.lift.sets[0].left
        return one.left is None or aim is None or one.left > aim + WORK_LEFT

    def _is_single(self, one: SetDone, done: Loadable) -> bool:
        """Whether a set is a heavy single, tried beside the plan: no work set of a lift that asks for more."""
        return one.reps <= 1 and self.lift.sets[0].reps > MOST_OF_SINGLES and done.ng > self.load.ng

    def _as_loadable(self, ng: int) -> Loadable:
        """The load that was lifted, exactly; on the lift's bar, with its plates where they are known."""
        on_bar = self.available.on(self.load.bar)
        return on_bar.exactly(ng) or Loadable(ng, self.load.bar)

    def _loadable(self, load: Loadable) -> Loadable:
        """A load that can be made: what was lifted may have been typed wrong, or lifted elsewhere."""
        on_bar = self.available.on(load.bar)
        return on_bar.exactly(load.ng) or on_bar.at_most(load.ng) or on_bar.lightest
