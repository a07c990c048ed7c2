"""Shapes: which number of a cell is the load, which the repetitions, which the sets."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from core.domain.commands import Doubt
from core.domain.problems import ProblemKind
from core.domain.sets import MOST_SETS
from core.notation.cells import Cell
from core.notation.doubts import Doubts, Refused
from core.notation.efforts import HIGHEST_RPE, LOWEST_EXACT_RPE
from core.notation.pieces import Effort, Link, Number, Role, Side
from core.notation.sense import MANY_REPS, MOST_UNMARKED_REPS, SHORT_LIST, Order, Sense, Style

LOWEST_BARE_RPE = 5.5
"""From here on a bare number after @ is a rating; below it, it may as well be repetitions left."""

SHORTEST_HOLD = 10.0
"""Shortest time that a number without a unit means for a hold. [s]"""


@dataclass(slots=True)
class Shape:
    """What the numbers of one cell count; None where nothing was told.

    Args:
        loads: One, or one for each set of the same repetitions.
        reps: One, or one for each set of the same load.
        sets: How many times.
        seconds: Of a hold; one, or one for each set.
        efforts: Told after @.

    """

    loads: list[Number] = field(default_factory=list)
    reps: list[Number] = field(default_factory=list)
    sets: Number | None = None
    seconds: list[Number] = field(default_factory=list)
    efforts: list[Effort] = field(default_factory=list)

    @property
    def counted(self) -> bool:
        """Whether repetitions or seconds are told."""
        return bool(self.reps or self.seconds)


class Shaper:
    """Finds the shape of cells for one lift.

    Args:
        sense: What is sensible for the lift.
        doubts: Where two readings are noted.
        loaded: A load stands already, planned or told before.

    """

    __slots__ = ("_doubts", "_sense", "loaded")

    def __init__(self, sense: Sense, doubts: Doubts, *, loaded: bool) -> None:
        self._sense = sense
        self._doubts = doubts
        self.loaded = loaded

    def shape(self, cell: Cell) -> Shape:
        """What the numbers of a cell count.

        Raises:
            Refused: they cannot be a set.

        """
        numbers = [replace(number) for number in cell.numbers]
        links: list[Link | None] = list(cell.links)
        if cell.lead in (Link.AT, Link.WITH):
            links[0] = cell.lead
        numbers, links = self._grouped(numbers, links)
        self._settle_pairs(numbers, links)
        shape = Shape()
        numbers, links = self._after_at(numbers, links, shape, cell)
        bare: list[Number] = []
        for place, number in enumerate(numbers):
            if number.role is Role.BARE and links[place] is Link.OF:
                before = numbers[place - 1].role
                number.role = Role.REPS if before is Role.SETS else Role.LOAD if before is Role.REPS else Role.BARE
            if number.role is Role.BARE and (number.more or number.at_least):
                number.role = Role.REPS
            if number.role is Role.BARE:
                bare.append(number)
            else:
                self._put(shape, number)
        if shape.reps and shape.seconds and shape.sets is None:
            shape.sets, shape.reps = shape.reps[0], []  # `hang 3 reps x 20 s`
        self._place(shape, bare, numbers)
        return shape

    def _put(self, shape: Shape, number: Number) -> None:
        if number.role is Role.LOAD:
            if shape.loads:
                raise Refused(ProblemKind.NOT_REPS, number.start, number.end)
            shape.loads = [number, *(_with_value(number, value) for value in number.also)]
        elif number.role is Role.REPS:
            if shape.reps:
                if shape.sets is None and not number.more and not shape.reps[0].more:
                    raise Refused(ProblemKind.NOT_REPS, number.start, number.end)
                raise Refused(ProblemKind.NOT_REPS, number.start, number.end)
            shape.reps = [number, *(_with_value(number, value) for value in number.also)]
        elif number.role is Role.SETS:
            if shape.sets is not None:
                raise Refused(ProblemKind.NOT_REPS, number.start, number.end)
            shape.sets = number
        else:
            shape.seconds = [number, *(_with_value(number, value) for value in number.also)]

    # Numbers without a word of their own

    def _place(self, shape: Shape, bare: Sequence[Number], numbers: Sequence[Number]) -> None:
        if not bare:
            return
        if self._sense.timed and not shape.reps and not shape.seconds:
            self._hold(shape, bare)
        elif len(bare) == 1:
            self._place_one(shape, bare[0], numbers)
        elif len(bare) == 2:
            self._place_two(shape, bare, numbers)
        elif len(bare) == 3 and not shape.loads and not shape.reps and shape.sets is None:
            self._place_three(shape, bare)
        elif not shape.reps and shape.sets is None:
            self._place_list(shape, bare)
        else:
            raise Refused(ProblemKind.NOT_REPS, bare[-1].start, bare[-1].end)

    def _place_one(self, shape: Shape, number: Number, numbers: Sequence[Number]) -> None:
        has_load, has_sets, has_count = bool(shape.loads), shape.sets is not None, shape.counted
        if len(numbers) == 1 and not (has_load or has_sets or has_count):
            shape.reps = [number]  # a lone number; what it counts is known beside the others
        elif has_load and has_count:
            shape.sets = number
        elif has_load:
            shape.reps = self._listed(number)
        elif has_sets and has_count:
            shape.loads = [number]
        elif has_sets:
            self._beside_sets(shape, number)
        else:
            self._beside_count(shape, number, numbers)

    def _beside_sets(self, shape: Shape, number: Number) -> None:
        sense = self._sense
        load, reps = sense.is_load(number.value), sense.is_reps(number.value)
        if load and (not reps or (sense.style is Style.BAR and number.value > MOST_UNMARKED_REPS // 2)):
            shape.loads = [number]
        else:
            shape.reps = self._listed(number)

    def _beside_count(self, shape: Shape, number: Number, numbers: Sequence[Number]) -> None:
        """`3 x 8 reps`, `80 x 5 reps`, `8 reps x 4`, `20 x 30s`: the other number is sets or a load."""
        sense = self._sense
        reps = shape.reps[0].value if shape.reps else 1.0
        is_load = sense.is_load(number.value) or number.side is not Side.BOTH
        is_sets = sense.is_sets(number.value) and (bool(shape.seconds) or sense.is_scheme(number.value, reps))
        behind = number is numbers[-1]
        values = []
        if is_sets and (sense.style is not Style.BAR or not is_load):
            values.append(Order.SETS_REPS.value)
        if is_load and not (shape.seconds and is_sets and number.value <= SHORT_HOLDS):
            values.append(Order.LOAD_REPS.value)
        if number.value > (5 if shape.seconds else MANY_REPS) and not behind:
            values.reverse()
        value = self._doubt(Doubt.PAIR, "count", values or [Order.LOAD_REPS.value], number, number)
        if value == Order.SETS_REPS.value:
            shape.sets = number
        else:
            shape.loads = [number]

    def _place_two(self, shape: Shape, bare: Sequence[Number], numbers: Sequence[Number]) -> None:
        first, second = bare
        sense = self._sense
        if shape.loads and not shape.counted and shape.sets is None:
            self._scheme(shape, bare, numbers)
        elif shape.counted or shape.sets is not None:
            self._beside_one(shape, bare)
        else:
            orders = sense.pair(first.value, second.value)
            if not first.whole and Order.SETS_REPS in orders:
                orders = (Order.LOAD_REPS,)
            order = self._ordered(Doubt.PAIR, orders or (self._forced(first, second),), first, second)
            self._take(shape, order, bare)

    def _forced(self, first: Number, second: Number) -> Order:
        """Order of two numbers that make no sensible set, so that what is wrong can be told."""
        if second.value > first.value and self._sense.is_reps(first.value):
            return Order.REPS_LOAD
        return Order.LOAD_REPS

    def _scheme(self, shape: Shape, bare: Sequence[Number], numbers: Sequence[Number]) -> None:
        first, second = bare
        if first.value == second.value:
            self._take(shape, Order.SETS_REPS, bare)
            return
        if shape.loads[0] is numbers[-1]:
            orders = self._sense.schemes(first.value, second.value) or (Order.SETS_REPS,)
            self._take(shape, self._ordered(Doubt.ORDER, orders, first, second), bare)
            return
        sense = self._sense
        values = [
            name
            for name, sets, reps in (("load reps sets", second, first), ("load sets reps", first, second))
            if sense.is_scheme(sets.value, reps.value)
        ]
        if second.value > first.value:
            values.reverse()
        order = self._doubt(Doubt.ORDER, "order", values or ["load reps sets"], shape.loads[0], second)
        self._take(shape, Order.SETS_REPS if order == "load sets reps" else Order.REPS_SETS, bare)

    def scheme_of(self, shape: Shape) -> bool:
        """Read a cell of two bare numbers as sets and repetitions, for the load told before or after it.

        Returns whether that makes sense.
        """
        return bool(shape.reps and shape.sets)

    def scheme(self, cell: Cell) -> Shape | None:
        """Shape of two bare numbers as sets and repetitions of a load told elsewhere; None if they cannot be."""
        if len(cell.numbers) != 2 or any(number.role is not Role.BARE or number.also for number in cell.numbers):
            return None
        if cell.links[1] not in (Link.CROSS, Link.OF, Link.FOR) or cell.lead is not None:
            return None
        first, second = cell.numbers
        orders = self._sense.schemes(first.value, second.value)
        if not orders:
            return None
        shape = Shape()
        self._take(shape, self._ordered(Doubt.ORDER, orders, first, second), cell.numbers)
        return shape

    def _beside_one(self, shape: Shape, bare: Sequence[Number]) -> None:
        """Two bare numbers beside repetitions or beside sets: one of them is the load."""
        first, second = bare
        sense = self._sense
        other = "reps" if shape.sets is not None else "sets"
        fits = sense.is_reps if other == "reps" else sense.is_sets
        values = []
        if sense.is_load(first.value) and fits(second.value):
            values.append("first")
        if sense.is_load(second.value) and fits(first.value) and (not values or first.value < second.value):
            values.append("second")
        if values == ["first", "second"] and second.value <= MANY_REPS * 2:
            values.pop()
        value = self._doubt(Doubt.PAIR, f"beside {other}", values or ["first"], first, second)
        load, rest = (first, second) if value == "first" else (second, first)
        shape.loads = [load]
        if other == "reps":
            shape.reps = self._listed(rest)
        else:
            shape.sets = rest

    def _place_three(self, shape: Shape, bare: Sequence[Number]) -> None:
        first, second, third = bare
        orders = self._sense.triple(first.value, second.value, third.value)
        if not orders:
            largest = max(bare, key=lambda number: number.value)
            orders = (Order.SETS_REPS_LOAD if largest is third else Order.LOAD_REPS_SETS,)
        order = self._ordered(Doubt.ORDER, orders, first, third)
        self._take(shape, order, bare)

    def _place_list(self, shape: Shape, bare: Sequence[Number]) -> None:
        """`100 x5 x5 x4 x4`: four and more numbers are a load and the repetitions of each set."""
        if shape.loads:
            shape.reps = list(bare)
        elif self._sense.is_load(bare[0].value) and not self._sense.is_reps(bare[0].value):
            shape.loads, shape.reps = [bare[0]], list(bare[1:])
        else:
            raise Refused(ProblemKind.NOT_REPS, bare[3].start, bare[3].end)

    def _hold(self, shape: Shape, bare: Sequence[Number]) -> None:
        """A lift that is held: `plank 60`, `3x40`, `60x3`, `20 x 40`."""
        numbers = list(bare)
        long = [number for number in numbers if number.value >= SHORTEST_HOLD]
        if len(numbers) == 1 and not shape.loads and shape.sets is None:
            shape.seconds = self._held(numbers[0])
            return
        if len(numbers) == 1:
            shape.seconds = self._held(numbers[0])
            return
        if len(numbers) == 2 and not shape.loads and shape.sets is None and long:
            first, second = numbers
            orders = []
            if self._sense.is_sets(first.value) and second.value >= SHORTEST_HOLD:
                orders.append("sets seconds")
            elif first.value >= SHORTEST_HOLD and self._sense.is_sets(second.value):
                orders.append("seconds sets")
            if first.value > SHORTEST_HOLD and second.value >= SHORTEST_HOLD:
                orders.append("load seconds")
            order = self._doubt(Doubt.PAIR, "hold", orders or ["sets seconds"], first, second)
            if order == "load seconds":
                shape.loads, shape.seconds = [first], self._held(second)
            elif order == "sets seconds":
                shape.sets, shape.seconds = first, self._held(second)
            else:
                shape.sets, shape.seconds = second, self._held(first)
            return
        if len(numbers) == 2 and shape.loads:
            shape.sets, shape.seconds = numbers[0], self._held(numbers[1])
            return
        if len(numbers) == 3 and not shape.loads and shape.sets is None:
            shape.sets, shape.loads = numbers[0], [numbers[1]]
            shape.seconds = self._held(numbers[2])
            return
        raise Refused(ProblemKind.NOT_A_TIME, numbers[-1].start, numbers[-1].end)

    def _held(self, number: Number) -> list[Number]:
        if number.value < SHORTEST_HOLD:
            raise Refused(
                ProblemKind.NOT_A_TIME, number.start, number.end, instead=f"{number.value:g} min" if number.value else None
            )
        return self._listed(number)

    def _take(self, shape: Shape, order: Order, bare: Sequence[Number]) -> None:
        for what, number in zip(order.value.split(), bare, strict=True):
            if what == "load":
                shape.loads = [number, *(_with_value(number, value) for value in number.also)]
            elif what == "reps":
                shape.reps = self._listed(number)
            else:
                shape.sets = number

    def _listed(self, number: Number) -> list[Number]:
        return [number, *(_with_value(number, value) for value in number.also)]

    # What stands after @

    def _after_at(
        self, numbers: list[Number], links: list[Link | None], shape: Shape, cell: Cell
    ) -> tuple[list[Number], list[Link | None]]:
        if Link.AT not in links and Link.WITH not in links:
            return numbers, links
        kept: list[Number] = []
        kept_links: list[Link | None] = []
        others = [number for number, link in zip(numbers, links, strict=True) if link not in (Link.AT, Link.WITH)]
        for number, link in zip(numbers, links, strict=True):
            if link is Link.WITH and number.role is Role.BARE and self._sense.is_load(number.value):
                number.role = Role.LOAD
            elif link is Link.AT and number.role is Role.BARE:
                others = self._at(number, others, shape, cell)
                if number.role is Role.BARE and shape.efforts and shape.efforts[-1].start == number.start:
                    continue
            kept.append(number)
            kept_links.append(Link.CROSS if link in (Link.AT, Link.WITH) else link)
        return kept, kept_links

    def _at(self, number: Number, others: list[Number], shape: Shape, cell: Cell) -> list[Number]:
        """Settle a bare number after @: a load, repetitions of one, or an effort."""
        sense = self._sense
        high = max((number.value, *number.also))
        unknown = [other for other in others if other.role is Role.BARE]
        loaded = self.loaded or any(other.role is Role.LOAD for other in others)
        lone = len(others) == 1
        only_load = lone and (
            others[0].role is Role.LOAD or (others[0].role is Role.BARE and not sense.is_reps(others[0].value))
        )
        if high > HIGHEST_RPE:
            if only_load and number.whole:
                return others  # `80kg @ 12`: joined as by a cross
            number.role = Role.LOAD
            return [*others, number]
        effort = ["rpe"] if number.value >= LOWEST_BARE_RPE else ["rpe", "rir"] if number.value > 4 else ["rir", "rpe"]
        if only_load and not others[0].bodyweight and not self.loaded:
            # `80 @ 5`: without repetitions, the number may be them.
            values = ["reps", *effort] if number.whole else effort
        elif loaded or sense.style is Style.BODY or self._pair_is_loaded(unknown, others):
            values = effort
        elif sense.is_load(number.value) or number.unit is not None:
            values = ["load", *effort]
        else:
            values = effort
        value = self._doubt(Doubt.AT, "at", values, number, number)
        if value == "load":
            number.role = Role.LOAD
            return [*others, number]
        if value == "reps":
            return others
        told = [number.value, *number.also]
        joined = cell.links[cell.numbers.index(next(n for n in cell.numbers if n.start == number.start))]
        if number.also and joined is Link.AT and number.side is Side.HAND:
            told = [sum(told) / len(told)]
        shape.efforts.extend(
            Effort(number.start, number.end, rpe=each, at_least=each < LOWEST_EXACT_RPE)
            if value == "rpe"
            else Effort(number.start, number.end, rir=each)
            for each in told
        )
        return others

    def _pair_is_loaded(self, unknown: Sequence[Number], others: Sequence[Number]) -> bool:
        """Whether the other numbers have a load among them whatever their order."""
        sense = self._sense
        values = [number.value for number in unknown]
        counted = any(other.role in (Role.REPS, Role.SETS) for other in others)
        if len(values) == 1 and counted and len(others) == 2:
            return sense.is_load(values[0]) and not sense.is_sets(values[0])
        if len(values) == 2 and len(others) == 2:
            orders = sense.pair(*values)
            chosen = self._ordered(Doubt.PAIR, orders, unknown[0], unknown[1]) if orders else Order.LOAD_REPS
            return "load" in chosen.value
        return len(values) == 3

    # Numbers written together

    def _grouped(self, numbers: list[Number], links: list[Link | None]) -> tuple[list[Number], list[Link | None]]:
        """Join what slashes and dashes hold together: `10/10`, `10/8/6`, `5-5-5`, `60/65/70`."""
        if Link.SLASH not in links and Link.DASH not in links:
            return numbers, links
        kept: list[Number] = []
        kept_links: list[Link | None] = []
        place = 0
        while place < len(numbers):
            end = place + 1
            while end < len(numbers) and links[end] in (Link.SLASH, Link.DASH):
                end += 1
            run = numbers[place:end]
            if len(run) == 1:
                kept.append(run[0])
                kept_links.append(links[place])
            else:
                joined = links[place + 1] or Link.SLASH
                for number in self._together(run, joined, links[place], first=not kept):
                    kept_links.append(links[place] if number is run[0] else Link.CROSS)
                    kept.append(number)
            place = end
        return kept, kept_links

    def _together(self, run: list[Number], link: Link, lead: Link | None, *, first: bool) -> list[Number]:
        sense = self._sense
        values = [number.value for number in run]
        head, rest = run[0], run[1:]
        plain = all(number.role in (Role.BARE, Role.REPS) for number in run)
        if lead is Link.AT and plain and max(values) <= HIGHEST_RPE:
            whole = _merged(run, Role.BARE)
            if link is Link.DASH:
                whole.value, whole.also = sum(values) / len(values), ()
            return [whole]
        if head.role is Role.LOAD or (first and head.role is Role.BARE and not sense.is_reps(head.value)):
            if all(number.role is Role.BARE and not sense.is_reps(number.value) for number in rest):
                return [_merged(run, Role.LOAD)]
            return self._load_and_rest(run, link)
        if link is Link.SLASH and plain and len(run) == 2 and values[0] == values[1] and head.whole:
            whole = _merged(run, Role.REPS)
            whole.also, whole.side = (), Side.SIDE
            return [whole]
        if first and sense.style is Style.BAR and head.role is Role.BARE and sense.is_load(head.value):
            return self._load_and_rest(run, link)
        if len(run) == 2:
            return self._two(run, link, first=first)
        heavy = head.value >= SHORT_LIST or head.value >= 2 * max(values[1:])
        if first and heavy and head.role is Role.BARE and sense.is_load(head.value) and sense.style is not Style.BODY:
            value = self._doubt(Doubt.PAIR, "run", [Order.LIST.value, Order.LOAD_LIST.value], head, run[-1])
            if value == Order.LOAD_LIST.value:
                return self._load_and_rest(run, link)
        return [_merged(run, Role.REPS)]

    def _load_and_rest(self, run: list[Number], link: Link) -> list[Number]:
        head, rest = run[0], run[1:]
        if link is Link.SLASH and len(rest) == 2 and rest[0].value == rest[1].value and head.role is Role.BARE:
            value = self._doubt(Doubt.ORDER, "slashes", ["list", "sides", "order"], head, rest[-1], taught=False)
            if value == "sides":
                side = _merged(rest, Role.REPS)
                side.also, side.side = (), Side.SIDE
                return [head, side]
            if value == "order":
                return run
            return [head, _merged(rest, Role.REPS)]
        if len(rest) == 2 and link is Link.SLASH:
            value = self._doubt(Doubt.ORDER, "slashes", ["order", "list"], head, rest[-1], taught=False)
            if value == "order":
                return run
        return [head, rest[0] if len(rest) == 1 else _merged(rest, Role.REPS)]

    def _two(self, run: list[Number], link: Link, *, first: bool) -> list[Number]:
        """Two numbers of the size of repetitions: `8-6`, `3-8`, `8/6`, `8-10`."""
        sense = self._sense
        low, high = run[0], run[1]
        descends = low.value >= high.value
        values: list[str] = []
        if first:
            if sense.is_load(low.value) and low.role is Role.BARE and high.role is Role.BARE:
                values.append(Order.LOAD_REPS.value)
            if link is Link.DASH and low.value < high.value and sense.is_scheme(low.value, high.value):
                values.append(Order.SETS_REPS.value)
            values.append(Order.LIST.value)
        elif descends:
            values.append(Order.LIST.value)
            if link is Link.SLASH:
                values.append("sides")
        else:
            values = ["lower", "higher"] if link is Link.DASH else ["of", Order.LIST.value]
        doubt = Doubt.PAIR if first else Doubt.OTHER
        value = self._doubt(doubt, f"two {link.name.lower()}", values, low, high, taught=False)
        if value == Order.LOAD_REPS.value or value == Order.SETS_REPS.value:
            low.role = Role.LOAD if value == Order.LOAD_REPS.value else Role.SETS
            high.role = Role.REPS
            return [low, high]
        if value == "of":
            low.role, low.failed, low.end = Role.REPS, True, high.end
            return [low]
        if value == "sides":
            low.role, low.side, low.end, low.value = Role.REPS, Side.SIDE, high.end, min(low.value, high.value)
            return [low]
        if value in ("lower", "higher"):
            kept = low if value == "lower" else high
            kept.role = Role.REPS
            return [kept]
        return [_merged(run, Role.REPS)]

    def _settle_pairs(self, numbers: list[Number], links: Sequence[Link | None]) -> None:
        """`40s`: seconds, or dumbbells of 40."""
        sense = self._sense
        for place, number in enumerate(numbers):
            if number.role is not Role.PAIR:
                continue
            later = any(other.role in (Role.SECONDS, Role.PAIR) for other in numbers[place + 1 :])
            if sense.timed:
                number.role = Role.LOAD if later else Role.SECONDS
            elif sense.paired:
                number.role = Role.LOAD
            elif sense.exercise is not None:
                number.role = Role.SECONDS
            else:
                number.role = self._unknown_pair(number, numbers, place)

    def _unknown_pair(self, number: Number, numbers: Sequence[Number], place: int) -> Role:
        others = [other for other in numbers if other is not number and other.role is not Role.PAIR]
        if not others:
            return Role.SECONDS
        if place == 0 and others[0].role is not Role.SETS:
            return Role.LOAD
        few = len(others) == 1 and (others[0].role is Role.SETS or others[0].value <= SHORT_HOLDS)
        if few:
            return Role.SECONDS
        value = self._doubt(Doubt.OTHER, "s", ["load", "seconds"], number, number)
        return Role.LOAD if value == "load" else Role.SECONDS

    # Doubts

    def _ordered(self, doubt: Doubt, orders: Sequence[Order], first: Number, last: Number) -> Order:
        values = [order.value for order in orders]
        if len(values) == 1:
            return orders[0]
        three = len(values[0].split()) == 3
        key = "order" if three else "scheme" if set(values) <= {"sets reps", "reps sets"} else "pair"
        if key == "pair" and set(values) != {"load reps", "reps load"}:
            key = "body" if self._sense.style is Style.BODY else "light"
        return Order(self._doubt(doubt, key, values, first, last))

    def _doubt(
        self, doubt: Doubt, key: str, values: Sequence[str], first: Number, last: Number, *, taught: bool = True
    ) -> str:
        if not taught:
            key = f"{key} {first.start}"
        return self._doubts.value(doubt, key, values, start=first.start, end=last.end, taught=taught)


SHORT_HOLDS = 5
"""Up to here a number before `40s` is sets of seconds where the lift is not known. [sets]"""


def _merged(run: Sequence[Number], role: Role) -> Number:
    merged = replace(run[0], role=role, end=run[-1].end, also=tuple(number.value for number in run[1:]))
    merged.unit = next((number.unit for number in run if number.unit is not None), None)
    merged.side = run[-1].side if run[-1].side is not Side.BOTH else run[0].side
    if len(run) > MOST_SETS:
        raise Refused(ProblemKind.TOO_MANY_SETS, run[0].start, run[-1].end, detail=str(MOST_SETS))
    return merged


def _with_value(number: Number, value: float) -> Number:
    return replace(number, value=value, also=())
