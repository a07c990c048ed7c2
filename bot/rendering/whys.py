"""Whys in words: how a load came about, step by step."""

from collections.abc import Sequence
from typing import assert_never

from bot.rendering.phone import count, estimated, figure, load
from core.domain.guidance import Reason, WhyTold
from core.domain.prescriptions import (
    AtShare,
    Bound,
    Bounded,
    Change,
    Changed,
    Estimated,
    Rounded,
    Step,
    Stepped,
    ToFind,
    Why,
)
from core.domain.units import Unit, from_kg


def why(told: WhyTold) -> str:
    """The chain to a load, one step a line."""
    result = "its load is still to be found" if told.load is None else load(told.load)
    lines = [f"{told.exercise}: {result}", *(_step(each, told.unit) for each in told.why)]
    lines += [f"{reason(why)}: {load(after)}" for _, why, after in told.since]
    if told.taken is not None:
        lines.append(f"you took {load(told.taken)}, so it goes on from there")
    if told.cuts:
        lines.append("you asked for: " + ", ".join(told.cuts))
    if told.out:
        lines.append("left out because something hurts: " + ", ".join(told.out))
    return "\n".join(lines)


def steps(why: Sequence[Why], unit: Unit) -> list[str]:
    """A chain to a load, one short text a step."""
    return [_step(each, unit) for each in why]


def reason(why: Reason) -> str:
    """Why a load moves, or stays, in a few words."""
    match why:
        case Reason.AS_EXPECTED:
            return "that went as expected"
        case Reason.UNTOLD:
            return "reps made, so the load stays"
        case Reason.NOT_CLEAR:
            return "not far enough off to change the load"
        case Reason.EASIER:
            return "clearly easier than expected, so up a step"
        case Reason.RAISED_ONCE:
            return "up once already today, so the load stays"
        case Reason.LATE:
            return "easier than expected, but this late in a lift the load stays"
        case Reason.STEP_TOO_LARGE:
            return "easier than expected, but the next step would be too large"
        case Reason.KEPT_BACK:
            return "fewer left than is safe here"
        case Reason.HARDER:
            return "harder than expected, so a little down"
        case Reason.ONE_MISSED:
            return "a rep short, so a little down"
        case Reason.FAILED:
            return "missed, so a tenth down"
        case Reason.FAILED_TWICE:
            return "two failed sets end this lift"
        case Reason.LIGHTEST:
            return "harder than expected, but there is nothing lighter"
        case _:
            assert_never(why)


def _step(each: Why, unit: Unit) -> str:
    match each:
        case Estimated(estimate_kg=kg, low_kg=low, high_kg=high):
            return f"estimated maximum {estimated(kg, unit)} {unit}, {estimated(low, unit)} to {estimated(high, unit)}"
        case AtShare():
            return _share(each, unit)
        case Stepped(step=step, from_kg=before, to_kg=after):
            return _stepped(step, f"{_mass(before, unit)}", f"{_mass(after, unit)}")
        case Changed(change=change, factor=factor):
            return _changed(change, factor)
        case Bounded(bound=bound):
            return _bound(bound)
        case Rounded(wanted_kg=wanted, load_kg=made, reps=reps):
            made_up = "" if reps is None else f", so {count(reps, 'rep')} instead"
            return f"{figure(from_kg(wanted, unit), digits=1)} comes to {_mass(made, unit)} with what you can load{made_up}"
        case ToFind():
            return "nothing is logged of it: up from light, by the reps you say were left"
        case _:
            assert_never(each)


def _share(each: AtShare, unit: Unit) -> str:
    share = f"{100 * each.share:.0f} % of it"
    if each.left is None:
        return f"{share} for fast sets of {each.reps}: {figure(from_kg(each.load_kg, unit), digits=1)} {unit}"
    sets = f"{each.sets} × {each.reps} with {figure(each.left)} left after the last"
    tired = f", {figure(each.fatigue, digits=1)} reps lost on the way" if each.sets > 1 and each.fatigue >= 0.05 else ""
    return f"{sets}{tired}: {share}"


def _mass(kg: float, unit: Unit) -> str:
    return f"{figure(from_kg(kg, unit), digits=2)} {unit}"


def _stepped(step: Step, before: str, after: str) -> str:
    match step:
        case Step.FIRST:
            return "first time on this kind of day"
        case Step.UP:
            return f"last time {before}, up to {after}"
        case Step.KEPT:
            return f"last time {before}, kept"
        case Step.HELD:
            return f"last time {before}: one step a week is enough"
        case Step.REPS:
            return f"last time {before}: first more reps, then more load"
        case Step.TWO_FOR_TWO:
            return f"last time {before}, two reps over twice: up to {after}"
        case Step.DOWN:
            return f"last time {before}, down to {after}"
        case _:
            assert_never(step)


def _changed(change: Change, factor: float) -> str:
    less = f"{100 * (1 - factor):.0f} % less" if factor < 1 else "one more left"
    match change:
        case Change.REDUCED_WEEK:
            return f"reduced week: {less}"
        case Change.RETURN:
            return f"back after a time away: {less}"
        case Change.TIRED:
            return f"tired today: {less}"
        case Change.ACHE:
            return f"an ache: {less}"
        case Change.FADING_ACHE:
            return f"an ache there: {less}, nothing added"
        case _:
            assert_never(change)


def _bound(bound: Bound) -> str:
    match bound:
        case Bound.ALONE:
            return "alone under the bar: at least 2 left"
        case Bound.SCREENED:
            return "after the screening: at least 1 left"
        case Bound.LIGHTEST:
            return "that is the lightest there is"
        case Bound.HEAVIEST:
            return "that is the heaviest there is"
        case Bound.LOW_END:
            return "the lower end of the estimate counts"
        case _:
            assert_never(bound)
