"""Loading: what can be loaded with what the lifter owns, and which of it comes nearest to what is wanted."""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from core.domain.equipment import NG_PER_KG, PLATED, Bar, Discs, Owned, Steps, load_of, mass_ng
from core.domain.exercises import Equipment, Exercise
from core.domain.prescriptions import SmallerDiscs
from core.domain.units import KG_PER_LB, Load, Unit
from core.planning.plates import DiscSums, disc_sums

MOST_RAISE = Fraction(1, 100)
"""How much the nearest load may lie above the wanted one. [1] Less than a repetition is worth."""

LEAST_LEFT_TO_RAISE = 2.0
"""Repetitions left from which the nearest load may lie above the wanted one. [repetitions]"""

OTHER_BAR_FROM = Fraction(25, 1000)
"""How far below the wanted load the preferred bar may stay before another one is taken. [1] One weekly step."""

COARSE_STEP = Fraction(5, 100)
"""Part of the load that the smallest step must be for smaller discs to be named. [1] Two weekly steps."""

SMALLER_PAIRS = {Unit.KG: (2.5, 1.25, 0.5, 0.25), Unit.LB: (5.0, 2.5, 1.25, 0.5)}
"""Small discs that are sold, by unit; common practice, no source."""

MOST_USUAL_STEPS = 60
"""Steps of a stack or a rack nobody described. [steps]"""


@dataclass(frozen=True, slots=True)
class Loadable:
    """A load that can be made.

    Args:
        ng: Mass as it is told: with the bar, in each hand, or what hangs on the belt; below 0 is assistance. [ng]
        bar: The bar it is made on.
        side: Discs of one side (of the belt, where they hang there), heaviest first.

    """

    ng: int
    bar: Bar | None = None
    side: tuple[Load, ...] = ()

    @property
    def kg(self) -> float:
        """The load. [kg]"""
        return self.ng / NG_PER_KG

    def told_in(self, unit: Unit) -> Load:
        """The load in a unit."""
        return load_of(self.ng, unit)


class Loads:
    """All loads of one exercise, in order."""

    __slots__ = ("_bars", "_listed", "_sums")

    def __init__(self, *, listed: Sequence[int] = (), bars: tuple[Bar, ...] = (), sums: DiscSums | None = None) -> None:
        """Take loads one by one (in order, ng), or bars and discs; a belt is sums without bars. [ng]"""
        self._listed = tuple(listed)
        self._bars = bars
        self._sums = sums

    def at_most(self, ng: int) -> Loadable | None:
        """Heaviest load that is not above a mass; None if all are. [ng]"""
        if self._sums is None:
            place = bisect_right(self._listed, ng)
            return Loadable(self._listed[place - 1]) if place else None
        best: tuple[int, Bar | None] | None = None
        for bar in self._places():
            each = self._on(bar, ng, above=False)
            if each is not None and (best is None or each > best[0]):
                best = each, bar
        return None if best is None else self._made(*best)

    def above(self, ng: int) -> Loadable | None:
        """Lightest load that is above a mass; None if there is none. [ng]"""
        if self._sums is None:
            place = bisect_right(self._listed, ng)
            return Loadable(self._listed[place]) if place < len(self._listed) else None
        best: tuple[int, Bar | None] | None = None
        for bar in self._places():
            each = self._on(bar, ng, above=True)
            if each is not None and (best is None or each < best[0]):
                best = each, bar
        return None if best is None else self._made(*best)

    def below(self, ng: int) -> Loadable | None:
        """Heaviest load that is below a mass; None if there is none. [ng]"""
        return self.at_most(ng - 1)

    @property
    def lightest(self) -> Loadable:
        """The lightest load."""
        if self._sums is None:
            return Loadable(self._listed[0])
        bar = min(self._places(), key=_empty_ng)
        return self._made(_empty_ng(bar), bar)

    @property
    def heaviest(self) -> Loadable:
        """The heaviest load."""
        if self._sums is None:
            return Loadable(self._listed[-1])
        bar = max(self._places(), key=_empty_ng)
        return self._made(_empty_ng(bar) + self._times(bar) * self._sums.most_ng, bar)

    def exactly(self, ng: int) -> Loadable | None:
        """The load of exactly this mass, on the preferred bar; None if it cannot be made. [ng]"""
        found = self.at_most(ng)
        return found if found is not None and found.ng == ng else None

    def nearest(self, ng: int) -> Loadable:
        """The load nearest to a mass, the lighter of two as near. [ng]"""
        down, up = self.at_most(ng), self.above(ng)
        if down is None or up is None:
            return down or up or self.lightest
        return up if up.ng - ng < ng - down.ng else down

    def of(self, load: Load, *, bar: Bar | None = None) -> Loadable:
        """The load that comes nearest to one that was told, on a bar where one is given."""
        return self.on(bar).nearest(mass_ng(load))

    def on(self, bar: Bar | None) -> "Loads":
        """The loads on one bar: nobody changes bars between the sets of a lift."""
        if self._sums is None or bar is None:
            return self
        return Loads(bars=(bar,), sums=self._sums)

    def for_work(self, ng: int) -> "Loads":
        """The loads on the bar to take for a wanted mass: the preferred one unless another comes much nearer. [ng]"""
        if len(self._bars) < 2 or self._sums is None:
            return self
        for bar in self._bars:
            each = self._on(bar, ng, above=False)
            if each is not None and each >= ng - ng * OTHER_BAR_FROM:
                return self.on(bar)
        found = self.at_most(ng)
        return self.on(self.lightest.bar if found is None else found.bar)

    def _places(self) -> tuple[Bar | None, ...]:
        return self._bars or (None,)

    @staticmethod
    def _times(bar: Bar | None) -> int:
        return 1 if bar is None else 2

    def _on(self, bar: Bar | None, ng: int, *, above: bool) -> int | None:
        if self._sums is None:
            return None
        rest, times = ng - _empty_ng(bar), self._times(bar)
        # Whole nanograms a side: rounding down loses nothing, for no load lies between.
        if above and rest < 0:
            return _empty_ng(bar)
        side = self._sums.above(rest // times) if above else self._sums.at_most(rest // times if rest >= 0 else -1)
        return None if side is None else _empty_ng(bar) + times * side

    def _made(self, ng: int, bar: Bar | None) -> Loadable:
        side = None if self._sums is None else self._sums.discs((ng - _empty_ng(bar)) // self._times(bar))
        return Loadable(ng, bar, side or ())


@lru_cache(maxsize=512)
def loads(exercise: Exercise, owned: Owned) -> Loads:
    """What an exercise can be loaded with; always at least one load.

    Bars take discs in pairs. Lifts of body mass take discs one by one on a belt, or nothing. Everything else goes up in
    the steps of its stack or rack, or in the exercise's usual ones where none was described.
    """
    for wanted in (exercise.name, None):
        for stack in owned.stacks:
            if stack.equipment is exercise.equipment and stack.exercise == wanted:
                return _signed(stack.loads.masses_ng(), exercise)
    if exercise.equipment in PLATED:
        bars = tuple(bar for bar in owned.bars if bar.equipment is exercise.equipment)
        if exercise.one_side and not exercise.bar:
            # One end of a bar that stands in a corner: the load told is what lies on that end.
            return Loads(sums=disc_sums(owned.discs, one_by_one=True))
        if bars:
            return Loads(bars=bars, sums=disc_sums(owned.discs))
    if exercise.equipment in _WITH_BELT:
        return Loads(sums=disc_sums(owned.discs, one_by_one=True))
    if exercise.equipment is Equipment.BAND:
        return Loads(listed=(0,))
    return _signed(_usual_steps(exercise, owned.unit).masses_ng(), exercise)


_WITH_BELT = frozenset({Equipment.BODYWEIGHT, Equipment.RINGS, Equipment.WHEEL})


def rounded(wanted_kg: float, available: Loads, *, left: float | None, body_kg: float = 0.0) -> Loadable:
    """Load to take for a wanted one.

    The nearest when it raises what is moved by at most 1 % and the target is 2 or more left; else the next lower; the
    lightest where all are heavier.

    Args:
        wanted_kg: What the estimate asks for. [kg]
        available: What can be loaded.
        left: Repetitions left that are aimed at; None allows no raise. [repetitions]
        body_kg: Body mass moved beside the load. [kg]

    """
    wanted = round(Fraction(wanted_kg) * NG_PER_KG)
    available = available.for_work(wanted)
    near = available.nearest(wanted)
    if near.ng <= wanted:
        return near
    body = round(Fraction(body_kg) * NG_PER_KG)
    may_raise = left is not None and left >= LEAST_LEFT_TO_RAISE
    if may_raise and near.ng - wanted <= MOST_RAISE * abs(wanted + body):
        return near
    return available.at_most(wanted) or available.lightest


def smaller_discs(wanted_kg: float, exercise: Exercise, owned: Owned) -> SmallerDiscs | None:
    """What one pair of smaller discs would change, where the smallest step is more than 5 % of the load; else None.

    The largest pair that brings the load nearer is named, and the load that it makes. [kg]
    """
    if exercise.equipment not in PLATED or not owned.discs:
        return None
    wanted = round(Fraction(wanted_kg) * NG_PER_KG)
    available = loads(exercise, owned).for_work(wanted)
    now = available.at_most(wanted)
    up = None if now is None else available.on(now.bar).above(now.ng)
    if now is None or up is None or now.ng == wanted or up.ng - now.ng <= now.ng * COARSE_STEP:
        return None
    have = {mass_ng(each.mass) for each in owned.discs}
    for amount in SMALLER_PAIRS[owned.unit]:
        pair = Load(amount, owned.unit)
        if mass_ng(pair) in have or now.bar is None:
            continue
        more = Loads(bars=(now.bar,), sums=disc_sums((*owned.discs, Discs(pair, 1))))
        found = more.at_most(wanted)
        if found is not None and found.ng > now.ng:
            return SmallerDiscs(pair, found.told_in(owned.unit))
    return None


def _signed(masses: tuple[int, ...], exercise: Exercise) -> Loads:
    if exercise.assisted:
        return Loads(listed=[-ng for ng in reversed(masses)])
    return Loads(listed=masses)


def _usual_steps(exercise: Exercise, unit: Unit) -> Steps:
    amount = exercise.step_kg
    if unit is Unit.LB:
        # Stacks and racks in pounds go up in 2.5s; the step nearest to the usual one, at least one of them.
        amount = max(1, round(exercise.step_kg / KG_PER_LB / 2.5)) * 2.5
    step = Load(amount, unit)
    return Steps(step, Load(amount * MOST_USUAL_STEPS, unit), step)


def _empty_ng(bar: Bar | None) -> int:
    return 0 if bar is None else bar.empty_ng


def step_up(available: Loads, load: Loadable) -> Loadable | None:
    """The next heavier load on the same bar; None at the end."""
    return available.on(load.bar).above(load.ng)


def heaviest_within(available: Loads, *, low_ng: int, high_ng: int) -> Loadable | None:
    """Heaviest load from low to high, both included; None if there is none. [ng]"""
    found = available.at_most(high_ng)
    return found if found is not None and found.ng >= low_ng else None
