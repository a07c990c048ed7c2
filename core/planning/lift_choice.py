"""Lifts' choice: the second integer programme, which lifts on which day and how many sets of each."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from core.domain.exercises import Exercise, Muscle, Pattern
from core.domain.plans import DAYS, DayKind, Role
from core.planning.day_sets import CONSECUTIVE_COST, MOST_EXPOSURES, MOST_SETS_A_DAY, SHORT_COST
from core.planning.integer_programme import Programme
from core.planning.lift_costs import (
    FEW_EXPOSURES_COST,
    LATER_COST,
    LIFT_CHANGED_COST,
    LIFT_COST,
    NO_BACK_OFFS_COST,
    NO_MAIN_COST,
    OFF_TARGET_COST,
    OVER_COST,
    RANK_COST,
    SESSION_CHANGED_COST,
    UNCOVERED_COST,
    UNLIKED_COST,
    USUAL_SETS_COST,
)
from core.planning.minutes import lift_s, rest_s, set_s, warm_up_s
from core.planning.session_lifts import Terms, back_offs, candidate_ranks, hard, offered, role_of
from core.planning.targets import PRESSES, TOLERANCE_ABOVE, TOLERANCE_BELOW, credit
from core.planning.undulation import FEWEST_SETS, LEAST_MAIN_SETS, MOST_SETS, USUAL_SETS, VOLUME, scheme

LEAST_EXPOSURES = 2
"""Fewest days a week on which a muscle is trained, directly or indirectly. [d] Two or three, cp."""

NODES_TO_MEET = 100
"""Most nodes of the search for a week that meets all targets. [nodes]"""

_TRACE = 1e-6
"""What counts as nothing beside a whole set. [sets]"""


@dataclass(frozen=True, slots=True)
class Chosen:
    """Sets of each chosen exercise by day and name, and whether back-off sets follow the main lift. [sets]"""

    sets: Mapping[tuple[int, str], int]
    with_back_offs: bool


def choice_programme(terms: Terms, *, main_is_sure: bool) -> "Choice":
    """The second integer programme, ready to be solved."""
    choice = Choice(terms, main_is_sure=main_is_sure)
    choice.bound()
    choice.aim()
    choice.cover()
    choice.spread()
    choice.please()
    if terms.previous is not None:
        choice.keep(terms.previous)
    return choice


@dataclass(slots=True)
class Choice:
    """The second integer programme as it is put together.

    Args:
        terms: What the choice is made from.
        main_is_sure: The main lift must be on its days.
        programme: What is solved.
        pairs: Each exercise with a day it may be on.
        used: Variables that are 1 where an exercise is on a day.
        more: Variables for its sets there beyond the fewest it may have. [sets]
        sets: Sums of the two that are its sets there. [sets]
        back_off: Variable that is 1 where back-off sets follow the main lift.
        lacking: Variables above 0 where a target, the main lift or a liked one is missed.
        off: Variables above 0 where the main lift is missed or a muscle lies outside its tolerance.

    """

    terms: Terms
    main_is_sure: bool
    programme: Programme = field(default_factory=Programme)
    pairs: list[tuple[Exercise, int]] = field(default_factory=list)
    used: dict[tuple[str, int], int] = field(default_factory=dict)
    more: dict[tuple[str, int], int] = field(default_factory=dict)
    sets: dict[tuple[str, int], dict[int, float]] = field(default_factory=dict)
    back_off: int | None = None
    lacking: list[int] = field(default_factory=list)
    off: list[int] = field(default_factory=list)

    def __post_init__(self) -> None:
        """Make the variables of each exercise and day."""
        ranks = candidate_ranks(self.terms)
        self.pairs = offered(self.terms)
        for place, (each, day) in enumerate(self.pairs):
            is_main = role_of(self.terms, each, day) is Role.MAIN
            cost = 0.0 if is_main else LIFT_COST + RANK_COST * ranks.get(each.name, 0)
            kind = self.terms.main_kind(day) if is_main else None
            least = FEWEST_SETS if kind is None else LEAST_MAIN_SETS[kind]
            u = self.programme.choice(cost=cost + LATER_COST * (day + 1) + LATER_COST * 0.01 * place)
            x = self.programme.variable(high=MOST_SETS - least, whole=True)
            self.programme.row({x: 1.0, u: -float(MOST_SETS - least)}, high=0.0)
            self.used[each.name, day], self.more[each.name, day] = u, x
            self.sets[each.name, day] = {u: float(least), x: 1.0}
            if is_main and back_offs(self.terms):
                self.back_off = self.programme.choice(cost=-NO_BACK_OFFS_COST)
                self.programme.row({self.back_off: 1.0, u: -1.0}, high=0.0)

    def chosen(self, values: Sequence[float]) -> Chosen:
        """What the values of the variables say."""
        sets = {
            (day, name): int(sum(factor * values[place] for place, factor in self.sets[name, day].items()))
            for (name, day), u in self.used.items()
            if values[u] >= 1.0
        }
        return Chosen(sets, with_back_offs=self.back_off is not None and values[self.back_off] >= 1.0)

    def short(self, values: Sequence[float]) -> bool:
        """Whether these values leave a target unmet, the main lift off one of its days or a liked lift out."""
        return any(values[place] > _TRACE for place in self.lacking)

    def possible(self, day: int, sets: Mapping[str, int]) -> bool:
        """Whether a session of these lifts keeps everything that holds within one day."""
        here = {each.name: each for each, when in self.pairs if when == day}
        if any(name not in here for name in sets):
            return False
        kind = self.terms.main_kind(day)
        least = FEWEST_SETS if kind is None else LEAST_MAIN_SETS[kind]
        if kind is not None and sets.get(self.terms.main.name, 0) < least:
            return False
        time = -float(self.terms.pace.change_s)
        direct: dict[Muscle, int] = {}
        for name, count in sets.items():
            once, each_s = self._time(here[name], day)
            time += once + count * each_s
            if hard(self.terms, here[name], day):
                for muscle in here[name].direct:
                    direct[muscle] = direct.get(muscle, 0) + count
        return time <= self.terms.seconds and max(direct.values(), default=0) <= MOST_SETS_A_DAY

    def keep_session(self, day: int, sets: Mapping[str, int]) -> None:
        """Let a day have these lifts and sets of them, and no others."""
        for (name, when), u in self.used.items():
            if when == day:
                least = self.sets[name, day][u]
                self.programme.fix(u, 1.0 if name in sets else 0.0)
                self.programme.fix(self.more[name, day], sets[name] - least if name in sets else 0.0)

    def meeting_all(self) -> list[float] | None:
        """Values of some week with every target within its tolerance and back-off sets; from then on no other counts.

        Without costs the search ends at once, in a fraction of the time that the best week takes.
        """
        for place in self.off:
            self.programme.fix(place, 0.0)
        if self.back_off is not None:
            self.programme.fix(self.back_off, 1.0)
        return self.programme.met(nodes=NODES_TO_MEET)

    def bound(self) -> None:
        """Caps, minutes, ceiling, pulls and presses."""
        terms, programme = self.terms, self.programme
        for day in terms.days:
            here = [each for each, when in self.pairs if when == day]
            for muscle in _muscles(here, direct=True):
                cap = self._hard([each for each in here if muscle in each.direct], day)
                programme.row(cap, high=MOST_SETS_A_DAY)
            time: dict[int, float] = {}
            for each in here:
                once, each_s = self._time(each, day)
                self._add(time, {self.used[each.name, day]: once})
                self._add(time, {key: each_s * value for key, value in self.sets[each.name, day].items()})
                if each is terms.main and self.back_off is not None:
                    self._add(time, {self.back_off: self._back_off_s(each)})
            programme.row(time, high=terms.seconds + terms.pace.change_s)
        aimed_at = {each.muscle for each in terms.wanted}
        for muscle in _muscles((each for each, _ in self.pairs), direct=False):
            if muscle not in aimed_at:  # the others' ceiling lies in how far they may be over their target
                programme.row(self._weekly(muscle), high=terms.ceiling)
        balance: dict[int, float] = {}
        for each, day in self.pairs:
            sign = -1.0 if each.pattern in PRESSES else 1.0 if each.pattern is Pattern.HORIZONTAL_PULL else 0.0
            if sign:
                self._add(balance, {key: sign * value for key, value in self._hard([each], day).items()})
        if balance:
            programme.row(balance, low=0.0)

    def aim(self) -> None:
        """Main lift on its days, muscles near their targets."""
        terms, programme = self.terms, self.programme
        for day in terms.kinds:
            if day == terms.variation_day:
                standing = {self.used[each.name, day]: 1.0 for each in terms.variations}
            else:
                standing = {self.used[terms.main.name, day]: 1.0}
                usual = USUAL_SETS[terms.kinds[day]]
                programme.distance(self.sets[terms.main.name, day], to=usual, cost=USUAL_SETS_COST)
            if self.main_is_sure and standing:
                programme.row(standing, low=1.0)
            else:
                missing = programme.variable(cost=NO_MAIN_COST, high=1.0)
                self.lacking.append(missing)
                self.off.append(missing)
                programme.row({**standing, missing: 1.0}, low=1.0)
        for target in terms.wanted:
            weekly = self._weekly(target.muscle)
            # One row for tolerance, target and ceiling: the relaxed programme is solved hundreds of times.
            below = programme.variable(cost=OFF_TARGET_COST, high=TOLERANCE_BELOW)
            short = programme.variable(cost=OFF_TARGET_COST + SHORT_COST * target.weight)
            room = max(0.0, terms.ceiling - target.sets)
            above = programme.variable(cost=OFF_TARGET_COST, high=min(TOLERANCE_ABOVE, room))
            over = programme.variable(cost=OFF_TARGET_COST + OVER_COST, high=max(0.0, room - TOLERANCE_ABOVE))
            row = {**weekly, below: 1.0, short: 1.0, above: -1.0, over: -1.0}
            programme.row(row, low=target.sets, high=target.sets)
            self.lacking.append(short)
            self.off += (short, over)

    def cover(self) -> None:
        """A lift for each muscle that the first programme saw on a day. It keeps the relaxed programme near whole."""
        for muscle, day in self.terms.guide:
            lifts = [each for each, when in self.pairs if when == day and muscle in each.direct]
            if lifts:
                none = self.programme.variable(cost=UNCOVERED_COST, high=1.0)
                self.programme.row({**{self.used[each.name, day]: 1.0 for each in lifts}, none: 1.0}, low=1.0)

    def spread(self) -> None:
        """Two or three days a muscle, not in a row; needed only where lifts leave the days of the first programme."""
        guided = {muscle for muscle, _ in self.terms.guide}
        for muscle in _muscles((each for each, _ in self.pairs), direct=True):
            direct = [
                (self.used[each.name, day], day)
                for each, day in self.pairs
                if muscle in each.direct and hard(self.terms, each, day)
            ]
            if muscle not in guided or any((muscle, day) not in self.terms.guide for _, day in direct):
                self._spread(direct)
        for target in self.terms.wanted:
            if sum(muscle is target.muscle for muscle, _ in self.terms.guide) < LEAST_EXPOSURES:
                self._reach(target.muscle)

    def _spread(self, direct: Sequence[tuple[int, int]]) -> None:
        trained = {day: self.programme.variable(high=1.0) for day in dict.fromkeys(day for _, day in direct)}
        for u, day in direct:
            self.programme.row({trained[day]: 1.0, u: -1.0}, low=0.0)
        if len(trained) > MOST_EXPOSURES:
            self.programme.row(dict.fromkeys(trained.values(), 1.0), high=MOST_EXPOSURES)
        for day, one in trained.items():
            if len(trained) > 1 and (day + 1) % DAYS in trained:
                both = self.programme.variable(cost=CONSECUTIVE_COST)
                self.programme.row({one: 1.0, trained[(day + 1) % DAYS]: 1.0, both: -1.0}, high=1.0)

    def _reach(self, muscle: Muscle) -> None:
        reached: dict[int, float] = {}
        for day in self.terms.days:
            some = {
                self.used[each.name, when]: -1.0
                for each, when in self.pairs
                if when == day and credit(each, muscle) and hard(self.terms, each, when)
            }
            if some:
                one = self.programme.variable(high=1.0)
                self.programme.row({one: 1.0, **some}, high=0.0)
                reached[one] = 1.0
        if reached:
            few = self.programme.variable(cost=FEW_EXPOSURES_COST)
            self.programme.row({**reached, few: 1.0}, low=min(LEAST_EXPOSURES, len(self.terms.days)))

    def please(self) -> None:
        """Liked exercises somewhere in the week."""
        for name in sorted(self.terms.liked):
            uses = {self.used[each.name, day]: 1.0 for each, day in self.pairs if each.name == name}
            if uses:
                missing = self.programme.variable(cost=UNLIKED_COST, high=1.0)
                self.lacking.append(missing)
                self.programme.row({**uses, missing: 1.0}, low=1.0)

    def keep(self, previous: Mapping[tuple[int, str], int]) -> None:
        """Few changes against the week before, and in few sessions."""
        for day in self.terms.days:
            if not any(when == day for when, _ in previous):
                continue
            changed = self.programme.choice(cost=SESSION_CHANGED_COST)
            for each, when in self.pairs:
                if when != day:
                    continue
                u, sets = self.used[each.name, day], self.sets[each.name, day]
                before = previous.get((day, each.name), 0)
                if before:
                    fewer = self.programme.variable(cost=LIFT_CHANGED_COST, high=1.0)
                    self.programme.row({u: 1.0, fewer: 1.0}, low=1.0)
                    self.programme.row({**sets, changed: float(MOST_SETS)}, low=before)
                    self.programme.row({**sets, changed: -float(MOST_SETS)}, high=before)
                else:
                    self.programme.row({u: 1.0, changed: -1.0}, high=0.0)

    def _hard(self, lifts: Sequence[Exercise], day: int) -> dict[int, float]:
        """Hard sets of some lifts on a day; back-off sets come with the main lift."""
        found: dict[int, float] = {}
        for each in lifts:
            if not hard(self.terms, each, day):
                continue
            self._add(found, self.sets[each.name, day])
            if each is self.terms.main and self.back_off is not None:
                self._add(found, {self.back_off: float(back_offs(self.terms))})
        return found

    def _weekly(self, muscle: Muscle) -> dict[int, float]:
        found: dict[int, float] = {}
        for each, day in self.pairs:
            worth = credit(each, muscle)
            if worth:
                self._add(found, {key: worth * value for key, value in self._hard([each], day).items()})
        return found

    def _time(self, exercise: Exercise, day: int) -> tuple[float, float]:
        """What an exercise takes on a day once, with the change to it, and what each set takes with its rest. [s]"""
        pace, role = self.terms.pace, role_of(self.terms, exercise, day)
        kind = self.terms.main_kind(day) or DayKind.VOLUME
        each = set_s(scheme(role, kind, exercise).top, exercise, pace) + rest_s(role, exercise, pace)
        return float(warm_up_s(role, exercise, pace) - rest_s(role, exercise, pace) + pace.change_s), float(each)

    def _back_off_s(self, exercise: Exercise) -> float:
        pace = self.terms.pace
        more = lift_s(Role.BACK_OFF, exercise, sets=back_offs(self.terms), reps=VOLUME.top, pace=pace)
        return float(more + pace.main_rest_s)

    @staticmethod
    def _add(found: dict[int, float], more: Mapping[int, float]) -> None:
        for key, value in more.items():
            found[key] = found.get(key, 0.0) + value


def _muscles(lifts: Iterable[Exercise], *, direct: bool) -> list[Muscle]:
    found: set[Muscle] = set()
    for each in lifts:
        found |= each.direct if direct else each.direct | each.indirect
    return [muscle for muscle in Muscle if muscle in found]
