"""Entries: the grammar of sets: cells one after the other to the sets they tell."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from core.domain.commands import Doubt
from core.domain.problems import ProblemKind
from core.domain.sets import MOST_SETS
from core.notation.cells import Cell
from core.notation.doubts import Doubts, Refused
from core.notation.efforts import HIGHEST_RPE
from core.notation.pieces import Effort, Gap, Link, Mark, Number, Role, Side, Sort
from core.notation.sense import MANY_REPS, Order, Sense, Style
from core.notation.shapes import LOWEST_BARE_RPE, Shape, Shaper

MOST_BARE_REPS = 30
"""Up to here a number alone is repetitions, whatever else it could be. [repetitions] A bare number always is."""

STEADY_REPS = 3
"""How many more repetitions than in the set before a number in a list may mean; more are likelier a load. [repetitions]"""


@dataclass(slots=True)
class Draft:
    """One line of sets before it is checked and written out.

    Args:
        cell: Where it was told.
        load: None if none was told.
        reps: None if none were told.
        seconds: None if none were told.
        sets: How many; None where that was not told.
        efforts: One for all, or one for each set.
        parts: Further parts of the same set.
        carried: Its repetitions were told once for several loads.

    """

    cell: Cell
    load: Number | None = None
    reps: Number | None = None
    seconds: Number | None = None
    sets: Number | None = None
    times: int = 1
    efforts: list[Effort] = field(default_factory=list)
    marks: list[Mark] = field(default_factory=list)
    parts: list["Draft"] = field(default_factory=list)
    gap: Gap = Gap.BLANK

    @property
    def counted(self) -> bool:
        """Whether repetitions or seconds are told."""
        return self.reps is not None or self.seconds is not None


class Entry:
    """Reads the cells of one exercise in order.

    Args:
        sense: What is sensible for the lift.
        doubts: Where two readings are noted.
        planned: A planned load stands.
        named: The exercise was named in the text.

    """

    __slots__ = ("_cells", "_doubts", "_drafts", "_fresh", "_named", "_pending", "_planned", "_sense", "_sets", "_shaper", "_times")

    def __init__(self, sense: Sense, doubts: Doubts, *, planned: bool, named: bool) -> None:
        self._sense = sense
        self._doubts = doubts
        self._planned = planned
        self._named = named
        self._shaper = Shaper(sense, doubts, loaded=planned)
        self._cells: Sequence[Cell] = ()
        self._drafts: list[Draft] = []
        self._pending: Shape | None = None  # loads whose repetitions are still to come
        self._fresh: Cell | None = None  # the cell that told them
        self._sets: Number | None = None  # sets whose repetitions are still to come
        self._times: dict[int, int] = {}  # how often the sets of a bracket were done

    def drafts(self, cells: Sequence[Cell]) -> list[Draft]:
        """Lines of sets that these cells tell.

        Raises:
            Refused: they tell none.

        """
        self._cells = cells
        place = 0
        while place < len(cells):
            place = self._step(place)
        self._flush()
        self._finish()
        return self._drafts

    # One cell

    def _step(self, place: int) -> int:
        cell = self._cells[place]
        if not cell.numbers:
            self._beside(cell)
            return place + 1
        if cell.opens:
            self._times[cell.opens] = self._count(cell.numbers[0])
            return place + 1
        if self._multiplies(cell):
            return place + 1
        if cell.trailing is not None:
            self._refuse_missing(cell)
        if cell.lone is not None and cell.lead is None and self._sense.timed is False:
            return self._lone(place)
        if (scheme := self._scheme(place)) is not None:
            self._take(scheme, cell)
            return place + 1
        self._shaper.loaded = self._planned or self._pending is not None or self._last_load() is not None
        shape = self._shaper.shape(cell)
        self._take(shape, cell)
        return place + 1 + self._efforts_listed(place, shape)

    def _beside(self, cell: Cell) -> None:
        """Efforts and marks without a number: said of the set before, or of the last one if there is none."""
        if self._drafts:
            self._drafts[-1].efforts.extend(cell.efforts)
            self._drafts[-1].marks.extend(cell.marks)
        else:
            self._drafts.append(Draft(cell, efforts=list(cell.efforts), marks=list(cell.marks)))

    def _multiplies(self, cell: Cell) -> bool:
        """`(85lb x5) 4x`, `80x5 (x3)`, `80x5 4x`: a number that says how often."""
        number = cell.numbers[0]
        if len(cell.numbers) > 1 or not self._drafts or self._pending is not None or number.role not in (Role.BARE, Role.SETS):
            return False
        crossed = cell.trailing is not None or cell.lead is Link.CROSS
        if cell.closes and (crossed or number.role is Role.SETS):
            for draft in self._drafts:
                if draft.cell.group == cell.closes:
                    draft.times = self._count(number)
            return True
        last = self._drafts[-1]
        if crossed and cell.gap is Gap.BLANK and number.role is Role.BARE and last.sets is None and last.counted:
            if cell.lead is Link.CROSS and cell.group == 0 and last.load is not None and cell.trailing is None:
                return False
            last.sets = number
            return True
        return False

    def _refuse_missing(self, cell: Cell) -> None:
        trailing = cell.trailing
        last = cell.numbers[-1]
        if trailing is not None and not (len(cell.numbers) > 1 and last.role is not Role.LOAD):
            raise Refused(ProblemKind.REPS_MISSING, last.start, trailing.end)

    def _count(self, number: Number) -> int:
        if not number.whole:
            raise Refused(ProblemKind.NOT_REPS, number.start, number.end)
        if number.value > MOST_SETS:
            raise Refused(ProblemKind.TOO_MANY_SETS, number.start, number.end, detail=str(MOST_SETS))
        if number.value < 1:
            raise Refused(ProblemKind.NOT_REPS, number.start, number.end)
        return int(number.value)

    def _scheme(self, place: int) -> Shape | None:
        """Sets and repetitions of a load that stands before or behind: `100 3x5`, `3x5 100`."""
        cell = self._cells[place]
        if len(cell.numbers) != 2:
            return None
        first = cell.numbers[0]
        if first.role is not Role.BARE:
            return None
        heavy = self._sense.is_load(first.value) and first.value > MANY_REPS + 4
        if heavy:
            return None
        if self._pending is not None and cell.gap in (Gap.BLANK, Gap.COMMA):
            return self._shaper.scheme(cell)
        following = self._cells[place + 1] if place + 1 < len(self._cells) else None
        if following is None or following.gap not in (Gap.BLANK, Gap.COMMA) or following.trailing is not None:
            return None
        if len(following.numbers) != 1 or self._last_load() is not None:
            return None
        number = following.numbers[0]
        lone_load = number.role is Role.BARE and self._sense.is_load(number.value) and following.lead is None
        if lone_load and following.gap is Gap.BLANK and not self._sense.is_reps(number.value):
            return self._shaper.scheme(cell)
        if lone_load and self._sense.style is Style.BAR and not self._sense.is_reps(number.value):
            return None  # `5x100, 105`: the first cell has a load of its own
        if number.role is Role.LOAD or (lone_load and following.gap is Gap.BLANK):
            return self._shaper.scheme(cell)
        return None

    def _efforts_listed(self, place: int, shape: Shape) -> int:
        """`100x5x3 @8, 8.5, 9`: how many cells behind tell the efforts of the further sets."""
        draft = self._drafts[-1] if self._drafts else None
        if draft is None or draft.sets is None or len(draft.efforts) != 1:
            return 0
        count = int(draft.sets.value) - 1
        behind = self._cells[place + 1 : place + 2 + count]
        first = draft.efforts[0]
        values = [cell.lone.value for cell in behind if cell.lone is not None and cell.gap is Gap.COMMA and not cell.efforts]
        if count < 1 or len(values) != count or len(behind) != count:
            return 0
        rated = first.rpe is not None
        fits = all(
            (LOWEST_BARE_RPE <= value <= HIGHEST_RPE) if rated else value <= (first.rir or 0) for value in values
        )
        if not fits:
            return 0
        draft.efforts.extend(
            Effort(cell.start, cell.end, rpe=value if rated else None, rir=None if rated else value)
            for cell, value in zip(behind, values, strict=True)
        )
        return count

    # What a shape adds

    def _take(self, shape: Shape, cell: Cell) -> None:
        if shape.loads and shape.counted:
            self._flush()
            self._add(shape, shape.loads, cell)
        elif shape.loads:
            self._loads_only(shape, cell)
        elif shape.counted:
            self._counted_only(shape, cell)
        elif shape.sets is not None:
            self._sets_only(shape.sets, cell)
        else:
            self._beside(cell)

    def _counted_only(self, shape: Shape, cell: Cell) -> None:
        if shape.seconds and not self._sense.timed and self._drafts and self._pending is None and self._drafts[-1].counted:
            return  # a rest told without the word
        if self._pending is not None:
            loads = self._pending.loads
            if shape.sets is None:
                shape.sets = self._pending.sets
            shape.efforts = [*self._pending.efforts, *shape.efforts]
            fresh, self._pending, self._fresh = self._fresh, None, None
            self._add(shape, loads, fresh or cell, beside=cell)
            return
        load = self._last_load()
        self._add(shape, [load] if load is not None else [], cell)

    def _last_load(self) -> Number | None:
        return self._drafts[-1].load if self._drafts else None

    def _loads_only(self, shape: Shape, cell: Cell) -> None:
        unloaded = [draft for draft in self._drafts if draft.load is None and draft.counted]
        if self._pending is None and unloaded and len(unloaded) == len(self._drafts):
            self._load_behind(shape, cell)
            return
        if self._pending is None and self._drafts and self._drafts[-1].counted and cell.gap is Gap.COMMA and not cell.drop:
            following = self._behind(cell)
            if following is None or following.gap is not Gap.BLANK:
                self._carried(shape.loads[0], cell)  # `5x100kg, 105kg`
                return
        self._flush()
        if self._sets is not None and shape.sets is None:
            shape.sets, self._sets = self._sets, None
        self._pending, self._fresh = shape, cell

    def _behind(self, cell: Cell) -> Cell | None:
        places = [place for place, each in enumerate(self._cells) if each is cell]
        return self._cells[places[0] + 1] if places[0] + 1 < len(self._cells) else None

    def _load_behind(self, shape: Shape, cell: Cell) -> None:
        """A load told behind the repetitions: `3x5 100`, `8 reps x 4 sets, 20kg`, `3x8 @ 60, 65, 70`."""
        for draft in self._drafts:
            draft.load = shape.loads[0]
        self._drafts[-1].efforts.extend([*cell.efforts, *shape.efforts])
        self._drafts[-1].marks.extend(cell.marks)
        for load in shape.loads[1:]:
            self._carried(load, cell)

    def _sets_only(self, sets: Number, cell: Cell) -> None:
        last = self._drafts[-1] if self._drafts else None
        following = self._behind(cell)
        leads = following is not None and following.gap is Gap.BLANK and cell.gap is not Gap.BLANK
        if last is not None and last.sets is None and last.counted and self._pending is None and not leads:
            together = [draft for draft in self._drafts if draft.cell is last.cell]
            if len(together) == 1 or len(together) == int(sets.value):
                if len(together) == 1:
                    last.sets = sets
                last.efforts.extend(cell.efforts)
                last.marks.extend(cell.marks)
                return
            raise Refused(ProblemKind.NOT_REPS, sets.start, sets.end)
        if self._pending is not None and self._pending.sets is None:
            self._pending.sets = sets
            return
        if self._sets is not None:
            raise Refused(ProblemKind.NOT_REPS, sets.start, sets.end)
        self._sets = sets

    def _add(self, shape: Shape, loads: Sequence[Number], cell: Cell, *, beside: Cell | None = None) -> None:
        """Write out a shape with these loads, one draft for each set told apart."""
        if shape.sets is None and self._sets is not None:
            shape.sets, self._sets = self._sets, None
        counts: Sequence[Number] = shape.reps or shape.seconds
        if len(loads) > 1 and len(counts) > 1 and len(loads) != len(counts):
            raise Refused(ProblemKind.NOT_REPS, counts[-1].start, counts[-1].end)
        size = max(len(loads), len(counts))
        efforts = [*cell.efforts, *shape.efforts, *(beside.efforts if beside is not None and beside is not cell else ())]
        marks = [*cell.marks, *(beside.marks if beside is not None and beside is not cell else ())]
        if shape.sets is not None and len(counts) > 1 and int(shape.sets.value) == len(counts):
            shape.sets = None
        made: list[Draft] = []
        for place in range(size):
            draft = Draft(cell, sets=shape.sets, gap=cell.gap if place == 0 else Gap.COMMA)
            draft.load = loads[min(place, len(loads) - 1)] if loads else None
            count = counts[min(place, len(counts) - 1)]
            if shape.reps:
                draft.reps = count
                draft.seconds = shape.seconds[0] if shape.seconds and self._sense.timed else None
            else:
                draft.seconds = count
            made.append(draft)
        if len(efforts) == size > 1:
            for draft, effort in zip(made, efforts, strict=True):
                draft.efforts.append(effort)
        else:
            made[-1].efforts.extend(efforts)
        warm = [mark for mark in marks if mark.sort is Sort.WARM_UP and mark.start < cell.start]
        for draft in made:
            draft.marks.extend(warm)
        made[-1].marks.extend(mark for mark in marks if mark not in warm)
        if cell.drop and self._drafts:
            self._drafts[-1].parts.extend(made)
        else:
            self._drafts.extend(made)

    def _carried(self, load: Number, cell: Cell) -> None:
        """A further load of the same scheme: `5x100,105,110`."""
        last = self._drafts[-1]
        draft = Draft(cell, load=load, reps=last.reps, seconds=last.seconds, sets=last.sets, gap=cell.gap)
        draft.efforts.extend(cell.efforts)
        draft.marks.extend(cell.marks)
        self._drafts.append(draft)

    def _flush(self) -> None:
        """Take loads whose repetitions never came as sets of their own: the family of loads only."""
        if self._pending is None:
            return
        shape, cell = self._pending, self._fresh
        self._pending = self._fresh = None
        for load in shape.loads:
            made = Draft(cell or Cell(), load=load, sets=shape.sets, gap=(cell or Cell()).gap)
            self._drafts.append(made)
        if cell is not None:
            self._drafts[-1].efforts.extend([*cell.efforts, *shape.efforts])
            self._drafts[-1].marks.extend(cell.marks)

    # Lone numbers

    def _lone(self, place: int) -> int:
        cell = self._cells[place]
        number = cell.numbers[0]
        if self._pending is None and not self._drafts and self._sets is None:
            return self._run(place)
        if self._pending is not None:
            return self._behind_load(place)
        if self._sets is not None:
            return self._behind_sets(place)
        last = self._drafts[-1]
        if last.load is None and last.counted:
            if self._sense.is_load(number.value) and (
                not self._sense.is_reps(number.value) or (last.sets is not None and cell.gap is Gap.BLANK)
            ):
                self._loads_only(Shape(loads=[number]), cell)
                return place + 1
            self._add(Shape(reps=[number]), [], cell)
            return place + 1
        self._listed(number, cell, last)
        return place + 1

    def _listed(self, number: Number, cell: Cell, last: Draft) -> None:
        """A number behind a whole set: repetitions at the same load, or the next load of the same repetitions."""
        sense = self._sense
        values = []
        before = last.reps.value if last.reps is not None else 0.0
        likely = number.value <= before + STEADY_REPS
        if sense.is_reps(number.value):
            values.append("reps")
        if sense.is_load(number.value) and not (likely and values) and last.reps is not None:
            values.append("load")
        if not values:
            values.append("reps")
        value = self._doubts.value(
            Doubt.OTHER, f"list {number.start}", values, start=number.start, end=number.end, taught=False
        )
        if value == "load":
            self._carried(number, cell)
            return
        load = last.load
        self._add(Shape(reps=[number]), [load] if load is not None else [], cell)

    def _behind_load(self, place: int) -> int:
        cell = self._cells[place]
        number = cell.numbers[0]
        if self._sense.is_reps(number.value) or not self._sense.is_load(number.value):
            behind = self._cells[place + 1] if place + 1 < len(self._cells) else None
            three = behind is not None and behind.lone is not None and behind.gap is Gap.BLANK and cell.gap is Gap.BLANK
            last = place + 2 >= len(self._cells) or self._cells[place + 2].lone is None
            if three and last and behind is not None and behind.lone is not None and self._pending is not None:
                return self._three(place, number, behind.lone)
            self._counted_only(Shape(reps=[number]), cell)
            return place + 1
        self._loads_only(Shape(loads=[number]), cell)
        return place + 1

    def _three(self, place: int, first: Number, second: Number) -> int:
        """`100kg 5 3`: two sets of a list, or repetitions and sets."""
        sense = self._sense
        values = ["list"]
        if sense.is_scheme(second.value, first.value):
            values.append("reps sets")
        if sense.is_scheme(first.value, second.value) and first.value != second.value:
            values.append("sets reps")
        value = self._doubts.value(Doubt.ORDER, "three", values, start=first.start, end=second.end)
        cell = self._cells[place]
        if value == "list":
            self._counted_only(Shape(reps=[first]), cell)
            return place + 1
        reps, sets = (first, second) if value == "reps sets" else (second, first)
        cell.efforts.extend(self._cells[place + 1].efforts)
        cell.marks.extend(self._cells[place + 1].marks)
        self._counted_only(Shape(reps=[reps], sets=sets), cell)
        return place + 2

    def _behind_sets(self, place: int) -> int:
        """`3 sets 8`, `3 sets: 10, 9, 8`."""
        sets = self._sets
        end = place
        while end < len(self._cells) and self._cells[end].lone is not None and self._cells[end].lead is None:
            end += 1
        listed = self._cells[place:end]
        if sets is not None and len(listed) == int(sets.value) > 1:
            self._sets = None
            for cell in listed:
                self._add(Shape(reps=[cell.numbers[0]]), [], cell)
            return end
        cell = self._cells[place]
        number = cell.numbers[0]
        if self._sense.is_load(number.value) and not self._sense.is_reps(number.value):
            self._loads_only(Shape(loads=[number]), cell)
        else:
            self._add(Shape(reps=[number]), [], cell)
        return place + 1

    def _run(self, place: int) -> int:
        """Lone numbers at the start: what the first ones are decides what the others are."""
        end = place + 1
        while end < len(self._cells):
            cell = self._cells[end]
            if cell.lone is None or cell.lead is not None or cell.trailing is not None or cell.drop or cell.opens:
                break
            end += 1
        cells = self._cells[place:end]
        following = self._cells[end] if end < len(self._cells) else None
        if len(cells) == 1:
            self._first(cells[0], following)
        else:
            Run(self._sense, self._doubts, cells, following).read(self)
        return end

    def _first(self, cell: Cell, following: Cell | None) -> None:
        number = cell.numbers[0]
        sense = self._sense
        load, reps = sense.is_load(number.value), sense.is_reps(number.value)
        if following is not None and following.numbers:
            self._first_of_more(cell, following, load=load, reps=reps)
            return
        if not number.whole or number.side is Side.SIDE and sense.style is Style.BAR:
            values = ["load"]
        elif sense.style is Style.BODY:
            values = ["reps"]
        elif number.value <= MOST_BARE_REPS and not (self._named and sense.style is Style.BAR and load):
            values = ["reps"]
        elif sense.style is Style.BAR:
            values = ["reps", "load"] if load and number.value <= MOST_BARE_REPS else ["load"]
        else:
            values = ["load", "reps"] if load and number.value <= 2 * sense_most(sense) else ["load"]
        value = self._doubts.value(Doubt.PAIR, "alone", values, start=number.start, end=number.end)
        if value == "reps":
            self._add(Shape(reps=[number]), [], cell)
        else:
            self._pending, self._fresh = Shape(loads=[number]), cell

    def _first_of_more(self, cell: Cell, following: Cell, *, load: bool, reps: bool) -> None:
        """A lone number before a cell of another kind: the load of a scheme, or repetitions before their load."""
        number = cell.numbers[0]
        roles = {each.role for each in following.numbers}
        loaded = Role.LOAD in roles or following.lead in (Link.AT, Link.WITH)
        if loaded and len(following.numbers) == 1 and (reps or not load):
            self._add(Shape(reps=[number]), [], cell)
        else:
            self._pending, self._fresh = Shape(loads=[number]), cell

    # The end

    def _finish(self) -> None:
        for draft in self._drafts:
            if draft.cell.group in self._times:
                draft.times = self._times[draft.cell.group]
        if self._sets is not None:
            if not self._drafts:
                raise Refused(ProblemKind.REPS_MISSING, self._sets.start, self._sets.end)
            raise Refused(ProblemKind.NOT_REPS, self._sets.start, self._sets.end)
        self._share_scheme()
        told = [draft for draft in self._drafts if draft.counted or _excused(draft)]
        if told and len(told) < len(self._drafts):
            lacking = next(draft for draft in self._drafts if draft not in told)
            if lacking.load is not None:
                raise Refused(ProblemKind.REPS_MISSING, lacking.load.start, lacking.load.end)


    def _share_scheme(self) -> None:
        """`3x8 @ 60, 65, 70`: as many loads as sets may be one set each."""
        sets = self._drafts[0].sets if self._drafts else None
        if sets is None or sets.value < 2 or len(self._drafts) != sets.value:
            return
        if any(draft.sets is not sets for draft in self._drafts):
            return
        values = ["one each", "all each"]
        start, end = sets.start, self._drafts[-1].cell.end
        value = self._doubts.value(Doubt.OTHER, f"shared {start}", values, start=start, end=end, taught=False)
        if value == "one each":
            for draft in self._drafts:
                draft.sets = None


def sense_most(sense: Sense) -> int:
    """Most repetitions that a number alone may mean, before it is likelier a load. [repetitions]"""
    return 50 if sense.style is Style.UNKNOWN else 25


def _excused(draft: Draft) -> bool:
    return any(mark.sort in (Sort.FAILED, Sort.FAILED_AT, Sort.MEASURED) for mark in draft.marks)


class Run:
    """Lone numbers that stand one after the other, before anything else is told."""

    __slots__ = ("_cells", "_doubts", "_following", "_sense")

    def __init__(self, sense: Sense, doubts: Doubts, cells: Sequence[Cell], following: Cell | None) -> None:
        self._sense = sense
        self._doubts = doubts
        self._cells = cells
        self._following = following

    def read(self, entry: Entry) -> None:
        """Add the sets of the run to the entry."""
        orders = self._orders()
        numbers = [cell.numbers[0] for cell in self._cells]
        values = [order for order in orders]
        key = "three" if len(numbers) == 3 else "run"
        doubt = Doubt.ORDER if len(numbers) == 3 else Doubt.PAIR
        value = self._doubts.value(doubt, key, values, start=numbers[0].start, end=numbers[-1].end)
        self._add(entry, value, numbers)

    def _orders(self) -> list[str]:
        sense = self._sense
        values = [cell.numbers[0].value for cell in self._cells]
        first, rest = values[0], values[1:]
        blank = all(cell.gap is Gap.BLANK for cell in self._cells[1:])
        load_first = sense.is_load(first) and all(sense.is_reps(value) for value in rest)
        short = all(sense.is_reps(value) and value <= MOST_BARE_REPS for value in values)
        orders: list[str] = []
        if blank and len(values) == 3:
            orders.extend(order.value for order in sense.triple(*values))
        if blank and len(values) == 2 and first <= 5 < rest[0] and sense.is_scheme(first, rest[0]):
            orders.append(Order.SETS_REPS.value)
        if sense.style is Style.BODY and short:
            return [Order.LIST.value, *orders] if orders else [Order.LIST.value]
        if load_first and (blank or not short or sense.style is Style.BAR):
            orders.insert(0 if first > MOST_BARE_REPS else len(orders), Order.LOAD_LIST.value)
        if short:
            orders.insert(0 if not blank or sense.style is Style.BAR else len(orders), Order.LIST.value)
        if not orders:
            orders.extend(self._with_loads(values))
        return orders

    def _with_loads(self, values: Sequence[float]) -> list[str]:
        sense = self._sense
        first, rest = values[0], values[1:]
        if all(sense.is_load(value) for value in values):
            return ["loads"]
        if sense.is_reps(first) and all(sense.is_load(value) for value in rest):
            return ["reps loads"]
        pairs = list(zip(values[::2], values[1::2], strict=False))
        if len(values) % 2 == 0 and all(sense.is_load(load) and sense.is_reps(reps) for load, reps in pairs):
            return ["pairs"]
        wrong = next((place for place, value in enumerate(rest, start=1) if not sense.is_reps(value)), len(values) - 1)
        number = self._cells[wrong].numbers[0]
        raise Refused(ProblemKind.NOT_REPS, number.start, number.end)

    def _add(self, entry: Entry, value: str, numbers: Sequence[Number]) -> None:
        cells = self._cells
        if value == Order.LIST.value:
            for cell in cells:
                entry._add(Shape(reps=[cell.numbers[0]]), [], cell)  # noqa: SLF001 - a part of the entry, apart for its size
        elif value == Order.LOAD_LIST.value:
            for cell in cells[1:]:
                entry._add(Shape(reps=[cell.numbers[0]]), [numbers[0]], cell)  # noqa: SLF001
        elif value == "loads":
            for cell in cells:
                entry._loads_only(Shape(loads=[cell.numbers[0]]), cell)  # noqa: SLF001
        elif value == "reps loads":
            for cell in cells[1:]:
                entry._add(Shape(reps=[numbers[0]]), [cell.numbers[0]], cell)  # noqa: SLF001
        elif value == "pairs":
            for load, reps in zip(cells[::2], cells[1::2], strict=True):
                entry._add(Shape(reps=[reps.numbers[0]]), [load.numbers[0]], load, beside=reps)  # noqa: SLF001
        else:
            placed = dict(zip(value.split(), numbers, strict=True))
            loads = [placed["load"]] if "load" in placed else []
            shape = Shape(reps=[placed["reps"]], sets=placed["sets"])
            for cell in cells[1:]:
                cells[0].efforts.extend(cell.efforts)
                cells[0].marks.extend(cell.marks)
            entry._add(shape, loads, cells[0])  # noqa: SLF001
