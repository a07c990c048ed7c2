"""Expansion: lines of sets to sets one by one, with their effort and bounds."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from core.domain.commands import Doubt
from core.domain.problems import ProblemKind
from core.domain.sets import MOST_SECONDS, MOST_SETS, Part, SetRead
from core.domain.units import MOST_LOAD_KG, Unit, to_kg
from core.notation.doubts import Doubts, Refused
from core.notation.drafts import Draft
from core.notation.efforts import HIGHEST_RPE, LOWEST_EXACT_RPE
from core.notation.performance import Made, Performance, bounded, reps_of
from core.notation.pieces import BY_SIGN, PARTED, Effort, Gap, Mark, Number, Side, Sort
from core.notation.sense import Sense, Style

SECONDS_IN_MINUTE = 60
"""Seconds in a minute. [s/min]"""


@dataclass(slots=True)
class Told:
    """A set with what it was told by, so that a unit can still come from elsewhere in the text.

    Args:
        read: The set.
        load: The number that is its load; None if none was told.
        sense: What is sensible for the lift.
        start: First place of its line in the folded text.
        end: Place after the last.

    """

    read: SetRead
    load: Number | None
    sense: Sense
    start: int
    end: int


class Expansion:
    """Writes out the lines of sets of one exercise.

    Args:
        exercise: As it is stored in each set.
        sense: What is sensible for the lift.
        doubts: Where two readings are noted.
        partial: Sets that change others: what is not told stays.

    """

    __slots__ = ("_body", "_doubts", "_exercise", "_performance", "_sense")

    def __init__(self, exercise: str | None, sense: Sense, doubts: Doubts, *, partial: bool = False) -> None:
        self._exercise = exercise
        self._sense = sense
        self._doubts = doubts
        self._body = sense.style is Style.BODY
        self._performance = Performance(doubts, body=self._body, partial=partial)

    def sets(self, drafts: Sequence[Draft]) -> list[Told]:
        """Sets one by one.

        Raises:
            Refused: one of them cannot be.

        """
        if any(draft.marks for draft in drafts):
            self._warm_up(drafts)
        _share_each(drafts)
        lift = self._sense.exercise
        if self._sense.style is Style.BAR and lift is not None and not lift.one_side:
            for draft in drafts:
                if draft.reps is not None and draft.reps.side is Side.HAND:
                    draft.reps.side = Side.BOTH  # `100kg 5 reps each, 3 sets`: each of the sets
        told: list[Told] = []
        for draft in drafts:
            told.extend(self._expanded(draft))
            if len(told) > MOST_SETS:
                number = draft.sets if draft.sets is not None else draft.cell
                raise Refused(ProblemKind.TOO_MANY_SETS, number.start, number.end, detail=str(MOST_SETS))
        return _told_once(told, drafts)

    def _warm_up(self, drafts: Sequence[Draft]) -> None:
        for place, draft in enumerate(drafts):
            mark = next((mark for mark in draft.marks if mark.sort is Sort.WARM_UP), None)
            if mark is None:
                continue
            if mark.start < draft.cell.start:
                self._led_warm_up(drafts, place, mark)
            else:
                _closed_warm_up(drafts, place, mark)

    def _led_warm_up(self, drafts: Sequence[Draft], place: int, mark: Mark) -> None:
        """`w 40x10 60x5, 100x5`: a comma behind sets that blanks part may end the warm-up."""
        under = [draft for draft in drafts[place:] if mark in draft.marks]
        first = next((number for number, draft in enumerate(under[1:], start=1) if draft.gap is Gap.COMMA), None)
        if place and mark in drafts[place - 1].marks:
            return
        told = drafts[place].load
        hung = self._sense.hung and told is not None and not told.bodyweight and mark.end - mark.start == 1
        if mark.number == PARTED or (hung and len(under) == 1):
            first = 0  # `wu, 80x5`: the warm-up is spoken of, or told; `dips w 20 x 8`: with 20 on a belt, or a warm-up
        elif first is None or first < 2:
            return
        values = ["ends", "goes on"]
        key = f"warm-up {mark.start}"
        way = self._doubts.value(
            Doubt.OTHER, key, values, start=under[first].cell.start, end=under[-1].cell.end, taught=False
        )
        if way == "ends":
            for draft in under[first:]:
                draft.marks.remove(mark)

    def _expanded(self, draft: Draft) -> list[Told]:
        count = self._count(draft)
        made = self._performance.made(draft)
        rested = made.parts
        if draft.parts:
            made.parts = (*rested, *self._drops(draft))
        last = made if count == 1 else replace(made)
        if count > 1 and draft.parts and self._drops_once(draft):
            made.parts = rested
        each = [made] * (count - 1)
        alike = len({effort.rpe is None for effort in draft.efforts}) == 1
        if len(draft.efforts) == count > 1 and alike:
            each = [replace(made) for _ in range(count - 1)]
            for one, effort in zip([*each, last], draft.efforts, strict=True):
                one.take(effort)
        elif draft.efforts:
            for effort in draft.efforts:
                if (last.rir if effort.rpe is None else last.rpe) is not None and len(draft.efforts) > 1:
                    # Several ratings, but not one for each set.
                    raise Refused(ProblemKind.NOT_EFFORT, effort.start, effort.end, instead=_one_rating(draft.efforts))
                _refuse_contrary(last, effort)
                last.take(effort)
            if count > 1 and not draft.efforts[-1].alone:
                made.rir, made.rpe, made.at_least = last.rir, last.rpe, True
        self._performance.fail(last, draft)
        load = self._load(draft)
        start, end = draft.cell.start, draft.cell.end
        return [Told(self._read(one, load, draft), draft.load, self._sense, start, end) for one in (*each, last)]

    def _drops_once(self, draft: Draft) -> bool:
        """`3x5 80 drop 60x10`: after the last set, or after each; a sign, as in `3x5 80 > 60x10`, says each."""
        if not any(mark.sort is Sort.DROP and mark.number != BY_SIGN for part in draft.parts for mark in part.marks):
            return False
        start, end = draft.cell.start, draft.parts[-1].cell.end
        values = ["last", "each"]
        return self._doubts.value(Doubt.OTHER, f"dropped {start}", values, start=start, end=end, taught=False) == "last"

    def _count(self, draft: Draft) -> int:
        count = draft.times
        sets = draft.sets
        if sets is not None:
            if not sets.whole or sets.value < 1:
                raise Refused(ProblemKind.NOT_REPS, sets.start, sets.end)
            count = int(min(count * sets.value, 2 * MOST_SETS))
        if count > MOST_SETS:
            number = sets if sets is not None else draft.cell
            raise Refused(ProblemKind.TOO_MANY_SETS, number.start, number.end, detail=str(MOST_SETS))
        return count

    def _read(self, made: Made, load: SetRead, draft: Draft) -> SetRead:
        return SetRead(
            exercise=self._exercise,
            load=load.load,
            unit=load.unit,
            reps=made.reps,
            rir=made.rir,
            rpe=made.rpe,
            at_least=made.at_least,
            failed=made.failed,
            warmup=made.warmup,
            bodyweight=load.bodyweight,
            bar=load.bar,
            per_side=made.per_side,
            load_per_side=load.load_per_side,
            seconds=None if draft.seconds is None else _seconds(draft.seconds),
            step=load.step,
            plates=load.plates,
            helped=made.helped,
            measured=made.measured,
            parts=made.parts,
        )

    # Load

    def _load(self, draft: Draft) -> SetRead:
        """A set of which only the load is told."""
        number = draft.load
        if number is None:
            return _BODY if self._body else _NOTHING
        if number.bodyweight and not self._body and self._sense.exercise is not None:
            raise Refused(ProblemKind.NOT_A_LOAD, number.start, number.end)
        if number.bare_body:
            return _BODY if number.bodyweight else _BAR
        lift = self._sense.exercise
        helped = (lift is not None and lift.assisted) or any(mark.sort is Sort.ASSISTED for mark in draft.marks)
        value = -abs(number.value) if self._body and helped else number.value
        self._refuse_load(number, value)
        if number.shared and lift is not None and lift.per_hand:
            instead = f"{value / 2:g}{number.unit or ''} each"  # `db bench 60 total`: what is told is one of the two
            raise Refused(ProblemKind.NOT_A_LOAD, number.start, number.end, instead=instead)
        hand = number.side is Side.HAND and self._sense.paired and not number.plates
        return SetRead(
            load=None if value == 0 else value,
            unit=None if value == 0 else number.unit,
            bodyweight=number.bodyweight or self._body,
            bar=number.bar,
            step=number.signed == "+" and not self._body,
            plates=number.plates,
            load_per_side=number.side is not Side.BOTH and not hand and value != 0,
        )

    def _refuse_load(self, number: Number, value: float) -> None:
        start, end = number.start, number.end
        carried = self._body or number.bodyweight
        if value < 0 and not carried:
            raise Refused(ProblemKind.LOAD_NEGATIVE, start, end, instead=f"{-value:g}{number.unit or ''}")
        if to_kg(abs(value), number.unit or self._sense.unit or Unit.KG) > MOST_LOAD_KG:
            raise Refused(ProblemKind.LOAD_TOO_LARGE, start, end, detail=f"{MOST_LOAD_KG:g} kg")
        if value == 0 and not carried:
            raise Refused(ProblemKind.LOAD_ZERO, start, end)
        whole = not (number.signed or number.plates or number.bar or number.side is not Side.BOTH)
        if whole and self._sense.under_bar(value, number.unit):
            raise Refused(ProblemKind.LOAD_UNDER_BAR, start, end, detail=f"{self._sense.bar_kg:g} kg")

    def _drops(self, draft: Draft) -> list[Part]:
        drops: list[Part] = []
        for part in draft.parts:
            if part.reps is None:
                raise Refused(ProblemKind.REPS_MISSING, part.cell.start, part.cell.end)
            load = None
            if part.load is not None and part.load is not draft.load:
                if part.load.bodyweight and not (self._body or (draft.load is not None and draft.load.bodyweight)):
                    raise Refused(ProblemKind.NOT_A_LOAD, part.load.start, part.load.end)
                self._refuse_load(part.load, part.load.value)
                load = part.load.value
            drops.append(Part(load, reps_of(part.reps)))
            drops.extend(Part(None, bounded(more, part.reps)) for more in part.reps.more)
        return drops


_NOTHING = SetRead()
_BODY = SetRead(bodyweight=True)
_BAR = SetRead(bar=True)


def _share_each(drafts: Sequence[Draft]) -> None:
    """`60, 80, 100 for 5 each`: each of the loads, and no side of the body."""
    for one, other in pairwise(drafts):
        reps = one.reps
        if reps is not None and reps is other.reps and one.load is not other.load and reps.side is Side.HAND:
            reps.side = Side.BOTH


def _one_rating(efforts: Sequence[Effort]) -> str | None:
    """`rpe 8/10` as a rating out of ten, `rpe 7/8` as a range, where they were told together; None for others."""
    if len(efforts) != 2 or efforts[0].start != efforts[1].start:
        return None
    first, second = efforts
    if first.rpe is not None and second.rpe is not None:
        if second.rpe == HIGHEST_RPE:
            return f"rpe {first.rpe:g}"
        return f"rpe {first.rpe:g}-{second.rpe:g}" if first.rpe < second.rpe else None
    low, high = sorted((first.rir or 0.0, second.rir or 0.0))
    return f"rir {low:g}-{high:g}" if low < high else None


def _refuse_contrary(made: Made, effort: Effort) -> None:
    """Refuse `rir 2 rpe 9`: one of the two is wrong, and nobody can tell which."""
    rir = effort.rir if effort.rir is not None else made.rir
    rpe = effort.rpe if effort.rpe is not None else made.rpe
    both = effort.rir is None or effort.rpe is None
    if both and rir is not None and rpe is not None and rpe >= LOWEST_EXACT_RPE and abs(HIGHEST_RPE - rpe - rir) >= 1:
        raise Refused(ProblemKind.NOT_EFFORT, effort.start, effort.end, instead="")


def _closed_warm_up(drafts: Sequence[Draft], place: int, mark: Mark) -> None:
    """A warm-up told behind a set is told of the lighter ones before it, too: nobody works up to a warm-up."""
    load = _weight(drafts[place])
    for before in range(place - 1, -1, -1):
        if drafts[before + 1].gap not in (Gap.BLANK, Gap.COMMA) or _weight(drafts[before]) > load:
            break
        if mark not in drafts[before].marks:
            drafts[before].marks.append(mark)


def _weight(draft: Draft) -> float:
    return 0.0 if draft.load is None or draft.load.bare_body else draft.load.value


def _seconds(number: Number) -> float:
    if not 0 < number.value <= MOST_SECONDS:
        detail = f"{MOST_SECONDS / SECONDS_IN_MINUTE:g} min"
        raise Refused(ProblemKind.NOT_A_TIME, number.start, number.end, detail=detail)
    return number.value


def _told_once(told: list[Told], drafts: Sequence[Draft]) -> list[Told]:
    """Effort told once behind several sets: exact for the last, at least so for the earlier ones."""
    if len(told) < 2 or not drafts[-1].efforts or any(draft.efforts for draft in drafts[:-1]):
        return told
    if drafts[-1].efforts[-1].alone:
        return told
    last = told[-1].read
    for each in told[:-1]:
        if each.read.rir is None and each.read.rpe is None and not each.read.warmup:
            each.read = replace(each.read, rir=last.rir, rpe=last.rpe, at_least=True)
    return told
