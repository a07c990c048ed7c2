"""Expansion: lines of sets to sets one by one, with their effort, unit and bounds."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from core.domain.commands import Doubt
from core.domain.problems import ProblemKind
from core.domain.sets import MOST_REPS, MOST_SECONDS, MOST_SETS, Part, SetRead
from core.domain.units import MOST_LOAD_KG, Unit, to_kg
from core.notation.doubts import Doubts, Refused
from core.notation.entries import Draft
from core.notation.pieces import Effort, Gap, Mark, Number, Side, Sort
from core.notation.sense import Sense, Style


@dataclass(slots=True)
class Told:
    """A set with the number of its load, whose unit may still come from elsewhere in the text."""

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

    """

    __slots__ = ("_doubts", "_exercise", "_sense")

    def __init__(self, exercise: str | None, sense: Sense, doubts: Doubts) -> None:
        self._exercise = exercise
        self._sense = sense
        self._doubts = doubts

    def sets(self, drafts: Sequence[Draft]) -> list[Told]:
        """Sets one by one.

        Raises:
            Refused: one of them cannot be.

        """
        self._warm_up(drafts)
        told: list[Told] = []
        for draft in drafts:
            told.extend(self._expanded(draft))
            if len(told) > MOST_SETS:
                raise Refused(
                    ProblemKind.TOO_MANY_SETS,
                    draft.sets.start if draft.sets is not None else draft.cell.start,
                    draft.sets.end if draft.sets is not None else draft.cell.end,
                    detail=str(MOST_SETS),
                )
        return _told_once(told, drafts)

    def _warm_up(self, drafts: Sequence[Draft]) -> None:
        """A warm-up told behind the last of several sets is told of the lighter ones before it, too."""
        for place, draft in enumerate(drafts):
            mark = next((mark for mark in draft.marks if mark.sort is Sort.WARM_UP and mark.start >= draft.cell.start), None)
            if mark is None or (place + 1 < len(drafts) and drafts[place + 1].gap in (Gap.BLANK, Gap.COMMA)):
                continue
            load = _weight(draft)
            for before in range(place - 1, -1, -1):
                if drafts[before + 1].gap not in (Gap.BLANK, Gap.COMMA) or _weight(drafts[before]) > load:
                    break
                drafts[before].marks.append(Mark(Sort.WARM_UP, mark.start, mark.end))

    def _expanded(self, draft: Draft) -> list[Told]:
        count = self._count(draft)
        one = self._one(draft)
        told = [replace(one, read=one.read) for _ in range(count)]
        efforts = draft.efforts
        if len(efforts) == count > 1:
            for place, effort in enumerate(efforts):
                told[place].read = _with_effort(told[place].read, effort)
        elif efforts:
            last = told[-1].read
            for effort in efforts:
                last = _with_effort(last, effort)
            if not efforts[-1].alone:
                for place in range(count - 1):
                    told[place].read = _at_least(told[place].read, last)
            told[-1].read = last
        self._failed(draft, told)
        return told

    def _count(self, draft: Draft) -> int:
        count = draft.times
        if draft.sets is not None:
            sets = draft.sets
            if not sets.whole or sets.value < 1:
                raise Refused(ProblemKind.NOT_REPS, sets.start, sets.end)
            if sets.value > MOST_SETS:
                raise Refused(ProblemKind.TOO_MANY_SETS, sets.start, sets.end, detail=str(MOST_SETS))
            count *= int(sets.value)
        if count > MOST_SETS:
            raise Refused(ProblemKind.TOO_MANY_SETS, draft.cell.start, draft.cell.end, detail=str(MOST_SETS))
        return count

    def _one(self, draft: Draft) -> Told:
        read = SetRead(exercise=self._exercise)
        read = self._with_load(read, draft)
        if draft.reps is not None:
            read = self._with_reps(read, draft.reps, draft)
        if draft.seconds is not None:
            read = replace(read, seconds=_seconds(draft.seconds))
        for mark in draft.marks:
            if mark.sort is Sort.WARM_UP:
                read = replace(read, warmup=True)
            elif mark.sort is Sort.MEASURED:
                read = replace(read, measured=True, reps=read.reps if read.reps is not None else mark.number or 1)
            elif mark.sort is Sort.HELPED or (mark.sort is Sort.ASSISTED and self._sense.style is not Style.BODY):
                read = self._helped(read, mark)
        read = self._with_parts(read, draft)
        if read.reps is None and read.seconds is None and any(mark.sort is Sort.FAILED for mark in draft.marks):
            read = replace(read, reps=0, failed=True)
        return Told(read, draft.load, self._sense, draft.cell.start, draft.cell.end)

    # Load

    def _with_load(self, read: SetRead, draft: Draft) -> SetRead:
        number = draft.load
        body = self._sense.style is Style.BODY
        if number is None:
            return replace(read, bodyweight=True) if body else read
        if number.bodyweight and not body and self._sense.exercise is not None:
            raise Refused(ProblemKind.NOT_A_LOAD, number.start, number.end)
        if number.bare_body:
            return replace(read, bodyweight=number.bodyweight, bar=number.bar)
        assisted = self._sense.exercise is not None and self._sense.exercise.assisted
        helped = assisted or any(mark.sort is Sort.ASSISTED for mark in draft.marks)
        value = -abs(number.value) if body and helped else number.value
        self._refuse_load(number, value, body=body)
        sided = number.side is not Side.BOTH and (number.side is not Side.HAND or not self._sense.paired)
        return replace(
            read,
            load=None if value == 0 else value,
            unit=number.unit,
            bodyweight=number.bodyweight or body,
            bar=number.bar,
            step=number.signed == "+" and not body and not number.bodyweight,
            plates=number.plates,
            load_per_side=sided,
        )

    def _refuse_load(self, number: Number, value: float, *, body: bool) -> None:
        start, end = number.start, number.end
        kg = to_kg(value, number.unit or self._sense.unit or Unit.KG)
        if value < 0 and not (body or number.bodyweight):
            raise Refused(ProblemKind.LOAD_NEGATIVE, start, end, instead=f"{-value:g}{number.unit or ''}")
        if abs(kg) > MOST_LOAD_KG:
            raise Refused(ProblemKind.LOAD_TOO_LARGE, start, end, detail=f"{MOST_LOAD_KG:g} kg")
        if value == 0 and not (body or number.bodyweight):
            raise Refused(ProblemKind.LOAD_ZERO, start, end)
        whole = not (number.signed or number.plates or number.bar or number.side is not Side.BOTH)
        if whole and self._sense.under_bar(value, number.unit):
            raise Refused(ProblemKind.LOAD_UNDER_BAR, start, end, detail=f"{self._sense.bar_kg:g} kg")

    # Repetitions

    def _with_reps(self, read: SetRead, number: Number, draft: Draft) -> SetRead:
        reps = _reps(number)
        per_side = number.side is not Side.BOTH or any(mark.sort is Sort.PER_SIDE for mark in draft.marks)
        read = replace(read, reps=reps, per_side=per_side, failed=number.failed or reps == 0)
        if number.at_least:
            read = replace(read, rir=0.0)
        if number.more:
            read = self._after_rests(read, number, draft)
        return read

    def _after_rests(self, read: SetRead, number: Number, draft: Draft) -> SetRead:
        paused = len(number.more) > 1 or any(mark.sort is Sort.REST_PAUSE for mark in draft.marks)
        if not paused:
            way = self._doubts.value(
                Doubt.HELP,
                f"help {number.start}",
                ["helped", "alone", "rest-pause"],
                start=number.start,
                end=number.end,
                taught=False,
            )
            if way == "helped":
                return replace(read, helped=True)
            if way == "alone":
                return replace(read, reps=_bounded((read.reps or 0) + number.more[0], number))
        return replace(read, parts=tuple(Part(None, _bounded(more, number)) for more in number.more))

    def _helped(self, read: SetRead, mark: Mark) -> SetRead:
        if read.helped or read.reps is None or mark.number:
            return replace(read, helped=True)
        values = [str(read.reps - less) for less in (1, 2) if read.reps - less >= 0] + ["all"]
        key = f"help {mark.start}"
        alone = self._doubts.value(Doubt.HELP, key, values, start=mark.start, end=mark.end, taught=False)
        return read if alone == "all" else replace(read, reps=int(alone), helped=True)

    def _with_parts(self, read: SetRead, draft: Draft) -> SetRead:
        parts = list(read.parts)
        for part in draft.parts:
            if part.reps is None:
                raise Refused(ProblemKind.REPS_MISSING, part.cell.start, part.cell.end)
            load = None
            if part.load is not None and part.load is not draft.load:
                self._refuse_load(part.load, part.load.value, body=self._sense.style is Style.BODY)
                load = part.load.value
            parts.append(Part(load, _reps(part.reps)))
            parts.extend(Part(None, _bounded(more, part.reps)) for more in part.reps.more)
        return replace(read, parts=tuple(parts)) if parts else read

    # Failures

    def _failed(self, draft: Draft, told: Sequence[Told]) -> None:
        last = told[-1]
        for mark in draft.marks:
            if mark.sort is Sort.FAILED:
                last.read = self._missed(last.read, mark, draft)
            elif mark.sort is Sort.FAILED_AT:
                last.read = self._missed_at(last.read, mark)

    def _missed(self, read: SetRead, mark: Mark, draft: Draft) -> SetRead:
        reps = read.reps or 0
        if read.reps is None and read.seconds is not None:
            return replace(read, failed=True)
        if mark.start < draft.cell.start and reps > 0:
            # `failed 100x3`: none of one was made; of several, one fewer, or all and one more tried.
            values = [str(reps - 1), str(reps)] if reps > 1 else ["0"]
            key = f"failed {mark.start}"
            made = self._doubts.value(Doubt.OTHER, key, values, start=mark.start, end=mark.end, taught=False)
            return replace(read, reps=int(made), failed=True)
        return replace(read, reps=reps, failed=True)

    def _missed_at(self, read: SetRead, mark: Mark) -> SetRead:
        reps = read.reps
        if mark.number < 0:
            if not reps:
                return replace(read, reps=0, failed=True)
            key = f"failed {mark.start}"
            values = [str(reps - 1), str(reps)]
            made = self._doubts.value(Doubt.OTHER, key, values, start=mark.start, end=mark.end, taught=False)
            return replace(read, reps=int(made), failed=True)
        if mark.number < 1 or (reps is not None and reps not in (mark.number, mark.number - 1)):
            raise Refused(ProblemKind.NOT_REPS, mark.start, mark.end)
        return replace(read, reps=mark.number - 1, failed=True)


def _reps(number: Number) -> int:
    if number.value < 0 or not number.whole:
        kind = ProblemKind.NOT_REPS if number.value < 0 else ProblemKind.REPS_FRACTION
        raise Refused(kind, number.start, number.end, instead=f"{int(abs(number.value))}" if number.value >= 1 else None)
    return _bounded(int(number.value), number)


def _bounded(reps: int, number: Number) -> int:
    if reps > MOST_REPS:
        raise Refused(ProblemKind.REPS_TOO_MANY, number.start, number.end, detail=str(MOST_REPS))
    return reps


def _seconds(number: Number) -> float:
    if not 0 < number.value <= MOST_SECONDS:
        raise Refused(ProblemKind.NOT_A_TIME, number.start, number.end, detail=f"{MOST_SECONDS / 60:g} min")
    return number.value


def _weight(draft: Draft) -> float:
    return 0.0 if draft.load is None or draft.load.bare_body else draft.load.value


def _with_effort(read: SetRead, effort: Effort) -> SetRead:
    return replace(
        read,
        rir=effort.rir if effort.rir is not None else read.rir,
        rpe=effort.rpe if effort.rpe is not None else read.rpe,
        at_least=effort.at_least or read.at_least,
    )


def _at_least(read: SetRead, last: SetRead) -> SetRead:
    return replace(read, rir=last.rir, rpe=last.rpe, at_least=True)


def _told_once(told: list[Told], drafts: Sequence[Draft]) -> list[Told]:
    """Effort told once behind several sets: exact for the last, at least so for the earlier ones."""
    spoken = [draft for draft in drafts if draft.efforts]
    if len(spoken) == 1 and spoken[0] is drafts[-1] and not spoken[0].efforts[-1].alone:
        final = told[-1].read
        for each in told[:-1]:
            if each.read.rir is None and each.read.rpe is None and not each.read.warmup:
                each.read = _at_least(each.read, final)
    return told
