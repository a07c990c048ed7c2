"""Reviews in words: estimates, the session closed, the week, the maximum."""

from typing import assert_never

from bot.rendering.phone import count, day, estimated, figure, load, sets_in_short
from core.domain.reviews import EstimateTold, MaxTold, MuscleWeek, RecordTold, SessionClosed, WeekTold
from core.domain.sets import Counted
from core.domain.units import Load, from_kg

MUSCLES_TOLD = 6
"""Lines of muscles that `week` tells, so that it fits a phone: what is left shares the last of them."""

NOT_COUNTED_TOLD = 3
"""Reasons of sets that did not count that `week` tells: the rest is in `week --json`."""


CLEAR_TREND = 0.8
"""Probability from which a trend is called one. The advice at the check-in takes the same."""


def estimate(told: EstimateTold, *, with_level: bool = False) -> str:
    """An estimated maximum in one clause, with its interval and, if wished, how sure that is."""
    plus = "+" if told.added_to_body else ""
    clause = f"est. 1RM {plus}{estimated(told.estimate_kg, told.unit)} {told.unit}"
    if told.low_kg is not None and told.high_kg is not None:
        clause += f", {estimated(told.low_kg, told.unit)} to {estimated(told.high_kg, told.unit)}"
        if with_level:
            clause += f" ({told.level:.0%} sure)"
    if told.change_kg is not None:
        direction = "up" if told.change_kg > 0 else "down"
        clause += f", {direction} {estimated(abs(told.change_kg), told.unit)} {told.unit} in four weeks"
    return clause


def trend(weekly: float, rising: float) -> str:
    """A trend in one clause, with how sure it is."""
    gains = weekly > 0
    sure = rising if gains else 1 - rising
    way = "rises" if gains else "falls"
    said = f"{100 * weekly:+.1f} % a week, {100 * sure:.0f} in 100 that it {way}"
    return f"trend {said}" if sure >= CLEAR_TREND else f"no clear trend yet: {said}"


def muscles(week: tuple[MuscleWeek, ...]) -> str:
    """Hard sets by muscle in one line."""
    told = sorted(week, key=lambda each: -each.sets)
    first, *rest = told
    return ", ".join(
        [f"{first.muscle} {count(first.sets, 'hard set')}", *(f"{m.muscle} {figure(m.sets)}" for m in rest)]
    )


def why_not(why: Counted) -> str:
    """Why a set is not a hard set."""
    match why:
        case Counted.HARD:
            return "it counts"
        case Counted.WARM_UP:
            return "a warm-up"
        case Counted.RAMP:
            return "on the way up"
        case Counted.TOO_EASY:
            return "more reps were left than counts"
        case Counted.TOO_LIGHT:
            return "light against the session's heaviest"
        case Counted.TOO_MANY:
            return "over 30 reps"
        case Counted.STRENGTH:
            return "1 or 2 reps are strength practice"
        case Counted.POWER:
            return "a power set"
        case Counted.TIMED:
            return "a timed hold"
        case Counted.NOTHING_DONE:
            return "no rep made"
        case _:
            assert_never(why)


def session(reply: SessionClosed) -> str:
    """A session closed: each exercise in a line, and what it did to the week."""
    length = f", {reply.minutes} min" if reply.minutes else ""
    effort = "" if reply.effort is None else f", effort {figure(reply.effort)} of 10"
    lines = [f"session of {day(reply.day)} closed{length}{effort}"]
    by_name = {each.exercise: each for each in reply.estimates}
    for each in reply.exercises:
        line = f"{each.exercise} {sets_in_short(each.sets)}"
        if (told := by_name.get(each.exercise)) is not None:
            line += f" · {estimate(told)}"
        lines.append(line)
    if reply.week:
        lines.append("this week: " + muscles(reply.week))
    return "\n".join(lines)


def week(reply: WeekTold) -> str:
    """The week by muscle, most first, and what was not counted."""
    lines = [f"hard sets, {day(reply.first)} to {day(reply.last)}"]
    if not reply.sets:
        return lines[0] + "\nnothing logged yet"
    told = sorted(reply.muscles, key=lambda each: -each.sets)
    alone = len(told) if len(told) <= MUSCLES_TOLD else MUSCLES_TOLD - 1
    lines += [f"{each.muscle} {figure(each.sets)} in {count(each.sessions, 'session')}" for each in told[:alone]]
    if told[alone:]:
        lines.append("also " + ", ".join(f"{each.muscle} {figure(each.sets)}" for each in told[alone:]))
    left_out: dict[Counted, int] = {}
    for each in reply.not_counted:
        left_out[each.why] = left_out.get(each.why, 0) + 1
    most = sorted(left_out.items(), key=lambda item: -item[1])[:NOT_COUNTED_TOLD]
    if most:
        lines.append("not counted: " + "; ".join(f"{count(number, 'set')}, {why_not(why)}" for why, number in most))
    return "\n".join(lines)


def maximum(reply: MaxTold) -> str:
    """All about an estimated maximum."""
    told = reply.told
    lines = [f"{told.exercise}: {estimate(told, with_level=True)}"]
    if reply.weekly is not None and reply.rising is not None:
        lines.append(trend(reply.weekly, reply.rising))
    if reply.rests_on:
        lines.append("rests most on " + "; ".join(sets_in_short((one,)) for one in reply.rests_on))
    if reply.equations:
        figures = [from_kg(kg, told.unit) for _, kg in reply.equations]
        of = "it" if len(reply.rests_on) == 1 or reply.compared is None else sets_in_short((reply.compared,))
        lines.append(f"older equations say {round(min(figures))} to {round(max(figures))} {told.unit} from {of}")
    if len(reply.history) > 1:
        first = reply.history[0]
        lines.append(
            f"{len(reply.history)} sessions since {day(first.day)}, then {estimated(first.estimate_kg, told.unit)}"
        )
    if reply.records:
        shown = "; ".join(f"{_held(each)} × {each.reps}" for each in reply.records)
        lines.append(f"heaviest so far: {shown}")
    return "\n".join(lines)


def _held(record: RecordTold) -> str:
    if not record.bodyweight:
        return load(record.load)
    if record.load.amount < 0:
        return f"{load(Load(-record.load.amount, record.load.unit))} of help"
    return f"body mass + {load(record.load)}" if record.load.amount else "body mass"
