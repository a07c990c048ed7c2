"""Lone numbers: numbers without a word of their own, told apart by what stands before them."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from core.domain.commands import Doubt
from core.domain.problems import ProblemKind
from core.notation.cells import Cell
from core.notation.doubts import Refused
from core.notation.drafting import Drafting
from core.notation.drafts import Draft
from core.notation.efforts import HIGHEST_RPE, LOWEST_EXACT_RPE
from core.notation.pieces import Effort, Gap, Link, Number, Role, Side, Sort
from core.notation.runs import (
    CLAUSES,
    LIST_LOAD,
    LOADS,
    MOST_BARE_REPS,
    MOST_FEW_SETS,
    PAIRS,
    REPS_LOADS,
    clauses,
    order_of_run,
)
from core.notation.sense import MOST_UNMARKED_REPS, MOST_UNMARKED_SETS, Order, Style
from core.notation.shape import Shape

STEADY_REPS = 3
"""How many more repetitions than in the set before a number in a list may mean; more are likelier a load. [reps]"""

MOST_LIGHT_REPS = 50
"""Up to here a number alone may be repetitions of a lift with a light load. [repetitions]"""


class LoneNumbers(Drafting):
    """Reads cells that are one bare number each."""

    __slots__ = ()

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
            return self._dropped(place)
        heavy = last.load is None and number.value > MOST_BARE_REPS and self._sense.is_load(number.value)
        reached = last.reps is not None and last.reps.at_least and number.value >= last.reps.value and not heavy
        if last.reps is not None and reached and cell.gap is Gap.BLANK:
            last.reps = replace(last.reps, value=number.value)  # `80x5+ 9`, `80x5+ got 9`
            last.say(cell)
            return place + 1
        if number.remarked:
            raise Refused(ProblemKind.NOT_REPS, number.start, number.end)  # `80x5 about an 8`: nobody told of what
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
        if self._heads(place, last):
            self._pending = Shape(loads=[number]), cell  # `90x1, then 75 5x5`, `80x5, 85 3`
            return place + 1
        self._listed(number, cell, last)
        return place + 1

    def _heads(self, place: int, last: Draft) -> bool:
        """Whether a number behind a whole set is the load of what stands behind it, and no further repetitions."""
        cell, following = self._cells[place], self._following(place)
        value = cell.numbers[0].value
        if following is None or following.gap is not Gap.BLANK or not following.numbers:
            return False
        if not self._sense.is_load(value) or following.lead is not None or following.drop:
            return False
        first, lone = following.numbers[0], following.lone
        told = len(following.numbers) > 1 or first.role in (Role.REPS, Role.PAIR)
        if not told and (lone is None or not self._sense.is_reps(lone.value) or lone.value >= value):
            return False
        if not self._sense.is_reps(value):
            return True
        reps = 0.0 if last.reps is None else last.reps.value
        parted = self._sense.style is Style.BAR and cell.gap is not Gap.BLANK
        return parted and lone is not None and value > reps + STEADY_REPS  # `bar x 10, 40 8`

    def _dropped(self, place: int) -> int:
        """`80 5 drop 60 8`: the load of a further part, and its repetitions."""
        cell, following = self._cells[place], self._following(place)
        counted = following.lone if following is not None and following.gap is Gap.BLANK else None
        if following is None or counted is None or following.has(Sort.DROP) or not self._sense.is_reps(counted.value):
            raise Refused(ProblemKind.REPS_MISSING, cell.start, cell.end)
        self._add(Shape(reps=[counted]), cell.numbers, cell, beside=following)
        return place + 2

    def _listed(self, number: Number, cell: Cell, last: Draft) -> None:
        """A number behind a whole set: repetitions at the same load, or the next load of the same repetitions."""
        if cell.gap is Gap.BLANK and self._may_rate(number, last):
            start, end = number.start, number.end
            if (
                self._doubts.value(Doubt.AT, f"rated {start}", ["rpe", "reps"], start=start, end=end, taught=False)
                == "rpe"
            ):
                last.efforts.append(Effort(start, end, rpe=number.value))
                return
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

    def _may_rate(self, number: Number, last: Draft) -> bool:
        """Whether a number behind a set may be its rating: `80x5 8`; in a list repetitions seldom rise."""
        alone = last is self._drafts[0] and last.cell is self._cells[-2]
        rises = last.reps is not None and last.reps.value < number.value
        return alone and rises and LOWEST_EXACT_RPE <= number.value <= HIGHEST_RPE and not last.efforts

    def _behind_load(self, place: int) -> int:
        cell, number = self._cells[place], self._cells[place].numbers[0]
        barred = self._pending is not None and self._pending[0].loads[0].bar and number.value > MOST_BARE_REPS
        if self._sense.is_load(number.value) and (barred or not self._sense.is_reps(number.value)):
            self._loads_only(Shape(loads=[number]), place)  # also `bar 40 60`
            return place + 1
        sets = self._pending[0].sets if self._pending is not None else None
        cells = self._lone_cells(place)
        if sets is not None and len(cells) == sets.value > 1 and self._pending is not None:
            self._pending[0].sets = None
            self._counted_only(Shape(reps=[number]), cell)
            return place + 1
        if sets is None and len(cells) == 2 and all(each.gap is Gap.BLANK for each in cells):
            return self._two_behind(place, number, cells[1].numbers[0])
        if sets is None and len(cells) == 2 and all(each.gap is Gap.COMMA for each in cells):
            return self._two_behind(place, number, cells[1].numbers[0], most=MOST_FEW_SETS)
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

    def _two_behind(self, place: int, first: Number, second: Number, most: float = MOST_UNMARKED_SETS) -> int:
        """`100kg 5 3`, `100kg, 5, 3`: two sets of a list, or repetitions and at most so many sets."""
        values = ["load list"]
        if second.value <= most and self._sense.is_scheme(second.value, first.value):
            values.append("load reps sets")
        if first.value <= most and self._sense.is_scheme(first.value, second.value) and first.value != second.value:
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
            self._drafts[-1].efforts.extend(cells[0].efforts)  # `amrap 80 9`
        elif order == LOADS:
            for further in range(len(cells)):
                self._loads_only(Shape(loads=[numbers[further]]), place + further)
        elif order == REPS_LOADS:
            for cell in cells[1:]:
                self._add(Shape(reps=numbers[:1]), cell.numbers, cell)
        elif order == LIST_LOAD:
            for cell in cells[:-1]:
                self._add(Shape(reps=[cell.numbers[0]]), numbers[-1:], cell)
            self._drafts[-1].say(cells[-1])
        elif order == PAIRS:
            self._add_loaded(zip(cells[::2], cells[1::2], strict=True))
        elif order == CLAUSES:
            self._add_loaded((clause[0], reps) for clause in clauses(cells) for reps in clause[1:])
        else:
            told = dict(zip(order.split(), numbers, strict=True))
            self._add(
                Shape(reps=[told["reps"]], sets=told.get("sets")), [told["load"]] if "load" in told else [], cells[0]
            )
            for cell in cells[1:]:
                self._drafts[-1].say(cell)

    def _add_loaded(self, told: Iterable[tuple[Cell, Cell]]) -> None:
        for load, reps in told:
            self._add(Shape(reps=reps.numbers), load.numbers, load, beside=reps)

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
