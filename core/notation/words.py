"""Names of exercises as lifters type them: exact names, close spelling, and words that are no name."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache, lru_cache

from rapidfuzz.distance import OSA
from rapidfuzz.process import extract

from core.domain.exercises import Catalogue, Exercise, catalogue
from core.domain.names import fold

SHORTEST_RESPELT = 4
"""Shortest word that is taken for a close spelling. [characters] Every short word is close to some name."""

LONGEST_RESPELT = 40
"""Longest run of words that is compared with the names. [characters] Few names are longer."""

TWO_SLIPS_FROM = 8
"""Length from which two slips of the thumb are allowed instead of one. [characters]"""

MOST_MEANT = 4
"""Most exercises offered for one unclear name: more are no help on a phone."""


@dataclass(frozen=True, slots=True)
class Spelling:
    """An exercise that words were taken for, and whether they had to be respelt."""

    exercise: str
    respelt: bool = False


@dataclass(frozen=True, slots=True)
class _Index:
    """Names by their folded words, made for looking them up at every word of a text."""

    names: Mapping[str, str]
    beginnings: frozenset[str]  # every name's first words, also whole
    words: frozenset[str]
    longest: int
    joined: Mapping[str, Sequence[str]]  # without blanks, by length: only these can be close
    by_joined: Mapping[str, tuple[str, str]]  # without blanks: the name, and the exercise it stands for


@dataclass(frozen=True, slots=True, eq=False)
class Names:
    """The exercises that one lifter can name: the catalogue's, and their own."""

    lifts: Catalogue = field(repr=False)
    own: Mapping[str, Exercise]
    _shared: _Index = field(repr=False)
    _mine: _Index | None = field(repr=False)

    def known(self, name: str) -> Exercise | None:
        """The exercise that the store keeps under exactly this name."""
        return self.own.get(name) or self.lifts.get(name)

    def named(self, words: str) -> Exercise | None:
        """The exercise that these words name exactly, in any case and with any blanks."""
        name = self.exact(fold(words))
        return None if name is None else self.known(name)

    def exact(self, folded: str) -> str | None:
        """The exercise with this folded name; a lifter's own goes first."""
        if self._mine is not None and (name := self._mine.names.get(folded)) is not None:
            return name
        return self._shared.names.get(folded)

    def begins_name(self, folded_word: str) -> bool:
        """Whether some name begins with this folded word."""
        return self.continues(folded_word)

    def continues(self, folded: str) -> bool:
        """Whether some name begins with these folded words, or is them."""
        if folded in self._shared.beginnings:
            return True
        return self._mine is not None and folded in self._mine.beginnings

    def is_trade_word(self, folded_word: str) -> bool:
        """Whether this folded word is part of some name, and so no slip of the thumb."""
        return folded_word in self._shared.words or (self._mine is not None and folded_word in self._mine.words)

    @property
    def longest(self) -> int:
        """Most words that a name has."""
        return self._shared.longest if self._mine is None else max(self._shared.longest, self._mine.longest)

    def varied(self, plain: str, variations: tuple[str, ...]) -> str | None:
        """Catalogue name of a lift with these variations; None if the catalogue has none."""
        if plain in self.own:
            return None
        if all(variation in plain for variation in variations):
            return plain
        return _varied(plain, variations)

    def close(self, folded: str) -> tuple[Spelling, ...]:
        """Exercises that these folded words may be a close spelling of: one if it is clear which, several if not.

        A blank too few or too many is no slip. A word that is part of some name is never changed into another one:
        it was meant.
        """
        if self._mine is not None and (found := _close_in(self._mine, self, folded)):
            return found
        if self._mine is None:
            return _close_in_catalogue(folded)
        return _close_in(self._shared, self, folded)


@cache
def catalogue_names() -> Names:
    """Names that every lifter knows."""
    lifts = catalogue()
    return Names(lifts, {}, _index(lifts.names_and_aliases), None)


def names_with(own: Iterable[Exercise]) -> Names:
    """Names that a lifter with exercises of their own knows; costs nothing for one without."""
    shared = catalogue_names()
    mine = {exercise.name: exercise for exercise in own}
    if not mine:
        return shared
    writings = {fold(words): each.name for each in mine.values() for words in (each.name, *each.aliases)}
    return Names(shared.lifts, mine, _shared_index(), _index(writings))


def _shared_index() -> _Index:
    return catalogue_names()._shared  # noqa: SLF001 - the same class's index, made once


def _index(names: Mapping[str, str]) -> _Index:
    by_joined: dict[str, tuple[str, str]] = {}
    joined: dict[str, list[str]] = {}
    words: set[str] = set()
    for writing, exercise in names.items():
        parts = writing.split()
        words.update(parts)
        tight = "".join(parts)
        if tight not in by_joined:
            by_joined[tight] = (writing, exercise)
            joined.setdefault(str(len(tight)), []).append(tight)
    beginnings = {" ".join(parts[:end]) for parts in map(str.split, names) for end in range(1, len(parts) + 1)}
    longest = max((writing.count(" ") + 1 for writing in names), default=0)
    return _Index(dict(names), frozenset(beginnings), frozenset(words), longest, joined, by_joined)


@lru_cache(maxsize=1024)
def _varied(plain: str, variations: tuple[str, ...]) -> str | None:
    lifts = catalogue()
    lift = lifts.get(plain)
    for writing in (plain,) if lift is None else (lift.name, *lift.aliases):
        for order in {variations, variations[::-1]}:
            if (varied := lifts.named(" ".join((*order, writing)))) is not None:
                return varied.name
    return None


@lru_cache(maxsize=1024)
def _close_in_catalogue(folded: str) -> tuple[Spelling, ...]:
    names = catalogue_names()
    return _close_in(_shared_index(), names, folded)


def _alike(words: Sequence[str], others: Sequence[str]) -> bool:
    """Whether no short word was changed twice: `year bench` is no `dead bench`."""
    if len(words) != len(others):
        return True
    return all(
        len(word) >= TWO_SLIPS_FROM or OSA.distance(word, other, score_cutoff=1) <= 1
        for word, other in zip(words, others, strict=True)
    )


def _close_in(index: _Index, names: Names, folded: str) -> tuple[Spelling, ...]:
    words = folded.split()
    tight = "".join(words)
    if (same := index.by_joined.get(tight)) is not None:
        return (Spelling(same[1]),)
    if not SHORTEST_RESPELT <= len(tight) <= LONGEST_RESPELT:
        return ()
    slips = 2 if len(tight) >= TWO_SLIPS_FROM else 1
    meant = {word for word in words if names.is_trade_word(word)}
    best: dict[str, int] = {}
    for length in range(len(tight) - slips, len(tight) + slips + 1):
        for writing, distance, _ in extract(
            tight, index.joined.get(str(length), ()), scorer=OSA.distance, score_cutoff=slips, limit=20
        ):
            name, exercise = index.by_joined[writing]
            if slips > 1 and not _alike(words, name.split()):
                continue
            if meant <= set(name.split()) and distance < best.get(exercise, slips + 1):
                best[exercise] = int(distance)
    nearest = min(best.values(), default=0)
    meant_ones = [exercise for exercise, distance in best.items() if distance == nearest]
    return tuple(Spelling(exercise, respelt=True) for exercise in meant_ones[:MOST_MEANT])
