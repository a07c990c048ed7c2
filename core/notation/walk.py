"""Walk: the state of one walk over the tokens of a text: the pieces so far, and what the next words may be."""

from collections.abc import Sequence
from functools import lru_cache
from itertools import chain

from core.domain.names import fold
from core.domain.problems import ProblemKind
from core.domain.sets import MOST_SETS
from core.notation.doubts import Refused
from core.notation.pieces import Bracket, Join, Link, Mark, Number, Piece, Sort, Words
from core.notation.quantities import number_at
from core.notation.tokens import LOOK_AHEAD, Kind, Text, Token
from core.notation.vocabulary import (
    AGAIN,
    ALL_OUT,
    BODYWEIGHT,
    COMMENTS,
    DROP,
    FAILED,
    FILLERS,
    LENGTHS,
    LINKS,
    LOAD_LABELS,
    MEASURED,
    NOT_DONE,
    NUMBER_WORDS,
    PLATES,
    REPS,
    REST,
    REST_PAUSE,
    SECONDS,
    SETS,
    SIDES,
    SIZES,
    SPOTTED,
    THEN,
    TO_FAILURE,
    UNITS,
    VERBS,
    WARM_UP,
    WORK,
)
from core.notation.words import Names

KEYWORDS = frozenset(
    chain(
        *(
            AGAIN,
            ALL_OUT,
            BODYWEIGHT,
            DROP,
            FAILED,
            LENGTHS,
            LINKS,
            LOAD_LABELS,
            MEASURED,
            PLATES,
            REPS,
            REST,
            REST_PAUSE,
        ),
        *(SECONDS, SETS, SIDES, SIZES, SPOTTED, THEN, TO_FAILURE, UNITS, WARM_UP, WORK, NUMBER_WORDS),
        (
            "x",
            "rir",
            "rpe",
            "left",
            "right",
            "at",
            "and",
            "or",
            "maybe",
            "plus",
            "bar",
            "rm",
            "to",
            "th",
            "st",
            "nd",
            "rd",
        ),
        (
            "single",
            "double",
            "triple",
            "singles",
            "doubles",
            "triples",
            "twice",
            "no",
            "without",
            "am",
            "pm",
            "each",
            "ea",
            "per",
        ),
    )
)
"""Words that mean something beside a number."""

MOST_NUMBERS = 250
"""Most numbers of a text that may be sets: 30 sets with load, repetitions, effort, rest and their own number have 150."""

MOST_REMEMBERED = 4096
"""Most words whose folded form is remembered: more than lifters use."""

fold_word = lru_cache(maxsize=MOST_REMEMBERED)(fold)


class Walk:
    """One walk over the tokens of a text.

    Args:
        text: The folded text.
        tokens: Its tokens, ENDs behind the last.
        names: Exercises that the lifter can name.

    """

    __slots__ = ("_numbers", "begins", "named", "names", "pieces", "tempo", "text", "tokens")

    def __init__(self, text: Text, tokens: Sequence[Token], names: Names) -> None:
        self.text = text
        self.tokens = tokens
        self.names = names
        self.pieces: list[Piece] = []
        self._numbers = 0
        self.begins = True  # nothing of a set stands before on this line
        self.named = False  # some words stood before
        self.tempo = any(token.text == "tempo" for token in tokens)

    @property
    def last(self) -> Piece | None:
        """The piece before, if there is one."""
        return self.pieces[-1] if self.pieces else None

    def joins(self) -> bool:
        """Whether something stands before that a cross can join to what follows."""
        return bool(self.pieces) and isinstance(self.pieces[-1], (Number, Bracket))

    def joined(self, *links: Link) -> bool:
        """Whether one of these links, or any, stands directly before."""
        last = self.last
        return isinstance(last, Join) and (not links or last.link in links)

    def number(self, at: int, *, labelled: bool = False) -> tuple[Number, int]:
        """The number at a token, and the index behind it; not yet added."""
        return number_at(self.tokens, at, is_word=self.is_word, labelled=labelled)

    def add_number(self, number: Number) -> None:
        """Add a number of a set."""
        self.begins = False
        self._numbers += 1
        if self._numbers > MOST_NUMBERS:  # some are told by words: `plate`, `eight`
            raise Refused(ProblemKind.TOO_MANY_SETS, 0, number.end, detail=str(MOST_SETS))
        self.pieces.append(number)

    def add_mark(self, sort: Sort, at: int, behind: int, number: int = 0) -> int:
        """Add a mark told by these tokens; returns the index behind it."""
        self.pieces.append(Mark(sort, self.tokens[at].start, self.tokens[behind - 1].end, number))
        return behind

    def pop_join(self) -> None:
        """Take back a link to a number that turned out to be none of the set."""
        if self.joined():
            self.pieces.pop()

    def add_words(self, at: int, behind: int) -> int:
        """Add words to the run that ends here, or begin one; returns the index behind them."""
        words: list[str] = []
        places: list[tuple[int, int]] = []
        for place in range(at, behind):
            token = self.tokens[place]
            if token.kind in _SPOKEN:
                words.append(self.folded(place))
                places.append((token.start, token.end))
        last = self.last
        if isinstance(last, Words):
            last.words.extend(words)
            last.places.extend(places)
        elif words:
            self.pieces.append(Words(words, places))
            self.named = True
        return behind

    def folded(self, at: int) -> str:
        """Folded form of a word, as names have it."""
        token = self.tokens[at]
        word = token.text if self.text.places is None else self.text.typed_part(token.start, token.end)
        return VERBS.get(token.text) or fold_word(word)

    def is_word(self, word: str) -> bool:
        """Whether a word has a meaning of its own, and so is no misspelt unit."""
        return (
            word in KEYWORDS
            or word in FILLERS
            or word in COMMENTS
            or word in NOT_DONE
            or self.names.begins_name(fold_word(word))
        )

    def name_behind(self, at: int) -> int | None:
        """Index behind the longest name of an exercise that begins at a token; None if none does."""
        tokens = self.tokens
        following = tokens[at + 1]
        glued = not following.spaced and following.kind in _IN_NAMES
        first = self.folded(at)
        if self.names.begins_name(first):
            found = self._longest(first, at + 1, parted=True)
            if found is not None or not glued:
                return found
        if not glued:
            return None
        # `3s pause bench`, `t2b`: digits and letters written together are one word of the name.
        place = at + 1
        while not tokens[place].spaced and tokens[place].kind in _IN_NAMES and place < at + LOOK_AHEAD:
            place += 1
        first = fold_word(self.text.folded[tokens[at].start : tokens[place - 1].end])
        return self._longest(first, place, parted=False) if self.names.begins_name(first) else None

    def _longest(self, first: str, place: int, *, parted: bool) -> int | None:
        tokens, names = self.tokens, self.names
        written = first
        found = place if names.exact(first) is not None else None
        for _ in range(names.longest - 1):
            while parted and tokens[place].kind in _PARTING and tokens[place + 1].kind in _IN_NAMES:
                place += 1
            if tokens[place].kind not in _IN_NAMES:
                break
            written = f"{written} {self.folded(place)}"
            place += 1
            if not names.continues(written):
                break
            if names.exact(written) is not None:
                found = place
        return found


_SPOKEN = frozenset({Kind.WORD, Kind.NUMBER, Kind.CROSS})
_IN_NAMES = frozenset({Kind.WORD, Kind.NUMBER})
_PARTING = frozenset({Kind.DASH, Kind.AND, Kind.SLASH})
