"""Naming: runs of words to the exercise they name, to a remark, or to words left over."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import Enum, auto

from core.domain.commands import Doubt, Respelt
from core.domain.exercises import LONGEST_NAME
from core.domain.problems import ProblemKind
from core.notation.doubts import Doubts, Refused
from core.notation.pieces import Named, Words
from core.notation.tokens import Text
from core.notation.variations import variations_in
from core.notation.vocabulary import COMMENTS, FILLERS, NOT_DONE, TRADE
from core.notation.walk import KEYWORDS
from core.notation.words import Names, Spelling

MOST_COMPARED = 24
"""Most runs of words in one text that are compared with all names; each costs about 0.1 ms."""

LONGEST_UNKNOWN = 6
"""Most words that are an exercise which nobody knows; more are a sentence. [words]"""

LONGEST_RUN = 24
"""Words nearest to the numbers in which a name is looked for; what stands further off is a remark. [words]"""

_WHOLE_SET = re.compile(r" *[0-9]+(?:[.,][0-9]+)? ?(?:kg|lbs?)? ?x")

_SHORT_SLIPS = {"ri": "rir", "rr": "rir", "ir": "rir", "rp": "rpe", "re": "rpe", "pe": "rpe"}

_KEY_WORDS = ("rir", "rpe", "reps", "sets", "failed", "warmup", "paused", "left", "amrap")


class Place(Enum):
    """Where a run of words stands."""

    BEFORE = auto()  # numbers follow, none stand before it in its part of the text
    BETWEEN = auto()
    BEHIND = auto()
    ALONE = auto()


@dataclass(slots=True)
class Namer:
    """Finds exercises in runs of words.

    Args:
        text: The folded text.
        names: Exercises that the lifter can name.
        doubts: Where two readings are noted.
        current: The exercise that a variation told alone belongs to.

    """

    text: Text
    names: Names
    doubts: Doubts
    current: str | None
    respelt: list[Respelt] = field(default_factory=list)
    compared: int = 0

    def named(self, run: Words, place: Place, *, has_name: bool, parted: bool) -> Named | None:
        """The exercise that a run names; None if it is a remark.

        Args:
            run: The words.
            place: Where they stand.
            has_name: An exercise was named before in this part of the text.
            parted: A comma or the like stands before them.

        Raises:
            Refused: the words mean something that cannot be passed over, or nothing that is known.

        """
        if len(run.words) > LONGEST_RUN:
            run = _nearest(run, place)
        words = run.words
        if (name := self.names.exact(" ".join(words))) is not None:
            return Named(name, known=True, start=run.start, end=run.end)
        self._refuse_not_done(run)
        variations, rest = variations_in(words)
        if variations and rest and (plain := self.names.exact(" ".join(words[each] for each in rest))) is not None:
            name = self._variation_of(plain, variations)
            typed = name or self._as_typed(run.start, run.end)
            return Named(typed, known=name is not None, start=run.start, end=run.end)
        found = self._found(words, rest)
        if found is not None:
            start, end = found
            name = self._varied_name(words[start:end], variations)
            return self._expanded(run, start, end, name, variations, place)
        if not rest and variations:
            return Named(" ".join(variations), known=False, start=run.start, end=run.end, varies=tuple(variations))
        return self._unknown(run, rest, place, variations, has_name=has_name, parted=parted)

    def _refuse_not_done(self, run: Words) -> None:
        for place, word in enumerate(run.words):
            start, end = run.places[place]
            typed = self.text.folded[start:end]
            if typed not in NOT_DONE:
                continue
            behind = [self.text.folded[slice(*each)] for each in run.places[place + 1 : place + 4]]
            if any(each in COMMENTS for each in behind) or word == "no":
                continue
            raise Refused(ProblemKind.WORD_LEFT_OVER, start, end)

    def _found(self, words: Sequence[str], rest: Sequence[int]) -> tuple[int, int] | None:
        """Place of the longest name in a run; the first of equally long ones."""
        best: tuple[int, int] | None = None
        for start in range(len(words)):
            if not self.names.begins_name(words[start]):
                continue
            written = ""
            for end in range(start + 1, len(words) + 1):
                written = f"{written} {words[end - 1]}" if written else words[start]
                if not self.names.continues(written):
                    break
                if (best is None or end - start > best[1] - best[0]) and self.names.exact(written) is not None:
                    best = (start, end)
        if best is not None and not any(best[0] <= place < best[1] for place in rest) and rest:
            return None
        return best

    def _varied_name(self, words: Sequence[str], variations: Sequence[str]) -> str | None:
        """Catalogue name of a lift with its variations; None if the catalogue has none."""
        plain = self.names.exact(" ".join(words))
        if not variations or plain is None:
            return plain
        return self._variation_of(plain, variations)

    def _variation_of(self, plain: str, variations: Sequence[str]) -> str | None:
        return self.names.varied(plain, tuple(variations))

    def _expanded(
        self, run: Words, start: int, end: int, name: str | None, variations: Sequence[str], place: Place
    ) -> Named:
        """The name, unless unknown words stand directly beside it: then another lift is meant, never the plain one."""
        words = run.words
        taken = {place for place, word in enumerate(words) if not _says_nothing(word, self._typed(run, place))}
        others = set(variations_in(words)[1])
        first, last = start, end
        while first > 0 and first - 1 in taken and first - 1 in others:
            first -= 1
        while last < len(words) and last in taken and last in others:
            last += 1
        begin, stop = run.places[first][0], run.places[last - 1][1]
        if (first, last) != (start, end):
            spelt = self._close(words[first:last])
            if spelt:
                return self._spelt(spelt, run, begin, stop)
            if place is Place.BEHIND and not any(word in TRADE for word in words[first:start] + words[end:last]):
                sentence = last - first > LONGEST_UNKNOWN
                if sentence:
                    first, last = start, end
                    begin, stop = run.places[first][0], run.places[last - 1][1]
            if (first, last) != (start, end):
                typed = self._as_typed(begin, stop, variations)
                return Named(typed, known=False, start=begin, end=stop)
        if name is None:
            return Named(self._as_typed(begin, stop, variations), known=False, start=begin, end=stop)
        return Named(name, known=True, start=begin, end=stop)

    def _typed(self, run: Words, place: int) -> str:
        return self.text.folded[slice(*run.places[place])]

    def _as_typed(self, start: int, end: int, variations: Sequence[str] = ()) -> str:
        typed = " ".join(self.text.typed_part(start, end).split())[:LONGEST_NAME].strip().lower()
        lacking = [variation for variation in variations if variation.split()[0] not in typed]
        return " ".join((*lacking, typed))[:LONGEST_NAME].strip()

    def varied(self, plain: str, change: Named) -> Named:
        """The variation of an exercise named elsewhere; words of both where no lift is known by that name."""
        name = self._variation_of(plain, change.varies)
        if name is not None:
            return Named(name, known=True, start=change.start, end=change.end)
        words = " ".join((*change.varies, plain))[:LONGEST_NAME].strip()
        return Named(words, known=False, start=change.start, end=change.end)

    def _unknown(
        self, run: Words, rest: Sequence[int], place: Place, variations: Sequence[str], *, has_name: bool, parted: bool
    ) -> Named | None:
        chunks = self._chunks(run, rest)
        if not chunks:
            return None
        chunk = chunks[-1] if place is Place.BEFORE else chunks[0]
        first, last = chunk
        words = run.words[first:last]
        start, end = run.places[first][0], run.places[last - 1][1]
        if (place is Place.BEFORE or not has_name) and (spelt := self._close(words)):
            return self._spelt(spelt, run, start, end, variations)
        if place is Place.BEFORE or (place is Place.BETWEEN and parted):
            if len(words) > LONGEST_UNKNOWN:
                raise Refused(ProblemKind.UNKNOWN_EXERCISE, start, end)
            return Named(self._as_typed(start, end, variations), known=False, start=start, end=end)
        for chunk_first, chunk_last in chunks:
            self._refuse_near_key_word(run, chunk_first, chunk_last)
        trade = any(word in TRADE for word in words)
        if place is Place.BETWEEN:
            typed = self.text.typed_part(start, end)
            whole = _WHOLE_SET.match(self.text.folded, end) is not None
            raise Refused(ProblemKind.WORD_LEFT_OVER, start, end, instead=f"({typed})" if whole else None)
        if trade and not has_name:
            return Named(self._as_typed(start, end, variations), known=False, start=start, end=end)
        if trade:
            typed = self.text.typed_part(start, end)
            raise Refused(ProblemKind.WORD_LEFT_OVER, start, end, instead=f"({typed})")
        return None

    def _chunks(self, run: Words, rest: Sequence[int]) -> list[tuple[int, int]]:
        chunks: list[tuple[int, int]] = []
        for place in rest:
            if _says_nothing(run.words[place], self._typed(run, place)):
                continue
            if chunks and chunks[-1][1] == place:
                chunks[-1] = (chunks[-1][0], place + 1)
            else:
                chunks.append((place, place + 1))
        return chunks

    def _refuse_near_key_word(self, run: Words, first: int, last: int) -> None:
        for place in range(first, last):
            typed = self._typed(run, place)
            start, end = run.places[place]
            counted = self.text.folded[end : end + 2].strip()[:1].isdigit()
            key = near_key_word(typed) or (_SHORT_SLIPS.get(typed) if counted else None)
            if key is not None:
                kind = ProblemKind.NOT_EFFORT if key in ("rir", "rpe", "left") else ProblemKind.WORD_LEFT_OVER
                raise Refused(kind, start, end, instead=key)

    def _close(self, words: Sequence[str]) -> tuple[Spelling, ...]:
        if self.compared >= MOST_COMPARED:
            return ()
        self.compared += 1
        return self.names.close(" ".join(words))

    def _spelt(
        self, spelt: Sequence[Spelling], run: Words, start: int, end: int, variations: Sequence[str] = ()
    ) -> Named:
        typed = " ".join(self.text.typed_part(start, end).split())
        exercises = [each.exercise for each in spelt]
        exercise = self.doubts.value(Doubt.NAME, f"name {typed.lower()}", exercises, start=start, end=end, taught=False)
        if variations:
            varied = self._variation_of(exercise, variations)
            if varied is None:
                return Named(self._as_typed(start, end, variations), known=False, start=start, end=end)
            exercise = varied
        if spelt[0].respelt:
            self.respelt.append(Respelt(typed, exercise))
        return Named(exercise, known=True, start=start, end=end)


def _nearest(run: Words, place: Place) -> Words:
    if place is Place.BEFORE:
        return Words(run.words[-LONGEST_RUN:], run.places[-LONGEST_RUN:])
    return Words(run.words[:LONGEST_RUN], run.places[:LONGEST_RUN])


def near_key_word(word: str) -> str | None:
    """Word of the notation that this one is a slip of the thumb away from; None if none is."""
    if len(word) < 3 or word in FILLERS or word in COMMENTS or word in KEYWORDS:
        return None
    return _near(word)


def _near(word: str) -> str | None:
    from rapidfuzz.distance import OSA

    for key in _KEY_WORDS:
        if abs(len(key) - len(word)) <= 1 and OSA.distance(word, key, score_cutoff=1) <= 1:
            return key
    return None


def _says_nothing(folded: str, typed: str) -> bool:
    return folded in FILLERS or typed in FILLERS or folded in COMMENTS or typed in COMMENTS or typed in NOT_DONE
