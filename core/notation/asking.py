"""Asking: a text without sets on its way to a command."""

from collections.abc import Sequence
from dataclasses import dataclass

from core.domain.commands import Command, Doubt, Respelt
from core.domain.names import fold
from core.domain.problems import ProblemKind
from core.domain.units import Unit
from core.notation.doubts import Doubts, Refused
from core.notation.tokens import Text, Token
from core.notation.words import Names

Answer = Command | None


@dataclass(frozen=True, slots=True)
class Asking:
    """A text on its way to a command.

    Args:
        text: The folded text.
        tokens: Its tokens, END behind the last.
        names: Exercises that the lifter can name.
        doubts: Where two readings are noted.
        unit: The unit this lifter told; None if never.
        respelt: Where close spellings are noted.
        lifting: Sets of some lift go on, so that a bare number is repetitions.
        barred: The current lift moves no body mass, so that it is never done with that alone.

    """

    text: Text
    tokens: Sequence[Token]
    names: Names
    doubts: Doubts
    unit: Unit | None
    respelt: list[Respelt]
    lifting: bool = False
    barred: bool = False


def exercise_named(asking: Asking, words: Sequence[Token]) -> str:
    """The exercise that these words name, exactly or by a close spelling.

    Raises:
        Refused: they name none.

    """
    start, end = words[0].start, words[-1].end
    folded = fold(asking.text.typed_part(start, end))
    if (name := asking.names.exact(folded)) is not None:
        return name
    meant = asking.names.close(folded)
    if not meant:
        raise Refused(ProblemKind.UNKNOWN_EXERCISE, start, end)
    typed = " ".join(asking.text.typed_part(start, end).split())
    exercises = [each.exercise for each in meant]
    name = asking.doubts.value(Doubt.NAME, f"name {typed.lower()}", exercises, start=start, end=end, taught=False)
    if meant[0].respelt:
        asking.respelt.append(Respelt(typed, name))
    return name


def beyond(
    asking: Asking, word: str, detail: str, *, instead: str, kind: ProblemKind = ProblemKind.OUT_OF_BOUNDS
) -> Refused:
    """A value outside its bounds, which `detail` tells, with another one that would be accepted."""
    start = asking.text.folded.rfind(word)
    start = max(start, 0)
    return Refused(kind, start, start + len(word), instead=instead, detail=detail)
