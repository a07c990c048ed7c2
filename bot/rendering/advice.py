"""Advice in words: what is proposed and why, what was answered, and the rules it came through."""

from collections.abc import Sequence
from itertools import groupby
from typing import assert_never

from bot.rendering.phone import count, day, figure
from core.domain.advice import Action, Advice, AdviceAnswer, Fact, Figure, GivenAdvice, Look, Rule
from core.domain.check_in_replies import AdviceTaken, AdviceTold
from core.domain.checkins import Ache, Tag


def advice(told: AdviceTold) -> str:
    """What is proposed, most important first, with its reason."""
    lines: list[str] = []
    actions = {each.advice.action for each in told.given}
    if Action.STOP in actions:
        return "no advice on sets until a clinician has looked at the warning sign: `cleared` once they have"
    relief = [each for each in told.given if _is_relief(each.advice)]
    changed = [each for each in told.given if each.advice.change]
    if relief:
        lines += [_relief(told), _reason(relief[0].advice)]
    elif changed:
        lines += [_change(changed, told), _reason(changed[0].advice)]
    lines += _care(actions)
    if not lines:
        lines.append(_kept(told.given[0]))
    explained = sorted({tag for each in told.given for tag in each.advice.explained_by})
    if explained:
        lines.append(f"{' and '.join(map(_tag, explained))} may be all there is to it")
    return "\n".join(lines)


def taken(reply: AdviceTaken) -> str:
    """What the lifter answered, and what follows."""
    if reply.answer is AdviceAnswer.DECLINED:
        return "left as it is. It comes back only if its reasons grow"
    if not reply.given or any(_is_relief(each.advice) for each in reply.given):
        after = "; then the block begins anew" if reply.planned else ""
        return f"reduced week from {day(reply.starts)}: half the sets, loads a tenth lower{after}"
    sets = ", ".join(f"{each.advice.muscle} {count(each.to_sets or 0, 'hard set')}" for each in reply.given)
    lines = [f"{sets} a week from {day(reply.starts)}" + ("; the plan follows" if reply.planned else "")]
    if reply.misses:
        muscles = ", ".join(reply.misses)
        lines.append(f"days and minutes do not hold all of it ({muscles}): the plan comes as near as it can")
    return "\n".join(lines)


def reasoned(given: GivenAdvice) -> str:
    """The rules in order: which did not apply and why, and which decided."""
    told = given.advice
    to = given.from_sets + told.change
    head = f"{told.muscle}, week of {day(given.week)}: " + (
        "a reduced week"
        if _is_relief(told)
        else f"{given.from_sets} to {to} sets"
        if told.change
        else f"{to} sets kept"
    )
    lines = [f"{head}; of the rules in order the first that applies decides"]
    early = [look for look in told.trace[:3] if not look.applies]
    if early:
        lines.append("no " + ", no ".join(_NAMES[look.rule] for look in early))
    for together, looks in groupby(
        (look for look in told.trace if look not in early),
        key=lambda look: None if look.applies else next((each for each in _SHORT if look.rule in each), None),
    ):
        said = [_look(look) for look in looks]
        lines += ["; ".join(said)] if together else said
    return "\n".join(lines)


_SHORT = (
    frozenset({Rule.TOO_MUCH, Rule.WEARING, Rule.LOST}),
    frozenset({Rule.RISING, Rule.ENOUGH, Rule.LOSING_MASS}),
)
"""Rules that share a line where they did not apply."""


def _is_relief(told: Advice) -> bool:
    return told.action is Action.REDUCED_WEEK or told.besides is Rule.RELIEF


def _relief(told: AdviceTold) -> str:
    return f"a reduced week from {day(told.starts)}: the same lifts, half the sets, loads a tenth lower?"


def _change(changed: Sequence[GivenAdvice], told: AdviceTold) -> str:
    sets = ", ".join(
        f"{each.advice.muscle} {each.from_sets + each.advice.change} (now {each.from_sets})" for each in changed
    )
    return f"hard sets a week from {day(told.starts)}: {sets}?"


def _reason(told: Advice) -> str:
    rule = told.besides or told.rule
    if rule is Rule.RELIEF and _asked(told):
        return "you asked for it"
    return _REASONS[rule]


def _asked(told: Advice) -> bool:
    return any(each.what is Fact.RELIEF_ASKED and each.met for look in told.trace for each in look.figures)


_REASONS: dict[Rule, str] = {
    Rule.RELIEF: "lifts stayed under what was expected, and two weeks running felt worse than your usual",
    Rule.TOO_MUCH: "lifts stayed under what was expected, and the week felt worse than your usual",
    Rule.WEARING: "weeks felt worse than your usual, one after the other, and lifts did not hold up: work piles up",
    Rule.LOST: "strength lies below what it was weeks ago, however the weeks felt",
    Rule.BUILD_UP: "you recover well, sessions are done, last sets on target: build up one at a time",
    Rule.FLAT: "you recover well and strength is level over four weeks: a little more may move it",
}


def _care(actions: set[Action]) -> list[str]:
    if Action.STOP_HERE in actions:
        return ["no work that loads what hurts until a clinician has seen it"]
    if Action.CHANGE_EXERCISE in actions:
        return ["what loads the ache is out this week: take lifts that leave it alone"]
    if Action.KEEP_WITH_CARE in actions:
        return ["while it aches: no added sets or load, one more left, another grip or dumbbells"]
    return []


def _kept(given: GivenAdvice) -> str:
    told = given.advice
    match told.rule:
        case Rule.NO_JUDGEMENT:
            ill = any(each.what is Fact.ILL and each.met for look in told.trace for each in look.figures)
            why = "you were ill, get well first" if ill else "under half of the sessions were done"
            return f"keep your sets: {why}; this week is not judged"
        case Rule.RISING:
            return f"keep your sets: {told.muscle} strength is rising, and what works stays"
        case Rule.ENOUGH:
            sets = count(given.from_sets, "set")
            return f"{told.muscle} stays at {sets}: look at sleep, food, technique and choice of lifts, not at more"
        case Rule.LOSING_MASS:
            return "keep your sets: while body mass falls, holding strength is success"
        case Rule.TOO_MUCH | Rule.WEARING | Rule.LOST:
            return f"{told.muscle} stays at {count(given.from_sets, 'set')}, your floor, though lifts went down"
        case _:
            return f"keep your sets: {_too_early(told)}"


def _too_early(told: Advice) -> str:
    if told.waits_for is not None:
        return f"{told.waits_for} goes up first, one muscle at a time"
    for look in told.trace:
        if look.declined:
            return "what you declined comes back only if its reasons grow"
    building = [look for look in told.trace if look.rule in (Rule.BUILD_UP, Rule.FLAT)]
    # Of the two rules that add, the one that came nearer says what is missing.
    nearest = min(building, key=lambda look: sum(not each.met for each in look.figures), default=None)
    missing = next((each for each in nearest.figures if not each.met), None) if nearest else None
    if missing is not None and missing.what is Fact.DONE_SHARE and missing.value is None:
        return "what is usual for you is not known yet"
    return "too early to tell" if missing is None else _MISSING.get(missing.what, "too early to tell")


_MISSING: dict[Fact, str] = {
    Fact.CHECK_INS: "a first check-in has nothing to stand beside yet",
    Fact.COMPLETE: "not all five questions were answered",
    Fact.LOWEST_ANSWER: "with an answer at 1 or 2, more work can wait",
    Fact.STEPS: "the week lies below your usual, so more work can wait",
    Fact.DONE_SHARE: "more comes when four in five sessions are done",
    Fact.ON_TARGET: "more comes when the last sets end on target",
    Fact.SHORTFALL: "after weeks below your usual, more work can wait",
    Fact.SINCE_ADDED: "strength is not yet back to where it was before the last added sets",
    Fact.DOWN: "lifts went down a little; one such week says nothing yet",
    Fact.WEEKS_SINCE_CUT: "the last cut is not three weeks old",
    Fact.ROOM: "they stand as high as they held before",
    Fact.TREND_WEEKS: "four weeks of sessions come first",
    Fact.TREND_EXPOSURES: "eight sessions of the lift come first",
    Fact.WEEKS_SINCE_CHANGE: "the last change is not three weeks old",
}


def _tag(tag: Tag) -> str:
    match tag:
        case Tag.SICK:
            return "having been ill"
        case Tag.TRAVEL:
            return "travel"
        case Tag.NIGHTS:
            return "night shifts"
        case Tag.CUTTING:
            return "eating less"
        case _:
            assert_never(tag)


_NAMES: dict[Rule, str] = {
    Rule.WARNING_SIGN: "warning sign",
    Rule.PAIN: "pain",
    Rule.NO_JUDGEMENT: "illness or absence",
    Rule.RELIEF: "reduced week",
    Rule.TOO_MUCH: "cut",
    Rule.WEARING: "slow wear",
    Rule.LOST: "loss of strength",
    Rule.RISING: "rise",
    Rule.ENOUGH: "ceiling",
    Rule.LOSING_MASS: "loss of mass",
    Rule.BUILD_UP: "building up",
    Rule.FLAT: "level strength",
    Rule.TOO_EARLY: "too early to tell",
}


def _look(look: Look) -> str:
    name = _NAMES[look.rule]
    if look.declined:
        return f"{name}: you declined it, and its reasons have not grown"
    if look.applies:
        spoke = [each for each in look.figures if each.met and each.value is not None and each.value is not False]
        figures = "; ".join([_figure(each, needed=False) for each in spoke if each.what not in _SILENT])
        return f"so: {name}" + (f" ({figures})" if figures else "")
    missing = [_figure(each, needed=True) for each in look.figures if not each.met]
    most = 1 if look.rule in (Rule.WEARING, Rule.LOST) else 2
    return f"no {name}" + (f" ({'; '.join(missing[:most])})" if missing else "")


_SILENT = frozenset(
    {
        *(Fact.COMPLETE, Fact.ROOM, Fact.SINCE_ADDED, Fact.TREND_EXPOSURES),
        *(Fact.WEEKS_SINCE_CUT, Fact.WEEKS_SINCE_REDUCED),
    }
)
"""Figures that are told only where they stand in the way."""


def _figure(each: Figure, *, needed: bool) -> str:
    words = _FIGURES[each.what]
    if isinstance(each.value, Ache):
        return each.value.value
    if each.value is None:
        return f"{words} not known"
    if isinstance(each.value, bool):
        return words if each.value else _NOT.get(each.what, f"not {words}")
    if each.what is Fact.STEPS:
        steps = figure(abs(each.value))
        return "at your usual" if not each.value else f"{steps} {'below' if each.value < 0 else 'above'} your usual"
    if each.what in _SWINGS:
        return _swings(each, needed=needed)
    value = _number(each.what, each.value)
    said = f"{value} that strength rises" if each.what is Fact.RISING_PROBABILITY else f"{words} {value}"
    if each.bound is None or not needed or each.what is Fact.WEEKLY_SETS:
        return said
    return f"{said}, {_number(each.what, each.bound)} needed"


def _swings(each: Figure, *, needed: bool) -> str:
    """A figure measured by how much it usually varies, in the lifter's own swings up and down."""
    words, below, above = _SWINGS[each.what]
    value = float(each.value or 0.0)
    size = f"{abs(value):.1f}".removesuffix(".0")
    if size == "0":
        return f"{words} as usual"
    said = f"{words} {size} {'swing' if size == '1' else 'swings'} {below if value < 0 else above}"
    return f"{said}, {each.bound:.1f} needed" if needed and each.what is Fact.TOGETHER else said


_SWINGS: dict[Fact, tuple[str, str, str]] = {
    Fact.SHORTFALL: ("weeks", "above your usual", "below your usual"),
    Fact.TOGETHER: ("weeks and lifts together", "above", "below"),
    Fact.LEAN: ("lifts", "under what was expected", "over what was expected"),
    Fact.LOST_BY: ("strength", "below that of weeks ago", "above that of weeks ago"),
    Fact.SINCE_ADDED: ("strength", "below that before sets were added", "above that before sets were added"),
}
"""What is said before such a figure, and after one below 0 and one above."""


_NOT: dict[Fact, str] = {
    Fact.COMPLETE: "not all five answered",
    Fact.DOWN: "lifts not down",
    Fact.HAS_ESTIMATE: "no estimate yet",
    Fact.ON_TARGET: "last sets short of target",
}
"""What is told where a fact is not so and `not` before it would not read well."""


def _number(what: Fact, value: float) -> str:
    if what is Fact.RISING_PROBABILITY:
        return f"{100 * value:.0f} in 100"
    if what is Fact.DONE_SHARE:
        return f"{10 * value:.0f} in 10"
    if what is Fact.MASS_CHANGE:
        return f"{100 * value:.1f} %"
    return figure(value)


_FIGURES: dict[Fact, str] = {
    Fact.WARNED: "a warning sign",
    Fact.ACHE: "an ache",
    Fact.ILL: "ill",
    Fact.DONE_SHARE: "sessions done",
    Fact.LIFTS_UNDER: "lifts under expectation",
    Fact.WEEKS_BELOW: "weeks below your usual",
    Fact.RELIEF_ASKED: "asked for",
    Fact.WEEKS_SINCE_REDUCED: "weeks since the last reduced one",
    Fact.DOWN: "lifts down",
    Fact.STEPS: "steps from your usual",
    Fact.SHORTFALL: "weeks below your usual",
    Fact.TOGETHER: "weeks and lifts together",
    Fact.LEAN: "lifts beside what was expected",
    Fact.LOST_BY: "strength of weeks ago",
    Fact.SINCE_ADDED: "strength before sets were added",
    Fact.EXPLAINED: "eating less or losing mass",
    Fact.RISING_PROBABILITY: "chance of a rise",
    Fact.TREND_WEEKS: "weeks of trend",
    Fact.TREND_EXPOSURES: "sessions in it",
    Fact.WEEKLY_SETS: "sets",
    Fact.ROOM: "room for sets",
    Fact.MASS_CHANGE: "mass a week",
    Fact.CUTTING: "eating less",
    Fact.CHECK_INS: "check-ins",
    Fact.COMPLETE: "all five answered",
    Fact.LOWEST_ANSWER: "lowest answer",
    Fact.ON_TARGET: "last sets on target",
    Fact.WEEKS_SINCE_CHANGE: "weeks since the last change",
    Fact.WEEKS_SINCE_CUT: "weeks since the last cut",
    Fact.HAS_ESTIMATE: "an estimate",
}
