"""Drafting: what the shapes of cells add to the sets that one exercise has so far."""

from collections.abc import Sequence
from dataclasses import replace

from core.domain.commands import Doubt
from core.domain.problems import ProblemKind
from core.notation.cells import Cell
from core.notation.doubts import Doubts, Refused
from core.notation.drafts import Draft, drafts_of
from core.notation.pieces import Gap, Link, Mark, Number, Role, Sort
from core.notation.sense import Sense, Style
from core.notation.shape import Shape


class Drafting:
    """What the cells of one exercise have told so far, and what a further shape adds to it.

    Args:
        sense: What is sensible for the lift.
        doubts: Where two readings are noted.
        named: The exercise was named in the text.

    """

    __slots__ = ("_cells", "_doubts", "_drafts", "_named", "_pending", "_sense", "_sets")

    def __init__(self, sense: Sense, doubts: Doubts, *, named: bool) -> None:
        self._sense = sense
        self._doubts = doubts
        self._named = named
        self._cells: Sequence[Cell] = ()
        self._drafts: list[Draft] = []
        self._pending: tuple[Shape, Cell] | None = None  # loads whose repetitions are still to come
        self._sets: Number | None = None  # sets whose repetitions are still to come

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

    def _following(self, place: int) -> Cell | None:
        return self._cells[place + 1] if place + 1 < len(self._cells) else None

    # What a shape adds

    def _take(self, shape: Shape, place: int) -> None:
        cell = self._cells[place]
        if shape.loads and shape.counted:
            self._flush()
            self._share_load(shape, cell)
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

    def _share_load(self, shape: Shape, cell: Cell) -> None:
        """`5, 5, 5 @ 80`: a load behind the last of a list of repetitions is the load of all of them."""
        behind = bool(shape.reps) and shape.loads[0].start > shape.reps[0].start
        hung = shape.loads[0].signed or shape.loads[0].bodyweight  # `3, 3, 3 @ +20`
        told = self._sense.style is not Style.BODY or Link.WITH in cell.links or hung  # `pull ups 5 5 5 with 10kg`
        listed = behind and cell.gap in (Gap.BLANK, Gap.COMMA) and told
        if listed and all(draft.load is None and draft.reps is not None for draft in self._drafts):
            for draft in self._drafts:
                draft.load = shape.loads[0]

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
                if self._goes_on(shape.loads[0]):
                    part = Draft(cell, cell.gap, reps=replace(shape.loads[0], role=Role.REPS, signed=""))
                    self._drafts[-1].parts.append(part)
                    self._drafts[-1].say(cell)
                    return
                self._carried(shape.loads[0], cell)  # `5x100kg, 105kg`
                return
        self._flush()
        if shape.sets is None:
            shape.sets, self._sets = self._sets, None
        self._pending = shape, cell

    def _goes_on(self, number: Number) -> bool:
        """`60x15, +4, +3`: repetitions after a short rest, or a further set with more on the bar."""
        last = self._drafts[-1]
        if number.signed != "+" or not number.whole or number.unit is not None or number.plates:
            return False
        if last.reps is None or last.sets is not None or number.value > last.reps.value:
            return False
        values = ["rest-pause", "load"]
        way = self._doubts.value(Doubt.OTHER, "added", values, start=number.start, end=number.end, taught=False)
        return way == "rest-pause"

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
        if cell.drop and self._drafts and not _heavier(made[0], self._drafts[-1]):
            self._drafts[-1].parts.extend(made)
            if not self._drafts[-1].efforts:  # `80x8 > 60x8 rir 1`: told once the set is over
                self._drafts[-1].efforts.extend(made[-1].efforts)
        elif (cell.drop or cell.has(Sort.DROP)) and len(made) > 1 and not any(map(_heavier, made[1:], made)):
            made[0].parts.extend(made[1:])  # `drop set 80/60/40 x 8`
            made[0].efforts.extend(made[-1].efforts)
            self._drafts.append(made[0])
        else:
            self._drafts.extend(made)

    def _carried(self, load: Number, cell: Cell) -> None:
        """A further load of the same scheme: `5x100,105,110`."""
        last = self._drafts[-1]
        draft = Draft(cell, cell.gap, load=load)
        if not cell.has(Sort.FAILED):  # `80x5, failed 85`
            draft.reps, draft.seconds, draft.sets = last.reps, last.seconds, last.sets
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


def _heavier(following: Draft, last: Draft) -> bool:
    """Whether a set goes on no lighter than the last part of the one before: `80x5 > 85x5` goes up, and is its own set."""
    before = last.parts[-1] if last.parts else last
    new, old = following.load, before.load
    if new is None or old is None or new.signed or old.signed:
        return False
    reps, earlier = following.reps, before.reps
    again = reps is not None and earlier is not None and reps.value >= earlier.value
    return new.value > old.value or (new.value == old.value and again)
