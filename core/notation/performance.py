"""Performance: the repetitions of a line of sets, with help, failures and rests."""

from collections.abc import Sequence
from dataclasses import dataclass

from core.domain.commands import Doubt
from core.domain.problems import ProblemKind
from core.domain.sets import MOST_REPS, Part
from core.notation.doubts import Doubts, Refused
from core.notation.drafts import Draft
from core.notation.pieces import Effort, Mark, Number, Side, Sort


@dataclass(slots=True)
class Made:
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


class Performance:
    """Says what was done in a line of sets.

    Args:
        doubts: Where two readings are noted.
        body: The lift moves body mass, so that assistance is a load.
        partial: The set changes another: what is not told stays.

    """

    __slots__ = ("_body", "_doubts", "_partial")

    def __init__(self, doubts: Doubts, *, body: bool, partial: bool) -> None:
        self._doubts = doubts
        self._body = body
        self._partial = partial

    def made(self, draft: Draft) -> Made:
        """What was done in each set of a line, before effort and failure.

        Raises:
            Refused: it cannot have been done.

        """
        made = Made()
        if draft.reps is not None:
            self._take_reps(made, draft.reps, draft)
        elif draft.seconds is not None:
            made.per_side = draft.seconds.side is not Side.BOTH
        for mark in draft.marks:
            if mark.sort is Sort.WARM_UP:
                made.warmup = True
            elif mark.sort is Sort.MEASURED and (mark.number >= 0 or made.reps is None):
                made.measured = True
                if made.reps is None and draft.seconds is None:
                    made.reps = max(mark.number, 1)
            elif mark.sort is Sort.PER_SIDE:
                made.per_side = True
            elif mark.sort is Sort.HELPED or (mark.sort is Sort.ASSISTED and not self._body):
                self._take_help(made, mark)
        if made.reps is None and draft.seconds is None:
            made.per_side = False
        return made

    def fail(self, made: Made, draft: Draft) -> None:
        """Take over the failures told of the last set of a line.

        Raises:
            Refused: they contradict the repetitions.

        """
        for mark in draft.marks:
            if mark.sort is Sort.FAILED:
                self._missed(made, mark, draft)
            elif mark.sort is Sort.FAILED_AT:
                self._missed_at(made, mark, draft)

    def _take_reps(self, made: Made, number: Number, draft: Draft) -> None:
        made.reps = reps = reps_of(number)
        made.per_side = number.side is not Side.BOTH
        made.failed = number.failed or reps == 0
        if number.at_least:
            made.rir = 0.0
        if number.left is not None:
            made.rir = number.left
        if number.shared:
            each = f"{max(round(reps / 3), 1)}"  # how many in each set was not told
            raise Refused(ProblemKind.NOT_REPS, number.start, number.end, instead=", ".join([each] * 3))
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
            made.reps = bounded(reps + number.more[0], number)
        else:
            made.parts = tuple([Part(None, bounded(more, number)) for more in number.more])

    def _take_help(self, made: Made, mark: Mark) -> None:
        """How many were done alone is asked, unless the mark says that those told were."""
        if made.helped or made.reps is None or mark.number:
            made.helped = True
            return
        values = [str(made.reps - less) for less in (1, 2) if made.reps > less] + ["all"]
        key = f"help {mark.start}"
        alone = self._doubts.value(Doubt.HELP, key, values, start=mark.start, end=mark.end, taught=False)
        if alone != "all":
            made.reps, made.helped = int(alone), True

    def _missed(self, made: Made, mark: Mark, draft: Draft) -> None:
        made.failed = True
        if made.reps is None:
            if draft.load is None and draft.seconds is None and not self._partial:
                raise Refused(ProblemKind.REPS_MISSING, mark.start, mark.end)
            told = draft.load is not None and draft.seconds is None and not self._partial
            made.reps = 0 if told else None
        elif made.reps == 1 and draft.load is not None and mark.start > draft.cell.start and not self._partial:
            # `100x1 fail`: the one repetition was missed, or a second one.
            made.reps = self._made_of(["0", "1"], mark)
        elif mark.start < draft.cell.start and made.reps > 0:
            # `failed 100x3`: none of one was made; of several, one fewer, or all and one more tried.
            values = [str(made.reps - 1), str(made.reps)] if made.reps > 1 else ["0"]
            made.reps = self._made_of(values, mark)

    def _missed_at(self, made: Made, mark: Mark, draft: Draft) -> None:
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


def reps_of(number: Number) -> int:
    """Repetitions that a number is.

    Raises:
        Refused: it is a fraction, or more than anybody does.

    """
    if not number.whole:
        instead = f"{int(number.value)}" if number.value >= 1 else None
        raise Refused(ProblemKind.REPS_FRACTION, number.start, number.end, instead=instead)
    return bounded(int(number.value), number)


def bounded(reps: int, number: Number) -> int:
    """Repetitions within their bound; `number` told them.

    Raises:
        Refused: they are too many.

    """
    if reps > MOST_REPS:
        raise Refused(ProblemKind.REPS_TOO_MANY, number.start, number.end, detail=str(MOST_REPS))
    return reps
