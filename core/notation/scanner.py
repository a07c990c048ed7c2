"""Scanner: tokens to pieces, left to right, each token looked at once."""

from collections.abc import Sequence
from functools import lru_cache
from itertools import chain

from core.domain.names import fold
from core.domain.problems import ProblemKind
from core.notation.asides import aside_at, total_behind
from core.notation.doubts import Refused
from core.notation.efforts import effort_at
from core.notation.pieces import (
    Bracket,
    Break,
    Effort,
    Gap,
    Join,
    Link,
    Mark,
    Number,
    Piece,
    Role,
    Side,
    Sort,
    Words,
)
from core.notation.quantities import number_at
from core.notation.tokens import Kind, Text, Token
from core.notation.vocabulary import (
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
    WARM_UP,
    WORK,
)
from core.notation.words import Names

KEYWORDS = frozenset(
    chain(
        *(ALL_OUT, BODYWEIGHT, DROP, FAILED, LENGTHS, LINKS, LOAD_LABELS, MEASURED, PLATES, REPS, REST, REST_PAUSE),
        *(SECONDS, SETS, SIDES, SIZES, SPOTTED, THEN, TO_FAILURE, UNITS, WARM_UP, WORK),
        *(NUMBER_WORDS, ("x", "rir", "rpe", "left", "right", "at", "and", "bar", "rm", "to", "th", "st", "nd", "rd")),
        *(("single", "double", "triple", "singles", "doubles", "triples", "twice", "am", "pm", "each", "ea", "per"),),
    )
)
"""Words that mean something beside a number."""

_SMALL = {"single": 1, "double": 2, "triple": 3}

_CONNECTIVES = frozenset({*LINKS, *NUMBER_WORDS, *SIDES, *SETS, "to", "and", "at", "left", "right", "each", "per", "bar"})
"""Keywords that are only filler words where no number is near."""

_GAPS = {
    Kind.COMMA: Gap.COMMA,
    Kind.AND: Gap.COMMA,
    Kind.SEMICOLON: Gap.STRONG,
    Kind.LINE: Gap.LINE,
}

_LINK_WORDS = {
    "for": Link.FOR,
    "by": Link.CROSS,
    "times": Link.CROSS,
    "of": Link.OF,
    "with": Link.WITH,
    "w": Link.WITH,
    "using": Link.WITH,
    "on": Link.WITH,
    "at": Link.AT,
}

_TRANSPARENT = KEYWORDS | {"a", "on", "the", "was", "paused", "pause", "tempo", "tng", "touch", "go", "grip", "close"}


class Scanner:
    """One walk over the tokens of a text.

    Args:
        text: The folded text.
        tokens: Its tokens, the last one an END.
        names: Exercises that the lifter can name.
        ignored: Parts that are no part of a set, as warning signs; by their places in the folded text.

    """

    __slots__ = ("_begins", "_ignored", "_last_set", "_names", "_text", "_tokens", "pieces")

    def __init__(self, text: Text, tokens: Sequence[Token], names: Names, ignored: Sequence[tuple[int, int]]) -> None:
        end = tokens[-1]
        self._text = text
        self._tokens = [*tokens, end, end, end, end, end, end, end]  # so that a look ahead needs no bounds
        self._names = names
        self._ignored = ignored
        self._begins = True
        self._last_set = 0
        self.pieces: list[Piece] = []

    def scan(self, at: int = 0) -> list[Piece]:
        """All pieces from a token on, in order.

        Raises:
            Refused: a number is followed by what means nothing.

        """
        tokens = self._tokens
        while tokens[at].kind is not Kind.END:
            at = self._step(at)
        return self.pieces

    def _step(self, at: int) -> int:
        token = self._tokens[at]
        if self._ignored and (behind := self._behind_ignored(at)) is not None:
            return behind
        if token.kind is Kind.NUMBER:
            return self._number(at)
        if token.kind is Kind.WORD:
            return self._word(at)
        return self._sign(at)

    def _behind_ignored(self, at: int) -> int | None:
        start = self._tokens[at].start
        for first, last in self._ignored:
            if first <= start < last:
                while self._tokens[at].start < last and self._tokens[at].kind is not Kind.END:
                    at += 1
                return at
        return None

    # Numbers

    def _number(self, at: int) -> int:
        tokens = self._tokens
        if (behind := self._named_by_number(at)) is not None:
            return self._run(at, behind)
        if (told := effort_at(tokens, at)) is not None:
            return self._effort(*told)
        if (behind := aside_at(tokens, at, begins=self._begins, named=self._named())) is not None:
            self._pop_join()
            return behind
        if tokens[at + 1].text == "rm" and not tokens[at + 1].spaced:
            self.pieces.append(Mark(Sort.MEASURED, tokens[at].start, tokens[at + 1].end, int(float(tokens[at].text))))
            return at + 2
        if (behind := self._sides_apart(at)) is not None:
            return behind
        return self._plain_number(at)

    def _plain_number(self, at: int) -> int:
        number, behind = number_at(self._tokens, at, is_word=self._is_word)
        if number.role is Role.SECONDS and self.pieces and self._tokens[at - 1].text == "at":
            self._pop_join()
            return behind
        self._begins = False
        self.pieces.append(number)
        return behind

    def _named_by_number(self, at: int) -> int | None:
        # `3 board press`, `1 arm row`: only where no number of a set stands before it.
        if self.pieces and isinstance(self.pieces[-1], (Join, Number)):
            return None
        token = self._tokens[at]
        if not self._names.begins_name(token.text) and self._tokens[at + 1].spaced:
            return None
        return self._name_behind(at)

    def _sides_apart(self, at: int) -> int | None:
        """`8 left 8 right`, `8 left, 7 right`."""
        tokens = self._tokens
        if tokens[at + 1].text != "left":
            return None
        place = at + 3 if tokens[at + 2].kind in (Kind.COMMA, Kind.SLASH, Kind.AND) or tokens[at + 2].text == "and" else at + 2
        if tokens[place].kind is not Kind.NUMBER or tokens[place + 1].text != "right":
            return None
        left, right = float(tokens[at].text), float(tokens[place].text)
        start, end = tokens[at].start, tokens[place + 1].end
        if left != right:
            # Nobody told which side counts.
            raise Refused(ProblemKind.NOT_REPS, start, end, instead=f"{min(left, right):g} each side")
        number = Number(left, start, end, Role.REPS, side=Side.SIDE)
        self._begins = False
        self.pieces.append(number)
        return place + 2

    def _effort(self, effort: Effort, behind: int) -> int:
        last = self.pieces[-1] if self.pieces else None
        if isinstance(last, Join) and last.link is not Link.CROSS:
            self.pieces.pop()
        self.pieces.append(effort)
        return behind

    def _pop_join(self) -> None:
        if self.pieces and isinstance(self.pieces[-1], Join):
            self.pieces.pop()

    def _named(self) -> bool:
        return any(isinstance(piece, Words) for piece in self.pieces)

    # Words

    def _word(self, at: int) -> int:
        tokens = self._tokens
        token = tokens[at]
        word = token.text
        if (behind := self._name_behind(at)) is not None and (behind > at + 1 or word not in KEYWORDS):
            return self._run(at, behind)
        if (told := effort_at(tokens, at)) is not None:
            return self._effort(*told)
        if (behind := aside_at(tokens, at, begins=self._begins, named=True)) is not None:
            return behind
        if word in KEYWORDS and (behind := self._keyword(at)) is not None:
            return behind
        return self._run(at, at + 1)

    def _keyword(self, at: int) -> int | None:
        token = self._tokens[at]
        word = token.text
        if word in BODYWEIGHT or word == "bar":
            return self._body_or_bar(at)
        if word in LOAD_LABELS or word in REPS or word in SETS:
            return self._label(at)
        if word in NUMBER_WORDS and self._counts(at):
            return self._plain_number(at)
        if word in _SMALL and self.pieces and isinstance(self.pieces[-1], (Number, Join)):
            self.pieces.append(Number(_SMALL[word], token.start, token.end, Role.REPS))
            return at + 1
        if word in PLATES:
            number = Number(1.0, token.start, token.end)
            behind = self._one_plate(at, number)
            self.pieces.append(number)
            return behind
        if word in _LINK_WORDS and (behind := self._link(at)) is not None:
            return behind
        if word in ("and", "plus"):
            return self._gap(Gap.COMMA, at)
        if word in THEN:
            return self._gap(Gap.THEN, at)
        if word == "twice":
            self.pieces.append(Number(2.0, token.start, token.end, Role.SETS))
            return at + 1
        return self._mark(at)

    def _one_plate(self, at: int, number: Number) -> int:
        word = Token(Kind.NUMBER, "1", number.start, number.start, True)
        counted, behind = number_at([word, *self._tokens[at : at + 8]], 0, is_word=self._is_word)
        number.value, number.role, number.plates, number.side = counted.value, counted.role, True, counted.side
        number.end = self._tokens[at + behind - 2].end
        self._begins = False
        return at + behind - 1

    def _counts(self, at: int) -> bool:
        behind = self._tokens[at + 1]
        joined = bool(self.pieces) and isinstance(self.pieces[-1], Join)
        counted = behind.text in REPS | SETS | PLATES | {"x", "more"} | set(UNITS)
        return joined or (counted and not (behind.text == "more" and self._tokens[at + 2].text not in SETS))

    def _body_or_bar(self, at: int) -> int | None:
        tokens = self._tokens
        token = tokens[at]
        is_bar = token.text == "bar"
        behind = at + 1
        sign = tokens[behind]
        if not is_bar and self._is_body_mass(at):
            return self._behind_body_mass(at)
        number = Number(0.0, token.start, token.end, Role.LOAD, bodyweight=not is_bar, bar=is_bar, bare_body=True)
        signed = sign.kind in (Kind.PLUS, Kind.DASH) or sign.text in ("plus", "minus")
        if signed and tokens[behind + 1].kind is Kind.NUMBER and not (is_bar and sign.kind is Kind.DASH):
            added, behind = number_at(tokens, behind + 1, is_word=self._is_word)
            minus = sign.kind is Kind.DASH or sign.text == "minus"
            if not is_bar and sign.kind is Kind.DASH and sign.spaced and added.role is Role.BARE and tokens[behind].kind is not Kind.CROSS:
                # `bw - 8`: a dash between body mass and repetitions.
                self._pop_filler()
                self.pieces.append(number)
                self._begins = False
                return at + 1
            number.value = -added.value if minus else added.value
            number.unit, number.side, number.bare_body = added.unit, added.side, False
            number.end = tokens[behind - 1].end
        self._begins = False
        self.pieces.append(number)
        return behind

    def _pop_filler(self) -> None:
        self._pop_join()

    def _is_body_mass(self, at: int) -> bool:
        """`BW 81` beside a set tells body mass: a plain number too large for repetitions, or one with a unit."""
        tokens = self._tokens
        place = at + 2 if tokens[at + 1].kind in (Kind.COLON, Kind.EQUALS) else at + 1
        if tokens[place].kind is not Kind.NUMBER:
            return False
        value = float(tokens[place].text)
        return tokens[place + 1].text in UNITS or value >= LIGHTEST_LIFTER or not value.is_integer()

    def _behind_body_mass(self, at: int) -> int:
        tokens = self._tokens
        place = at + 2 if tokens[at + 1].kind in (Kind.COLON, Kind.EQUALS) else at + 1
        behind = place + 2 if tokens[place + 1].text in UNITS else place + 1
        if tokens[behind].kind is Kind.CROSS:
            # `bw 81 x 8`: the repetitions are done with body mass.
            token = tokens[at]
            self.pieces.append(Number(0.0, token.start, token.end, Role.LOAD, bodyweight=True, bare_body=True))
        return behind

    def _label(self, at: int) -> int | None:
        """`load 80 reps 5`, `sets: 3`: a label before its number."""
        tokens = self._tokens
        place = at + 2 if tokens[at + 1].kind in (Kind.COLON, Kind.EQUALS) else at + 1
        if tokens[place].text in ("of", "was", "is"):
            place += 1
        word = tokens[at].text
        if tokens[place].kind is not Kind.NUMBER:
            if word in REPS | SETS and self.pieces and isinstance(self.pieces[-1], Number):
                # A label behind a number that had one already, or behind a list: it says nothing new.
                return at + 1
            return None
        if word in SETS and tokens[place + 1].kind is Kind.CROSS:
            return at + 1  # `work sets 80x5`
        number, behind = number_at(tokens, place, is_word=self._is_word, labelled=True)
        if number.role is Role.BARE:
            number.role = Role.LOAD if word in LOAD_LABELS else Role.REPS if word in REPS else Role.SETS
        number.start = tokens[at].start if number.role is not Role.LOAD else number.start
        self._begins = False
        self.pieces.append(number)
        return behind

    def _link(self, at: int) -> int | None:
        tokens = self._tokens
        place = at + 1
        if tokens[place].kind is Kind.SLASH and tokens[at].text == "w":
            place += 1
        while tokens[place].text in ("a", "the", "about", "around", "another", "only", "just", "set", "of") and (
            tokens[place].text != "of" or tokens[place - 1].text == "set"
        ):
            place += 1
        if tokens[at].text in ("w", "with") and tokens[place].text in SPOTTED:
            return place
        behind = tokens[place]
        numeric = behind.kind is Kind.NUMBER or behind.text in BODYWEIGHT or behind.text == "bar"
        counted = behind.text in NUMBER_WORDS and self._names_number(place)
        if not (numeric or counted or behind.text in _SMALL or behind.text in PLATES):
            return None
        link = _LINK_WORDS[tokens[at].text]
        if tokens[at].text == "w" and not (self.pieces and isinstance(self.pieces[-1], Number)):
            return None
        if effort_at(tokens, place) is not None:
            return place
        if self._joins():
            self.pieces.append(Join(link, tokens[at].start, tokens[place - 1].end, spaced=True))
        elif link in (Link.AT, Link.WITH):
            self.pieces.append(Join(link, tokens[at].start, tokens[place - 1].end, spaced=True))
        return place

    def _names_number(self, at: int) -> bool:
        return self._name_behind(at) is None

    def _joins(self) -> bool:
        return bool(self.pieces) and isinstance(self.pieces[-1], (Number, Bracket))

    def _mark(self, at: int) -> int | None:
        tokens = self._tokens
        token = tokens[at]
        word = token.text
        behind = at + 1
        if word in WARM_UP:
            if word == "w" and tokens[behind].kind is Kind.SLASH:
                return behind + 1
            if word == "warm":
                place = behind + 1 if tokens[behind].kind is Kind.DASH else behind
                if tokens[place].text not in ("up", "ups"):
                    return None
                behind = place + 1
            while tokens[behind].text in SETS or tokens[behind].kind is Kind.COLON:
                behind += 1
            return self._add(Sort.WARM_UP, at, behind)
        if word in WORK:
            if word in ("work", "working") and tokens[behind].text not in SETS and tokens[behind].kind is not Kind.COLON:
                return None
            while tokens[behind].text in SETS or tokens[behind].kind is Kind.COLON:
                behind += 1
            return self._add(Sort.WORK, at, behind)
        if word in FAILED:
            return self._failed(at)
        if word in SPOTTED:
            if self._tokens[at - 1].text in ("no", "without") and at > 0:
                return behind
            return self._assisted(at)
        if word in MEASURED:
            return self._add(Sort.MEASURED, at, behind)
        if word in REST_PAUSE or (word in REST and tokens[behind].text in ("pause", "pauses", "paused")):
            return self._add(Sort.REST_PAUSE, at, behind if word in REST_PAUSE else behind + 1)
        if word in DROP:
            while tokens[behind].text in SETS or tokens[behind].kind is Kind.COLON or tokens[behind].text == "to":
                behind += 1
            return self._add(Sort.DROP, at, behind)
        if word in ("each", "per", "ea"):
            place = behind + 1 if tokens[behind].text in SIDES else behind
            return self._add(Sort.PER_SIDE, at, place) if word != "per" or place > behind else None
        return None

    def _add(self, sort: Sort, at: int, behind: int, number: int = 0) -> int:
        self.pieces.append(Mark(sort, self._tokens[at].start, self._tokens[behind - 1].end, number))
        return behind

    def _assisted(self, at: int) -> int:
        sort = Sort.ASSISTED if self._tokens[at].text in ("assist", "assistance") else Sort.HELPED
        return self._add(sort, at, at + 1)

    def _failed(self, at: int) -> int:
        tokens = self._tokens
        behind = at + 1
        place = behind
        while tokens[place].text in ("on", "at", "the", "rep", "my", "attempt", "during"):
            place += 1
        told = tokens[place]
        if told.text in ("last", "final"):
            end = place + 2 if tokens[place + 1].text in ("rep", "one", "r") else place + 1
            return self._add(Sort.FAILED_AT, at, end, -1)
        if told.kind is Kind.NUMBER and told.text.isdigit():
            ordinal = tokens[place + 1].text in ("st", "nd", "rd", "th") and not tokens[place + 1].spaced
            if ordinal or place > behind:
                end = place + 2 if ordinal else place + 1
                end = end + 1 if tokens[end].text in ("rep", "one", "attempt") else end
                return self._add(Sort.FAILED_AT, at, end, int(float(told.text)))
            if tokens[place + 1].text in REPS:
                raise Refused(ProblemKind.NOT_REPS, tokens[at].start, tokens[place + 1].end)
        if self.pieces and isinstance(self.pieces[-1], Join) and self.pieces[-1].link in (Link.CROSS, Link.FOR, Link.DASH):
            self.pieces.append(Number(0.0, tokens[at].start, tokens[at].end, Role.REPS, failed=True))
            return behind
        while tokens[behind].text in ("rep", "reps", "it", "attempt", "lift"):
            behind += 1
        return self._add(Sort.FAILED, at, behind)

    # Signs

    def _sign(self, at: int) -> int:
        token = self._tokens[at]
        if (gap := _GAPS.get(token.kind)) is not None:
            return self._gap(gap, at)
        if token.kind is Kind.CROSS:
            return self._cross(at)
        if token.kind is Kind.DASH:
            return self._dash(at)
        if token.kind in (Kind.SLASH, Kind.EQUALS, Kind.COLON):
            return self._stroke(at)
        if token.kind is Kind.AT or token.kind is Kind.MORE:
            if (told := effort_at(self._tokens, at)) is not None:
                return self._effort(*told)
            if token.kind is Kind.MORE:
                self.pieces.append(Mark(Sort.DROP, token.start, token.end))
            else:
                self.pieces.append(Join(Link.AT, token.start, token.end))
            return at + 1
        if token.kind is Kind.PLUS:
            return self._plus(at)
        if token.kind in (Kind.OPEN, Kind.CLOSE):
            return self._bracket(at)
        return at + 1

    def _gap(self, gap: Gap, at: int) -> int:
        token = self._tokens[at]
        if gap is Gap.LINE:
            self._begins = True
        self.pieces.append(Break(gap, token.start, token.end))
        return at + 1

    def _cross(self, at: int) -> int:
        tokens = self._tokens
        token = tokens[at]
        behind = tokens[at + 1]
        joined = bool(self.pieces) and isinstance(self.pieces[-1], (Number, Bracket))
        after_cross = bool(self.pieces) and isinstance(self.pieces[-1], Join)
        if after_cross and token.text == "x":
            # `100 x x`: a cross in place of the repetitions.
            self.pieces.append(Number(0.0, token.start, token.end, Role.REPS, failed=True))
            return at + 1
        listed = bool(self.pieces) and isinstance(self.pieces[-1], Break) and self.pieces[-1].gap is Gap.COMMA
        ends = behind.kind in (Kind.END, Kind.COMMA, Kind.LINE, Kind.SEMICOLON)
        if listed and ends and token.text == "x":
            self.pieces.append(Number(0.0, token.start, token.end, Role.REPS, failed=True))
            return at + 1
        if token.text == "*" and not (joined and behind.kind in (Kind.NUMBER, Kind.WORD, Kind.OPEN)):
            return at + 1
        self.pieces.append(Join(Link.CROSS, token.start, token.end, token.spaced and not behind.spaced))
        return at + 1

    def _dash(self, at: int) -> int:
        tokens = self._tokens
        token, behind = tokens[at], tokens[at + 1]
        if behind.kind is Kind.MORE and not behind.spaced:
            self.pieces.append(Mark(Sort.DROP, token.start, behind.end))
            return at + 2
        if self._joins() and (behind.kind is Kind.NUMBER or behind.text in FAILED):
            self.pieces.append(Join(Link.DASH, token.start, token.end, token.spaced and behind.spaced))
            return at + 1
        if behind.kind is Kind.NUMBER and not behind.spaced and (token.spaced or at == 0):
            return self._signed(at)
        return at + 1

    def _plus(self, at: int) -> int:
        token, behind = self._tokens[at], self._tokens[at + 1]
        if behind.text in SPOTTED:
            return self._add(Sort.HELPED, at, at + 2, 1)
        if behind.kind is not Kind.NUMBER:
            return at + 1
        if not behind.spaced or not self._joins():
            return self._signed(at)
        return self._gap(Gap.COMMA, at) if token.spaced else self._signed(at)

    def _signed(self, at: int) -> int:
        sign = self._tokens[at]
        number, behind = number_at(self._tokens, at + 1, is_word=self._is_word)
        number.start = sign.start
        number.signed = "-" if sign.kind is Kind.DASH else "+"
        number.value = -number.value if number.signed == "-" else number.value
        if number.role is Role.BARE:
            number.role = Role.LOAD
        self._begins = False
        self.pieces.append(number)
        return behind

    def _stroke(self, at: int) -> int:
        tokens = self._tokens
        token, behind = tokens[at], tokens[at + 1]
        if token.kind is Kind.EQUALS and behind.kind is Kind.MORE:
            self.pieces.append(Mark(Sort.DROP, token.start, behind.end))
            return at + 2
        if token.kind is Kind.EQUALS and self._is_complete():
            return total_behind(tokens, at)
        if behind.kind is Kind.NUMBER and self._joins():
            link = Link.SLASH if token.kind is Kind.SLASH else Link.EQUALS
            self.pieces.append(Join(link, token.start, token.end, token.spaced))
        return at + 1

    def _is_complete(self) -> bool:
        """Whether a whole set stands directly before: two numbers joined, or one and its effort."""
        recent = self.pieces[-3:]
        return bool(recent) and not isinstance(recent[-1], Break) and (
            isinstance(recent[-1], (Effort, Mark, Bracket)) or any(isinstance(piece, Join) for piece in recent)
        )

    def _bracket(self, at: int) -> int:
        tokens = self._tokens
        token = tokens[at]
        if token.kind is Kind.CLOSE:
            self.pieces.append(Bracket(opens=False, start=token.start, end=token.end))
            return at + 1
        end = at + 1
        transparent = True
        while tokens[end].kind not in (Kind.CLOSE, Kind.END, Kind.LINE):
            if tokens[end].kind is Kind.OPEN:
                transparent = False
            if tokens[end].kind is Kind.WORD and tokens[end].text not in _TRANSPARENT:
                transparent = False
            end += 1
        inner = range(at + 1, end)
        behind = end + 1 if tokens[end].kind is Kind.CLOSE else end
        if not transparent and self._name_behind(at + 1) == end:
            transparent = True
        if len(inner) == 1 and tokens[at + 1].kind is Kind.NUMBER and not self._begins and tokens[behind].kind is not Kind.CROSS:
            value = float(tokens[at + 1].text)
            effort = f" @{value:g}" if value > 5 else f" rir {value:g}"
            instead = effort.strip() if value <= 10 else None
            raise Refused(ProblemKind.NOT_EFFORT, token.start, tokens[behind - 1].end, instead=instead)
        if not transparent or len(inner) == 0 or (len(inner) == 1 and self._begins and tokens[at + 1].kind is Kind.NUMBER):
            return behind
        self.pieces.append(Bracket(opens=True, start=token.start, end=token.end))
        return at + 1

    # Names and other words

    def _name_behind(self, at: int) -> int | None:
        """Index behind the longest name of an exercise that begins at a token; None if none does."""
        names = self._names
        tokens = self._tokens
        first = self._folded(at)
        glued = tokens[at + 1].kind in (Kind.NUMBER, Kind.WORD) and not tokens[at + 1].spaced
        if not names.begins_name(first):
            return self._glued_name(at) if glued else None
        words = [first]
        ends = [at + 1]
        place = at + 1
        while len(words) < names.longest:
            while tokens[place].kind in (Kind.DASH, Kind.AND, Kind.SLASH) and tokens[place + 1].kind in (Kind.WORD, Kind.NUMBER):
                place += 1
            if tokens[place].kind not in (Kind.WORD, Kind.NUMBER):
                break
            words.append(self._folded(place))
            place += 1
            ends.append(place)
        for count in range(len(words), 0, -1):
            if names.exact(" ".join(words[:count])) is not None:
                return ends[count - 1]
        return self._glued_name(at) if glued else None

    def _glued_name(self, at: int) -> int | None:
        # `3s pause bench`, `t2b`: digits and letters written together are one word of the name.
        tokens = self._tokens
        place = at + 1
        while tokens[place].kind in (Kind.NUMBER, Kind.WORD) and not tokens[place].spaced:
            place += 1
        first = fold(self._text.folded[tokens[at].start : tokens[place - 1].end])
        if not self._names.begins_name(first):
            return None
        words = [first]
        ends = [place]
        while len(words) < self._names.longest and tokens[place].kind is Kind.WORD:
            words.append(self._folded(place))
            place += 1
            ends.append(place)
        for count in range(len(words), 0, -1):
            if self._names.exact(" ".join(words[:count])) is not None:
                return ends[count - 1]
        return None

    def _folded(self, at: int) -> str:
        token = self._tokens[at]
        if self._text.places is None:
            return fold_word(token.text)
        return fold_word(self._text.typed_part(token.start, token.end))

    def _run(self, at: int, behind: int) -> int:
        """Add words to the run of words that ends here, or begin one."""
        words: list[str] = []
        places: list[tuple[int, int]] = []
        for place in range(at, behind):
            token = self._tokens[place]
            if token.kind in (Kind.WORD, Kind.NUMBER, Kind.CROSS):
                words.append(self._folded(place))
                places.append((token.start, token.end))
        last = self.pieces[-1] if self.pieces else None
        if isinstance(last, Words):
            last.words.extend(words)
            last.places.extend(places)
        elif words:
            self.pieces.append(Words(words, places))
        return behind

    def _is_word(self, word: str) -> bool:
        return (
            word in KEYWORDS
            or word in FILLERS
            or word in COMMENTS
            or word in NOT_DONE
            or self._names.begins_name(fold_word(word))
        )


LIGHTEST_LIFTER = 40.0
"""From here on `bw 81` beside a set is body mass; below it, repetitions. [kg or lb] Common practice, no source."""


MOST_REMEMBERED = 4096
"""Most words whose folded form is remembered: more than lifters use."""

fold_word = lru_cache(maxsize=MOST_REMEMBERED)(fold)
