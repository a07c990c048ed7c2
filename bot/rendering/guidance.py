"""Guidance in words: the day's session, the next set with its reason, a tested maximum."""

from collections.abc import Sequence
from datetime import date
from typing import assert_never

from bot.rendering.phone import DAYS, count, day, figure, load
from bot.rendering.whys import reason, why
from core.domain.guidance import (
    AttemptTold,
    CueTold,
    DayChange,
    Guidance,
    LastLiftDone,
    LiftTold,
    MaximumEnd,
    MaximumOver,
    MaximumRefusal,
    MaximumRefused,
    MaximumTold,
    Move,
    MovedAway,
    NextLiftTold,
    NextSetTold,
    NoSession,
    NoSessionTold,
    Reason,
    TodayTold,
    WhyTold,
)
from core.domain.prescriptions import WarmUpSet
from core.domain.session_commands import Cue
from core.domain.units import Load

LIFTS_TOLD = 4
"""Lifts after the next one that get a line each: with that one they fill a phone; what is left shares the last line."""


def text(told: Guidance) -> str:
    """The words of a piece of guidance."""
    match told:
        case NoSessionTold():
            return _no_session(told)
        case TodayTold():
            return _today(told)
        case NextSetTold():
            return next_set(told)
        case NextLiftTold():
            return next_lift(told)
        case LastLiftDone():
            return last_lift(told)
        case WhyTold():
            return why(told)
        case MovedAway(to=to, swapped=swapped, beside=beside, beside_today=here):
            close = "" if beside is None else f"\n{day(beside)} is next to it and trains some of the same muscles"
            close += "" if here is None else f"\n{day(here)} is next to today and trains some of the same muscles"
            return f"moved to {day(to)}" + (", whose session is today now: `today`" if swapped else "") + close
        case CueTold(cue=cue):
            return f"noted, it comes up more often: {reminder(cue)}"
        case MaximumTold():
            return _maximum(told)
        case AttemptTold():
            return _attempt(told)
        case MaximumOver():
            return _over(told)
        case MaximumRefused():
            return _refused(told)
        case _:
            assert_never(told)


def reminder(cue: Cue) -> str:
    """A technique reminder."""
    match cue:
        case Cue.BLADES:
            return "shoulder blades back and down, and kept there through every rep"
        case Cue.FEET:
            return "set the feet before the bar leaves the rack"
        case Cue.GRIP:
            return "same grip every set, not wider than one and a half shoulder widths"
        case Cue.ELBOWS:
            return "elbows about halfway between the ribs and straight out"
        case Cue.WRISTS:
            return "seen from the feet, each wrist stands over its elbow"
        case Cue.PATH:
            return "from the chest the bar goes up and back towards the shoulders"
        case _:
            assert_never(cue)


def next_set(told: NextSetTold) -> str:
    """The next set in a line, its reason behind it, the plates where they changed."""
    weight = weighed(told.load, told.lift)
    if told.finding:
        line = f"next: {weight} × {told.reps}, then tell the reps left"
    else:
        line = f"next: {weight} × {told.reps}, set {told.number} of {told.of}"
        if told.number == told.of and (aim := told.lift.lift.sets[-1].left) is not None:
            line += f", {figure(aim)} left"
    lines = [line]
    if told.side:
        lines[0] += f" ({plates(told.side)} a side)"
    if not told.finding and (told.move is not Move.SAME or told.reason not in _QUIET):
        lines.append(reason(told.reason))
    return "\n".join(lines)


_QUIET = frozenset({Reason.AS_EXPECTED, Reason.UNTOLD, Reason.NOT_CLEAR})
"""Reasons for the same load that go without saying; `why` tells them."""


def next_lift(told: NextLiftTold) -> str:
    """The next lift in whole."""
    lines = ["two failed sets end this lift"] if told.ended else []
    first, *rest = _in_whole(told.lift)
    return "\n".join([*lines, f"next: {first}", *rest])


def last_lift(told: LastLiftDone) -> str:
    """All lifts are done."""
    ended = "two failed sets end this lift\n" if told.ended else ""
    return f"{ended}that was the last set of today: `done` closes the session"


def weighed(amount: Load, told: LiftTold) -> str:
    """A load as it is told for a lift: beside body mass, in each hand, or with its unit alone."""
    if told.body_mass:
        if amount.amount == 0:
            return "body mass"
        if amount.amount < 0:
            return f"{load(Load(-amount.amount, amount.unit))} of help"
        return f"body mass + {load(amount)}"
    return f"{load(amount)} in each hand" if told.per_hand else load(amount)


def plates(side: Sequence[Load]) -> str:
    """Plates of one side, heaviest first."""
    return " + ".join(figure(each.amount) for each in side)


def _today(told: TodayTold) -> str:
    first, *rest = told.lifts
    kind = "" if told.kind is None else f"{told.kind} day, "
    head = f"{day(told.day)}: {kind}{'reduced week, ' if told.reduced else ''}about {told.minutes} min"
    if told.change is not None:
        head = f"{_change(told.change, told.about)}; about {told.minutes} min"
    alone = len(rest) if len(rest) <= LIFTS_TOLD else LIFTS_TOLD - 1
    lines = [head, *_in_whole(first), *(f"then {_in_short(each)}" for each in rest[:alone])]
    if rest[alone:]:
        lines.append("then " + "; ".join(_in_short(each) for each in rest[alone:]))
    if told.spared:
        place = told.spared[0]
        lines.append(f"nothing that loads the {place}: a clinician first, then `{place} better`")
    elif told.rested:
        place, until = told.rested[0]
        lines.append(f"nothing that loads the {place} before {day(until)}, or `{place} better`")
    elif told.hurting:
        place = told.hurting[0]
        lines.append(f"eased for the {place}; `{place} better` ends that")
    elif told.back_after is not None:
        lines.append(f"eased in after {count(told.back_after, 'day')} away; `why` tells how")
        if told.screening_open:
            lines.append("after that long `start` asks about your health once more")
    elif told.cue is not None:
        lines.append(f"mind: {reminder(told.cue)}")
    return "\n".join(lines)


def _in_whole(told: LiftTold) -> list[str]:
    """A lift with its warm-up and its work sets."""
    lift = told.lift
    name = lift.exercise
    work = lift.sets[told.done :] or lift.sets[-1:]
    first = work[0]
    if told.finding_at is not None:
        return [f"{name}: {weighed(told.finding_at, told)} × {first.reps}, then tell the reps left"]
    if first.load is None:
        start = "the empty bar" if lift.bar is not None else "the lightest load there is"
        return [
            f"{name}, {len(lift.sets)} × {first.reps}: its load is still to be found",
            f"start with {start} × {first.reps}, then tell the reps left; it goes up from there",
        ]
    lines = [f"{name}: warm up {_warm_up(lift.warm_up)}"] if lift.warm_up and not told.done else []
    line = f"{len(work)} × {first.reps} at {weighed(first.load, told)}"
    if lift.side:
        line += f" ({plates(lift.side)}{' a side' if lift.bar is not None else ''})"
    if first.left is not None:
        line += f", {figure(first.left)} left after the last"
    else:
        line += ", fast"
    lines.append(line if lines else f"{name}: {line}")
    if lift.smaller is not None:
        lines.append(f"a pair of {load(lift.smaller.pair)} discs would allow {load(lift.smaller.load)}")
    return lines


def _in_short(told: LiftTold) -> str:
    work = told.lift.sets[told.done :] or told.lift.sets[-1:]
    sets = f"{told.lift.exercise} {len(work)} × {work[0].reps}"
    return f"{sets}, load to find" if work[0].load is None else f"{sets} at {weighed(work[0].load, told)}"


def _warm_up(steps: Sequence[WarmUpSet]) -> str:
    return ", ".join(
        f"{figure(each.load.amount)} × {each.reps}" + (f" ({plates(each.side)})" if each.side else "") for each in steps
    )


def _change(change: DayChange, about: str) -> str:
    match change:
        case DayChange.SWAPPED:
            return f"{about} today"
        case DayChange.LEFT_OUT:
            return f"{about} left out today"
        case DayChange.SHORTENED:
            return f"cut to {about} min"
        case DayChange.SET_ADDED:
            return f"one more set of {about}"
        case DayChange.EASIER:
            return "one more left in each lift today"
        case DayChange.FEWER_SETS:
            return "one set fewer of each lift today"
        case DayChange.AS_PLANNED:
            return "as planned, then"
        case DayChange.SPOTTER:
            return "with a spotter today; tell them the reps before you unrack"
        case DayChange.BROUGHT_HERE:
            return f"{DAYS[int(about)]}'s session, today"
        case DayChange.REPEATED:
            return f"the session of {day(date.fromisoformat(about))} again"
        case DayChange.EASED:
            return f"{about}: one more left, nothing added"
        case DayChange.OUT_THIS_WEEK:
            return f"{about} is out this week"
        case DayChange.ENDED:
            return f"nothing more today that loads the {about}"
        case DayChange.BACK_EASED:
            return f"back with a clinician's word only, and eased for the {about}"
        case DayChange.BETTER:
            return f"good that the {about} is better"
        case _:
            assert_never(change)


def _no_session(told: NoSessionTold) -> str:
    following = "" if told.next_day is None else f"; next is {day(told.next_day)}"
    if told.kind is not None and told.next_day is not None:
        following += f", {told.kind} day"
    match told.why:
        case NoSession.NO_PLAN:
            return "no plan yet: `start` makes one, and logging works without"
        case NoSession.REST:
            return f"no session today{following}"
        case NoSession.AWAY:
            back = "" if told.next_day is None else f" until {day(told.next_day)}"
            return f"paused{back}: `resume` ends the pause"
        case NoSession.SICK:
            return "get well first: no training advice while you are ill; `resume` when you are back"
        case NoSession.STOPPED:
            return "no training suggestions until a clinician has looked: then text `cleared by clinician`"
        case NoSession.DONE:
            return f"today's session is done{following}"
        case NoSession.SKIPPED:
            return f"today's session is left out{following}"
        case NoSession.EMPTY:
            return "nothing is left of today's session: `done` closes it"
        case _:
            assert_never(told.why)


def _maximum(told: MaximumTold) -> str:
    steps = ", ".join(
        f"{figure(each.load.amount)} × {each.reps}" + (f" ({plates(each.side)})" if each.side else "")
        for each in told.steps
    )
    low, high = (rest // 60 for rest in told.attempt_rest_s)
    lines = [
        f"{told.exercise}, a tested maximum; stop if anything hurts",
        f"on the way: {steps}, {told.step_rest_s // 60} min between",
        f"first attempt: {load(told.first.load)}" + (f" ({plates(told.first.side)} a side)" if told.first.side else ""),
        f"{low} to {high} min before each attempt; three at most, one miss ends it",
    ]
    if told.reach is not None:
        lines.append(
            f"the estimate is not sure yet: this comes to {load(told.reach)} at most. A few hard sets first tell more"
        )
    if told.under_the_bar:
        lines.append("safety arms just under chest height, clear of the chest and above the neck, or a spotter")
    return "\n".join(lines)


def _attempt(told: AttemptTold) -> str:
    side = f" ({plates(told.side)} a side)" if told.side else ""
    low, high = (rest // 60 for rest in told.rest_s)
    return f"attempt {told.number}: {load(told.load)}{side}, after {low} to {high} min"


def _over(told: MaximumOver) -> str:
    match told.why:
        case MaximumEnd.MISSED:
            ended = "a miss ends the test"
        case MaximumEnd.ATTEMPTS:
            ended = "three attempts are enough"
        case MaximumEnd.HEAVIEST:
            ended = "that is the heaviest you can load"
        case _:
            assert_never(told.why)
    if told.best is None:
        return f"{ended}; nothing was made, the estimate stands"
    if told.more_there:
        return f"{ended}; best {load(told.best)}, and nothing was missed: no maximum yet, the estimate stands"
    return f"{ended}; best {load(told.best)}"


def _refused(told: MaximumRefused) -> str:
    name = told.exercise
    match told.why:
        case MaximumRefusal.ALONE:
            return (
                f"no tested {name} maximum alone under the bar: safety arms just under chest height, clear of the chest and "
                "above the neck, or `spotter today`. The estimate serves as well: `max`"
            )
        case MaximumRefusal.SCREENED:
            return "no maximal tests before a clinician's word (`start` asks the screening again). The estimate: `max`"
        case MaximumRefusal.STOPPED:
            return "no tests after a warning sign until a clinician has looked: then text `cleared by clinician`"
        case MaximumRefusal.REDUCED_WEEK:
            return "no test in a reduced week: its point is to rest. Next week is better"
        case MaximumRefusal.HURTS:
            return "no test while something hurts there; it keeps"
        case MaximumRefusal.NO_ESTIMATE:
            return f"no estimate for {name} yet to start a test from: log some work sets of it first"
        case MaximumRefusal.NOT_THIS_LIFT:
            return f"a single maximum says little for {name}; `max` tells the estimate"
        case _:
            assert_never(told.why)
