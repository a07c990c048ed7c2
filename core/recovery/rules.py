"""Rules of the advice: what each looks at, how strong its reasons are, and how many sets it moves."""

from collections.abc import Callable, Mapping
from types import MappingProxyType

from core.domain.advice import Fact, Figure, Look, Rule
from core.domain.checkins import Tag
from core.recovery.bounds import (
    BUILD_UP_TO,
    CHECK_INS_TO_ADD,
    CLEARLY_RISING,
    FEWEST_DONE_TO_ADD,
    FEWEST_DONE_TO_JUDGE,
    LEAN,
    LIFTS_UNDER,
    LOST_BY,
    LOW_ANSWER,
    MASS_LOSS_PER_WEEK,
    MAY_BE_TRIED,
    MOST_CHANGE,
    SETS_ENOUGH,
    SHORTFALL_TO_ADD,
    TOGETHER,
    TREND_EXPOSURES,
    TREND_WEEKS,
    WEEKS_A_LOSS_TAKES,
    WEEKS_BELOW,
    WEEKS_BETWEEN_CUTS,
    WEEKS_BETWEEN_REDUCED,
    WEEKS_TO_SEE_A_CHANGE,
)
from core.recovery.facts import MuscleFacts, Performance, WeekFacts
from core.recovery.wellness import Standing

CUTS = (Rule.TOO_MUCH, Rule.WEARING, Rule.LOST)
"""Rules that cut sets, in order."""

SLOW = frozenset({Rule.WEARING, Rule.LOST})
"""Rules that hold many weeks together."""

LESS = frozenset({Rule.RELIEF, *CUTS})
"""Rules that lead to less work."""


def reasons(rule: Rule, week: WeekFacts) -> tuple[int, ...]:
    """How strong a rule's reasons are, each figure larger for stronger ones; empty where they only grow with time."""
    if rule is Rule.RELIEF:
        return (week.weeks_below, week.lifts_under)
    if rule is Rule.TOO_MUCH:
        return (week.weeks_below, 0 if week.beside_past is None else int(-week.beside_past.steps))
    if rule is Rule.WEARING:
        return (int(week.shortfall),)
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
    if facts.cut is None or facts.cut.weeks_ago >= facts.cut.remembered:
        return room
    return min(room, facts.cut.below - 1 - facts.target)


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
    return _if_all(
        Rule.TOO_MUCH,
        _true(Fact.DOWN, facts.performance.down),
        Figure(
            Fact.STEPS,
            None if beside is None else beside.steps,
            met=beside is not None and beside.standing is Standing.BELOW,
            bound=0.0,
        ),
        _long_since_cut(facts, WEEKS_BETWEEN_CUTS),
    )


def _look_for_wear(week: WeekFacts, facts: MuscleFacts) -> Look:
    performance = facts.performance
    if performance is None:
        return _without_estimate(Rule.WEARING)
    lean = performance.lean
    together = week.shortfall - (0.0 if lean is None else lean)
    return _if_all(
        Rule.WEARING,
        # However bad, one week says little.
        _at_least(Fact.WEEKS_BELOW, week.weeks_below, WEEKS_BELOW),
        Figure(Fact.LEAN, lean, met=lean is not None and lean <= LEAN, bound=LEAN),
        _at_least(Fact.TOGETHER, together, TOGETHER),
        _not_rising(performance),
        _long_since_cut(facts, WEEKS_BETWEEN_CUTS),
    )


def _look_for_loss_of_strength(week: WeekFacts, facts: MuscleFacts) -> Look:
    performance = facts.performance
    if performance is None:
        return _without_estimate(Rule.LOST)
    since = [each for each in (performance.since_earlier, performance.since_added) if each is not None]
    lost = min(since, default=None)
    explained = _look_for_loss(week, facts).applies
    return _if_all(
        Rule.LOST,
        Figure(Fact.LOST_BY, lost, met=lost is not None and lost <= LOST_BY, bound=LOST_BY),
        _not_rising(performance),
        Figure(Fact.EXPLAINED, explained, met=not explained),
        _long_since_cut(facts, WEEKS_A_LOSS_TAKES),
    )


def _not_rising(performance: Performance) -> Figure:
    probability = performance.rising_probability
    return Figure(Fact.RISING_PROBABILITY, probability, met=probability < CLEARLY_RISING, bound=CLEARLY_RISING)


def _long_since_cut(facts: MuscleFacts, weeks: int) -> Figure:
    since = None if facts.cut is None else facts.cut.weeks_ago
    return Figure(Fact.WEEKS_SINCE_CUT, since, met=since is None or since >= weeks, bound=weeks)


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
    probability, since = performance.rising_probability, performance.since_added
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
        # What was added last is to have done no harm before more is.
        Figure(Fact.SINCE_ADDED, since, met=since is None or since >= 0.0, bound=0.0),
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
        # Fresh from a week with less work one feels well; what piled up before it does not vanish with it.
        Figure(Fact.SHORTFALL, week.shortfall, met=week.shortfall < SHORTFALL_TO_ADD, bound=SHORTFALL_TO_ADD),
        _long_since_cut(facts, WEEKS_TO_SEE_A_CHANGE),
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
        Rule.WEARING: _look_for_wear,
        Rule.LOST: _look_for_loss_of_strength,
        Rule.RISING: _look_for_rise,
        Rule.ENOUGH: _look_for_ceiling,
        Rule.LOSING_MASS: _look_for_loss,
        Rule.BUILD_UP: _look_for_build_up,
        Rule.FLAT: _look_for_flat,
        Rule.TOO_EARLY: _nothing_to_look_for,
    }
)
