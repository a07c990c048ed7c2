"""Minutes: how long a session takes."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Protocol

from core.domain.exercises import Exercise
from core.domain.plans import Role, Scheme


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """How long things take; the defaults until the times of messages have told. [s]

    Three minutes of rest for the main lift: Schoenfeld et al. 2016, JSCR 30:1805-1812. The rest is the program's own.
    """

    rep_s: int = 4
    main_rest_s: int = 180
    multi_joint_rest_s: int = 120
    single_joint_rest_s: int = 90
    warm_up_rest_s: int = 60
    change_s: int = 120


USUAL_PACE = Pace()
"""The pace of a lifter whose own is not known."""

RAMP_REPS = 19
"""Repetitions of a whole warm-up: 8, 5, 3, 2 and 1. [repetitions]"""

RAMP_SETS = 5
"""Sets of a whole warm-up. [sets]"""

ONE_WARM_UP_REPS = 5
"""Repetitions of the one warm-up set of a later lift. [repetitions]"""


class TimedLift(Protocol):
    """What the time of a lift depends on."""

    @property
    def role(self) -> Role:
        """What it is to the session."""

    @property
    def sets(self) -> int:
        """Its work sets."""

    @property
    def scheme(self) -> Scheme:
        """What each set asks for."""


def rest_s(role: Role, exercise: Exercise, pace: Pace = USUAL_PACE) -> int:
    """Rest after a work set. [s]"""
    if role in (Role.MAIN, Role.BACK_OFF):
        return pace.main_rest_s
    return pace.multi_joint_rest_s if exercise.multi_joint else pace.single_joint_rest_s


def set_s(reps: int, exercise: Exercise, pace: Pace = USUAL_PACE) -> int:
    """Time of one set; both sides where they are trained one at a time. [s]"""
    return reps * pace.rep_s * (2 if exercise.one_side else 1)


def warm_up_s(role: Role, exercise: Exercise, pace: Pace = USUAL_PACE) -> int:
    """Most time that the warm-up of a lift takes: all steps for the main lift and for lifts led by the legs. [s]"""
    if role is Role.BACK_OFF or not exercise.multi_joint:
        return 0
    if role is Role.MAIN or exercise.lower_body:
        return RAMP_REPS * pace.rep_s + RAMP_SETS * pace.warm_up_rest_s
    return ONE_WARM_UP_REPS * pace.rep_s * (2 if exercise.one_side else 1) + pace.warm_up_rest_s


def lift_s(role: Role, exercise: Exercise, *, sets: int, reps: int, pace: Pace = USUAL_PACE) -> int:
    """Time of one lift with its warm-up, from its first set to the end of its last. [s]"""
    rest = rest_s(role, exercise, pace)
    return warm_up_s(role, exercise, pace) + sets * (set_s(reps, exercise, pace) + rest) - rest


def session_s(lifts: Iterable[tuple[TimedLift, Exercise]], pace: Pace = USUAL_PACE) -> int:
    """Time of a session at most, with a change between each lift and the next. [s].

    Sets are taken with as many repetitions as their scheme lets them grow to.
    """
    total, changes = 0, -1
    for lift, exercise in lifts:
        total += lift_s(lift.role, exercise, sets=lift.sets, reps=lift.scheme.top, pace=pace)
        # Back-off sets are on the same bar: plates come off while the lifter rests.
        total += pace.main_rest_s - pace.change_s if lift.role is Role.BACK_OFF else 0
        changes += 1
    return total + max(changes, 0) * pace.change_s
