"""Canonical texts of what is said about the plan: wishes, equipment, own weeks, times away."""

from datetime import date, time
from typing import assert_never

from core.domain.equipment import Listed, Steps
from core.domain.exercises import Equipment
from core.domain.plan_commands import (
    CheckInAt,
    ComingDay,
    LeaveOut,
    Matters,
    NewPlan,
    OwnLift,
    OwnWeek,
    Pause,
    PausedBench,
    PlanCommand,
    PlanOff,
    PlatesFor,
    Prefer,
    RecentSets,
    Resume,
    Screened,
    ShowPlan,
    SkipStep,
    TagWeek,
    TakePlan,
    UseBars,
    UseBounds,
    UseDays,
    UseDiscs,
    UseDumbbells,
    UseEquipment,
    UseMain,
    UseMinutes,
    UseSafety,
    UseSessions,
    UseSetsNow,
)
from core.domain.prescriptions import Safety
from core.domain.units import Load

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")

_SAFETIES = {Safety.ARMS: "arms", Safety.SPOTTER: "spotter", Safety.NEITHER: "neither"}


def plan_text(command: PlanCommand, *, sets: str = "") -> str:
    """The one text of a command about the plan; `sets` is the text of the sets it holds.

    >>> plan_text(UseDays((0, 3)))
    'days mon thu'

    """
    match command:
        case SkipStep(step=step):
            return f"skip question {step}"
        case Screened(applies=applies):
            return "screening applies" if applies else "screening clear"
        case UseSafety(safety=safety):
            return f"safety {_SAFETIES[safety]}"
        case UseDays(days=days):
            return "days " + " ".join(WEEKDAYS[day] for day in days)
        case UseSessions(count=count):
            return f"sessions {count}"
        case UseMinutes(minutes=minutes):
            return f"minutes {minutes}"
        case UseEquipment(has=has, unit=unit):
            told = "gym" if has is None else ", ".join(kind for kind in Equipment if kind in has)
            return f"equipment {told}" + ("" if unit is None else f" {unit}")
        case UseBars(bars=bars):
            return "bars " + " ".join(map(mass_text, bars))
        case UseDiscs(discs=discs):
            return "plates " + " ".join(f"{mass_text(disc.mass)} x{disc.pairs}" for disc in discs)
        case UseDumbbells(loads=loads):
            return f"dumbbells {_rack(loads)}"
        case UseMain(exercise=exercise):
            return f"main lift {exercise}"
        case Matters(muscles=muscles):
            return "matters " + ", ".join(muscles)
        case LeaveOut(muscles=muscles):
            return "leave out " + (", ".join(muscles) or "nothing")
        case Prefer(exercise=exercise, taste=taste):
            return f"{taste} {exercise}"
        case UseSetsNow(sets=count, muscle=muscle):
            return f"sets {muscle or 'all'} {count}"
        case UseBounds(floor=floor, ceiling=ceiling):
            return f"bounds {floor}-{ceiling}"
        case PausedBench(paused=paused):
            return "paused bench" if paused else "touch and go bench"
        case CheckInAt(day=day, at=at):
            return "check-in off" if at is None else f"check-in {WEEKDAYS[day]} {clock(at)}"
        case RecentSets():
            return f"recent {sets}"
        case ShowPlan():
            return "plan"
        case NewPlan():
            return "plan new"
        case TakePlan(difference=difference):
            return f"take plan {difference}"
        case PlanOff():
            return "plan off"
        case OwnWeek(days=own):
            return "my own " + " / ".join(
                f"{WEEKDAYS[each.day]}: {', '.join(map(_own_lift, each.lifts))}" for each in own
            )
        case Pause(until=until):
            return "pause" if until is None else _until(until)
        case Resume():
            return "resume"
        case TagWeek(tag=tag, on=on):
            return tag if on else f"{tag} off"
        case PlatesFor(load=load):
            return f"plates {mass_text(load)}"
        case _:
            assert_never(command)


def mass_text(load: Load) -> str:
    """A load with its unit, in the shortest decimal text."""
    return f"{figure(load.amount)} {load.unit}"


def figure(value: float) -> str:
    """Shortest decimal text of a number, without an exponent."""
    return f"{value:.6f}".rstrip("0").rstrip(".")


def clock(at: time | None) -> str:
    """A time of day; `off` for none."""
    return "off" if at is None else f"{at.hour}:{at.minute:02}"


def _rack(loads: Steps | Listed) -> str:
    if isinstance(loads, Listed):
        return " ".join(map(mass_text, loads.loads))
    return f"{mass_text(loads.lightest)} to {mass_text(loads.heaviest)} by {mass_text(loads.step)}"


def _own_lift(lift: OwnLift) -> str:
    return f"{lift.exercise} {lift.sets}x{lift.reps}" + ("" if lift.left is None else f" rir {figure(lift.left)}")


def _until(until: date | ComingDay) -> str:
    if isinstance(until, date):
        return f"pause until {until.isoformat()}"
    if until.weekday is not None:
        return f"pause until {WEEKDAYS[until.weekday]}"
    return f"pause {until.days} days" if until.days else f"pause until {until.day} {MONTHS[until.month - 1]}"
