"""Invented lifters whose strength is known, made by rules that are none of the estimate's own assumptions."""

import math
import zlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from enum import StrEnum

import numpy as np

from core.strength.evidence import Evidence, Lift

FIRST_DAY = datetime(2027, 1, 4, 18, 5, tzinfo=UTC)

PAUSE = timedelta(weeks=3)

BENCH = Lift("bench press")

NSCA_ROWS = (1.0, 0.95, 0.93, 0.90, 0.87, 0.85, 0.83, 0.80, 0.77, 0.75)
"""Shares at 1 to 10 repetitions, NSCA handbook's training load table."""


class Effort(StrEnum):
    """How much of the effort a lifter tells."""

    EVERY = "effort on every set"
    HALF = "effort on half of the sets"
    FAILURE = "every third week's last set to failure"
    NONE = "effort never told"


@dataclass(frozen=True, slots=True)
class Family:
    """A way to make lifters: each part is drawn or chosen by rules of its own.

    Args:
        name: For the table.
        curve: Share of the maximum at repetitions to failure, 1 at 1, before the lifter's own stretch.
        fatigue: "load" takes a part of the strength with each set, "fading" ever less, "reps" repetitions.
        reports: "rounded", "cautious" (downwards), "halves", "tenths", "proportional" bias, "growing" (the bias is none at
            the end, and whole at three left), or "two" (whatever was left).
        tails: Degrees of freedom of the report's noise; infinite is Gaussian.
        gains: "straight", "saturating", "steps", "wave", or "pause" (three weeks off in the middle, and a way back).
        carries_form: Correlation of the day's form from a session to the next.
        typos: Probability that a load is logged 30 % off.
        bias: Range of repetitions by which the lifter reports too few.
        stretch: Largest personal stretch of the curve, either way.
        report_sd: Range of the standard deviation of the report. [repetitions]
        form_sd: Range of the standard deviation of the day's form. [1]
        gain: Range of the weekly gain. [1/week]
        felt_loads: The next load follows from the last report, and not from the true maximum.
        one_session: Both schemes are done in each session, the fives first.

    """

    name: str
    curve: Callable[[float], float]
    fatigue: str = "load"
    reports: str = "rounded"
    tails: float = math.inf
    gains: str = "straight"
    carries_form: float = 0.0
    typos: float = 0.0
    bias: tuple[float, float] = (-0.5, 2.0)
    stretch: float = 0.25
    report_sd: tuple[float, float] = (0.5, 1.5)
    form_sd: tuple[float, float] = (0.005, 0.03)
    gain: tuple[float, float] = (-0.002, 0.008)
    felt_loads: bool = False
    one_session: bool = False


@dataclass(frozen=True, slots=True)
class Session:
    """One session of a simulated lifter.

    Args:
        at: When it ended.
        log_maximum: Logarithm of the lifter's true maximum in kg, without the day's form. [1]
        sets: Its work sets, in order.

    """

    at: datetime
    log_maximum: float
    sets: tuple[Evidence, ...]


def nsca(repetitions: float) -> float:
    """NSCA table between its rows by straight lines, continued at 2 % of the maximum a repetition, ever flatter."""
    if repetitions >= 10.0:
        return 0.75 * math.exp(-(repetitions - 10.0) * 0.024)
    low = int(repetitions)
    return NSCA_ROWS[low - 1] + (repetitions - low) * (NSCA_ROWS[min(low, 9)] - NSCA_ROWS[low - 1])


def epley(repetitions: float) -> float:
    """Epley made to pass through 1 at one repetition."""
    return 1.0 / (1.0 + (repetitions - 1.0) / 30.0)


def brzycki(repetitions: float) -> float:
    """Brzycki, continued below a third by an exponential."""
    return (37.0 - repetitions) / 36.0 if repetitions < 25.0 else math.exp(-(repetitions - 25.0) / 12.0) / 3.0


def wathan(repetitions: float) -> float:
    """Wathan, divided by its value at one repetition."""
    return (48.8 + 53.8 * math.exp(-0.075 * repetitions)) / (48.8 + 53.8 * math.exp(-0.075))


def mayhew(repetitions: float) -> float:
    """Mayhew as printed from two repetitions on, joined to 1 at one repetition by a straight line."""
    printed = 0.522 + 0.419 * math.exp(-0.055 * max(repetitions, 2.0))
    return printed if repetitions >= 2.0 else 1.0 + (repetitions - 1.0) * (printed - 1.0)


def exponential(repetitions: float) -> float:
    """A two-parameter exponential, of the kind that Mitter et al. 2022 found robust."""
    return 0.25 + 0.75 * math.exp(-0.0395 * (repetitions - 1.0))


def straight(repetitions: float) -> float:
    """A straight line of the same kind, bent only where it would reach nothing."""
    return 1.0 - 0.0275 * (repetitions - 1.0) if repetitions < 25.0 else 0.34 * math.exp(-(repetitions - 25.0) / 12.0)


def oconner(repetitions: float) -> float:
    """O'Conner, made to pass through 1 at one repetition."""
    return 1.0 / (1.0 + 0.025 * (repetitions - 1.0))


def lombardi(repetitions: float) -> float:
    """Lombardi: steep at first, then ever flatter."""
    return repetitions**-0.1 if repetitions >= 1.0 else 1.0 + 0.1 * (1.0 - repetitions)


def simulated(family: Family, effort: Effort, *, seed: int, weeks: int = 16, lift: Lift = BENCH) -> Iterator[Session]:
    """Sessions of one lifter, two a week: five sets of five, then three of eight, one to three repetitions left.

    Args:
        family: Rules.
        effort: How much effort is told.
        seed: Of the lifter; the same number gives the same lifter.
        weeks: How long. [weeks]
        lift: What the sets are called.

    """
    draw = np.random.default_rng([seed, zlib.crc32(family.name.encode())])
    start = math.log(draw.uniform(50.0, 200.0))
    gain = draw.uniform(*family.gain)
    bias = draw.uniform(*family.bias)
    stretch = 1.0 + draw.uniform(-family.stretch, family.stretch)
    report_sd = draw.uniform(*family.report_sd)
    form_sd = draw.uniform(*family.form_sd)
    tiring = draw.uniform(0.5, 1.5)
    wanted = draw.uniform(1.0, 2.5)
    phase = draw.uniform(0.0, 2.0 * math.pi)
    form = draw.normal(0.0, form_sd)

    def able(share: float) -> float:
        # Repetitions that the lifter could do at a share of the day's strength, found by halving.
        if share >= 1.0:
            return 0.999 - (share - 1.0) * 30.0
        low, high = 1.0, 60.0
        for _ in range(40):
            middle = 0.5 * (low + high)
            if family.curve(1.0 + (middle - 1.0) * stretch) > share:
                low = middle
            else:
                high = middle
        return low

    felt = {
        5: _aimed(family, math.exp(start + draw.normal(0.0, 0.04)), stretch, 5 + wanted + 1.6 * tiring),
        8: _aimed(family, math.exp(start + draw.normal(0.0, 0.04)), stretch, 8 + wanted + 0.8 * tiring),
    }
    for number in range(2 * weeks):
        week = 0.5 * number
        log_maximum = start + _gained(family.gains, gain, week, weeks, phase)
        form = family.carries_form * form + draw.normal(0.0, form_sd * math.sqrt(1.0 - family.carries_form**2))
        at = FIRST_DAY + timedelta(days=3.5 * number)
        if family.gains == "pause" and 2 * week >= weeks:
            at += PAUSE
        sets: list[Evidence] = []
        fives, eights = [(5, 5)], [(3, 8)]
        for count, repetitions in fives + eights if family.one_session else (fives, eights)[number % 2]:
            if family.felt_loads:
                load = _loadable(felt[repetitions])
            else:
                aim = repetitions + wanted + 0.4 * tiring * (count - 1)
                load = _loadable(_aimed(family, math.exp(log_maximum + draw.normal(0.0, 0.015)), stretch, aim))
            for set_number in range(1, count + 1):
                place = len(sets)
                lost = _lost(family.fatigue, tiring, place)
                strength = math.exp(log_maximum + form - (0.0 if family.fatigue == "reps" else lost))
                possible = able(load / strength) - (lost if family.fatigue == "reps" else 0.0)
                possible += draw.normal(0.0, 0.3)
                logged = load
                if draw.random() < family.typos:
                    logged = load * (1.3 if draw.random() < 0.5 else 0.7)
                last = set_number == count and repetitions == 8
                to_failure = effort is Effort.FAILURE and last and number % 6 == 5
                done = repetitions if not to_failure else max(int(possible), 1)
                failed = possible < done
                if failed:
                    done = max(int(possible), 0)
                told: float | None = None
                if not to_failure and not failed:
                    told = _told(family, possible - done, bias, report_sd, draw)
                if set_number == count and not to_failure:
                    felt[repetitions] *= 0.96 if failed else 1.0 + 0.012 * ((told or 0.0) - wanted + 0.6)
                if effort is Effort.NONE or (effort is Effort.HALF and draw.random() < 0.5):
                    told = None
                sets.append(
                    Evidence(
                        lift=lift,
                        at=at + timedelta(minutes=4 * place),
                        session=str(number),
                        sequence=place,
                        load_kg=logged,
                        repetitions=done,
                        reported_left=told,
                        failed=failed,
                        to_failure=to_failure,
                    )
                )
        yield Session(sets[-1].at, log_maximum, tuple(sets))


def _aimed(family: Family, strength: float, stretch: float, repetitions: float) -> float:
    return strength * family.curve(1.0 + (repetitions - 1.0) * stretch)


def _loadable(load_kg: float) -> float:
    step = 2.5 if load_kg > 40.0 else 1.25
    return max(step, step * round(load_kg / step))


def _gained(gains: str, gain: float, week: float, weeks: int, phase: float) -> float:
    if gains == "saturating":
        return gain * weeks * (1.0 - math.exp(-2.0 * week / weeks)) / (1.0 - math.exp(-2.0))
    if gains == "steps":
        return gain * 4.0 * (week // 4.0)
    if gains == "wave":
        return gain * week + 0.02 * (math.sin(2.0 * math.pi * week / 8.0 + phase) - math.sin(phase))
    if gains == "pause" and 2 * week >= weeks:
        return gain * week - 0.05 * max(0.0, 1.0 - (week - 0.5 * weeks) / 5.0)
    return gain * week


def _lost(fatigue: str, tiring: float, place: int) -> float:
    if fatigue == "fading":
        return 0.03 * tiring * (1.0 - math.exp(-0.6 * place))
    if fatigue == "reps":
        return 0.45 * tiring * place
    return 0.011 * tiring * place


def _told(family: Family, left: float, bias: float, report_sd: float, draw: np.random.Generator) -> float:
    noise = draw.normal() if math.isinf(family.tails) else draw.standard_t(family.tails) / 1.5
    if family.reports == "two":
        return 2.0
    felt = left * (1.0 - 0.3 * bias) if family.reports == "proportional" else left - bias
    if family.reports == "growing":
        felt += bias * (1.0 - min(max(left, 0.0), 3.0) / 3.0)
    felt += noise * report_sd * (0.6 + 0.2 * left)
    if family.reports == "cautious":
        told = float(math.floor(felt))
    elif family.reports == "halves":
        told = round(2.0 * felt) / 2.0
    elif family.reports == "tenths":
        told = round(felt, 1)
    else:
        told = float(round(felt))
    return min(max(told, 0.0), 6.0)


def even(
    name: str,
    curve: Callable[[float], float],
    *,
    bias: tuple[float, float] = (0.3, 1.7),
    fatigue: str = "load",
    gains: str = "straight",
) -> Family:
    """A family of lifters that differ less, trained alike for years."""
    return Family(
        name,
        curve,
        fatigue=fatigue,
        gains=gains,
        bias=bias,
        stretch=0.12,
        report_sd=(0.5, 1.0),
        form_sd=(0.01, 0.02),
        gain=(0.0, 0.005),
    )


TUNED_ON = (
    Family("nsca table", nsca),
    Family("epley, fading fatigue, autocorrelated form", epley, fatigue="fading", carries_form=0.5),
    Family("exponential, heavy tails, saturating gains", exponential, tails=3.0, gains="saturating"),
    Family("straight line, reps of fatigue, halves", straight, fatigue="reps", reports="halves", gains="wave"),
    even("epley, lifters much alike", epley),
    even("brzycki, reports far off", brzycki, fatigue="fading", bias=(-0.5, 2.5)),
    even("nsca table, reports far off", nsca, bias=(-0.5, 2.5)),
    even("mayhew, lifters much alike", mayhew),
)

HELD_OUT = (
    Family("brzycki, cautious reports, steps", brzycki, reports="cautious", gains="steps", bias=(-0.5, 1.5)),
    Family("wathan, proportional bias, autocorrelated form", wathan, reports="proportional", carries_form=0.6),
    Family("mayhew, typos, heavy tails", mayhew, tails=3.0, typos=0.01, gains="wave"),
    Family("epley, fatigue in reps, exact reports", epley, fatigue="reps", reports="tenths", gains="saturating"),
    Family("nsca table, loads by feel, both schemes a session", nsca, felt_loads=True, one_session=True, typos=0.005),
    even("o'conner, lifters much alike", oconner, gains="saturating"),
    even("lombardi, lifters much alike", lombardi),
    even("exponential, reports far off", exponential, bias=(-0.5, 2.5), fatigue="reps"),
)

UNSEEN = (
    Family("epley, bias that grows, a pause", epley, reports="growing", gains="pause"),
    Family("brzycki, always two left, fading fatigue", brzycki, reports="two", fatigue="fading"),
    Family("lombardi, cautious reports, steps", lombardi, reports="cautious", gains="steps"),
    Family("o'conner, bias that grows, fading fatigue", oconner, reports="growing", fatigue="fading"),
    Family("nsca table, halves, fatigue in reps, wave", nsca, reports="halves", fatigue="reps", gains="wave"),
    Family("exponential, bias that grows, heavy tails", exponential, reports="growing", tails=3.0),
    even("wathan, lifters much alike, a pause", wathan, gains="pause"),
    even("brzycki, lifters much alike", brzycki),
)
