"""Names of exercises as lifters type them: exact, close spelling, and words that are no name."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache

from core.domain.exercises import Exercise, catalogue
from core.domain.names import fold


@dataclass(frozen=True, slots=True, eq=False)
class Names:
    """The exercises that one lifter can name: the catalogue's and their own."""

    own: Mapping[str, Exercise]

    def known(self, name: str) -> Exercise | None:
        """The lift with exactly this stored name."""
        return catalogue().get(name) or self.own.get(name)

    def named(self, words: str) -> Exercise | None:
        """The lift that these words name exactly, in any case and with any blanks."""
        return catalogue().named(words) or next((e for n, e in self.own.items() if fold(n) == fold(words)), None)


@cache
def catalogue_names() -> Names:
    """The names that every lifter knows."""
    return Names({})


def names_with(own: Iterable[Exercise]) -> Names:
    """The names that a lifter with exercises of their own knows."""
    mine = {exercise.name: exercise for exercise in own}
    return Names(mine) if mine else catalogue_names()
