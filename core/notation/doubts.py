"""Doubts: places of a text with two sensible readings, settled by habit or left open for a question."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from core.domain.commands import Doubt
from core.domain.problems import ProblemKind


@dataclass(frozen=True, slots=True)
class Open:
    """A place with more than one sensible reading.

    Args:
        doubt: Why.
        key: What settles it; a habit's key if `taught`.
        values: The readings, most likely first.
        start: First place in the folded text.
        end: Place after the last.
        taught: An answer to it is this lifter's habit from then on; without it, it settles this place only.

    """

    doubt: Doubt
    key: str
    values: tuple[str, ...]
    start: int
    end: int
    taught: bool


@dataclass(slots=True)
class Doubts:
    """What was in doubt while one text was read, under what is settled so far.

    A text is read under assumptions: a doubt that nothing settles takes its most likely value and is noted. Reading the
    same text again with that doubt settled otherwise gives the other choice of the question.
    """

    settled: Mapping[str, str]
    noted: list[Open] = field(default_factory=list)
    asked: list[str] = field(default_factory=list)  # every key that was looked up, settled or not

    def value(self, doubt: Doubt, key: str, values: Sequence[str], *, start: int, end: int, taught: bool = True) -> str:
        """The value to read by: the settled one if it is among them, else the first, which is then noted.

        Raises:
            Refused: there is no value to choose from.

        """
        if len(values) == 1:
            return values[0]
        self.asked.append(key)
        settled = self.settled.get(key)
        if settled is not None and settled in values:
            return settled
        self.noted.append(Open(doubt, key, tuple(values), start, end, taught))
        return values[0]


class Refused(Exception):  # noqa: N818 - it is no error of ours but the way out of a reading that found a problem
    """A text has something wrong; carried from the depth of the reading to the message, never out of it.

    Args:
        kind: What is wrong.
        start: First place of the wrong part, in the folded text.
        end: Place after its last.
        instead: What could stand there instead; None if nothing can be told.
        detail: A bound or a name that the message tells.

    """

    def __init__(
        self, kind: ProblemKind, start: int, end: int, *, instead: str | None = None, detail: str = ""
    ) -> None:
        super().__init__(kind)
        self.kind = kind
        self.start = start
        self.end = end
        self.instead = instead
        self.detail = detail
