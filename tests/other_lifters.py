"""Lifters made by other rules again, written without sight of the estimate: curves, loads, fatigue and reports differ.

Their curves lie further apart than those of `simulated_lifters`, by a fifth or so of the repetitions, as people's do
(Richens & Cleather 2014 for how far); the estimate assumes two thirds of that. Loads follow a lifter's own idea of the maximum,
or the last reports; fatigue grows with how near the limit a set came; the reporting bias grows with what is left and
nearly goes at the end; lifters stop short of what they planned where the limit comes sooner, and lay off in the middle.
"""

import math
import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import timedelta

import numpy as np

from core.strength.evidence import Evidence
from tests.simulated_lifters import BENCH, FIRST_DAY, NSCA_ROWS, Effort, Session

Curve = Callable[[float], float]
"""Share of the maximum at repetitions to failure."""

WEEKS = 16
PAUSE_WEEKS = 3


@dataclass(frozen=True, slots=True)
class OtherFamily:
    """A way to make such lifters.

    Args:
        name: For the table.
        curve: Draws a lifter's own curve.
        fatigue: "share" of the strength with each set, "reps", or "effort": the more, the nearer the limit.
        by_reports: Loads follow the last reports, and not an idea of the maximum.
        growing: The reporting bias grows with what is left.
        gains: "straight", "plateau", "layoff" or "walk"; one of them for each lifter.

    """

    name: str
    curve: Callable[[random.Random], Curve]
    fatigue: str = "share"
    by_reports: bool = False
    growing: bool = True
    gains: tuple[str, ...] = ("straight", "plateau", "layoff")


def spline(draw: random.Random) -> Curve:
    """Mean repetitions near those of Nuzzo et al. 2024 (8.8 at 80 %; the rest invented), stretched for each lifter."""
    own = math.exp(draw.gauss(0.0, 0.2))
    repetitions = [
        1.0,
        *(1.0 + (each - 1.0) * own for each in (2.9, 4.8, 6.8, 8.8, 11.2, 13.9, 17.0, 20.6, 29.0, 60.0)),
    ]
    shares = [1.0, 0.95, 0.90, 0.85, 0.80, 0.75, 0.70, 0.65, 0.60, 0.50, 0.30]
    return lambda at: float(np.interp(at, repetitions, shares))


def powered_table(draw: random.Random) -> Curve:
    """The NSCA table to a power of the lifter's own."""
    power = math.exp(draw.gauss(0.0, 0.2))
    repetitions = [*range(1, 11), 15, 30, 60]
    return lambda at: float(np.interp(at, repetitions, [*NSCA_ROWS, 0.65, 0.45, 0.20])) ** power


def two_parameters(draw: random.Random) -> Curve:
    """Exponentials towards a floor, both parameters the lifter's own (the form: Mitter et al. 2022)."""
    floor, rate = min(max(draw.gauss(0.40, 0.06), 0.25), 0.55), max(0.025, draw.gauss(0.052, 0.008))
    return lambda at: floor + (1.0 - floor) * math.exp(-rate * (at - 1.0))


def hyperbola(draw: random.Random) -> Curve:
    """Epley's form through 1 at one repetition, with a slope of the lifter's own."""
    slope = max(0.018, draw.gauss(0.0333, 0.006))
    return lambda at: 1.0 / (1.0 + slope * (at - 1.0))


OTHERS = (
    OtherFamily("other: spline, effort tires, bias that grows", spline, fatigue="effort"),
    OtherFamily("other: powered table, loads by reports", powered_table, by_reports=True),
    OtherFamily("other: two parameters, walking strength", two_parameters, fatigue="effort", gains=("walk", "layoff")),
    OtherFamily("other: hyperbola, reps of fatigue, flat bias", hyperbola, fatigue="reps", growing=False),
)


def other_lifter(family: OtherFamily, effort: Effort, *, seed: int) -> Iterator[Session]:
    """Sessions of one lifter, two a week: five sets of five, then three of eight.

    Args:
        family: Rules.
        effort: How much effort is told.
        seed: Of the lifter.

    """
    draw = random.Random(f"{family.name}/{seed}")  # noqa: S311 - a simulation
    told_draw = random.Random(f"{family.name}/{seed}/told")  # noqa: S311 - a simulation
    curve = family.curve(draw)
    log_maximum = math.log(draw.uniform(55.0, 170.0))
    gains, rate, turn = draw.choice(family.gains), draw.uniform(0.001, 0.005), draw.randint(5, 9)
    form_sd, tiring, bias = draw.uniform(0.010, 0.025), draw.uniform(0.6, 1.5), max(-0.2, draw.gauss(0.95, 0.5))
    wanted, noise, idea = draw.choice((1, 2, 2, 3)), draw.uniform(0.4, 0.9), draw.gauss(-0.02, 0.04)
    loads: dict[int, float] = {}
    for number in range(2 * WEEKS):
        week = number // 2
        log_maximum += _gained(gains, rate, week, turn, draw) / 2.0
        count, planned = ((5, 5), (3, 8))[number % 2]
        form = draw.gauss(0.0, form_sd)
        if gains == "layoff" and turn <= week < turn + PAUSE_WEEKS:
            continue
        if planned not in loads or not family.by_reports:
            aimed = curve(planned + wanted + 0.4 * (count - 1))
            loads[planned] = math.exp(log_maximum + idea + draw.gauss(0.0, 0.02)) * aimed
        load = max(20.0, 2.5 * round(loads[planned] / 2.5))
        worn, reports, sets = 0.0, list[float](), list[Evidence]()
        for place in range(count):
            lost = worn if family.fatigue == "effort" else 0.012 * tiring * place if family.fatigue == "share" else 0.0
            able = _able(curve, load / math.exp(log_maximum + form - lost)) + draw.gauss(0.0, 0.35)
            able -= 0.4 * tiring * place if family.fatigue == "reps" else 0.0
            to_failure = effort is Effort.FAILURE and number % 6 == 5 and place == count - 1
            done = max(1, math.floor(able)) if to_failure else max(1, min(planned, math.floor(able)))
            left = max(0.0, able - done)
            worn += 0.017 * tiring * math.exp(-0.35 * left)
            part = min(1.6, 0.25 + 0.3 * left) if family.growing else 0.8
            said = float(max(0, round(left - bias * part + draw.gauss(0.0, noise * (0.45 + 0.2 * left)))))
            reports.append(said)
            hidden = effort is Effort.NONE or (effort is Effort.HALF and told_draw.random() < 0.5)
            sets.append(
                Evidence(
                    lift=BENCH,
                    at=FIRST_DAY + timedelta(days=3.5 * number, minutes=4 * place),
                    session=str(number),
                    sequence=place,
                    load_kg=load,
                    repetitions=done,
                    reported_left=None if hidden or to_failure else said,
                    to_failure=to_failure,
                )
            )
        yield Session(sets[-1].at, log_maximum, tuple(sets))
        over = sum(reports) / count - wanted
        loads[planned] = load + (2.5 if over > 0.7 or draw.random() < 0.1 else -2.5 if over < -1.0 else 0.0)


def _able(curve: Curve, share: float) -> float:
    if share >= 1.0:
        return max(0.0, 1.0 - (share - 1.0) * 30.0)
    low, high = 1.0, 60.0
    for _ in range(40):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if curve(middle) > share else (low, middle)
    return low


def _gained(gains: str, rate: float, week: int, turn: int, draw: random.Random) -> float:
    """Gain of one week."""
    if gains == "plateau":
        return rate if week < turn else 0.0
    if gains == "walk":
        return rate + draw.gauss(0.0, 0.008)
    if gains == "layoff" and turn <= week < turn + 2 * PAUSE_WEEKS:
        return -0.012 if week < turn + PAUSE_WEEKS else 0.010
    return rate
