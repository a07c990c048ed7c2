"""Shapes: which number of a cell is the load, which the repetitions, which the sets."""

from collections.abc import Sequence

from core.domain.commands import Doubt
from core.domain.problems import ProblemKind
from core.notation.cells import Cell
from core.notation.clusters import clustered
from core.notation.doubts import Doubts, Refused
from core.notation.holds import place_hold
from core.notation.pieces import Link, Number, Role, Side, Sort
from core.notation.ratings import settle_ratings
from core.notation.sense import MANY_REPS, MOST_UNMARKED_REPS, Order, Sense, Style
from core.notation.shape import Shape, listed

HANDS = 2
"""Hands of a lifter: so many equal dumbbells are told as a pair."""

SHORT_HOLDS = 5
"""Up to here a number before `40s` is sets of seconds. [sets]"""

MOST_FIVES = 12
"""Up to here `5s` of a barbell lift are sets of so many; nobody holds a bar for seconds. [repetitions]"""

_SCHEME_LINKS = (Link.CROSS, Link.OF, Link.FOR)


class Shaper:
    """Finds the shape of cells for one lift.

    Args:
        sense: What is sensible for the lift.
        doubts: Where two readings are noted.

    """

    __slots__ = ("_doubts", "_last", "_sense")

    def __init__(self, sense: Sense, doubts: Doubts) -> None:
        self._sense = sense
        self._doubts = doubts
        self._last: float | None = None

    def shape(self, cell: Cell, *, loaded: bool, last: float | None = None) -> Shape:
        """What the numbers of a cell count.

        Args:
            cell: The cell.
            loaded: A load stands already, planned or told before.
            last: Repetitions of the last of its sets, where they are told apart. [repetitions]

        Raises:
            Refused: they cannot be a set.

        """
        self._last = last
        numbers: Sequence[Number] = cell.numbers
        links: list[Link | None] = list(cell.links)
        if cell.lead in (Link.AT, Link.WITH):
            links[0] = cell.lead
        if self._sense.style is Style.BAR and len(numbers) > 1:
            self._unit_of_load(numbers)
        if Link.SLASH in links or Link.DASH in links or Link.OR in links:
            numbers, links = clustered(numbers, links, self._sense, self._doubts)
        if self._sense.paired and len(numbers) > 1 and _is_pair(numbers, links):
            numbers, links = numbers[1:], [None, *links[2:]]
        for place, number in enumerate(numbers):
            if number.role is Role.PAIR:
                number.role = self._pair_role(number, numbers, place)
        if cell.has(Sort.SHARE) and (scheme := self.scheme(cell)) is not None:
            return scheme  # `5x5 @ 80%`
        if len(numbers) == 3 and numbers[2].at_least and links[1:] == [Link.CROSS, Link.CROSS]:
            _refuse_open_sets(numbers)
        shape = Shape()
        if Link.AT in links or Link.WITH in links:
            numbers, links = settle_ratings(numbers, links, shape, self._sense, self._doubts, loaded=loaded)
        bare: list[Number] = []
        for place, number in enumerate(numbers):
            if number.role is Role.BARE:
                number.role = _role_by_link(number, links[place], numbers[place - 1] if place else None)
            if number.role is Role.BARE:
                bare.append(number)
            else:
                _put(shape, number)
        if shape.reps and shape.seconds and shape.sets is None:
            shape.sets, shape.reps = shape.reps[0], []  # `hang 3 reps x 20 s`
        if bare:
            self._place(shape, bare, numbers)
        return shape

    def _unit_of_load(self, numbers: Sequence[Number]) -> None:
        """`185x5 lb`: the unit behind the repetitions is the load's, where nothing so light can be on the bar."""
        first, last = numbers[0], numbers[-1]
        if last.unit is None or last.signed or first.role is not Role.BARE or last.role is not Role.LOAD:
            return
        if self._sense.under_bar(last.value, last.unit) and self._sense.is_load(first.value):
            first.role, first.unit = Role.LOAD, last.unit
            last.role, last.unit = Role.BARE, None

    def scheme(self, cell: Cell) -> Shape | None:
        """Two bare numbers as sets and repetitions of a load told before or behind them; None if they cannot be."""
        if len(cell.numbers) != 2 or cell.links[1] not in _SCHEME_LINKS or cell.lead is not None:
            return None
        first, second = cell.numbers
        if any(number.role is not Role.BARE or number.also or number.more for number in cell.numbers):
            return None
        orders = self._sense.schemes(first.value, second.value)
        if not orders:
            return None
        shape = Shape()
        if cell.links[1] is Link.OF and first.value < second.value and not cell.has(Sort.SHARE):
            # `100 3 of 5`: three of the five that were asked for, or three sets of them.
            start, end = first.start, second.end
            if (
                self._doubts.value(Doubt.OTHER, f"of {start}", ["made", "sets"], start=start, end=end, taught=False)
                == "made"
            ):
                first.role, first.failed, first.end = Role.REPS, True, second.end
                shape.reps = [first]
                return shape
        _take(shape, self._sense.settled(Doubt.ORDER, orders, first, second, self._doubts), cell.numbers)
        return shape

    def _pair_role(self, number: Number, numbers: Sequence[Number], place: int) -> Role:
        """`40s`: seconds, or dumbbells of 40."""
        sense = self._sense
        if sense.timed:
            later = any(other.role in (Role.SECONDS, Role.PAIR) for other in numbers[place + 1 :])
            return Role.LOAD if later else Role.SECONDS
        if sense.style is Style.BAR and sense.exercise is not None and number.value <= MOST_FIVES:
            return Role.REPS  # `squat 5s: 100, 105`
        if sense.exercise is not None:
            if sense.style is Style.BAR:
                # Nobody holds a bar for seconds: discs of 25 on each side, or two dumbbells.
                instead = f"{number.value:g} a side"
                raise Refused(ProblemKind.NOT_A_LOAD, number.start, number.end, instead=instead)
            return Role.LOAD if sense.paired else Role.SECONDS
        others = [other for other in numbers if other is not number and other.role is not Role.PAIR]
        if not others or (place and len(others) == 1 and others[0].value <= SHORT_HOLDS):
            return Role.SECONDS
        if place == 0 and others[0].role is not Role.SETS and others[0].value > SHORT_HOLDS:
            return Role.LOAD
        values = ["seconds", "load"] if others[0].value <= SHORT_HOLDS else ["load", "seconds"]
        value = self._doubts.value(Doubt.OTHER, "s", values, start=number.start, end=number.end)
        return Role.LOAD if value == "load" else Role.SECONDS

    # Numbers without a word of their own

    def _place(self, shape: Shape, bare: Sequence[Number], numbers: Sequence[Number]) -> None:
        if self._sense.timed and not shape.counted:
            place_hold(shape, bare, self._sense, self._doubts)
        elif len(bare) == 1:
            self._place_one(shape, bare[0], numbers)
        elif len(bare) == 2:
            self._place_two(shape, bare, numbers)
        elif shape.counted or shape.sets is not None:
            raise Refused(ProblemKind.NOT_REPS, bare[-1].start, bare[-1].end)
        elif len(bare) == 3 and not shape.loads:
            self._place_three(shape, bare)
        else:
            self._place_list(shape, bare)

    def _place_one(self, shape: Shape, number: Number, numbers: Sequence[Number]) -> None:
        if shape.loads and shape.counted:
            shape.sets = number
        elif len(numbers) == 1 and not shape.loads and not self._sense.is_reps(number.value):
            shape.loads = [number]
        elif shape.loads or len(numbers) == 1:
            shape.reps = listed(number)  # alone, what it counts is known beside the other cells
        elif shape.sets is not None and shape.counted:
            shape.loads = [number]
        elif shape.sets is not None:
            self._beside_sets(shape, number)
        else:
            self._beside_count(shape, number, numbers)

    def _beside_sets(self, shape: Shape, number: Number) -> None:
        """`80 x 3 sets`, `8 x 3 sets`."""
        sense = self._sense
        load, reps = sense.is_load(number.value), sense.is_reps(number.value)
        if load and (not reps or (sense.style is Style.BAR and number.value > MOST_UNMARKED_REPS // 2)):
            shape.loads = [number]
        else:
            shape.reps = listed(number)

    def _beside_count(self, shape: Shape, number: Number, numbers: Sequence[Number]) -> None:
        """`3 x 8 reps`, `80 x 5 reps`, `8 reps x 4`, `20 x 30s`: the other number is sets or a load."""
        sense = self._sense
        reps = shape.reps[0].value if shape.reps else 1.0
        is_load = sense.is_load(number.value) or number.side is not Side.BOTH
        is_sets = sense.is_sets(number.value) and (bool(shape.seconds) or sense.is_scheme(number.value, reps))
        values: list[str] = []
        if is_sets and (sense.style is not Style.BAR or not is_load):
            values.append("sets")
        if is_load and not (shape.seconds and is_sets and number.value <= SHORT_HOLDS):
            values.append("load")
        if number.value > MANY_REPS and number is not numbers[-1]:
            values.reverse()
        start, end = number.start, number.end
        value = self._doubts.value(Doubt.PAIR, "count", values or ["load"], start=start, end=end)
        if value == "sets":
            shape.sets = number
        else:
            shape.loads = [number]

    def _place_two(self, shape: Shape, bare: Sequence[Number], numbers: Sequence[Number]) -> None:
        first, second = bare
        if shape.loads and not shape.counted and shape.sets is None:
            self._beside_load(shape, first, second, loaded_last=shape.loads[0] is numbers[-1])
        elif shape.counted or shape.sets is not None:
            self._beside_one(shape, first, second)
        elif (
            first.side is not Side.BOTH
            and self._sense.style in (Style.LIGHT, Style.BODY)
            and self._sense.is_scheme(second.value, first.value)
        ):
            # `10 a side x 3`: nobody loads a side of a hand weight.
            _take(shape, Order.REPS_SETS, bare)
        else:
            _take(shape, self._sense.settled_pair(first, second, self._doubts), bare)

    def _beside_load(self, shape: Shape, first: Number, second: Number, *, loaded_last: bool) -> None:
        """`3x6 @ 85kg`, `75kg x 5 x 3`: sets and repetitions of a load."""
        sense = self._sense
        if first.value == second.value:
            _take(shape, Order.SETS_REPS, (first, second))
            return
        if loaded_last:
            orders = sense.schemes(first.value, second.value) or (Order.SETS_REPS,)
            _take(shape, sense.settled(Doubt.ORDER, orders, first, second, self._doubts), (first, second))
            return
        values: list[str] = []
        if sense.is_scheme(second.value, first.value):
            values.append(Order.LOAD_REPS_SETS.value)
        if sense.is_scheme(first.value, second.value):
            values.insert(0 if second.value > first.value else len(values), Order.LOAD_SETS_REPS.value)
        start, end = shape.loads[0].start, second.end
        reps_of = {Order.LOAD_REPS_SETS.value: first.value, Order.LOAD_SETS_REPS.value: second.value}
        if self._last is not None and values and reps_of[values[0]] >= self._last:
            values = [value for value in values if reps_of[value] >= self._last]
        order = self._doubts.value(Doubt.ORDER, "order", values or [Order.LOAD_REPS_SETS.value], start=start, end=end)
        scheme = Order.SETS_REPS if order == Order.LOAD_SETS_REPS.value else Order.REPS_SETS
        _take(shape, scheme, (first, second))

    def _beside_one(self, shape: Shape, first: Number, second: Number) -> None:
        """`80 x 5 x 3 sets`, `3 x 5 reps x 80`: one of two is the load, the other the sets or the repetitions."""
        sense = self._sense
        told_sets = shape.sets is not None
        fits = sense.is_reps if told_sets else sense.is_sets
        values: list[str] = []
        if sense.is_load(first.value) and fits(second.value):
            values.append("first")
        small = second.value <= 2 * MANY_REPS
        if (
            sense.is_load(second.value)
            and fits(first.value)
            and not (values and (small or second.value <= first.value))
        ):
            values.append("second")
        key = "beside sets" if told_sets else "beside reps"
        value = self._doubts.value(Doubt.PAIR, key, values or ["first"], start=first.start, end=second.end)
        load, rest = (first, second) if value == "first" else (second, first)
        shape.loads = [load]
        if told_sets:
            shape.reps = listed(rest)
        else:
            shape.sets = rest

    def _place_three(self, shape: Shape, bare: Sequence[Number]) -> None:
        first, second, third = bare
        orders = self._sense.triple(first.value, second.value, third.value)
        if not orders:
            last = third.value > max(first.value, second.value)
            orders = (Order.SETS_REPS_LOAD if last else Order.LOAD_REPS_SETS,)
        if self._last is not None and _reps_in(orders[0], bare) >= self._last:
            # `80x5x3 last set 4`: four of five, rather than one more than three.
            orders = tuple(order for order in orders if _reps_in(order, bare) >= self._last)
        _take(shape, self._sense.settled(Doubt.ORDER, orders, first, third, self._doubts), bare)

    def _place_list(self, shape: Shape, bare: Sequence[Number]) -> None:
        """`100 x5 x5 x4 x4`: four and more numbers are a load and the repetitions of each set."""
        if shape.loads:
            shape.reps = list(bare)
        elif self._sense.is_load(bare[0].value) and not self._sense.is_reps(bare[0].value):
            shape.loads, shape.reps = [bare[0]], list(bare[1:])
        else:
            raise Refused(ProblemKind.NOT_REPS, bare[3].start, bare[3].end)


def _refuse_open_sets(numbers: Sequence[Number]) -> None:
    """Refuse `80x5x3+`: the plus is of the repetitions of the last set, most likely."""
    load, reps, sets = numbers
    if load.role is Role.BARE and reps.whole and sets.whole and 1 < sets.value <= MOST_OPEN_SETS:
        listed_reps = ", ".join([f"{reps.value:g}"] * int(sets.value))
        instead = f"{load.value:g}x{listed_reps}+"
        raise Refused(ProblemKind.NOT_REPS, load.start, sets.end, instead=instead)


MOST_OPEN_SETS = 10
"""Up to here a last number with a plus may be sets. [sets]"""


def _is_pair(numbers: Sequence[Number], links: Sequence[Link | None]) -> bool:
    """`2x30kg`: two dumbbells, told for one of them."""
    first, second = numbers[:2]
    return first.role is Role.BARE and first.value == HANDS and second.role is Role.LOAD and links[1] is Link.CROSS


def _role_by_link(number: Number, link: Link | None, before: Number | None) -> Role:
    if number.more or number.at_least:
        return Role.REPS
    if link is Link.OF and before is not None:
        if before.role is Role.SETS:
            return Role.REPS
        if before.role is Role.REPS:
            return Role.LOAD
    return Role.BARE


def _put(shape: Shape, number: Number) -> None:
    if number.role is Role.LOAD and not shape.loads:
        shape.loads = listed(number)
    elif number.role is Role.REPS and not shape.reps:
        shape.reps = listed(number)
    elif number.role is Role.SETS and shape.sets is None:
        shape.sets = number
    elif number.role is Role.SECONDS and not shape.seconds:
        shape.seconds = listed(number)
    else:
        raise Refused(ProblemKind.NOT_REPS, number.start, number.end)


def _reps_in(order: Order, bare: Sequence[Number]) -> float:
    return bare[order.value.split().index("reps")].value


def _take(shape: Shape, order: Order, bare: Sequence[Number]) -> None:
    for what, number in zip(order.value.split(), bare, strict=True):
        if what == "load":
            shape.loads = listed(number)
        elif what == "reps":
            shape.reps = listed(number)
        else:
            shape.sets = number
