"""Rules of the advice: what each looks at, how strong its reasons are, and how many sets it moves."""

from collections.abc import Callable, Mapping
from types import MappingProxyType

from core.domain.advice import Fact, Figure, Look, Rule
from core.domain.checkins import Tag
from core.recovery.facts import MuscleFacts, WeekFacts
from core.recovery.wellness import Standing

FEWEST_DONE_TO_JUDGE = 0.5
"""Share of the planned sessions below which a week says nothing. [1] The program's own figure."""

FEWEST_DONE_TO_ADD = 0.8
"""Share of the planned sessions from which sets may be added: four in five. [1] The program's own figure."""

LIFTS_UNDER = 2
"""Lifts under expectation that bring a reduced week. One alone may be the lift; own figure."""

WEEKS_BELOW = 2
"""Weeks running below the own median that bring a reduced week. [weeks] A low feeling alone, once, is no reason: in one
study readiness fell while repetitions and speed held."""

WEEKS_BETWEEN_REDUCED = 3
"""Fewest weeks from one reduced week to the next. [weeks] Own figure; the usual distance is about 5.6 weeks (Rogerson
et al. 2024, from memory)."""

MOST_CHANGE = 2
"""Most sets that one piece of advice changes. [sets] Small enough that the next weeks can tell what it did; own."""

WEEKS_BETWEEN_CUTS = 2
"""Fewest weeks from one cut to the next. [weeks] The first has to show before it is judged; own figure."""

CLEARLY_RISING = 0.8
"""Probability from which strength counts as rising; below its complement as falling. [1] Own figure."""

TREND_WEEKS = 4
"""Shortest trend that is judged. [weeks] Own figure: with 2 % noise in the estimate a shorter one is mostly noise."""

TREND_EXPOSURES = 8
"""Fewest sessions with the lift in a flat trend. Two a week over four weeks; own figure."""

SETS_ENOUGH = 20
"""Weekly sets from which more are not the answer. [sets] Common practice, no source."""

MASS_LOSS_PER_WEEK = 0.005
"""Weekly loss of body mass from which holding strength is success. [1/week] Own figure."""

CHECK_INS_TO_ADD = 2
"""Check-in from which sets may be added: the first has no past to stand beside."""

LOW_ANSWER = 2
"""An answer this low or lower means not well recovered. [1] Own figure on the scale of McLean et al. 2010."""

BUILD_UP_TO = 10
"""Weekly sets up to which sets are built up from the start. [sets] 5 to 10, common practice, no source."""

MAY_BE_TRIED = 14
"""Weekly sets that may be tried at 10 to 12 and well recovered. [sets] Common practice, no source."""

WEEKS_TO_SEE_A_CHANGE = 3
"""Weeks after a change before a flat trend is answered with more, and after a cut before any set is added. [weeks]"""

WEEKS_A_DECLINE_HOLDS = 4
"""Weeks in which declined advice stays away unless its reasons grew. [weeks] After a whole trend all that speaks for it
is new; own figure."""

WEEKS_A_CUT_IS_REMEMBERED = 12
"""Weeks in which sets stay below the number that had to be cut. [weeks] Two blocks, or adding and cutting would take
turns for ever; own figure."""


def reasons(rule: Rule, week: WeekFacts) -> tuple[int, ...]:
    """How strong a rule's reasons are, each figure larger for stronger ones; empty where they only grow with time."""
    if rule is Rule.RELIEF:
        return (week.weeks_below, week.lifts_under)
    if rule is Rule.TOO_MUCH:
        return (week.weeks_below, 0 if week.beside_past is None else int(-week.beside_past.steps))
    return ()


def sets_to_cut(facts: MuscleFacts) -> int:
    """How many weekly sets a cut takes away, 0 at the floor. [sets]."""
    # Never more than half, so that a reduced week is never more work than a cut.
    return max(0, min(MOST_CHANGE, facts.target // 2, facts.target - facts.floor))


def sets_to_add(rule: Rule, facts: MuscleFacts) -> int:
    """How many weekly sets a rule adds, 0 where there is no room below the ceiling or a remembered cut. [sets]."""
    most = 1
    if rule is Rule.FLAT:
        # Above what may be tried nothing speaks for more, however long strength stays level.
        most = min(MOST_CHANGE if facts.target >= BUILD_UP_TO else 1, MAY_BE_TRIED - facts.target)
    return max(0, min(most, _room(facts)))


def _room(facts: MuscleFacts) -> int:
    room = facts.ceiling - facts.target
    if facts.cut is None or facts.cut.weeks_ago >= WEEKS_A_CUT_IS_REMEMBERED:
        return room
    return min(room, facts.cut.from_sets - 1 - facts.target)


def _sets_now(facts: MuscleFacts) -> float:
    return max(float(facts.target), facts.weekly_sets)


def _at_least(what: Fact, value: float | None, bound: float) -> Figure:
    return Figure(what, value, met=value is not None and value >= bound, bound=bound)


def _true(what: Fact, value: bool | None) -> Figure:  # noqa: FBT001 - the value of a fact, not a switch
    return Figure(what, value, met=value is True)


def _if_all(rule: Rule, *figures: Figure) -> Look:
    return Look(rule, applies=all(figure.met for figure in figures), figures=figures)


def _if_any(rule: Rule, *figures: Figure) -> Look:
    return Look(rule, applies=any(figure.met for figure in figures), figures=figures)


def _look_for_warning(week: WeekFacts, _: MuscleFacts) -> Look:
    return _if_all(Rule.WARNING_SIGN, _true(Fact.WARNED, week.warned))


def _look_for_pain(_: WeekFacts, facts: MuscleFacts) -> Look:
    return _if_all(Rule.PAIN, Figure(Fact.ACHE, facts.ache, met=facts.ache is not None))


def _look_for_absence(week: WeekFacts, _: MuscleFacts) -> Look:
    share = week.done_share
    return _if_any(
        Rule.NO_JUDGEMENT,
        _true(Fact.ILL, week.ill or Tag.SICK in week.tags),
        Figure(
            Fact.DONE_SHARE, share, met=share is not None and share < FEWEST_DONE_TO_JUDGE, bound=FEWEST_DONE_TO_JUDGE
        ),
    )


def _look_for_relief(week: WeekFacts, _: MuscleFacts) -> Look:
    since = week.weeks_since_reduced
    asked = _true(Fact.RELIEF_ASKED, week.relief_asked)
    under = _at_least(Fact.LIFTS_UNDER, week.lifts_under, LIFTS_UNDER)
    below = _at_least(Fact.WEEKS_BELOW, week.weeks_below, WEEKS_BELOW)
    long_ago = Figure(
        Fact.WEEKS_SINCE_REDUCED,
        since,
        met=since is None or since >= WEEKS_BETWEEN_REDUCED,
        bound=WEEKS_BETWEEN_REDUCED,
    )
    return Look(
        Rule.RELIEF,
        applies=long_ago.met and (asked.met or (under.met and below.met)),
        figures=(asked, under, below, long_ago),
    )


def _look_for_too_much(week: WeekFacts, facts: MuscleFacts) -> Look:
    if facts.performance is None:
        return _without_estimate(Rule.TOO_MUCH)
    beside = week.beside_past
    since = None if facts.cut is None else facts.cut.weeks_ago
    return _if_all(
        Rule.TOO_MUCH,
        _true(Fact.DOWN, facts.performance.down),
        Figure(
            Fact.STEPS,
            None if beside is None else beside.steps,
            met=beside is not None and beside.standing is Standing.BELOW,
            bound=0.0,
        ),
        Figure(Fact.WEEKS_SINCE_CUT, since, met=since is None or since >= WEEKS_BETWEEN_CUTS, bound=WEEKS_BETWEEN_CUTS),
    )


def _look_for_rise(_: WeekFacts, facts: MuscleFacts) -> Look:
    if facts.performance is None:
        return _without_estimate(Rule.RISING)
    return _if_all(
        Rule.RISING,
        _at_least(Fact.RISING_PROBABILITY, facts.performance.rising_probability, CLEARLY_RISING),
        _at_least(Fact.TREND_WEEKS, facts.performance.weeks, TREND_WEEKS),
    )


def _look_for_ceiling(_: WeekFacts, facts: MuscleFacts) -> Look:
    # That it is not rising has been settled: the rule before this one did not apply.
    if facts.performance is None:
        return _without_estimate(Rule.ENOUGH)
    return _if_all(Rule.ENOUGH, _at_least(Fact.WEEKLY_SETS, _sets_now(facts), min(facts.ceiling, SETS_ENOUGH)))


def _look_for_loss(week: WeekFacts, _: MuscleFacts) -> Look:
    change = week.mass_change_per_week
    return _if_any(
        Rule.LOSING_MASS,
        Figure(
            Fact.MASS_CHANGE,
            change,
            met=change is not None and change <= -MASS_LOSS_PER_WEEK,
            bound=-MASS_LOSS_PER_WEEK,
        ),
        _true(Fact.CUTTING, Tag.CUTTING in week.tags),
    )


def _look_for_build_up(week: WeekFacts, facts: MuscleFacts) -> Look:
    now = _sets_now(facts)
    return _if_all(
        Rule.BUILD_UP,
        *_well_recovered(week, facts),
        Figure(Fact.WEEKLY_SETS, now, met=now < BUILD_UP_TO, bound=BUILD_UP_TO),
        _at_least(Fact.ROOM, sets_to_add(Rule.BUILD_UP, facts), 1),
    )


def _look_for_flat(week: WeekFacts, facts: MuscleFacts) -> Look:
    performance = facts.performance
    if performance is None:
        return _without_estimate(Rule.FLAT)
    probability = performance.rising_probability
    return _if_all(
        Rule.FLAT,
        *_well_recovered(week, facts),
        _at_least(Fact.WEEKLY_SETS, _sets_now(facts), BUILD_UP_TO),
        Figure(
            Fact.RISING_PROBABILITY,
            probability,
            met=1.0 - CLEARLY_RISING < probability < CLEARLY_RISING,
            bound=CLEARLY_RISING,
        ),
        _at_least(Fact.TREND_WEEKS, performance.weeks, TREND_WEEKS),
        _at_least(Fact.TREND_EXPOSURES, performance.exposures, TREND_EXPOSURES),
        _at_least(Fact.WEEKS_SINCE_CHANGE, facts.weeks_since_change, WEEKS_TO_SEE_A_CHANGE),
        _at_least(Fact.ROOM, sets_to_add(Rule.FLAT, facts), 1),
    )


def _nothing_to_look_for(_week: WeekFacts, _facts: MuscleFacts) -> Look:
    return Look(Rule.TOO_EARLY, applies=True)


def _well_recovered(week: WeekFacts, facts: MuscleFacts) -> tuple[Figure, ...]:
    beside = week.beside_past
    lowest = None if beside is None else beside.lowest
    since_cut = None if facts.cut is None else facts.cut.weeks_ago
    down = None if facts.performance is None else facts.performance.down
    return (
        _at_least(Fact.CHECK_INS, week.check_ins, CHECK_INS_TO_ADD),
        # What was not answered is not known to be well.
        _true(Fact.COMPLETE, beside is not None and beside.complete),
        _at_least(Fact.LOWEST_ANSWER, lowest, LOW_ANSWER + 1),
        Figure(
            Fact.STEPS,
            None if beside is None else beside.steps,
            met=beside is not None and beside.standing in {Standing.AT, Standing.ABOVE},
            bound=0.0,
        ),
        _at_least(Fact.DONE_SHARE, week.done_share, FEWEST_DONE_TO_ADD),
        _true(Fact.ON_TARGET, facts.on_target),
        Figure(Fact.DOWN, down, met=down is not True),
        Figure(
            Fact.WEEKS_SINCE_CUT,
            since_cut,
            met=since_cut is None or since_cut >= WEEKS_TO_SEE_A_CHANGE,
            bound=WEEKS_TO_SEE_A_CHANGE,
        ),
    )


def _without_estimate(rule: Rule) -> Look:
    return Look(rule, applies=False, figures=(Figure(Fact.HAS_ESTIMATE, value=False, met=False),))


LOOKS: Mapping[Rule, Callable[[WeekFacts, MuscleFacts], Look]] = MappingProxyType(
    {
        Rule.WARNING_SIGN: _look_for_warning,
        Rule.PAIN: _look_for_pain,
        Rule.NO_JUDGEMENT: _look_for_absence,
        Rule.RELIEF: _look_for_relief,
        Rule.TOO_MUCH: _look_for_too_much,
        Rule.RISING: _look_for_rise,
        Rule.ENOUGH: _look_for_ceiling,
        Rule.LOSING_MASS: _look_for_loss,
        Rule.BUILD_UP: _look_for_build_up,
        Rule.FLAT: _look_for_flat,
        Rule.TOO_EARLY: _nothing_to_look_for,
    }
)
