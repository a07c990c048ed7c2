"""Expansion: lines of sets to sets one by one, with their effort and bounds."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from core.domain.commands import Doubt
from core.domain.problems import ProblemKind
from core.domain.sets import MOST_REPS, MOST_SECONDS, MOST_SETS, Part, SetRead
from core.domain.units import MOST_LOAD_KG, Unit, to_kg
from core.notation.doubts import Doubts, Refused
from core.notation.drafts import Draft
from core.notation.pieces import Effort, Gap, Mark, Number, Side, Sort
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


@dataclass(slots=True)
class _Made:
    """A set on its way: what of it may still change."""

    reps: int | None = None
    rir: float | None = None
    rpe: float | None = None
    at_least: bool = False
    failed: bool = False
    warmup: bool = False
    per_side: bool = False
    helped: bool = False
    measured: bool = False
    parts: tuple[Part, ...] = ()

    def take(self, effort: Effort) -> None:
        """Take over an effort; what it does not tell stays."""
        if effort.rir is not None:
            self.rir = effort.rir
        if effort.rpe is not None:
            self.rpe = effort.rpe
        self.at_least = self.at_least or effort.at_least


class Expansion:
    """Writes out the lines of sets of one exercise.

    Args:
        exercise: As it is stored in each set.
        sense: What is sensible for the lift.
        doubts: Where two readings are noted.
        partial: Sets that change others: what is not told stays.

    """

    __slots__ = ("_body", "_doubts", "_exercise", "_partial", "_sense")

    def __init__(self, exercise: str | None, sense: Sense, doubts: Doubts, *, partial: bool = False) -> None:
        self._partial = partial
        self._exercise = exercise
        self._sense = sense
        self._doubts = doubts
        self._body = sense.style is Style.BODY

    def sets(self, drafts: Sequence[Draft]) -> list[Told]:
        """Sets one by one.

        Raises:
            Refused: one of them cannot be.

        """
        if any(draft.marks for draft in drafts):
            self._warm_up(drafts)
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
        if first is None or first < 2:
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
        made = self._made(draft)
        last = made if count == 1 else replace(made)
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
                    raise Refused(ProblemKind.NOT_EFFORT, effort.start, effort.end)
                last.take(effort)
            if count > 1 and not draft.efforts[-1].alone:
                made.rir, made.rpe, made.at_least = last.rir, last.rpe, True
        for mark in draft.marks:
            if mark.sort is Sort.FAILED:
                self._missed(last, mark, draft)
            elif mark.sort is Sort.FAILED_AT:
                self._missed_at(last, mark, draft)
        load = self._load(draft)
        start, end = draft.cell.start, draft.cell.end
        return [Told(self._read(one, load, draft), draft.load, self._sense, start, end) for one in (*each, last)]

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

    def _made(self, draft: Draft) -> _Made:
        made = _Made()
        if draft.reps is not None:
            self._take_reps(made, draft.reps, draft)
        elif draft.seconds is not None:
            made.per_side = draft.seconds.side is not Side.BOTH
        for mark in draft.marks:
            if mark.sort is Sort.WARM_UP:
                made.warmup = True
            elif mark.sort is Sort.MEASURED:
                made.measured = True
                if made.reps is None and draft.seconds is None:
                    made.reps = mark.number or 1
            elif mark.sort is Sort.PER_SIDE:
                made.per_side = True
            elif mark.sort is Sort.HELPED or (mark.sort is Sort.ASSISTED and not self._body):
                self._take_help(made, mark)
        if made.reps is None and draft.seconds is None:
            made.per_side = False
        if draft.parts:
            made.parts = (*made.parts, *self._drops(draft))
        return made

    def _read(self, made: _Made, load: SetRead, draft: Draft) -> SetRead:
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
        hand = number.side is Side.HAND and self._sense.paired
        return SetRead(
            load=None if value == 0 else value,
            unit=number.unit,
            bodyweight=number.bodyweight or self._body,
            bar=number.bar,
            step=number.signed == "+" and not self._body,
            plates=number.plates,
            load_per_side=number.side is not Side.BOTH and not hand,
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

    # Repetitions

    def _take_reps(self, made: _Made, number: Number, draft: Draft) -> None:
        made.reps = reps = _reps(number)
        made.per_side = number.side is not Side.BOTH
        made.failed = number.failed or reps == 0
        if number.at_least:
            made.rir = 0.0
        if not number.more:
            return
        way = "rest-pause"
        if len(number.more) == 1 and any(mark.sort is Sort.HELPED for mark in draft.marks):
            way = "helped"
        elif len(number.more) == 1 and not any(mark.sort is Sort.REST_PAUSE for mark in draft.marks):
            start, end = number.start, number.end
            values = ["helped", "alone", "rest-pause"]
            way = self._doubts.value(Doubt.HELP, f"help {start}", values, start=start, end=end, taught=False)
        if way == "helped":
            made.helped = True
        elif way == "alone":
            made.reps = _bounded(reps + number.more[0], number)
        else:
            made.parts = tuple([Part(None, _bounded(more, number)) for more in number.more])

    def _take_help(self, made: _Made, mark: Mark) -> None:
        """How many were done alone is asked, unless the mark says that those told were."""
        if made.helped or made.reps is None or mark.number:
            made.helped = True
            return
        values = [str(made.reps - less) for less in (1, 2) if made.reps > less] + ["all"]
        key = f"help {mark.start}"
        alone = self._doubts.value(Doubt.HELP, key, values, start=mark.start, end=mark.end, taught=False)
        if alone != "all":
            made.reps, made.helped = int(alone), True

    def _drops(self, draft: Draft) -> list[Part]:
        drops: list[Part] = []
        for part in draft.parts:
            if part.reps is None:
                raise Refused(ProblemKind.REPS_MISSING, part.cell.start, part.cell.end)
            load = None
            if part.load is not None and part.load is not draft.load:
                self._refuse_load(part.load, part.load.value)
                load = part.load.value
            drops.append(Part(load, _reps(part.reps)))
            drops.extend(Part(None, _bounded(more, part.reps)) for more in part.reps.more)
        return drops

    # Failures

    def _missed(self, made: _Made, mark: Mark, draft: Draft) -> None:
        made.failed = True
        if made.reps is None:
            if draft.load is None and draft.seconds is None and not self._partial:
                raise Refused(ProblemKind.REPS_MISSING, mark.start, mark.end)
            told = draft.load is not None and draft.seconds is None and not self._partial
            made.reps = 0 if told else None
        elif mark.start < draft.cell.start and made.reps > 0:
            # `failed 100x3`: none of one was made; of several, one fewer, or all and one more tried.
            values = [str(made.reps - 1), str(made.reps)] if made.reps > 1 else ["0"]
            made.reps = self._made_of(values, mark)

    def _missed_at(self, made: _Made, mark: Mark, draft: Draft) -> None:
        made.failed = True
        if draft.seconds is not None:
            return
        if mark.number < 0:
            made.reps = self._made_of([str(made.reps - 1), str(made.reps)], mark) if made.reps else 0
        elif mark.number < 1 or (made.reps is not None and made.reps not in (mark.number, mark.number - 1)):
            raise Refused(ProblemKind.NOT_REPS, mark.start, mark.end)
        else:
            made.reps = mark.number - 1

    def _made_of(self, values: Sequence[str], mark: Mark) -> int:
        key = f"failed {mark.start}"
        return int(self._doubts.value(Doubt.OTHER, key, values, start=mark.start, end=mark.end, taught=False))


_NOTHING = SetRead()
_BODY = SetRead(bodyweight=True)
_BAR = SetRead(bar=True)


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


def _reps(number: Number) -> int:
    if not number.whole:
        instead = f"{int(number.value)}" if number.value >= 1 else None
        raise Refused(ProblemKind.REPS_FRACTION, number.start, number.end, instead=instead)
    return _bounded(int(number.value), number)


def _bounded(reps: int, number: Number) -> int:
    if reps > MOST_REPS:
        raise Refused(ProblemKind.REPS_TOO_MANY, number.start, number.end, detail=str(MOST_REPS))
    return reps


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
