"""Naming: runs of words to the exercise they name, to a remark, or to words left over."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from enum import Enum, auto

from core.domain.commands import Doubt, Respelt
from core.domain.exercises import LONGEST_NAME
from core.domain.problems import ProblemKind
from core.notation.doubts import Doubts, Refused
from core.notation.key_words import near_key_word
from core.notation.pieces import Named, Words
from core.notation.tokens import Text
from core.notation.variations import variations_in
from core.notation.vocabulary import (
    COMMENTS,
    FILLERS,
    MEANT,
    NO_LIFTS,
    NOT_DONE,
    NUMBER_WORDS,
    STRAYS,
    TRADE,
    UNREAD_NUMBERS,
)
from core.notation.walk import KEYWORDS
from core.notation.words import Names, Spelling

MOST_COMPARED = 24
"""Most runs of words in one text that are compared with all names; each costs about 0.1 ms."""

LONGEST_UNKNOWN = 6
"""Most words that are an exercise which nobody knows; more are a sentence. [words]"""

LONGEST_RUN = 24
"""Words nearest to the numbers in which a name is looked for; what stands further off is a remark. [words]"""

_SIDED = frozenset({"left", "right"})

_PLAIN_NAME = re.compile(r"[\w &'’-]+")

_WHOLE_SET = re.compile(r" *[0-9]+(?:[.,][0-9]+)? ?(?:kg|lbs?)? ?x")

NO_NAMES = frozenset(
    """fix undo done finished week max history units help settings privacy start consent forget zone mon monday tue tues
    tuesday wed wednesday thu thursday fri friday sat saturday sun sunday yesterday today left right""".split()
)
"""Words that no exercise of a lifter's own begins with: something else was meant."""


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
    kept: dict[tuple[object, ...], tuple[Named | None, int]] | None = None  # what runs named, where that is kept

    def named(self, run: Words, place: Place, *, has_name: bool, parted: bool, counted: bool = False) -> Named | None:
        """The exercise that a run names; None if it is a remark.

        Args:
            run: The words.
            place: Where they stand.
            has_name: An exercise was named before in this part of the text.
            parted: A comma or the like stands before them.
            counted: Directly before them stand numbers alone, which may count what they name.

        Raises:
            Refused: the words mean something that cannot be passed over, or nothing that is known.

        """
        if len(run.words) > LONGEST_RUN:
            run = _nearest(run, place)
        if self.kept is None:
            return self._named(run, place, has_name=has_name, parted=parted, counted=counted)
        around = self.text.folded[run.start : run.end + 2]
        key = (tuple(run.words), around, place, has_name, parted, counted)
        if (known := self.kept.get(key)) is not None:
            named, start = known
            moved = run.start - start
            return None if named is None else replace(named, start=named.start + moved, end=named.end + moved)
        before = len(self.doubts.asked), len(self.respelt)
        found = self._named(run, place, has_name=has_name, parted=parted, counted=counted)
        if before == (len(self.doubts.asked), len(self.respelt)):
            self.kept[key] = found, run.start
        return found

    def _named(self, run: Words, place: Place, *, has_name: bool, parted: bool, counted: bool) -> Named | None:
        if (name := self.names.exact(" ".join(run.words))) is not None:
            typed = self._as_typed(run.start, run.end)
            return Named(name, known=True, start=run.start, end=run.end, typed=typed)
        self._refuse_not_done(run, place)
        variations, rest = variations_in(run.words)
        told = [each for each in rest if not self._says_nothing(run, each)]
        while told and self.text.folded[slice(*run.places[told[-1]])] in _SIDED:
            told.pop()  # `row 20x10 left`: which side is a remark
        if not told:
            return _variation(variations, run) if variations else None
        window = self._window(run.words, told)
        if window is not None:
            return self._named_by(run, _around(window, told), variations)
        counted = counted and told[0] == 0
        return self._unknown(run, told, place, variations, has_name=has_name, parted=parted, counted=counted)

    def varied(self, plain: Named | None, change: Named) -> Named:
        """The variation of an exercise named elsewhere, or of the current one."""
        exercise = plain.exercise if plain is not None else self._plain_of(change)
        typed = plain.typed if plain is not None else exercise
        varied = self._with_variations(exercise, typed, change.varies, change.start, change.end)
        varied.plain = plain
        return varied

    def stands_alone(self, change: Named) -> bool:
        """Whether a variation names a lift where none is named: a grip does, of the bench press."""
        return not _GRIPS.isdisjoint(change.varies) and self.names.varied(_GRIPPED, change.varies) is not None

    def _plain_of(self, change: Named) -> str:
        """The lift that a variation told alone is of: the current one, but a grip alone may as well be of the bench press."""
        current = self.current or ""
        if not self.stands_alone(change):
            return current
        if not current or (varied := self.names.varied(current, change.varies)) is None:
            return _GRIPPED
        if varied == self.names.varied(_GRIPPED, change.varies):
            return current
        likely = [_GRIPPED, current]
        return self.doubts.value(
            Doubt.NAME, f"grip {change.typed}", likely, start=change.start, end=change.end, taught=False
        )

    def _refuse_not_done(self, run: Words, where: Place) -> None:
        """Refuse words that say a set was not done, and words of the notation that stand where they mean nothing."""
        for place, (start, end) in enumerate(run.places):
            typed = self.text.folded[start:end]
            if typed in STRAYS:
                raise Refused(ProblemKind.WORD_LEFT_OVER, start, end)
            if typed not in NOT_DONE:
                continue
            behind = [self.text.folded[slice(*each)] for each in run.places[place + 1 : place + 4]]
            if any(each in COMMENTS for each in behind):
                continue  # `not bad` is a remark
            if where is Place.BEHIND and place == 0:
                raise Refused(ProblemKind.WORD_LEFT_OVER, start, run.end, instead="")  # `bench 80x5, skip row`
            meant = where is Place.BEFORE and typed in MEANT
            raise Refused(ProblemKind.WORD_LEFT_OVER, start, end, instead="" if meant else None)

    def _says_nothing(self, run: Words, place: int) -> bool:
        folded = run.words[place]
        if folded in FILLERS or folded in COMMENTS:
            return True
        typed = self.text.folded[slice(*run.places[place])]
        return typed in FILLERS or typed in COMMENTS or typed in NOT_DONE

    def _window(self, words: Sequence[str], told: Sequence[int]) -> tuple[int, int] | None:
        """Place of the longest name in a run; the first of equally long ones."""
        best: tuple[int, int] | None = None
        for start in told:
            written = ""
            for end in range(start + 1, len(words) + 1):
                written = f"{written} {words[end - 1]}" if written else words[start]
                if not self.names.continues(written):
                    break
                if (best is None or end - start > best[1] - best[0]) and self.names.exact(written) is not None:
                    best = (start, end)
        return best

    def _named_by(self, run: Words, places: Sequence[int], variations: Sequence[str]) -> Named:
        """The exercise of these words; with unknown ones among them another lift is meant, never the plain one."""
        start, end = run.places[places[0]][0], run.places[places[-1]][1]
        typed = self._typed(run, places)
        folded = " ".join(run.words[place] for place in places)
        name = self.names.exact(folded)
        if name is None:
            # The words that stand between them, as in `squat to box`.
            name = self.names.exact(" ".join(run.words[places[0] : places[-1] + 1]))
        if name is not None:
            return self._with_variations(name, typed, variations, start, end)
        if meant := self._close(folded):
            return self._spelt(meant, typed, variations, start, end)
        if typed.split()[0] in NO_NAMES:
            raise Refused(ProblemKind.WORD_LEFT_OVER, *run.places[places[0]])
        for each in places[1:]:
            self._refuse_number(run, each)  # `ohp forty x 5`: a name, and a load
            if run.words[each] in NUMBER_WORDS:
                raise Refused(ProblemKind.WORD_LEFT_OVER, *run.places[each])  # `bench two twenty five`
        return Named(self._joined(variations, typed), known=False, start=start, end=end, typed=typed)

    def _with_variations(self, name: str, typed: str, variations: Sequence[str], start: int, end: int) -> Named:
        if not variations:
            return Named(name, known=True, start=start, end=end, typed=typed)
        joined = self._joined(variations, typed)
        varied = self.names.varied(name, tuple(variations))
        return Named(varied or joined, known=varied is not None, start=start, end=end, typed=joined)

    def _spelt(self, meant: Sequence[Spelling], typed: str, variations: Sequence[str], start: int, end: int) -> Named:
        exercises = [each.exercise for each in meant]
        exercise = self.doubts.value(Doubt.NAME, f"name {typed}", exercises, start=start, end=end, taught=False)
        named = self._with_variations(exercise, typed, variations, start, end)
        if meant[0].respelt and named.known:
            self.respelt.append(Respelt(typed, named.exercise))
        return named

    def _unknown(
        self,
        run: Words,
        told: Sequence[int],
        place: Place,
        variations: Sequence[str],
        *,
        has_name: bool,
        parted: bool,
        counted: bool,
    ) -> Named | None:
        """Words in which no name is: a close spelling, an exercise that nobody knows, or a remark."""
        if place in (Place.BEFORE, Place.ALONE) and run.words[told[0]] in NO_LIFTS:
            raise Refused(ProblemKind.UNKNOWN, run.start, run.end)  # `age 45`, `room 101`
        chunks = _chunks(told)
        places = chunks[-1] if place is Place.BEFORE else chunks[0]
        start, end = run.places[places[0]][0], run.places[places[-1]][1]
        typed = self._typed(run, places)
        compared = place is Place.BEFORE or not has_name
        if compared and (meant := self._close(" ".join(run.words[each] for each in places))):
            return self._spelt(meant, typed, variations, start, end)
        # `pul ups`: a word that says nothing by itself is part of the name.
        whole = compared and 1 < len(run.words) <= 3 and len(places) < len(run.words) and not variations
        if whole and (meant := self._close(" ".join(run.words))) and meant[0].respelt:
            return self._spelt(meant, self._as_typed(run.start, run.end), variations, run.start, run.end)
        if place is Place.BEFORE or (place is Place.BETWEEN and parted):
            if len(places) > LONGEST_UNKNOWN:
                raise Refused(ProblemKind.UNKNOWN_EXERCISE, start, end)
            spoken = typed.split()
            if all(word in KEYWORDS for word in spoken) or spoken[0] in NO_NAMES or spoken[-1] in NO_NAMES:
                raise Refused(ProblemKind.WORD_LEFT_OVER, start, end)
            for each in places[1:]:
                self._refuse_number(run, each)
            return Named(self._joined(variations, typed), known=False, start=start, end=end, typed=typed)
        for each in told:
            self._refuse_near_key_word(run, each)
            self._refuse_number(run, each)
            if self.text.folded[slice(*run.places[each])] in NUMBER_WORDS:
                instead = str(NUMBER_WORDS[self.text.folded[slice(*run.places[each])]])
                raise Refused(ProblemKind.WORD_LEFT_OVER, *run.places[each], instead=instead)  # `bench 80 five`
        trade = counted or any(run.words[each] in TRADE for each in places)
        if trade and place is not Place.BETWEEN and not has_name:
            return Named(self._joined(variations, typed), known=False, start=start, end=end, typed=typed)
        if trade or place is Place.BETWEEN:
            bracketed = f"({self.text.typed_part(start, end)})"
            followed = place is not Place.BETWEEN or _WHOLE_SET.match(self.text.folded, end) is not None
            raise Refused(ProblemKind.WORD_LEFT_OVER, start, end, instead=bracketed if followed else None)
        return _variation(variations, run) if variations else None

    def _typed(self, run: Words, places: Sequence[int]) -> str:
        """Typed words in lower case; as they stand in the text where nothing stands between them."""
        if places[-1] - places[0] + 1 == len(places):
            whole = self._as_typed(run.places[places[0]][0], run.places[places[-1]][1])
            if _PLAIN_NAME.fullmatch(whole):
                return whole
        words = [self._as_typed(*run.places[place]) for place in places]
        return " ".join(words)[:LONGEST_NAME].strip()

    def _as_typed(self, start: int, end: int) -> str:
        return " ".join(self.text.typed_part(start, end).split())[:LONGEST_NAME].strip().lower()

    def _joined(self, variations: Sequence[str], typed: str) -> str:
        return " ".join((*variations, typed))[:LONGEST_NAME].strip()

    def _refuse_number(self, run: Words, place: int) -> None:
        start, end = run.places[place]
        number = UNREAD_NUMBERS.get(self.text.folded[start:end])
        if number is not None:
            raise Refused(ProblemKind.WORD_LEFT_OVER, start, end, instead=str(number))

    def _refuse_near_key_word(self, run: Words, place: int) -> None:
        start, end = run.places[place]
        typed = self.text.folded[start:end]
        counted = self.text.folded[end : end + 2].strip()[:1].isdigit()
        key = near_key_word(typed, counted=counted)
        if key is not None:
            kind = ProblemKind.NOT_EFFORT if key in ("rir", "rpe", "left") else ProblemKind.WORD_LEFT_OVER
            raise Refused(kind, start, end, instead=key)

    def _close(self, folded: str) -> tuple[Spelling, ...]:
        if self.compared >= MOST_COMPARED:
            return ()
        self.compared += 1
        return self.names.close(folded)


_GRIPPED = "bench press"
_GRIPS = frozenset({"close grip", "wide grip"})
"""Grips that lifters name without the lift where it is the bench press. Common practice, no source."""


def _variation(variations: Sequence[str], run: Words) -> Named:
    """A variation told alone, of a lift that is named elsewhere."""
    words = " ".join(variations)
    return Named(words, known=False, start=run.start, end=run.end, varies=tuple(variations), typed=words)


def _around(window: tuple[int, int], told: Sequence[int]) -> list[int]:
    """Places of a name and of the words that stand directly beside it and say something."""
    start, end = window
    beside = set(told)
    first, last = start, end
    while first - 1 in beside:
        first -= 1
    while last in beside:
        last += 1
    return [*range(first, start), *range(start, end), *range(end, last)]


def _chunks(told: Sequence[int]) -> list[list[int]]:
    """Places that follow each other, together."""
    chunks: list[list[int]] = []
    for place in told:
        if chunks and chunks[-1][-1] == place - 1:
            chunks[-1].append(place)
        else:
            chunks.append([place])
    return chunks


def _nearest(run: Words, place: Place) -> Words:
    if place is Place.BEFORE:
        return Words(run.words[-LONGEST_RUN:], run.places[-LONGEST_RUN:])
    return Words(run.words[:LONGEST_RUN], run.places[:LONGEST_RUN])
