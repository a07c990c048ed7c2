"""Entries: the grammar of sets: the cells of one exercise, one after the other, to the sets they tell."""

from collections.abc import Sequence
from dataclasses import replace

from core.domain.commands import Doubt
from core.domain.problems import ProblemKind
from core.domain.sets import MOST_SETS
from core.notation.cells import Cell
from core.notation.doubts import Doubts, Refused
from core.notation.drafts import Draft, pair_lists
from core.notation.efforts import HIGHEST_RPE
from core.notation.lone_numbers import LoneNumbers
from core.notation.pieces import CLUSTERED, Effort, Gap, Link, Number, Role, Side, Sort
from core.notation.ratings import LOWEST_BARE_RPE
from core.notation.sense import LONG_SET, SHORT_LIST, Sense, Style
from core.notation.shape import Shape
from core.notation.shapes import Shaper


class Entry(LoneNumbers):
    """Reads the cells of one exercise in order."""

    __slots__ = ("_planned", "_shaper", "_times")

    def __init__(self, sense: Sense, doubts: Doubts, *, planned: bool, named: bool) -> None:
        super().__init__(sense, doubts, named=named)
        self._planned = planned
        self._shaper = Shaper(sense, doubts)
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
        if self._rest_paused(cell):
            return place + 1
        if cell.opens:
            self._times[cell.opens] = self._rounds(cell, place)
            return place + 1
        if self._multiplies(cell):
            return place + 1
        if cell.trailing is not None and not self._closes(cell):
            last = cell.numbers[-1]
            # `80x5x` is complete without the cross, `80x` with repetitions behind it.
            instead = f"{last.value:g}" if len(cell.numbers) > 1 else f"{last.value:g}x5"
            raise Refused(ProblemKind.REPS_MISSING, last.start, cell.trailing.end, instead=instead)
        if (behind := self._detailed(place)) is not None:
            return behind
        if cell.lone is not None and cell.lead is None and not self._sense.timed:
            behind = self._lone(place)
            return behind + self._efforts_listed(behind - 1)
        if cell.drop and len(cell.numbers) == 2 and all(number.role is Role.BARE for number in cell.numbers):
            cell.numbers[0].role, cell.numbers[1].role = Role.LOAD, Role.REPS
        self._refuse_seconds(cell)
        if (scheme := self._scheme(place)) is not None:
            self._take(scheme, place)
            return place + 1
        loaded = self._planned or self._pending is not None or self._last_load() is not None
        shape = self._shaper.shape(cell, loaded=loaded, last=self._last_told(place))
        if (load := self._load_behind_scheme(shape, place)) is not None:
            self._add(shape, [load], cell, beside=self._cells[place + 1])
            return place + 2
        self._take(shape, place)
        return place + 1 + self._efforts_listed(place)

    def _refuse_seconds(self, cell: Cell) -> None:
        """Refuse `bench 60x8 3s`: of a pause most likely, or a further set of so many."""
        number = cell.numbers[0]
        barred = self._sense.style is Style.BAR and len(cell.numbers) == 1 and number.role is Role.PAIR
        if barred and cell.gap is Gap.BLANK and self._pending is None and self._drafts and self._drafts[-1].counted:
            instead = f"{number.value:g}s pause"
            raise Refused(ProblemKind.NOT_REPS, number.start, number.end, instead=instead)

    def _last_told(self, place: int) -> float | None:
        """Repetitions of the last of the sets that a cell tells, where the next one tells them: `80x5x3 last set 4`."""
        following = self._following(place)
        if following is None or not following.has(Sort.LAST_SET) or len(following.numbers) != 1:
            return None
        return following.numbers[0].value

    def _rounds(self, cell: Cell, place: int) -> int:
        """How often the sets of a bracket are done: `3 x (10, 8, 6)` may as well tell the repetitions of each of three."""
        count = _count(cell.numbers[0])
        inside = self._lone_cells(place + 1)
        if count < 2 or len(inside) != count or any(each.group != cell.opens for each in inside):
            return count
        start, end = cell.start, inside[-1].end
        values = ["each", "rounds"]
        way = self._doubts.value(Doubt.OTHER, f"rounds {start}", values, start=start, end=end, taught=False)
        return 1 if way == "each" else count

    def _rest_paused(self, cell: Cell) -> bool:
        """`80x8 (rest-pause +3 +2)`: repetitions after short rests, told behind the set."""
        number = cell.numbers[0]
        if not self._drafts or len(cell.numbers) > 1 or number.signed != "+" or not self._drafts[-1].rest_paused:
            return False
        if number.unit is not None or number.plates or not number.whole:
            return False
        part = Draft(cell, cell.gap, reps=replace(number, role=Role.REPS, signed=""))
        self._drafts[-1].parts.append(part)
        self._drafts[-1].say(cell)
        return True

    def _detailed(self, place: int) -> int | None:
        """`3x8 60 (8, 8, 7)`, `3x5 80, last set 4`: repetitions of the sets told before; the index behind them."""
        last = self._drafts[-1] if self._drafts else None
        cell = self._cells[place]
        if last is None or last.sets is None or last.reps is None or self._pending is not None:
            return None
        count = _count(last.sets)
        loads = [] if last.load is None else [last.load]
        number = cell.numbers[0]
        counts = len(cell.numbers) == 1 and number.role in (Role.BARE, Role.REPS) and not number.also
        if cell.has(Sort.LAST_SET) and counts and count > 1:
            last.sets = None if count == 2 else replace(last.sets, value=float(count - 1))
            self._add(Shape(reps=[number]), loads, cell)
            return place + 1
        if cell.group and counts and number.side is not Side.BOTH and len(self._lone_cells(place)) <= 1:
            return place + 1  # `3x12 (6 each leg)`: how the repetitions told are shared out
        cells = self._lone_cells(place)
        if cell.lone is None or not cell.group or len(cells) < 2 or any(each.group != cell.group for each in cells):
            return None
        if len(cells) != count:
            raise Refused(ProblemKind.NOT_REPS, cell.start, cells[-1].end)
        last.sets, last.reps = None, cell.lone
        last.say(cell)
        for each in cells[1:]:
            self._add(Shape(reps=each.numbers), loads, each)
        return place + count

    def _load_behind_scheme(self, shape: Shape, place: int) -> Number | None:
        """`100x5, 1x5+ 85`: the load of sets without one, where earlier sets had another."""
        following = self._following(place)
        number = following.lone if following is not None else None
        if number is None or following is None or self._pending is not None or self._last_load() is None:
            return None
        if shape.sets is None or shape.loads or not shape.reps or following.gap is not Gap.BLANK:
            return None
        alone = following.lead is None and following.trailing is None
        heavy = self._sense.is_load(number.value) and not self._sense.is_reps(number.value)
        return number if alone and heavy else None

    def _multiplies(self, cell: Cell) -> bool:
        """`(85lb x5) 4x`, `80x5 (x3)`, `80x5 4x`: a number that says how often."""
        number = cell.numbers[0]
        if len(cell.numbers) > 1 or not self._drafts or self._pending is not None:
            return False
        crossed = cell.trailing is not None or cell.lead is Link.CROSS
        if cell.closes and (number.role is Role.SETS or (crossed and number.role is Role.BARE)):
            if number.value > MOST_SETS and all(draft.load is None and draft.counted for draft in self._drafts):
                self._load_behind(Shape(loads=[number]), cell)  # `(3x5) x 80`
                return True
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

    def _efforts_listed(self, place: int) -> int:
        """`100x5x3 @8, 8.5, 9`: how many cells behind tell the efforts of the further sets."""
        last = self._drafts[-1] if self._drafts else None
        if last is None or len(last.efforts) != 1 or any(draft.efforts for draft in self._drafts[:-1]):
            return 0
        told = self._drafts if last.sets is None else [last]
        count = sum(1 if draft.sets is None else int(draft.sets.value) for draft in told) - 1
        first = last.efforts[0]
        cells = self._cells[place + 1 : place + 1 + count]
        values = [
            cell.lone.value
            for cell in cells
            if cell.lone is not None and cell.gap in (Gap.COMMA, Gap.BLANK) and not cell.efforts
        ]
        if count < 1 or len(values) != count or len(told) not in (1, count + 1):
            return 0
        rated = first.rpe is not None
        low, high = (LOWEST_BARE_RPE, HIGHEST_RPE) if rated else (0.0, first.rir or 0.0)
        if not all(low <= value <= high for value in values):
            return 0
        efforts = [first]
        for cell, value in zip(cells, values, strict=True):
            efforts.append(
                Effort(cell.start, cell.end, rpe=value) if rated else Effort(cell.start, cell.end, rir=value)
            )
        if len(told) == 1:
            last.efforts = efforts
        else:
            for draft, effort in zip(told, efforts, strict=True):
                draft.efforts = [effort]
        return count

    # The end

    def _finish(self) -> None:
        for draft in self._drafts:
            draft.times = self._times.get(draft.cell.group, draft.times)
        if self._sets is not None:
            kind = ProblemKind.NOT_REPS if self._drafts else ProblemKind.REPS_MISSING
            raise Refused(kind, self._sets.start, self._sets.end)
        pair_lists(self._drafts)
        self._share_scheme()
        self._join_rest_paused()
        lacking = [draft for draft in self._drafts if not draft.counted and not draft.excused]
        if len(lacking) < len(self._drafts):
            for draft in lacking:
                if draft.load is not None:
                    told = draft.load.value > 0 and not draft.load.plates and not draft.load.signed
                    instead = f"{draft.load.value:g}{draft.load.unit or ''}x5" if told else None
                    raise Refused(ProblemKind.REPS_MISSING, draft.load.start, draft.load.end, instead=instead)

    def _join_rest_paused(self) -> None:
        """`rest pause bench 80 8 3 2`, `80 8 3 2 rest pause`: one set of several parts, where the repetitions fall."""
        if len(self._drafts) < 2 or not any(draft.rest_paused for draft in self._drafts):
            return
        first, *others = self._drafts
        before = first
        marks = [mark for draft in self._drafts for mark in draft.marks if mark.sort is Sort.REST_PAUSE]
        clustered = any(mark.number == CLUSTERED for mark in marks)
        led = first.reps is not None and marks[0].end <= first.reps.start  # `rp 8,3,2`
        for draft in others:
            together = draft.cell.gap is Gap.BLANK or draft.cell is first.cell or led
            alike = clustered and draft.cell is first.cell and draft.reps is not None and draft.sets is None
            if (
                draft.load is not first.load
                or draft.parts
                or not together
                or not (alike or _falls(draft, before, strictly=before is first))
            ):
                return
            before = draft
        if first.sets is None and not first.parts:
            first.parts = [Draft(draft.cell, draft.cell.gap, reps=draft.reps) for draft in others]
            for draft in others:
                first.efforts.extend(draft.efforts)
                first.marks.extend(mark for mark in draft.marks if mark not in first.marks)
            self._drafts[:] = [first]

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


def _falls(draft: Draft, before: Draft, *, strictly: bool) -> bool:
    """Whether one set, told by its repetitions alone, had fewer than the one before, or no more."""
    if draft.reps is None or before.reps is None or draft.sets is not None or draft.times > 1:
        return False
    return draft.reps.value < before.reps.value or (not strictly and draft.reps.value == before.reps.value)


def _count(number: Number) -> int:
    if not number.whole or number.value < 1:
        raise Refused(ProblemKind.NOT_REPS, number.start, number.end)
    if number.value > MOST_SETS:
        raise Refused(ProblemKind.TOO_MANY_SETS, number.start, number.end, detail=str(MOST_SETS))
    return int(number.value)
