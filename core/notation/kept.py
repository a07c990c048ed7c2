"""Kept: what one attempt at a long text found, so that a further one reads again only what its doubt decides."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from core.domain.commands import Done, Respelt
from core.notation.expansion import Told
from core.notation.parts import Part
from core.notation.pieces import Mark, Named, Number, Piece
from core.notation.tokens import Token
from core.notation.written_dates import Day


@dataclass(frozen=True, slots=True)
class KeptLog:
    """That a text tells sets, found before they were read.

    Args:
        tokens: The text's tokens.
        asked: Keys that deciding it depended on.
        found: Tokens of the sets alone.
        day: When they were done, if that was told.
        close: What was told of the session's end.

    """

    tokens: Sequence[Token]
    asked: frozenset[str]
    found: Sequence[Token]
    day: Day | None
    close: Done | None


@dataclass(frozen=True, slots=True)
class KeptParts:
    """Parts of a text, their pieces as they were before sets were made of them.

    Args:
        tokens: Tokens of the sets.
        asked: Keys that parting them depended on.
        parts: In order.
        respelt: Names taken by close spelling.

    """

    tokens: Sequence[Token]
    asked: frozenset[str]
    parts: Sequence[Part]
    respelt: tuple[Respelt, ...]


@dataclass(slots=True)
class Kept:
    """What the first attempt at a text found.

    Args:
        changed: Key of the doubt that this attempt settles otherwise; empty for the first one.
        log: None until the text is known to tell sets.
        parts: None until it is parted.
        told: Sets of each part, with the keys that they depended on.
        named: What runs of words named, with what stands around them, and where they began.

    """

    changed: str = ""
    log: KeptLog | None = None
    parts: KeptParts | None = None
    told: dict[int, tuple[frozenset[str], Sequence[Told]]] = field(default_factory=dict)
    named: dict[tuple[object, ...], tuple[Named | None, int]] = field(default_factory=dict)

    def log_of(self, tokens: Sequence[Token]) -> KeptLog | None:
        """That these tokens tell sets, where that is known and holds."""
        log = self.log
        return log if log is not None and self.changed not in log.asked and log.tokens == tokens else None

    def parts_of(self, tokens: Sequence[Token]) -> KeptParts | None:
        """Parts of these tokens, where they are known and hold."""
        parts = self.parts
        return parts if parts is not None and self.changed not in parts.asked and parts.tokens == tokens else None

    def told_of(self, place: int) -> Sequence[Told] | None:
        """Sets of one of the parts kept, where they are known and hold."""
        known = self.told.get(place)
        return None if known is None or self.changed in known[0] else known[1]


def untouched(pieces: Iterable[Piece]) -> list[Piece]:
    """The same pieces; those that change while sets are made of them are copies."""
    return [replace(piece) if isinstance(piece, Number | Mark) else piece for piece in pieces]
