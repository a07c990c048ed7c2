"""Cells: numbers that stand together and the words around them, the way a line of sets is written."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from core.domain.problems import ProblemKind
from core.domain.sets import MOST_SETS
from core.notation.doubts import Refused
from core.notation.pieces import (
    DOWN_TO,
    GLUED,
    GOING_ON,
    ONE_SET,
    PARTED,
    Bracket,
    Break,
    Effort,
    Gap,
    Join,
    Link,
    Mark,
    Number,
    Piece,
    Role,
    Sort,
)

MOST_JOINED = MOST_SETS + 2
"""Most numbers joined by crosses, slashes and dashes: a load and the repetitions of all sets of a message."""


@dataclass(slots=True)
class Cell:
    """Numbers joined by crosses and the like, with the efforts and marks that belong to them.

    Args:
        numbers: In the order in which they stand.
        links: What stands before each; None before the first.
        gap: What parts it from the cell before.
        lead: What stands before the first, with no number before that (`x5`, `@80`).
        trailing: A cross behind the last number joins nothing (`4x`).
        efforts: Told beside it.
        marks: Told beside it.
        drop: It follows the cell before without rest, as part of the same set.
        group: Number of the bracket it stands in; 0 outside.
        closes: Number of the bracket that closed just before it; 0 if none did.
        opens: Number of the bracket that opens just behind it; 0 if none does.

    """

    numbers: list[Number] = field(default_factory=list)
    links: list[Link | None] = field(default_factory=list)
    gap: Gap = Gap.BLANK
    lead: Link | None = None
    trailing: Join | None = None
    efforts: list[Effort] = field(default_factory=list)
    marks: list[Mark] = field(default_factory=list)
    drop: bool = False
    group: int = 0
    closes: int = 0
    opens: int = 0

    @property
    def start(self) -> int:
        """First place in the folded text."""
        if self.numbers:
            return self.numbers[0].start
        beside: list[Effort | Mark] = [*self.efforts, *self.marks]
        return beside[0].start if beside else 0

    @property
    def end(self) -> int:
        """Place after the last."""
        if self.numbers:
            return self.numbers[-1].end
        beside: list[Effort | Mark] = [*self.efforts, *self.marks]
        return beside[-1].end if beside else 0

    @property
    def lone(self) -> Number | None:
        """Its number, if it has just one without a word of its own."""
        if len(self.numbers) == 1 and self.numbers[0].role is Role.BARE and not self.numbers[0].also:
            return self.numbers[0]
        return None

    def has(self, sort: Sort) -> bool:
        """Whether such a mark stands beside it."""
        return any(mark.sort is sort for mark in self.marks)


class Builder:
    """Puts pieces into cells, one after the other."""

    __slots__ = (
        "_before",
        "_broken",
        "_clause_begins",
        "_current",
        "_dropped",
        "_dropping",
        "_falling",
        "_gap",
        "_group",
        "_groups",
        "_join",
        "_warm",
        "cells",
    )

    def __init__(self) -> None:
        self.cells: list[Cell] = []
        self._current: Cell | None = None  # takes numbers joined to it
        self._before = Cell()  # efforts and marks told before the next cell
        self._join: Join | None = None
        self._gap = Gap.BLANK
        self._broken = False  # a sign has parted what follows from the last cell
        self._warm: Mark | None = None  # warm-ups until the clause ends
        self._clause_begins = True
        self._dropped = False  # the next cell is a part of the set before
        self._dropping = False  # so are all until the clause ends
        self._falling = False  # so are those that follow with nothing but blanks between: `80x5 drop 60x8 40x10`
        self._group = 0
        self._groups = 0

    def built(self, pieces: Iterable[Piece]) -> list[Cell]:
        """Cells of these pieces; words have been taken out of them before."""
        listed = list(pieces)
        for place, piece in enumerate(listed):
            following = listed[place + 1] if place + 1 < len(listed) else None
            if isinstance(piece, Number):
                self._number(piece)
            elif isinstance(piece, Join):
                self._joined(piece)
            elif isinstance(piece, Break):
                self._break(piece)
            elif isinstance(piece, Effort):
                self._effort(piece, following)
            elif isinstance(piece, Mark):
                self._mark(piece, following)
            elif isinstance(piece, Bracket):
                self._bracket(piece)
        self._close()
        if self._before.efforts or self._before.marks:
            self._left_over()
        elif self._warm is not None and not self.cells:
            self.cells.append(Cell(marks=[self._warm]))
        return self.cells

    def _number(self, number: Number) -> None:
        current, join = self._current, self._join
        if current is not None and join is not None and not self._broken:
            if len(current.numbers) > MOST_JOINED:
                raise Refused(ProblemKind.TOO_MANY_SETS, current.start, number.end, detail=str(MOST_SETS))
            current.numbers.append(number)
            current.links.append(join.link)
            self._join = None
            return
        self._close()
        cell = self._before
        self._before = Cell()
        cell.numbers, cell.links = [number], [None]
        cell.gap = self._gap
        cell.lead = join.link if join is not None else None
        cell.drop = self._dropped or self._falling or (self._dropping and not self._clause_begins)
        cell.group = self._group
        if self._warm is not None:
            cell.marks.append(self._warm)
        if self.cells and self.cells[-1].group and self.cells[-1].group != self._group and not self._broken:
            cell.closes = self.cells[-1].group
        self.cells.append(cell)
        self._current = cell
        self._join, self._gap, self._broken, self._dropped = None, Gap.BLANK, False, False
        self._clause_begins = False

    def _joined(self, join: Join) -> None:
        self._join = join

    def _close(self) -> None:
        if self._current is not None and self._join is not None and not self._broken:
            self._current.trailing = self._join
            self._join = None
        self._current = None

    def _break(self, piece: Break) -> None:
        self._close()
        self._join = None
        self._broken, self._falling = True, False
        if self._warm is not None and self._clause_begins:
            self._warm.number = PARTED
        if piece.gap.value > self._gap.value:
            self._gap = piece.gap
        if piece.gap in (Gap.STRONG, Gap.LINE, Gap.THEN):
            self._clause_begins = True
            self._dropping = False
            self._warm = None

    def _effort(self, effort: Effort, following: Piece | None) -> None:
        told = _one_by_one(effort)
        before = not self.cells or (self._clause_begins and isinstance(following, (Number, Bracket)))
        if before:
            self._before.efforts.extend(told)
        else:
            self.cells[-1].efforts.extend(told)
        if self._join is not None and self._current is not None and not self._broken:
            # `80 x rir 2`: what the cross joins is missing.
            self._current.trailing, self._join = self._join, None

    def _mark(self, mark: Mark, following: Piece | None) -> None:
        if mark.sort is Sort.DROP:
            self._close()
            bracketed = self._group > 0 and bool(self.cells) and self.cells[-1].group != self._group
            whole = mark.number == GOING_ON
            self._dropping = (
                self._dropping or bracketed or whole
            )  # `80x8 (drop 60x6, 40x8)`, `80x8 drop set 60x6, 40x8`
            if self._clause_begins and isinstance(following, Number) and (whole or not mark.number):
                self._dropping = True  # `drop set: 80x8 60x8 40x8`
                self._before.marks.append(mark)
                return
            self._dropped, self._falling = True, mark.number in (0, DOWN_TO)
            self._before.marks.append(mark)
            return
        leads = not self.cells or self._clause_begins
        numbered = isinstance(following, (Number, Bracket))
        if mark.sort is Sort.WARM_UP:
            self._warm_up(mark, following, leads=leads)
            return
        if mark.sort is Sort.LAST_SET:
            self._before.marks.append(mark)
            return
        if mark.sort is Sort.WORK:
            self._warm = None
            return
        if mark.sort is Sort.AGAIN:
            self._close()
            self.cells.append(Cell(marks=[mark], gap=self._gap))
            self._gap, self._broken = Gap.BLANK, False
            return
        if mark.sort is Sort.FAILED and self._broken and self.cells and not numbered:
            # `100x5, fail`: a further set of which no repetition was made.
            self._number(Number(0.0, mark.start, mark.end, Role.REPS, failed=True))
            return
        if numbered and (leads or (mark.sort is Sort.FAILED and self._broken)):
            self._before.marks.append(mark)
        elif self.cells:
            self.cells[-1].marks.append(mark)
        else:
            self._before.marks.append(mark)

    def _warm_up(self, mark: Mark, following: Piece | None, *, leads: bool) -> None:
        numbered = isinstance(following, (Number, Bracket))
        closes = isinstance(following, Bracket) and not following.opens
        if numbered and mark.number == ONE_SET:
            self._before.marks.append(mark)
            self._warm = None
            return
        again = bool(self.cells) and (mark.number == GLUED or (self._warm is not None and self._broken))
        if numbered and (again or (closes and (leads or self._broken))):
            # `w 40x5, w 60x3, 80x5`, `(w) 40x5, 80x5`: said of one set, as often as it is true.
            self._before.marks.append(mark)
            self._warm = None
        elif leads or (self._broken and numbered):
            self._warm = mark
        else:
            self.cells[-1].marks.append(mark)

    def _bracket(self, bracket: Bracket) -> None:
        if bracket.opens:
            if self._current is not None and self._join is not None and not self._broken:
                # `4x (85lb x5)`: the cross joins a number and a bracket.
                self._current.opens = self._groups + 1
                self._join = None
            self._close()
            self._groups += 1
            self._group = self._groups
        else:
            self._close()
            self._group = 0
            self._dropping = False

    def _left_over(self) -> None:
        rest = self._before
        if self.cells and all(mark.sort is Sort.DROP for mark in rest.marks) and not rest.efforts:
            # `80x5, 60x8 drop`: said of the last cell.
            self.cells[-1].drop = True
            return
        self.cells.append(rest)


def _one_by_one(effort: Effort) -> list[Effort]:
    """An effort told for each set (`rir 3/2/1`) as one for each."""
    if not effort.further:
        return [effort]
    rated = effort.rpe is not None
    return [
        Effort(effort.start, effort.end, effort.rir, effort.rpe),
        *(
            Effort(effort.start, effort.end, rpe=value) if rated else Effort(effort.start, effort.end, rir=value)
            for value in effort.further
        ),
    ]
