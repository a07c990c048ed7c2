"""Advice at the check-in: add, keep or cut sets, by ordered rules of which the first that applies decides."""

from collections.abc import Sequence
from dataclasses import replace
from typing import assert_never

from core.domain.advice import Action, Advice, Look, Rule
from core.domain.checkins import Ache
from core.domain.exercises import Muscle
from core.recovery.bounds import WEEKS_A_DECLINE_HOLDS
from core.recovery.facts import Declined, MuscleFacts, WeekFacts
from core.recovery.rules import CUTS, LESS, LOOKS, reasons, sets_to_add, sets_to_cut


def advise(week: WeekFacts, muscles: Sequence[MuscleFacts]) -> tuple[Advice, ...]:
    """Advice for each muscle, in the order given; the same facts give the same advice.

    At most one muscle is raised, the one that matters most first; while that one aches the others wait too. Worse
    answers to the check-in never lead to more sets for any muscle, and pain takes away what would have been added but
    no cut that is due. Advice that was declined is passed over until its reasons grew, be it that a whole further trend
    supports it.

    Args:
        week: What is known of the lifter's week.
        muscles: What is known of each muscle; each muscle once.

    Raises:
        ValueError: A muscle given twice.

    """
    if len({facts.muscle for facts in muscles}) != len(muscles):
        raise ValueError("each muscle is advised on once")
    would_rise = [facts for facts in muscles if _decide(week, replace(facts, ache=None)).action is Action.ADD]
    order = list(Muscle)
    first = min(would_rise, key=lambda facts: (facts.rank, order.index(facts.muscle)), default=None)
    return tuple(_take_turns(_decide(week, facts), facts, first) for facts in muscles)


def _take_turns(advice: Advice, facts: MuscleFacts, first: MuscleFacts | None) -> Advice:
    if advice.action is not Action.ADD or first is None or first.muscle is facts.muscle:
        return advice
    return replace(advice, action=Action.KEEP, change=0, sets=facts.target, waits_for=first.muscle)


def _decide(week: WeekFacts, facts: MuscleFacts) -> Advice:
    trace: list[Look] = []
    for rule, look_at in LOOKS.items():
        look = look_at(week, facts)
        if look.applies and _declined_before(rule, week, facts):
            look = replace(look, declined=True)
        trace.append(look)
        if look.applies and not look.declined:
            if rule is Rule.PAIN and facts.ache is not None:
                return _with_pain(facts, facts.ache, look, _decide(week, replace(facts, ache=None)))
            return _advice(rule, week, facts, tuple(trace))
    raise AssertionError("the last rule applies always")


def _with_pain(facts: MuscleFacts, ache: Ache, look: Look, otherwise: Advice) -> Advice:
    match ache:
        case Ache.FADES:
            action, most = Action.KEEP_WITH_CARE, facts.target
        case Ache.CHANGES_LIFTING:
            action, most = Action.CHANGE_EXERCISE, facts.target
        case Ache.SHARP:
            action, most = Action.STOP_HERE, 0
        case _:
            assert_never(ache)
    looked = tuple(look if each.rule is Rule.PAIN else each for each in otherwise.trace)
    return replace(
        otherwise,
        rule=Rule.PAIN,
        besides=otherwise.rule if otherwise.change < 0 or otherwise.sets < facts.target else None,
        action=action,
        change=min(0, otherwise.change),
        sets=min(most, otherwise.sets),
        trace=looked,
    )


def _advice(rule: Rule, week: WeekFacts, facts: MuscleFacts, trace: tuple[Look, ...]) -> Advice:
    action, change, sets = Action.KEEP, 0, facts.target
    match rule:
        case Rule.WARNING_SIGN:
            action, sets = Action.STOP, 0
        case Rule.RELIEF:
            # Half, rounded up: less work, not none (Coleman et al. 2024, PeerJ 12:e16777, from memory).
            action, sets = Action.REDUCED_WEEK, (facts.target + 1) // 2
        case Rule.TOO_MUCH | Rule.WEARING | Rule.LOST:
            change = -sets_to_cut(facts)
            action = Action.CUT if change else Action.KEEP
        case Rule.ENOUGH:
            action = Action.LOOK_ELSEWHERE
        case Rule.BUILD_UP | Rule.FLAT:
            action, change = Action.ADD, sets_to_add(rule, facts)
        case Rule.PAIN | Rule.NO_JUDGEMENT | Rule.RISING | Rule.LOSING_MASS | Rule.TOO_EARLY:
            pass
        case _:
            assert_never(rule)
    return Advice(
        muscle=facts.muscle,
        rule=rule,
        action=action,
        change=change,
        sets=sets + change,
        reasons=reasons(rule, week),
        explained_by=week.tags if rule in LESS else frozenset(),
        trace=trace,
    )


def _declined_before(rule: Rule, week: WeekFacts, facts: MuscleFacts) -> bool:
    if rule is Rule.RELIEF and week.relief_asked:
        return False
    # A cut declined on stronger grounds is not offered again on weaker ones.
    same = {rule, *CUTS[: CUTS.index(rule)]} if rule in CUTS else {rule}
    return any(
        each.rule in same and each.weeks_ago < WEEKS_A_DECLINE_HOLDS and not _grew(each, reasons(each.rule, week))
        for each in (*week.declined, *facts.declined)
    )


def _grew(declined: Declined, now: tuple[int, ...]) -> bool:
    return any(is_now > was for is_now, was in zip(now, declined.reasons, strict=False))
