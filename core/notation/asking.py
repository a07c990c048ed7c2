"""Asking: a text without sets on its way to a command."""

from collections.abc import Sequence
from dataclasses import dataclass

from core.domain.commands import Command, Respelt
from core.domain.units import Unit
from core.notation.doubts import Doubts
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
        barred: The current lift moves no body mass, so that it is never done with that alone.

    """

    text: Text
    tokens: Sequence[Token]
    names: Names
    doubts: Doubts
    unit: Unit | None
    respelt: list[Respelt]
    barred: bool = False
