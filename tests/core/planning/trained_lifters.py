"""Invented lifters who train a block by the plan: prescription, session, estimate, next prescription."""

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

import numpy as np

from core.domain.exercises import Exercise, catalogue
from core.domain.guidance import Move
from core.domain.plans import DayKind, PlannedLift, Role
from core.domain.prescriptions import Care, PrescribedLift, Safety
from core.planning.loading import Loadable, loads
from core.planning.next_set import DoneSet, SessionSoFar, next_set
from core.planning.ports import Known
from core.planning.prescription import Lifting, prescribed_lift
from core.planning.progression import LastTime
from core.planning.ramp import ramp_start, ramp_step
from core.planning.returns import REDUCED
from core.planning.undulation import BLOCK_WEEKS, KINDS, SCHEMES, USUAL_SETS, week_number
from core.strength.assumptions import ASSUMPTIONS
from core.strength.belief import BIAS
from core.strength.drift import belief_at
from core.strength.estimate import advance, estimate, expected_left, initial, load_for
from core.strength.evidence import Evidence, Lift
from core.strength.reading import bias_share
from core.strength.state import FamilyState
from tests.core.planning.gyms import GYM

FIRST_DAY = datetime(2027, 1, 4, 18, 0, tzinfo=UTC)

DAYS_OF_THE_WEEK = {1: (0,), 2: (0, 3), 3: (0, 2, 4)}

FIRST_COUNTED_WEEK = 2
"""Weeks that are not judged: the loads are still being found. [weeks]"""

ARMS = Care(safety=Safety.ARMS, screened=False)


@dataclass(frozen=True, slots=True)
class LearnedStrength:
    """What planning asks of strength, answered by the estimate of one family of lifts."""

    state: FamilyState
    at: datetime

    def estimate(self, exercise: Exercise) -> Known | None:
        found = estimate(self.state, Lift.of(exercise), self.at)
        return None if found is None else Known(estimate_kg=found.mean_kg, low_kg=found.low_kg, high_kg=found.high_kg)

    def load_kg(self, exercise: Exercise, *, reps: float, left: float, sets: int) -> float | None:
        return load_for(self.state, Lift.of(exercise), self.at, repetitions=reps, left=left, sets=sets)

    def expected_left(self, exercise: Exercise, *, load_kg: float, reps: int, set_number: int) -> float | None:
        return expected_left(
            self.state, Lift.of(exercise), self.at, load_kg=load_kg, repetitions=reps, set_number=set_number
        )

    def bias(self, exercise: Exercise, left: float) -> float:
        """Repetitions more that are left than are reported. [repetitions]"""
        belief = belief_at(self.state, Lift.of(exercise), self.at)
        return 0.0 if belief is None else belief.mean[BIAS] * bias_share(left, ASSUMPTIONS)


@dataclass(slots=True)
class TrainedLifter:
    """One lifter: strength that rises slowly, days of better and worse form, fatigue, and reports that are off."""

    curve: Callable[[float], float]
    draw: np.random.Generator
    maximum_kg: float
    gain: float
    stretch: float
    form_sd: float
    tiring: float
    bias: float
    report_sd: float

    @classmethod
    def drawn(cls, curve: Callable[[float], float], seed: int) -> "TrainedLifter":
        """A lifter of a curve; the same seed gives the same lifter."""
        draw = np.random.default_rng(seed)
        return cls(
            curve=curve,
            draw=draw,
            maximum_kg=draw.uniform(60.0, 180.0),
            gain=draw.uniform(-0.001, 0.006),
            stretch=1.0 + draw.uniform(-0.2, 0.2),
            form_sd=draw.uniform(0.005, 0.02),
            tiring=draw.uniform(0.006, 0.014),
            bias=draw.uniform(-0.3, 1.5),
            report_sd=draw.uniform(0.4, 1.0),
        )

    def possible(self, load_kg: float, *, week: float, form: float, earlier: int) -> float:
        """Repetitions that can be done, before the set's own chance. [repetitions]"""
        strength = self.maximum_kg * math.exp(self.gain * week + form - self.tiring * earlier)
        low, high = 0.0, 40.0
        for _ in range(40):
            middle = 0.5 * (low + high)
            reps = 1.0 + (middle - 1.0) * self.stretch
            share = self.curve(reps) if reps >= 1.0 else 1.0 + (1.0 - reps) * 0.03
            low, high = (middle, high) if share * strength > load_kg else (low, middle)
        return low

    def reported(self, left: float) -> float:
        """Repetitions left as this lifter says, in whole ones; four and more are all the same to them."""
        felt = left - self.bias * min(1.0, 0.4 + 0.3 * left) + self.draw.normal(0.0, self.report_sd)
        return float(min(max(round(felt), 0), 4))


@dataclass(slots=True)
class Trained:
    """What became of the main lift's sets."""

    judged: int = 0
    near_expected: int = 0
    near_reported: int = 0
    asked_reps: int = 0
    missed_reps: int = 0
    lefts: list[float] = field(default_factory=list)
    load_to_strength: list[float] = field(default_factory=list)


def trained_block(
    lifter: TrainedLifter, *, weeks: int = 16, pressing_days: int = 2, effort_taps: bool = True
) -> Trained:
    """Weeks of main-lift sessions by the plan, from unknown strength on.

    Args:
        lifter: Who trains.
        weeks: How long. [weeks]
        pressing_days: Days of the main lift a week.
        effort_taps: Effort is told after the first and the last set only, as the session asks for it; else after all.

    """
    bench = catalogue().get("bench press")
    assert bench is not None
    state, found = initial(), Trained()
    lasts: dict[tuple[str, int], tuple[tuple[datetime, LastTime], ...]] = {}
    for week in range(weeks):
        for day, kind in zip(DAYS_OF_THE_WEEK[pressing_days], KINDS[pressing_days], strict=True):
            at = FIRST_DAY + timedelta(weeks=week, days=day)
            reduced = week_number(week) == BLOCK_WEEKS + 1
            sets = USUAL_SETS[kind]
            planned = PlannedLift(
                exercise="bench press", role=Role.MAIN, sets=-(-sets // 2) if reduced else sets, scheme=SCHEMES[kind]
            )
            lifting = Lifting(
                owned=GYM,
                strength=LearnedStrength(state, at),
                care=ARMS,
                lasts={
                    key: tuple(
                        LastTime(
                            load_kg=e.load_kg, reps=e.reps, over=e.over, weeks_ago=(at - when) / timedelta(weeks=1)
                        )
                        for when, e in each
                    )
                    for key, each in lasts.items()
                },
                adjustments=(REDUCED,) if reduced else (),
            )
            prescribed = prescribed_lift(planned, bench, lifting)
            session = _Session(lifter, found, bench, week, day, kind, effort_taps=effort_taps)
            state, last = session.done(state, prescribed, at)
            if not reduced:
                key = ("bench press", SCHEMES[kind].reps)
                lasts[key] = ((at, last), *lasts.get(key, ()))[:6]
    return found


@dataclass(slots=True)
class _Session:
    lifter: TrainedLifter
    found: Trained
    bench: Exercise
    week: int
    day: int
    kind: DayKind
    effort_taps: bool

    def done(self, state: FamilyState, prescribed: PrescribedLift, at: datetime) -> tuple[FamilyState, LastTime]:
        """The session's sets, one after the other; the state after it and what the next time must know."""
        lifter, bench = self.lifter, self.bench
        available = loads(bench, GYM)
        form = float(lifter.draw.normal(0.0, lifter.form_sd))
        week = self.week + self.day / 7
        to_find = prescribed.sets[0].load is None
        load: Loadable = ramp_start(available).load
        if not to_find and prescribed.sets[0].load is not None:
            load = available.of(prescribed.sets[0].load, bar=prescribed.bar)
        so_far, told, reps, target = SessionSoFar(), None, prescribed.sets[0].reps, prescribed.sets[0].left
        ramp, number, step = to_find, 0, ramp_start(available)
        while number < len(prescribed.sets):
            set_at = at + timedelta(minutes=4 * number)
            now = LearnedStrength(state, set_at)
            number += 1
            able = lifter.possible(load.kg, week=week, form=form, earlier=number - 1) + float(
                lifter.draw.normal(0, 0.3)
            )
            made = min(reps, max(0, int(able)))
            left = able - reps
            failed = made < reps
            expected = now.expected_left(bench, load_kg=load.kg, reps=reps, set_number=number)
            asks = not self.effort_taps or ramp or number in (1, len(prescribed.sets))
            told = lifter.reported(max(left, 0.0)) if asks and not failed and target is not None else None
            self._judge(now, expected, left, reps=reps, made=made, load_kg=load.kg, week=week)
            if ramp:
                step = ramp_step(load, available, bench, told_left=told, target_left=target or 6.0, missed=failed)
            state = advance(
                state,
                Evidence(
                    lift=Lift.of(bench),
                    at=set_at,
                    session=f"{self.week} {self.day}",
                    sequence=number,
                    load_kg=load.kg,
                    repetitions=made,
                    reported_left=None if told is None else min(told, 4.0),
                    at_least=told is not None and told >= 4.0,
                    failed=failed,
                    # Sets on the way up are no work sets: they neither tire nor tell.
                    warm_up=ramp and not step.found,
                ),
            )
            if ramp:
                load, ramp = step.load, not step.found
                number -= not step.found
                continue
            decision = next_set(
                DoneSet(
                    number=number,
                    load=load,
                    planned_reps=reps,
                    reps=made,
                    failed=failed,
                    left=told,
                    at_least=told is not None and told >= 4.0,
                    expected_left=expected,
                ),
                so_far,
                available,
                bench,
                ARMS,
            )
            so_far = SessionSoFar(
                raised=so_far.raised or decision.move is Move.UP, failed_sets=so_far.failed_sets + failed
            )
            if decision.move is Move.END:
                break
            if number < len(prescribed.sets):
                load = decision.load
        over = None if told is None or target is None else told - target
        return state, LastTime(load_kg=load.kg, reps=reps, over=over, weeks_ago=0.0)

    def _judge(
        self,
        now: LearnedStrength,
        expected: float | None,
        left: float,
        *,
        reps: int,
        made: int,
        load_kg: float,
        week: float,
    ) -> None:
        if self.week < FIRST_COUNTED_WEEK or expected is None or self.kind is DayKind.POWER:
            return
        found = self.found
        found.judged += 1
        # What a lifter is expected to say is not what is expected to be left: the learned bias lies between.
        found.near_expected += abs(left - expected - now.bias(self.bench, expected)) <= 1.5
        found.near_reported += abs(left - expected) <= 1.5
        found.asked_reps += reps
        found.missed_reps += reps - made
        found.lefts.append(left)
        true_maximum = self.lifter.maximum_kg * math.exp(self.lifter.gain * week)
        found.load_to_strength.append(load_kg / true_maximum)
