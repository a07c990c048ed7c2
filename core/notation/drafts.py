"""Drafts: lines of sets before they are checked and written out."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from core.domain.problems import ProblemKind
from core.domain.sets import MOST_SETS
from core.notation.cells import Cell
from core.notation.doubts import Refused
from core.notation.pieces import Effort, Gap, Mark, Number, Sort
from core.notation.shape import Shape


@dataclass(slots=True)
class Draft:
    """One line of sets before it is checked and written out.

    Args:
        cell: Where it was told.
        gap: What parts it from the draft before.
        load: None if none was told.
        reps: None if none were told.
        seconds: None if none were told.
        sets: How many; None where that was not told.
        times: How often a bracket with it was done.
        efforts: One for all, or one for each set.
        marks: What was said about it.
        parts: Further parts of the same set.

    """

    cell: Cell
    gap: Gap = Gap.BLANK
    load: Number | None = None
    reps: Number | None = None
    seconds: Number | None = None
    sets: Number | None = None
    times: int = 1
    efforts: list[Effort] = field(default_factory=list)
    marks: list[Mark] = field(default_factory=list)
    parts: list["Draft"] = field(default_factory=list)

    @property
    def counted(self) -> bool:
        """Whether repetitions or seconds are told."""
        return self.reps is not None or self.seconds is not None

    @property
    def excused(self) -> bool:
        """Whether it needs no repetitions: it was missed, or is a maximum."""
        return any(mark.sort in (Sort.FAILED, Sort.FAILED_AT, Sort.MEASURED) for mark in self.marks)

    @property
    def rest_paused(self) -> bool:
        """Whether a rest and a pause were told, so that further repetitions belong to the same set."""
        return any(mark.sort is Sort.REST_PAUSE for mark in self.marks)

    def say(self, cell: Cell) -> None:
        """Take over what was said beside a cell."""
        self.efforts.extend(cell.efforts)
        self.marks.extend(cell.marks)


def drafts_of(
    shape: Shape, loads: Sequence[Number], cell: Cell, *, timed: bool, beside: Cell | None = None
) -> list[Draft]:
    """Drafts of one shape with these loads, one for each set that is told apart.

    Args:
        shape: What is counted.
        loads: None, one, or one for each.
        cell: Where the set is told.
        timed: The lift is held, so that seconds are no rest.
        beside: A second cell that tells something about it.

    Raises:
        Refused: loads and repetitions do not match.

    """
    counts = shape.reps or shape.seconds
    if len(loads) > 1 and len(counts) > 1 and len(loads) != len(counts):
        raise Refused(ProblemKind.NOT_REPS, counts[-1].start, counts[-1].end)
    size = max(len(loads), len(counts))
    if size > MOST_SETS:
        raise Refused(ProblemKind.TOO_MANY_SETS, cell.start, cell.end, detail=str(MOST_SETS))
    sets = shape.sets
    if sets is not None and len(counts) > 1 and sets.value == len(counts):
        sets = None
    made: list[Draft] = []
    for place in range(size):
        draft = Draft(cell, cell.gap if place == 0 else Gap.COMMA, sets=sets)
        if loads:
            draft.load = loads[min(place, len(loads) - 1)]
        count = counts[min(place, len(counts) - 1)]
        if not shape.reps:
            draft.seconds = count
        else:
            draft.reps = count
            draft.seconds = shape.seconds[0] if shape.seconds and timed else None
        made.append(draft)
    _say(made, shape, cell, beside if beside is not cell else None)
    return made


def pair_lists(drafts: list[Draft]) -> None:
    """Make one set each of as many loads as repetitions: `10, 8, 6 @ 60, 70, 80`, `60, 70, 80 x 10, 8, 6`.

    Loads alone before one number of repetitions, `40, 60, 80 x 5`, all have it.
    """
    if len(drafts) < 3 or any(draft.sets is not None or draft.parts or draft.times > 1 for draft in drafts):
        return
    lacking = next((place for place, draft in enumerate(drafts) if draft.counted), 0)
    if lacking:
        _load_first(drafts, lacking)
    elif len(drafts) % 2:
        _repetitions_first(drafts, (len(drafts) + 1) // 2)


def _load_first(drafts: list[Draft], lacking: int) -> None:
    loaded, counted = drafts[: lacking + 1], drafts[lacking:]
    loads = [draft.load for draft in loaded]
    values = [0.0 if load is None or load.signed else load.value for load in loads]
    rising = lacking > 1 and all(before < after for before, after in pairwise(values)) and values[0] > 0
    if any(draft.reps is None or draft.load is not counted[0].load for draft in counted) or draft_excused(loaded):
        return
    if len(counted) == len(loaded):
        for draft, load in zip(counted, loads, strict=True):
            draft.load = load
        del drafts[:lacking]
    elif len(counted) == 1 and rising:
        for draft in loaded[:-1]:
            draft.reps = counted[0].reps


def draft_excused(drafts: Sequence[Draft]) -> bool:
    """Whether any of these needs no repetitions."""
    return any(draft.excused for draft in drafts)


def _repetitions_first(drafts: list[Draft], half: int) -> None:
    first, last = drafts[0], drafts[half - 1]
    if first.load is None or first.reps is None or first.load.start < first.reps.start:
        return
    alike = all(draft.load is first.load and draft.reps is not None for draft in drafts[:half])
    if alike and all(draft.reps is last.reps and draft.load is not first.load for draft in drafts[half:]):
        for draft, told in zip(drafts[1:half], drafts[half:], strict=True):
            draft.load = told.load
            draft.efforts.extend(told.efforts)
            draft.marks.extend(told.marks)
        del drafts[half:]


def _say(made: Sequence[Draft], shape: Shape, cell: Cell, beside: Cell | None) -> None:
    efforts = [*cell.efforts, *shape.efforts]
    marks = cell.marks
    if beside is not None:
        efforts = [*efforts, *beside.efforts]
        marks = [*marks, *beside.marks]
    if len(efforts) == len(made) > 1:
        for draft, effort in zip(made, efforts, strict=True):
            draft.efforts.append(effort)
    else:
        made[-1].efforts.extend(efforts)
    for mark in marks:
        if mark.sort is Sort.WARM_UP and mark.start < cell.start:
            for draft in made:
                draft.marks.append(mark)
        else:
            made[-1].marks.append(mark)
