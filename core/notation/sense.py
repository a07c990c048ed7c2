"""Sense: which numbers can be a load, repetitions or sets of a lift, and in which orders."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum, auto

from core.domain.commands import Doubt
from core.domain.exercises import Equipment, Exercise
from core.domain.units import MOST_LOAD_KG, Unit, to_kg
from core.notation.doubts import Doubts
from core.notation.pieces import Number

BAR_TOLERANCE_KG = 0.5
"""How much lighter than the bar a load may be: bars are not made to the gram, and 20 kg is called 44 lb. [kg]"""

MOST_UNMARKED_SETS = 12
"""Most sets that a number without the word means: ten sets are done, more are told in words. [sets]"""

MOST_UNMARKED_REPS = 50
"""Most repetitions that a number without the word means beside a load. [repetitions]"""

MOST_FREE_REPS = 100
"""The same for body mass alone. [repetitions]"""

MOST_BAR_SCHEME = 20
"""Most repetitions of several sets on a full bar, told without a load. [repetitions]"""

MOST_SCHEME = 100
"""Most repetitions in all that sets times repetitions mean where neither word is told. [repetitions]"""

FEW_SETS = 6
"""Up to here a first number is likelier sets than a load, where light loads are used. [sets]"""

MANY_REPS = 8
"""From here a first number is as likely repetitions as sets. [repetitions]"""

SHORT_SET = 5
"""Up to here a second number is as likely sets as repetitions. [sets]"""

LONG_SET = 16
"""From here a second number is as likely a load as repetitions. [repetitions]"""

SHORT_LIST = 15
"""Up to here a first number is likelier repetitions than a load, if the second could be one. [repetitions]"""

LIGHTEST_KG = 4.0
"""Lightest load that a number without a unit means in a lift over several joints. [kg] Light dumbbells are 1 to 3."""

LIGHTEST_LEG_MACHINE_KG = 15.0
"""The same on a machine for the legs. [kg]"""

DISC_STEP = 2.5
"""Loads hung on a belt are multiples of the smaller discs. [kg or lb]"""

FULL_SHARE = 0.9
"""From this share of body mass on a lift is one that is done with more than it: dips, pull-ups. [1]"""


STANDS_OUT = 2.0
"""How much larger than both its neighbours the middle of three numbers is, to be their load (`3x80x5`). [1]"""


class Style(Enum):
    """What the load of a lift is like."""

    BAR = auto()
    LIGHT = auto()
    BODY = auto()
    UNKNOWN = auto()


class Order(Enum):
    """What two or three numbers count, in the order in which they stand; the value is the habit's."""

    LOAD_REPS = "load reps"
    REPS_LOAD = "reps load"
    SETS_REPS = "sets reps"
    REPS_SETS = "reps sets"
    SETS_REPS_LOAD = "sets reps load"
    LOAD_REPS_SETS = "load reps sets"
    LOAD_SETS_REPS = "load sets reps"
    REPS_SETS_LOAD = "reps sets load"
    SETS_LOAD_REPS = "sets load reps"
    LOAD_LIST = "load list"
    LIST = "list"


@dataclass(frozen=True, slots=True)
class Sense:
    """What is sensible for one lift of one lifter.

    Args:
        exercise: The lift; None if it is not known.
        bar_kg: Weight of the lifter's bar. [kg]
        unit: Unit of loads without one, if told.
        weighted: The name says that a load is added to body mass.

    """

    exercise: Exercise | None
    bar_kg: float
    unit: Unit | None
    weighted: bool = False

    @property
    def style(self) -> Style:
        """What the load of this lift is like."""
        lift = self.exercise
        if lift is None:
            return Style.UNKNOWN
        if lift.bar:
            return Style.BAR
        return Style.BODY if lift.body_share > 0 else Style.LIGHT

    @property
    def timed(self) -> bool:
        """Whether the lift is usually held for seconds."""
        return self.exercise is not None and self.exercise.timed

    @property
    def paired(self) -> bool:
        """Whether `40s` is a pair of hand weights."""
        return self.exercise is not None and self.exercise.equipment in (Equipment.DUMBBELL, Equipment.KETTLEBELL)

    def kg(self, value: float, unit: Unit | None = None) -> float:
        """Kilograms that a load is, if kilograms are meant where nothing was told. [kg]"""
        return to_kg(value, unit or self.unit or Unit.KG)

    def under_bar(self, value: float, unit: Unit | None = None) -> bool:
        """Whether a load is lighter than the bar it is lifted with."""
        return self.style is Style.BAR and self.kg(value, unit) < self.bar_kg - BAR_TOLERANCE_KG

    def is_load(self, value: float) -> bool:
        """Whether a number without a word can be the load of this lift."""
        if not 0 < self.kg(value) <= MOST_LOAD_KG or self.under_bar(value):
            return False
        lift = self.exercise
        if lift is None or self.style is Style.BAR:
            return True
        if self.style is Style.BODY:
            return value >= MANY_REPS or value % DISC_STEP == 0
        if lift.equipment is Equipment.MACHINE and lift.lower_body and lift.multi_joint:
            return self.kg(value) >= LIGHTEST_LEG_MACHINE_KG
        return not lift.multi_joint or self.kg(value) >= LIGHTEST_KG

    def is_reps(self, value: float) -> bool:
        """Whether a number without a word can be repetitions of this lift."""
        most = MOST_FREE_REPS if self.style is Style.BODY else MOST_UNMARKED_REPS
        return value.is_integer() and 1 <= value <= most

    def is_sets(self, value: float) -> bool:
        """Whether a number without a word can be sets."""
        return value.is_integer() and 1 <= value <= MOST_UNMARKED_SETS

    def is_scheme(self, sets: float, reps: float) -> bool:
        """Whether two numbers can be sets and repetitions."""
        return self.is_sets(sets) and self.is_reps(reps) and sets * reps <= self.most_in_all

    @property
    def most_in_all(self) -> int:
        """Most repetitions in all that sets times repetitions mean. [repetitions]"""
        return 3 * MOST_SCHEME if self.style is Style.BODY and not self.hung else MOST_SCHEME

    @property
    def hung(self) -> bool:
        """Whether more than body mass is usual: dips, pull-ups."""
        return self.exercise is not None and self.exercise.body_share >= FULL_SHARE

    def pair(self, first: float, second: float) -> tuple[Order, ...]:
        """Sensible orders of two numbers joined by a cross, most likely first."""
        orders = list(self._pair(first, second))
        if first == second and Order.SETS_REPS in orders and Order.REPS_SETS in orders:
            orders.remove(Order.REPS_SETS)
        return tuple(orders)

    def _pair(self, first: float, second: float) -> Iterator[Order]:
        schemes = self.schemes(first, second)
        plain = self.is_load(first) and self.is_reps(second)
        turned = self.is_reps(first) and self.is_load(second)
        short = first <= SHORT_LIST and second >= LONG_SET
        if self.style is Style.BAR:
            if plain:
                yield Order.LOAD_REPS
                if turned and second > MOST_UNMARKED_REPS // 2 and first <= MOST_UNMARKED_REPS // 2:
                    yield Order.REPS_LOAD
                return
            if turned:
                yield Order.REPS_LOAD
            if second <= MOST_BAR_SCHEME or not turned:
                yield from schemes
            return
        if self.style is Style.BODY:
            yield from self._pair_of_body(first, second, schemes)
            return
        few = first <= FEW_SETS
        if few:
            yield from (order for order in schemes if order is Order.SETS_REPS)
        many = MANY_REPS <= first <= SHORT_LIST and second <= SHORT_SET
        if plain:
            yield Order.LOAD_REPS
        if many:
            yield from (order for order in schemes if order is Order.REPS_SETS)
        if turned and (short or not self.is_reps(second) or not (plain or few)):
            yield Order.REPS_LOAD
        if not plain and not few and not many:
            yield from schemes

    def _pair_of_body(self, first: float, second: float, schemes: Sequence[Order]) -> Iterator[Order]:
        hung = self.hung
        if not hung or first <= SHORT_LIST:
            yield from schemes
        if self.is_load(first) and self.is_reps(second):
            yield Order.LOAD_REPS
        if hung and first <= SHORT_LIST and second >= LONG_SET and self.is_load(second):
            yield Order.REPS_LOAD

    def schemes(self, first: float, second: float) -> tuple[Order, ...]:
        """Sensible orders of two numbers that are sets and repetitions, most likely first.

        Sets come first by custom; a long first number with a short second one is as often the other way round.
        """
        orders: list[Order] = []
        if self.is_scheme(first, second):
            orders.append(Order.SETS_REPS)
        as_often = (first >= MANY_REPS and second <= FEW_SETS) or not orders
        if first != second and as_often and self.is_scheme(second, first):
            orders.append(Order.REPS_SETS)
        return tuple(orders)

    def triple(self, first: float, second: float, third: float) -> tuple[Order, ...]:
        """Sensible orders of three numbers, most likely first; those that mean the same stand once."""
        loaded_first = [Order.LOAD_REPS_SETS, Order.LOAD_SETS_REPS]
        if third > second:
            loaded_first.reverse()
        if second == third:
            loaded_first.pop()
        orders: list[Order] = []
        if self.is_load(third):
            turned = {Order.SETS_REPS: Order.SETS_REPS_LOAD, Order.REPS_SETS: Order.REPS_SETS_LOAD}
            orders.extend(turned[order] for order in self.schemes(first, second))
        if self.is_load(first):
            orders.extend(
                order
                for order in loaded_first
                if self.is_scheme(*((third, second) if order is Order.LOAD_REPS_SETS else (second, third)))
            )
        stands_out = second >= STANDS_OUT * max(first, third)
        if stands_out and self.is_load(second) and self.is_scheme(first, third):
            orders.append(Order.SETS_LOAD_REPS)
        return tuple(orders)

    # Orders settled by habit, or noted

    def settled_pair(self, first: Number, second: Number, doubts: Doubts) -> Order:
        """Order of two bare numbers; if none is sensible, one by which what is wrong can be told."""
        orders = self.pair(first.value, second.value)
        if not first.whole:
            orders = tuple(order for order in orders if order is not Order.SETS_REPS)
        if not orders:
            turned = second.value > first.value and self.is_reps(first.value)
            orders = (Order.REPS_LOAD if turned else Order.LOAD_REPS,)
        loaded = any("load" in order.value for order in orders)
        return self.settled(Doubt.PAIR if loaded else Doubt.ORDER, orders, first, second, doubts)

    def settled(self, doubt: Doubt, orders: Sequence[Order], first: Number, last: Number, doubts: Doubts) -> Order:
        """The order to read by, of several sensible ones."""
        if len(orders) == 1:
            return orders[0]
        values = [order.value for order in orders]
        if len(values[0].split()) == 3:
            key = "order"
        elif set(values) == {"sets reps", "reps sets"}:
            key = "scheme"
        elif set(values) == {"load reps", "reps load"}:
            key = "pair"
        else:
            key = "body" if self.style is Style.BODY else "light"
        return Order(doubts.value(doubt, key, values, start=first.start, end=last.end))
