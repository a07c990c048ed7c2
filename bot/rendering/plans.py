"""Plans in words: the block on one screen, what changed, offers, plates, times away."""

from collections.abc import Sequence
from datetime import date
from typing import assert_never

from bot.rendering.phone import WEEKDAYS, count, day, figure, load
from core.domain.checkins import Tag
from core.domain.plan_commands import Screened, TagWeek
from core.domain.plan_replies import (
    AwayTold,
    BackTold,
    MissedTold,
    Noted,
    OfferTold,
    PlanChanged,
    PlanEnded,
    PlanRefusal,
    PlanRefused,
    PlanReply,
    PlanTold,
    PlatesTold,
    ReturnKind,
)
from core.domain.plans import Conflict, Difference, PlannedLift, PlannedSession, Reason, WeekPlan
from core.domain.prescriptions import DayState
from core.domain.units import Load
from core.notation.messages import canonical

MOST_LIFTS_SHOWN = 3
"""Lifts of a session that are named on the screen of the block. [lifts] The rest are a number."""

MOST_LIFTS_OFFERED = 2
"""Lifts of a session that are named in an offer: what differs beside the main lift shows in the second. [lifts]"""

MOST_SESSIONS_WITH_LIFTS = 4
"""Sessions up to which each names its lifts; with more, the main lift alone. [sessions]"""


_STATES = {
    DayState.PLANNED: "",
    DayState.OPEN: " · begun",
    DayState.DONE: " · done",
    DayState.SKIPPED: " · skipped",
    DayState.DROPPED: "",
}


def text(reply: PlanReply) -> str:
    """The words of a reply about the plan."""
    match reply:
        case Noted():
            return _noted(reply)
        case PlanRefused():
            return _refused(reply)
        case PlanTold():
            return _plan(reply)
        case PlanChanged():
            return _changed(reply)
        case PlanEnded():
            return "no plan any more: log what you do, everything else goes on\n`plan new` makes another"
        case PlatesTold():
            return _plates(reply)
        case MissedTold():
            return _missed(reply)
        case AwayTold():
            return _away(reply)
        case BackTold():
            return _back(reply)
        case _:
            assert_never(reply)


def offers(told: Sequence[OfferTold]) -> str:
    """Weeks to choose from, the difference of each and its sessions."""
    lines = []
    for letter, each in zip("ab", told, strict=False):
        lines.append(f"{letter}: {_difference(each.difference)}")
        lines += [f"  {_session_in_short(session)}" for session in each.week.sessions]
    if len(told) == 1:
        lines.append("no other week meets as much of what you want")
    lines.append("which one?" if len(told) > 1 else "take it?")
    return "\n".join(lines)


def difference_label(difference: Difference) -> str:
    """What a tap takes."""
    match difference:
        case Difference.USUAL:
            return "as you wished"
        case Difference.MORE_PRESSING:
            return "one pressing day more"
        case Difference.FEWER_PRESSING:
            return "one pressing day fewer"
        case Difference.OTHER_LIFTS:
            return "other lifts"
        case _:
            assert_never(difference)


def _difference(difference: Difference) -> str:
    match difference:
        case Difference.USUAL:
            return "as you wished it"
        case Difference.MORE_PRESSING:
            return "one pressing day more: less each time, more often"
        case Difference.FEWER_PRESSING:
            return "one pressing day fewer: more rest between"
        case Difference.OTHER_LIFTS:
            return "other lifts beside the main one, for a change"
        case _:
            assert_never(difference)


def _plan(reply: PlanTold) -> str:
    plan = reply.plan
    lines = []
    if reply.away_until is not None:
        until = "" if reply.away_until == date.max else f", back on {day(reply.away_until)}"
        lines.append(f"paused{until}: `resume` when you train again")
    lines.append(_head(reply))
    named = len(reply.days) <= MOST_SESSIONS_WITH_LIFTS
    for place, each in enumerate(reply.days, start=1):
        when = WEEKDAYS[each.day.weekday()] if plan.own or not plan.wishes.sessions else str(place)
        what = _session(each.session, named=named, own=plan.own)
        lines.append(f"{when}: left out" if each.state is DayState.DROPPED else f"{when} {what}{_STATES[each.state]}")
    lines += _lacking(plan.block.week, reply.conflicts)
    if reply.new and not plan.own:
        lines.append("own week instead: `my own`; change anything: `settings`")
    return "\n".join(lines)


def _head(reply: PlanTold) -> str:
    plan = reply.plan
    if plan.own:
        return "your own week, as you laid it out:"
    weeks = plan.block.weeks
    if reply.new:
        return f"your plan: {weeks} weeks, then one with half the sets, from {day(_first(reply))}"
    if reply.week > weeks:
        return "the reduced week: half the sets, a tenth less load"
    return f"week {reply.week} of {weeks}, then a reduced one"


def _first(reply: PlanTold) -> date:
    return reply.days[0].day if reply.days else reply.plan.starts


def _session(session: PlannedSession, *, named: bool, own: bool) -> str:
    minutes = f"{-(-session.seconds // 60)} min"
    shown = session.lifts[: MOST_LIFTS_SHOWN if named else 1]
    more = len(session.lifts) - len(shown)
    lifts = ", ".join(map(_lift, shown)) + (f", {more} more" if more else "")
    kind = f"{session.main_kind}," if session.main_kind is not None and not own else ""
    return f"{kind} {minutes}: {lifts}".strip()


def _session_in_short(session: PlannedSession) -> str:
    lifts = ", ".join(map(_lift, session.lifts[:MOST_LIFTS_OFFERED]))
    return f"{WEEKDAYS[session.day]} {lifts}"


def _lift(lift: PlannedLift) -> str:
    return f"{lift.exercise} {lift.sets}×{lift.scheme.reps}"


def _lacking(week: WeekPlan, conflicts: Sequence[Conflict]) -> list[str]:
    lines = []
    if week.misses:
        short = [miss for miss in week.misses if miss.planned < miss.target]
        over = [miss for miss in week.misses if miss.planned >= miss.target]
        told = [f"{miss.muscle} {figure(miss.planned)} of {figure(miss.target)}" for miss in short[:3]]
        if len(short) > len(told):
            told.append(f"{len(short) - len(told)} more")
        told += [f"{miss.muscle} {figure(miss.planned)} instead of {figure(miss.target)}" for miss in over[:1]]
        lines.append("weekly sets that don't fit: " + ", ".join(told))
    if week.without_main:
        lines.append("no room for the main lift on " + ", ".join(WEEKDAYS[each] for each in week.without_main))
    if conflicts and (week.misses or week.without_main):
        first = conflicts[0]
        lines.append(("this would do it: " if first.enough else "this would help: ") + _way_out(first))
    return lines


def _way_out(conflict: Conflict) -> str:
    match conflict.reason:
        case Reason.MINUTES:
            return f"`minutes {conflict.value}`"
        case Reason.DAYS:
            return f"{conflict.value} days a week"
        case Reason.EQUIPMENT:
            return "more equipment"
        case Reason.BANNED:
            return "fewer banned exercises (`allow`)"
        case Reason.LEFT_OUT:
            return "`leave out nothing`"
        case Reason.CEILING:
            return "a higher ceiling (`bounds`)"
        case Reason.SETS:
            return "fewer sets a week (`sets all 6`)"
        case Reason.PRESSING_DAYS:
            return "other pressing days"
        case Reason.PULLS:
            return "fewer presses"
        case _:
            assert_never(conflict.reason)


def _changed(reply: PlanChanged) -> str:
    if not reply.changed:
        lines = [f"your sessions stay as they are from {day(reply.starts)} on"]
    elif reply.changed == reply.sessions:
        lines = [f"new sessions from {day(reply.starts)} on: `plan`"]
    else:
        stay = reply.sessions - reply.changed
        lines = [f"from {day(reply.starts)} on: {count(reply.changed, 'session')} new, {stay} as before"]
    return "\n".join([*lines, *_lacking(reply.week, reply.conflicts)])


def _noted(reply: Noted) -> str:
    command = reply.command
    if isinstance(command, Screened):
        if not command.applies:
            return "noted, none of it; `screening applies` if that changes"
        return (
            "noted, and not which: ask a clinician before you train hard (under 18: a qualified coach on site and a "
            "guardian's yes)\nuntil then no maximal tests and no sets to failure; `screening clear` changes it"
        )
    if isinstance(command, TagWeek):
        if not command.on:
            return f"noted: {_TAGS.get(command.tag, str(command.tag))} over"
        why = "it explains a dip, no sets are added or cut for it"
        return f"noted: {_TAGS.get(command.tag, str(command.tag))}; {why}. `{command.tag} off` when over"
    return f"noted: {canonical(command)}"


_TAGS = {Tag.NIGHTS: "night shifts", Tag.CUTTING: "cutting", Tag.TRAVEL: "travel"}


def _refused(reply: PlanRefused) -> str:
    match reply.why:
        case PlanRefusal.NO_PLAN:
            return "there is no plan, and logging works without one\n`start` asks a few questions and makes one"
        case PlanRefusal.ALREADY_OFF:
            return "there is no plan: nothing to end"
        case PlanRefusal.IS_MAIN_LIFT:
            return f"{reply.about} is your main lift: choose another one first\ntry: main lift close-grip bench press"
        case PlanRefusal.NOT_A_MAIN_LIFT:
            return f"{reply.about} can't be the main lift with what you have\ntry: main lift bench press"
        case PlanRefusal.NO_BARBELL:
            return "no barbell is among what you train with\ntry: equipment barbell, dumbbells"
        case PlanRefusal.NO_SUCH_BAR:
            return "a bar weighs 2 to 40 kg (5 to 88 lb)\ntry: bars 20 kg"
        case PlanRefusal.TOO_MANY_LOADS:
            return "that is more than I can list: fewer kinds or fewer pairs\ntry: plates 20 10 5 2.5 1.25 x2"
        case PlanRefusal.NOT_AWAY:
            return "you are not paused"
        case PlanRefusal.DAY_GONE:
            return "that day has gone by\ntry: pause 2 weeks"
        case PlanRefusal.NO_SUCH_OFFER:
            return "that offer no longer holds\ntry: plan new"
        case PlanRefusal.STOPPED:
            return "no plan while a warning sign stands\nwhen a clinician has looked at it: `cleared by clinician`"
        case PlanRefusal.NOT_IN_CATALOGUE:
            return f"{reply.about} is your own exercise: it is planned in `my own` weeks only"
        case _:
            assert_never(reply.why)


def _plates(reply: PlatesTold) -> str:
    bar = f"{load(reply.bar.mass)} bar" + ("" if reply.bar.collar is None else f", collars {load(reply.bar.collar)}")
    if reply.exact:
        return (
            f"{load(reply.wanted)}: {side(reply.side)} a side ({bar})"
            if reply.side
            else (f"{load(reply.wanted)}: the bar alone ({bar})")
        )
    lines = [f"{load(reply.wanted)} can't be made with your plates"]
    made = f"{load(reply.made)}: {side(reply.side)} a side" if reply.side else f"{load(reply.made)}: the bar alone"
    lines.append(f"{made} ({bar})")
    if reply.above is not None:
        lines.append(f"{load(reply.above)}: {side(reply.above_side)} a side")
    lines.append("what you own: `plates 20 10 5 2.5 1.25 x2`")
    return "\n".join(lines)


def side(discs: Sequence[Load]) -> str:
    """Discs of one side, heaviest first, the unit once where they share it.

    >>> from core.domain.units import Unit
    >>> side((Load(25, Unit.KG), Load(1.25, Unit.KG)))
    '25 + 1.25 kg'

    """
    units = {disc.unit for disc in discs}
    if len(units) > 1:
        return " + ".join(map(load, discs))
    return " + ".join(figure(disc.amount) for disc in discs) + f" {discs[0].unit}"


def _missed(reply: MissedTold) -> str:
    missed = reply.missed
    kind = "" if missed.session.main_kind is None else f"{missed.session.main_kind} "
    what = f"{WEEKDAYS[missed.day.weekday()]}'s {kind}session"
    if reply.to is None:
        return f"{what} is left out this week: no day keeps 48 h for its muscles"
    gave = "" if reply.gave_way is None else f"; the {reply.gave_way.session.kind} one there is left out"
    return f"{what} moves to {day(reply.to)}{gave}"


def _away(reply: AwayTold) -> str:
    if reply.sick:
        return (
            "get well first. No messages until you text `resume`\n"
            "with fever or anything in the chest: no training, and ask a clinician"
        )
    if reply.until is None:
        return "paused: no messages until you text `resume`. Logging works as ever"
    return f"paused until {day(reply.until)}; `resume` if you are back earlier"


def _back(reply: BackTold) -> str:
    lines = [f"welcome back after {count(reply.days, 'day')}"]
    if reply.by_clock:
        lines = [f"your break of {count(reply.days, 'day')} ends today; more time off: `pause 1 week`"]
    match reply.kind:
        case ReturnKind.AS_PLANNED:
            lines.append("training goes on as planned")
        case ReturnKind.SHORT:
            lines.append("the first week: 5 % less load, a set fewer a lift")
        case ReturnKind.MIDDLE:
            lines.append("the first week: 10 % less load, half the sets")
        case ReturnKind.LONG:
            lines.append("two weeks of few sets, 15 to 20 % lighter, 3 reps left")
        case ReturnKind.AFRESH:
            lines.append("after that long the loads are found anew; `start` asks about your health once more")
        case _:
            assert_never(reply.kind)
    if reply.was_sick:
        lines.append("only without fever and chest symptoms; when in doubt a clinician first")
    return "\n".join(lines)
