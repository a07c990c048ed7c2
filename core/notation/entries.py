"""Entries: the grammar of sets: the cells of one exercise, one after the other, to the sets they tell."""

from collections.abc import Sequence
from dataclasses import replace

from core.domain.commands import Doubt
from core.domain.problems import ProblemKind
from core.domain.sets import MOST_SETS
from core.notation.cells import Cell
from core.notation.doubts import Doubts, Refused
from core.notation.drafts import Draft, drafts_of
from core.notation.efforts import HIGHEST_RPE
from core.notation.pieces import Effort, Gap, Link, Mark, Number, Role, Side, Sort
from core.notation.ratings import LOWEST_BARE_RPE
from core.notation.runs import LOADS, MOST_BARE_REPS, PAIRS, REPS_LOADS, order_of_run
from core.notation.sense import LONG_SET, MOST_UNMARKED_REPS, SHORT_LIST, Order, Sense, Style
from core.notation.shape import Shape
from core.notation.shapes import Shaper

STEADY_REPS = 3
"""How many more repetitions than in the set before a number in a list may mean; more are likelier a load. [reps]"""

MOST_LIGHT_REPS = 50
"""Up to here a number alone may be repetitions of a lift with a light load. [repetitions]"""


class Entry:
    """Reads the cells of one exercise in order.

    Args:
        sense: What is sensible for the lift.
        doubts: Where two readings are noted.
        planned: A planned load stands.
        named: The exercise was named in the text.

    """

    __slots__ = (
        "_cells",
        "_doubts",
        "_drafts",
        "_named",
        "_pending",
        "_planned",
        "_sense",
        "_sets",
        "_shaper",
        "_times",
    )

    def __init__(self, sense: Sense, doubts: Doubts, *, planned: bool, named: bool) -> None:
        self._sense = sense
        self._doubts = doubts
        self._planned = planned
        self._named = named
        self._shaper = Shaper(sense, doubts)
        self._cells: Sequence[Cell] = ()
        self._drafts: list[Draft] = []
        self._pending: tuple[Shape, Cell] | None = None  # loads whose repetitions are still to come
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
            if len(self._drafts) > MOST_SETS:
                cell = self._drafts[MOST_SETS].cell
                raise Refused(ProblemKind.TOO_MANY_SETS, cell.start, cell.end, detail=str(MOST_SETS))
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
            self._times[cell.opens] = _count(cell.numbers[0])
            return place + 1
        if self._multiplies(cell):
            return place + 1
        if cell.trailing is not None and not self._closes(cell):
            raise Refused(ProblemKind.REPS_MISSING, cell.numbers[-1].start, cell.trailing.end)
        if cell.lone is not None and cell.lead is None and not self._sense.timed:
            return self._lone(place)
        if cell.drop and len(cell.numbers) == 2 and all(number.role is Role.BARE for number in cell.numbers):
            cell.numbers[0].role, cell.numbers[1].role = Role.LOAD, Role.REPS
        if (scheme := self._scheme(place)) is not None:
            self._take(scheme, place)
            return place + 1
        loaded = self._planned or self._pending is not None or self._last_load() is not None
        shape = self._shaper.shape(cell, loaded=loaded)
        self._take(shape, place)
        return place + 1 + self._efforts_listed(place)

    def _beside(self, cell: Cell) -> None:
        """Efforts and marks without a number: said of the set before, or of the last one if there is none."""
        again = next((mark for mark in cell.marks if mark.sort is Sort.AGAIN), None)
        if again is not None and self._drafts and self._pending is None:
            self._again(again, cell)
            return
        if self._pending is not None:
            self._flush()
        if not self._drafts:
            self._drafts.append(Draft(cell))
        self._drafts[-1].say(cell)

    def _again(self, mark: Mark, cell: Cell) -> None:
        """`80x5, same, same x2`: the set before once more; its effort is not the set and is not told."""
        last = self._drafts[-1]
        for _ in range(mark.number):
            draft = Draft(cell, cell.gap, load=last.load, reps=last.reps, seconds=last.seconds)
            draft.efforts.extend(cell.efforts)
            draft.marks.extend(each for each in cell.marks if each.sort is not Sort.AGAIN)
            self._drafts.append(draft)

    def _multiplies(self, cell: Cell) -> bool:
        """`(85lb x5) 4x`, `80x5 (x3)`, `80x5 4x`: a number that says how often."""
        number = cell.numbers[0]
        if len(cell.numbers) > 1 or not self._drafts or self._pending is not None:
            return False
        crossed = cell.trailing is not None or cell.lead is Link.CROSS
        if cell.closes and (number.role is Role.SETS or (crossed and number.role is Role.BARE)):
            for draft in self._drafts:
                if draft.cell.group == cell.closes:
                    draft.times = _count(number)
            return True
        last = self._drafts[-1]
        behind = cell.trailing is not None or cell.group > 0
        if (
            crossed
            and behind
            and cell.gap is Gap.BLANK
            and number.role is Role.BARE
            and last.sets is None
            and last.counted
        ):
            last.sets = number
            return True
        return False

    def _closes(self, cell: Cell) -> bool:
        """Whether a cross that joins nothing is harmless: behind repetitions, or `0x`."""
        last = cell.numbers[-1]
        if last.value == 0 and last.role is Role.BARE:
            last.role = Role.REPS
            return True
        return cell.trailing is not None and cell.trailing.link is not Link.CROSS

    def _scheme(self, place: int) -> Shape | None:
        """Sets and repetitions of a load that stands before or behind: `100 3x5`, `3x5 100`."""
        cell = self._cells[place]
        if len(cell.numbers) != 2 or cell.numbers[0].role is not Role.BARE:
            return None
        first = cell.numbers[0].value
        if first > SHORT_LIST or (self._sense.style is Style.BAR and self._sense.is_load(first)):
            return None
        if self._pending is not None and cell.gap in (Gap.BLANK, Gap.COMMA):
            return self._shaper.scheme(cell)
        following = self._following(place)
        if following is None or following.gap not in (Gap.BLANK, Gap.COMMA) or following.trailing is not None:
            return None
        if len(following.numbers) != 1 or following.lead is not None or self._last_load() is not None:
            return None
        number = following.numbers[0]
        if number.role is Role.LOAD and not number.signed:
            return self._shaper.scheme(cell)
        lone = number.role is Role.BARE and following.gap is Gap.BLANK and self._sense.is_load(number.value)
        return self._shaper.scheme(cell) if lone and number.value >= LONG_SET else None

    def _following(self, place: int) -> Cell | None:
        return self._cells[place + 1] if place + 1 < len(self._cells) else None

    def _efforts_listed(self, place: int) -> int:
        """`100x5x3 @8, 8.5, 9`: how many cells behind tell the efforts of the further sets."""
        draft = self._drafts[-1] if self._drafts else None
        if draft is None or draft.sets is None or len(draft.efforts) != 1:
            return 0
        count = int(draft.sets.value) - 1
        first = draft.efforts[0]
        cells = self._cells[place + 1 : place + 1 + count]
        values = [
            cell.lone.value for cell in cells if cell.lone is not None and cell.gap is Gap.COMMA and not cell.efforts
        ]
        if count < 1 or len(values) != count:
            return 0
        rated = first.rpe is not None
        low, high = (LOWEST_BARE_RPE, HIGHEST_RPE) if rated else (0.0, first.rir or 0.0)
        if not all(low <= value <= high for value in values):
            return 0
        for cell, value in zip(cells, values, strict=True):
            told = Effort(cell.start, cell.end, rpe=value) if rated else Effort(cell.start, cell.end, rir=value)
            draft.efforts.append(told)
        return count

    # What a shape adds

    def _take(self, shape: Shape, place: int) -> None:
        cell = self._cells[place]
        if shape.loads and shape.counted:
            self._flush()
            self._add(shape, shape.loads, cell)
        elif shape.loads:
            self._loads_only(shape, place)
        elif shape.counted:
            self._counted_only(shape, cell)
        elif shape.sets is not None:
            self._sets_only(shape.sets, place)
        else:
            cell.efforts.extend(shape.efforts)
            self._beside(cell)

    def _counted_only(self, shape: Shape, cell: Cell) -> None:
        if self._pending is None:
            last = self._drafts[-1] if self._drafts else None
            if shape.seconds and not self._sense.timed and last is not None and last.reps is not None:
                return  # a rest told without the word
            load = self._last_load()
            self._add(shape, [] if load is None else [load], cell)
            return
        (loaded, fresh), self._pending = self._pending, None
        if shape.sets is None:
            shape.sets = loaded.sets
        shape.efforts = [*loaded.efforts, *shape.efforts]
        self._add(shape, loaded.loads, fresh, beside=cell)

    def _last_load(self) -> Number | None:
        return self._drafts[-1].load if self._drafts else None

    def _loads_only(self, shape: Shape, place: int) -> None:
        cell = self._cells[place]
        if self._pending is None and self._drafts:
            if all(draft.load is None and draft.counted for draft in self._drafts):
                self._load_behind(shape, cell)
                return
            following = self._following(place)
            alone = following is None or following.gap is not Gap.BLANK or following.drop
            if self._drafts[-1].counted and cell.gap is Gap.COMMA and alone and not cell.drop and not shape.sets:
                self._carried(shape.loads[0], cell)  # `5x100kg, 105kg`
                return
        self._flush()
        if shape.sets is None:
            shape.sets, self._sets = self._sets, None
        self._pending = shape, cell

    def _load_behind(self, shape: Shape, cell: Cell) -> None:
        """A load told behind the repetitions: `3x5 100`, `8 reps x 4 sets, 20kg`, `3x8 @ 60, 65, 70`."""
        for draft in self._drafts:
            draft.load = shape.loads[0]
        self._drafts[-1].say(cell)
        self._drafts[-1].efforts.extend(shape.efforts)
        for load in shape.loads[1:]:
            self._carried(load, cell)

    def _sets_only(self, sets: Number, place: int) -> None:
        """`3 sets` behind what was done, or before it."""
        cell, last = self._cells[place], self._drafts[-1] if self._drafts else None
        following = self._following(place)
        leads = following is not None and following.gap is Gap.BLANK and cell.gap is not Gap.BLANK
        if last is not None and last.sets is None and last.counted and self._pending is None and not leads:
            together = sum(draft.cell is last.cell for draft in self._drafts)
            if sets.signed:
                sets = self._further(sets)
            if together not in (1, sets.value):
                raise Refused(ProblemKind.NOT_REPS, sets.start, sets.end)
            last.sets = sets if together == 1 else None
            last.say(cell)
        elif self._pending is not None and self._pending[0].sets is None:
            self._pending[0].sets = sets
        elif self._sets is None:
            self._sets = sets
        else:
            raise Refused(ProblemKind.NOT_REPS, sets.start, sets.end)

    def _further(self, sets: Number) -> Number:
        """`80x5, 2 more sets`: three in all, or two."""
        values = [f"{sets.value + 1:g}", f"{sets.value:g}"]
        key = f"more sets {sets.start}"
        value = self._doubts.value(Doubt.OTHER, key, values, start=sets.start, end=sets.end, taught=False)
        return replace(sets, value=float(value), signed="")

    def _add(self, shape: Shape, loads: Sequence[Number], cell: Cell, *, beside: Cell | None = None) -> None:
        if shape.sets is None and self._sets is not None:
            shape.sets, self._sets = self._sets, None
        made = drafts_of(shape, loads, cell, timed=self._sense.timed, beside=beside)
        if cell.drop and self._drafts:
            self._drafts[-1].parts.extend(made)
        else:
            self._drafts.extend(made)

    def _carried(self, load: Number, cell: Cell) -> None:
        """A further load of the same scheme: `5x100,105,110`."""
        last = self._drafts[-1]
        draft = Draft(cell, cell.gap, load=load, reps=last.reps, seconds=last.seconds, sets=last.sets)
        draft.say(cell)
        self._drafts.append(draft)

    def _flush(self) -> None:
        """Take loads whose repetitions never came as sets of their own: the family of loads only."""
        if self._pending is None:
            return
        (shape, cell), self._pending = self._pending, None
        if cell.drop:
            raise Refused(ProblemKind.REPS_MISSING, cell.start, cell.end)
        self._drafts.extend(Draft(cell, cell.gap, load=load, sets=shape.sets) for load in shape.loads)
        self._drafts[-1].say(cell)
        self._drafts[-1].efforts.extend(shape.efforts)

    # Lone numbers

    def _lone(self, place: int) -> int:
        cell = self._cells[place]
        if self._pending is not None:
            return self._behind_load(place)
        if self._sets is not None:
            return self._behind_sets(place)
        if not self._drafts:
            return self._first(place)
        last = self._drafts[-1]
        number = cell.numbers[0]
        if cell.drop:
            raise Refused(ProblemKind.REPS_MISSING, number.start, number.end)
        if last.rest_paused and last.reps is not None and number.value <= last.reps.value:
            last.parts.append(Draft(cell, cell.gap, reps=number))
            last.say(cell)
            return place + 1
        if last.load is None and last.counted:
            load, reps = self._sense.is_load(number.value), self._sense.is_reps(number.value)
            if load and (not reps or (last.sets is not None and cell.gap is Gap.BLANK)):
                self._loads_only(Shape(loads=[number]), place)
            else:
                self._add(Shape(reps=[number]), [], cell)
            return place + 1
        self._listed(number, cell, last)
        return place + 1

    def _listed(self, number: Number, cell: Cell, last: Draft) -> None:
        """A number behind a whole set: repetitions at the same load, or the next load of the same repetitions."""
        values = ["reps"]
        if self._sense.is_load(number.value) and last.reps is not None:
            if not self._sense.is_reps(number.value):
                values = ["load"]
            elif number.value > last.reps.value + STEADY_REPS:
                values = ["reps", "load"]
        key = f"list {number.start}"
        value = self._doubts.value(Doubt.OTHER, key, values, start=number.start, end=number.end, taught=False)
        if value == "load":
            self._carried(number, cell)
        else:
            self._add(Shape(reps=[number]), [] if last.load is None else [last.load], cell)

    def _behind_load(self, place: int) -> int:
        cell, number = self._cells[place], self._cells[place].numbers[0]
        if self._sense.is_load(number.value) and not self._sense.is_reps(number.value):
            self._loads_only(Shape(loads=[number]), place)
            return place + 1
        sets = self._pending[0].sets if self._pending is not None else None
        cells = self._lone_cells(place)
        if sets is not None and len(cells) == sets.value > 1 and self._pending is not None:
            self._pending[0].sets = None
            self._counted_only(Shape(reps=[number]), cell)
            return place + 1
        if sets is None and len(cells) == 2 and all(each.gap is Gap.BLANK for each in cells):
            return self._two_behind(place, number, cells[1].numbers[0])
        self._counted_only(Shape(reps=[number]), cell)
        return place + 1

    def _lone_cells(self, place: int) -> Sequence[Cell]:
        end = place
        while end < len(self._cells):
            cell = self._cells[end]
            if cell.lone is None or cell.lead is not None or cell.trailing is not None or cell.drop or cell.opens:
                break
            end += 1
        return self._cells[place:end]

    def _two_behind(self, place: int, first: Number, second: Number) -> int:
        """`100kg 5 3`: two sets of a list, or repetitions and sets."""
        values = ["load list"]
        if self._sense.is_scheme(second.value, first.value):
            values.append("load reps sets")
        if self._sense.is_scheme(first.value, second.value) and first.value != second.value:
            values.append("load sets reps")
        value = self._doubts.value(Doubt.ORDER, "three", values, start=first.start, end=second.end)
        cell = self._cells[place]
        if value == "load list":
            self._counted_only(Shape(reps=[first]), cell)
            return place + 1
        reps, sets = (first, second) if value == "load reps sets" else (second, first)
        self._counted_only(Shape(reps=[reps], sets=sets), cell)
        self._drafts[-1].say(self._cells[place + 1])
        return place + 2

    def _behind_sets(self, place: int) -> int:
        """`3 sets 8`, `3 sets: 10, 9, 8`."""
        cells = self._lone_cells(place)
        if self._sets is not None and len(cells) == self._sets.value > 1:
            self._sets = None
            for cell in cells:
                self._add(Shape(reps=[cell.numbers[0]]), [], cell)
            return place + len(cells)
        number = self._cells[place].numbers[0]
        if self._sense.is_load(number.value) and not self._sense.is_reps(number.value):
            self._loads_only(Shape(loads=[number]), place)
        else:
            self._add(Shape(reps=[number]), [], self._cells[place])
        return place + 1

    def _first(self, place: int) -> int:
        """Lone numbers at the start: what the first one is decides what the others are."""
        cells = self._lone_cells(place) or self._cells[place : place + 1]
        if len(cells) > 1:
            self._add_run(order_of_run(cells, self._sense, self._doubts), cells, place)
        elif (following := self._following(place)) is not None and following.numbers:
            self._before_more(cells[0], following)
        else:
            self._alone(cells[0])
        return place + len(cells)

    def _add_run(self, order: str, cells: Sequence[Cell], place: int) -> None:
        numbers = [cell.numbers[0] for cell in cells]
        if order == Order.LIST.value:
            for cell in cells:
                self._add(Shape(reps=[cell.numbers[0]]), [], cell)
        elif order == Order.LOAD_LIST.value:
            for cell in cells[1:]:
                self._add(Shape(reps=[cell.numbers[0]]), numbers[:1], cell)
            self._drafts[0].marks.extend(mark for mark in cells[0].marks if mark not in self._drafts[0].marks)
        elif order == LOADS:
            for further in range(len(cells)):
                self._loads_only(Shape(loads=[numbers[further]]), place + further)
        elif order == REPS_LOADS:
            for cell in cells[1:]:
                self._add(Shape(reps=numbers[:1]), cell.numbers, cell)
        elif order == PAIRS:
            for load, reps in zip(cells[::2], cells[1::2], strict=True):
                self._add(Shape(reps=reps.numbers), load.numbers, load, beside=reps)
        else:
            told = dict(zip(order.split(), numbers, strict=True))
            self._add(
                Shape(reps=[told["reps"]], sets=told.get("sets")), [told["load"]] if "load" in told else [], cells[0]
            )
            for cell in cells[1:]:
                self._drafts[-1].say(cell)

    def _alone(self, cell: Cell) -> None:
        """A number alone: repetitions, unless it can only be a load."""
        number, sense = cell.numbers[0], self._sense
        load = sense.is_load(number.value)
        short = number.value <= MOST_BARE_REPS
        if number.more:
            values = ["reps"]
        elif (
            (load and cell.has(Sort.FAILED))
            or not number.whole
            or (number.side is Side.SIDE and sense.style is Style.BAR)
        ):
            values = ["load"]
        elif sense.style is Style.BODY:
            values = ["reps"]
        elif sense.style is Style.BAR and load and (self._named or not short):
            values = ["reps", "load"] if short else ["load"]
        elif short or not load:
            values = ["reps"]
        else:
            most = 2 * MOST_LIGHT_REPS if sense.style is Style.UNKNOWN else MOST_LIGHT_REPS
            values = ["load", "reps"] if number.value <= most else ["load"]
        if self._doubts.value(Doubt.PAIR, "alone", values, start=number.start, end=number.end) == "reps":
            self._add(Shape(reps=[number]), [], cell)
        else:
            self._pending = Shape(loads=[number]), cell

    def _before_more(self, cell: Cell, following: Cell) -> None:
        """A lone number before a cell of another kind: the load of a scheme, or repetitions before their load."""
        number = cell.numbers[0]
        behind = any(each.role is Role.LOAD for each in following.numbers) or following.lead in (Link.AT, Link.WITH)
        can_be_reps = self._sense.is_reps(number.value) or not self._sense.is_load(number.value)
        if behind and len(following.numbers) == 1 and can_be_reps and number.value <= MOST_UNMARKED_REPS:
            self._add(Shape(reps=[number]), [], cell)
        else:
            self._pending = Shape(loads=[number]), cell

    # The end

    def _finish(self) -> None:
        for draft in self._drafts:
            draft.times = self._times.get(draft.cell.group, draft.times)
        if self._sets is not None:
            kind = ProblemKind.NOT_REPS if self._drafts else ProblemKind.REPS_MISSING
            raise Refused(kind, self._sets.start, self._sets.end)
        self._share_scheme()
        lacking = [draft for draft in self._drafts if not draft.counted and not draft.excused]
        if len(lacking) < len(self._drafts):
            for draft in lacking:
                if draft.load is not None:
                    raise Refused(ProblemKind.REPS_MISSING, draft.load.start, draft.load.end)

    def _share_scheme(self) -> None:
        """`3x8 @ 60, 65, 70`: as many loads as sets may be one set each."""
        sets = self._drafts[0].sets if self._drafts else None
        if sets is None or sets.value < 2 or len(self._drafts) != sets.value:
            return
        if any(draft.sets is not sets for draft in self._drafts):
            return
        start, end = sets.start, self._drafts[-1].cell.end
        values = ["one each", "all each"]
        value = self._doubts.value(Doubt.OTHER, f"shared {start}", values, start=start, end=end, taught=False)
        if value == "one each":
            for draft in self._drafts:
                draft.sets = None


def _count(number: Number) -> int:
    if not number.whole or number.value < 1:
        raise Refused(ProblemKind.NOT_REPS, number.start, number.end)
    if number.value > MOST_SETS:
        raise Refused(ProblemKind.TOO_MANY_SETS, number.start, number.end, detail=str(MOST_SETS))
    return int(number.value)
