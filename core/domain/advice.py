"""Advice: what to do about a muscle's weekly sets, by which rule, with the trace and what the lifter answered."""

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from core.domain.checkins import Ache, Tag
from core.domain.exercises import Muscle


class Rule(StrEnum):
    """A rule of the check-in's advice; they are looked at in this order, and the first that applies decides."""

    WARNING_SIGN = "warning sign"
    PAIN = "pain"
    NO_JUDGEMENT = "no judgement"
    RELIEF = "relief"
    TOO_MUCH = "too much"
    WEARING = "wearing"
    LOST = "lost"
    RISING = "rising"
    ENOUGH = "enough"
    LOSING_MASS = "losing mass"
    BUILD_UP = "build up"
    FLAT = "flat"
    TOO_EARLY = "too early"


OFFERS = frozenset({Rule.RELIEF, Rule.TOO_MUCH, Rule.WEARING, Rule.LOST, Rule.BUILD_UP, Rule.FLAT})
"""Rules that change sets, which the lifter may decline; the others only keep, or take care."""


class Action(StrEnum):
    """What is advised for one muscle."""

    STOP = "stop"
    STOP_HERE = "stop here"
    CHANGE_EXERCISE = "change exercise"
    KEEP_WITH_CARE = "keep with care"
    KEEP = "keep"
    REDUCED_WEEK = "reduced week"
    CUT = "cut"
    LOOK_ELSEWHERE = "look elsewhere"
    ADD = "add"


class Fact(StrEnum):
    """A figure that a rule looks at."""

    WARNED = "warned"
    ACHE = "ache"
    ILL = "ill"
    DONE_SHARE = "done share"
    LIFTS_UNDER = "lifts under"
    WEEKS_BELOW = "weeks below"
    RELIEF_ASKED = "relief asked"
    WEEKS_SINCE_REDUCED = "weeks since reduced"
    DOWN = "down"
    STEPS = "steps"
    SHORTFALL = "shortfall"
    TOGETHER = "together"
    LEAN = "lean"
    LOST_BY = "lost by"
    SINCE_ADDED = "since added"
    EXPLAINED = "explained"
    RISING_PROBABILITY = "rising probability"
    TREND_WEEKS = "trend weeks"
    TREND_EXPOSURES = "trend exposures"
    WEEKLY_SETS = "weekly sets"
    ROOM = "room"
    MASS_CHANGE = "mass change"
    CUTTING = "cutting"
    CHECK_INS = "check-ins"
    COMPLETE = "complete"
    LOWEST_ANSWER = "lowest answer"
    ON_TARGET = "on target"
    WEEKS_SINCE_CHANGE = "weeks since change"
    WEEKS_SINCE_CUT = "weeks since cut"
    HAS_ESTIMATE = "has estimate"


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure as a rule saw it.

    Args:
        what: Which.
        value: What it was; None where it is not known.
        met: Whether it spoke for the rule.
        bound: What it was held against, if it is a number.

    """

    what: Fact
    value: float | bool | Ache | None
    met: bool
    bound: float | None = None


@dataclass(frozen=True, slots=True)
class Look:
    """One rule that was looked at.

    Args:
        rule: Which.
        applies: Whether its condition held.
        figures: What it looked at, in order.
        declined: It was declined before and its reasons have not grown since, so the next rules were looked at.

    """

    rule: Rule
    applies: bool
    figures: tuple[Figure, ...] = ()
    declined: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """What to do about one muscle's sets.

    Args:
        muscle: Which.
        rule: The rule that decided.
        besides: After `Rule.PAIN`, the rule that lowers the sets as it would without pain.
        action: What is advised.
        change: Lasting change of the weekly target. [sets]
        sets: Weekly sets of the coming week, which a reduced week, pain or a warning sign lowers for now. [sets]
        reasons: How strong the reasons are; kept if it is declined, so that it returns only when they grew.
        waits_for: The muscle that comes first where this one would have been raised.
        explained_by: What the lifter said about a week whose dip brought the advice.
        trace: The rules looked at, in order. After `Rule.PAIN` the trace goes on: a cut that is due stays due.

    """

    muscle: Muscle
    rule: Rule
    besides: Rule | None = None
    action: Action
    change: int
    sets: int
    reasons: tuple[int, ...] = ()
    waits_for: Muscle | None = None
    explained_by: frozenset[Tag] = frozenset()
    trace: tuple[Look, ...]


class AdviceAnswer(StrEnum):
    """What became of a piece of advice."""

    OPEN = "open"
    ACCEPTED = "accepted"
    CHANGED = "changed"
    DECLINED = "declined"


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenAdvice:
    """Advice for one muscle as it was given; one a week and muscle.

    Args:
        week: First day of the week whose check-in it follows.
        given_at: When; aware.
        advice: What was advised, with its trace.
        from_sets: Weekly target that it started from. [sets]
        answer: What the lifter said.
        to_sets: Weekly target that holds since the answer; None while there is none, or where it changed nothing for
            longer than a week. [sets]

    """

    week: date
    given_at: datetime
    advice: Advice
    from_sets: int
    answer: AdviceAnswer = AdviceAnswer.OPEN
    to_sets: int | None = None
