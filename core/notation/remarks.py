"""Remarks: numbers and words beside a whole set that say something about it, or nobody knows what."""

from core.domain.problems import ProblemKind
from core.domain.sets import MOST_LEFT
from core.notation.asides import HIGHEST_RATING, LOWEST_RATING
from core.notation.doubts import Refused
from core.notation.efforts import effort_at
from core.notation.misspelt import near_unit
from core.notation.pieces import Bracket, Effort, Join, Number, Role, Sort, Words
from core.notation.tokens import Kind
from core.notation.vocabulary import ALL_OUT, FAILED, REPS, SETS, SPOTTED, UNITS
from core.notation.walk import Walk

MOST_ALL_OUT = 60
"""Most repetitions that a number behind `amrap` is taken for. [repetitions] A higher one is likelier a load."""

MOST_OF_ONE = 10
"""Most sets that `5 singles` counts; a higher number before it is a load. [sets]"""

_SMALL = {"single": 1, "double": 2, "triple": 3}
_SMALL_SETS = {"singles": 1, "doubles": 2, "triples": 3}
_COULD = frozenset({"could", "could've", "couldve"})
_DONE = frozenset({"done", "made", "got", "hit", "have", "do", "get", "make"})
_COULD_NOT = frozenset({"couldn't", "couldnt", "could'nt"})
_LIFTED = frozenset({"lift", "get", "press", "move", "budge", "lock", "make", "finish", "complete"})
_WHAT = frozenset({"it", "up", "that", "the", "bar", "off", "out"})
_ALMOST = frozenset({"almost", "nearly"})
_ONE_OF = frozenset({"last", "final", "first", "every"})


def number_remark(walk: Walk, at: int) -> int | None:
    """Take a number that is no load or repetitions of a further set; the index behind it, None if it is one.

    Raises:
        Refused: it stands beside a whole set, and nobody told what it counts.

    """
    tokens = walk.tokens
    counted = tokens[at + 1]
    if counted.text in _SMALL_SETS and not walk.joined() and float(tokens[at].text) in range(1, MOST_OF_ONE + 1):
        # `140 5 singles`: five sets of one.
        walk.add_number(Number(float(tokens[at].text), tokens[at].start, counted.end, Role.SETS))
        walk.add_number(Number(_SMALL_SETS[counted.text], counted.start, counted.end, Role.REPS))
        return at + 2
    if counted.kind is Kind.WORD and (behind := _on_last(walk, at)) is not None:
        return behind
    if not behind_set(walk):
        return None
    if counted.text in ("miss", "misses") and not walk.joined():
        raise Refused(ProblemKind.NOT_REPS, tokens[at].start, counted.end)  # `180x3 1 miss`: of those told, or one more
    if counted.kind is Kind.WORD and counted.spaced and _counts_nothing(walk, at + 1):
        # `80x5 2 coffees`: whatever it counts, it is no set.
        typed = f"({tokens[at].text} {counted.text})"
        raise Refused(ProblemKind.WORD_LEFT_OVER, tokens[at].start, counted.end, instead=typed)
    place = at + 2 if tokens[at + 1].text in REPS else at + 1
    if tokens[place].text in ("with", "w"):
        place += 2 if tokens[place + 1].kind is Kind.SLASH else 1
    if tokens[place].text in SPOTTED:
        behind = place + 2 if tokens[place + 1].text in REPS else place + 1
        return walk.add_mark(Sort.HELPED, at, behind)  # `90x3 (1 with help)`
    value = float(tokens[at].text)
    last = (
        walk.last
        if isinstance(walk.last, Number)
        else next((piece for piece in reversed(walk.pieces) if isinstance(piece, Number)), None)
    )
    if last is not None and at and tokens[at - 1].text in _DONE and last.value < value <= last.value + MOST_LEFT:
        could = next((place for place in range(at - 1, max(at - 4, 0), -1) if tokens[place].text in _COULD), None)
        if could is not None:  # `80x5 could have done 8`
            left = f"{value - last.value:g} left"
            raise Refused(ProblemKind.NOT_EFFORT, tokens[could].start, tokens[at].end, instead=left)
    if counted.text in ("r", "l") and not counted.spaced and tokens[at + 2].kind is Kind.END:
        # `80x5 2r`: repetitions of a further set, or left.
        raise Refused(ProblemKind.NOT_EFFORT, tokens[at].start, counted.end, instead=f"{tokens[at].text} left")
    out_of = tokens[at + 2] if counted.kind is Kind.SLASH and tokens[at + 3].kind is Kind.END else None
    if out_of is not None and out_of.kind is Kind.NUMBER and value < float(out_of.text) < HIGHEST_RATING:
        # `140x5 2/5`: the second of five sets, most likely, or two further ones.
        of = f"(set {tokens[at].text}/{out_of.text})"
        raise Refused(ProblemKind.NOT_REPS, tokens[at].start, out_of.end, instead=of)
    rated = tokens[at + 1].kind is Kind.SLASH and tokens[at + 2].text == "10" and value <= HIGHEST_RATING
    if rated and tokens[at + 3].kind not in (Kind.SLASH, Kind.CROSS, Kind.NUMBER):
        # `80x5 8/10`: a rating most likely, or two further sets.
        instead = f"@{tokens[at].text}" if value >= LOWEST_RATING else None
        raise Refused(ProblemKind.NOT_EFFORT, tokens[at].start, tokens[at + 2].end, instead=instead)
    return None


def _counts_nothing(walk: Walk, at: int) -> bool:
    """Whether a word behind a number has no meaning here, is no slip of a unit, and is the last of its clause."""
    word, behind = walk.tokens[at].text, walk.tokens[at + 1]
    closes = behind.kind in _CLOSING and behind.kind is not Kind.CLOSE
    return closes and not walk.joined() and not walk.is_word(word) and near_unit(word) is None


def word_remark(walk: Walk, at: int) -> int | None:
    """Take a word that says something about the set before it, or how the sets go on; None if it is none.

    Raises:
        Refused: it says how hard a set was, but not how many repetitions were left.

    """
    tokens = walk.tokens
    word, following = tokens[at].text, tokens[at + 1]
    if word in ALL_OUT:
        return _all_out_count(walk, at)
    if word == "max" and following.text in REPS:
        return _all_out_count(walk, at, at + 2)
    if word in _LAST and not walk.begins and (behind := _last_set(walk, at)) is not None:
        return behind
    if word == "feeler" and following.text in _SMALL:
        return at + 1
    if word in _KINDS_OF_SETS and following.text in SETS:
        return at + 2  # `super set bench 80x8, row 60x10`
    if (word == "top" and following.text in SETS) or (word == "back" and following.text in ("off", "offs")):
        return walk.add_mark(Sort.WORK, at, at + 2)
    if word in ("topset", "backoff", "backoffs"):
        return walk.add_mark(Sort.WORK, at, at + 1)
    if word in _COULD_NOT and following.text in _LIFTED and isinstance(walk.last, Number):
        behind = at + 2
        while tokens[behind].text in _WHAT:
            behind += 1
        if tokens[behind].text in _LAST:  # `100x5 couldn't finish the last one`
            return walk.add_mark(Sort.FAILED_AT, at, behind + 1 + (tokens[behind + 1].text in ("rep", "one")), -1)
        return walk.add_mark(Sort.FAILED, at, behind)  # `100 couldn't lift it`
    if word not in _SAID_BEHIND or not behind_set(walk):
        return None
    if word in FAILED and at and tokens[at - 1].text in _ALMOST:
        raise Refused(ProblemKind.NOT_EFFORT, tokens[at - 1].start, tokens[at].end, instead="0 left")
    if word in REPS and following.kind is not Kind.NUMBER and at and tokens[at - 1].text in _ONE_OF:
        return at + 1  # `last rep was slow`
    if word == "rep" and following.kind is Kind.NUMBER and following.text.isdigit():
        return at + 2  # `slowed down on rep 4`
    if word == "assisted":
        return walk.add_mark(Sort.HELPED, at, at + 1)
    last = walk.last
    if word in _SMALL and isinstance(last, Number) and last.value == _SMALL[word]:
        return at + 1  # `90x1 single`
    return None


_SAID_BEHIND = FAILED | REPS | {"rep", "assisted", *_SMALL}
"""Words that say something about a whole set before them."""


def behind_set(walk: Walk) -> bool:
    """Whether a whole set, and at most a remark, stands before on the line."""
    counted = False
    for piece in reversed(walk.pieces):
        if isinstance(piece, Words) or (isinstance(piece, Bracket) and piece.opens):
            continue
        if counted:
            return isinstance(piece, Join)
        if not isinstance(piece, Number):
            return False
        counted = True
    return False


_KINDS_OF_SETS = frozenset({"super", "giant", "compound", "feeler", "activation", "primer", "straight"})
_LAST = frozenset({"last", "final"})

BEGIN_REMARK = (
    ALL_OUT
    | _LAST
    | _KINDS_OF_SETS
    | _COULD_NOT
    | _SAID_BEHIND
    | {"max", "top", "back", "topset", "backoff", "backoffs"}
)
"""Words that a remark may begin with."""


def _last_set(walk: Walk, at: int) -> int | None:
    """`3x5 80, last set 4`: the number behind is of the last of the sets; the index of it."""
    tokens = walk.tokens
    place = at + 2
    if tokens[at + 1].kind is Kind.NUMBER and _sets_told(walk) and tokens[place].kind in _CLOSING:
        place = at + 1  # `80x5x3 last 4`
    elif tokens[at + 1].text not in SETS and tokens[at + 1].text != "one":
        return None
    while tokens[place].kind is Kind.COLON or tokens[place].text in ("only", "just", "was", "for"):
        place += 1
    counted, behind = tokens[place], tokens[place + 1]
    if counted.kind is not Kind.NUMBER or behind.kind in (Kind.CROSS, Kind.AT) or behind.text in UNITS:
        return None
    if effort_at(tokens, place) is not None:
        return None
    walk.add_mark(Sort.LAST_SET, at, place)
    return place


def _on_last(walk: Walk, at: int) -> int | None:
    """`5x5 100 but 4 on the last`: take the repetitions of the last of the sets; the index behind them."""
    tokens = walk.tokens
    place = at + 2 if tokens[at + 1].text in REPS else at + 1
    if tokens[place].text not in ("on", "in", "for"):
        return None
    place += 2 if tokens[place + 1].text in ("the", "my") else 1
    if tokens[place].text not in _LAST or not _sets_told(walk):
        return None
    place += 2 if tokens[place + 1].text in SETS or tokens[place + 1].text == "one" else 1
    walk.add_mark(Sort.LAST_SET, at, place)
    walk.add_number(Number(float(tokens[at].text), tokens[at].start, tokens[at].end, Role.REPS))
    return place


def _sets_told(walk: Walk) -> bool:
    """Whether a load, repetitions and sets stand before on the line, so that `last 4` is of the last of them."""
    return not walk.joined() and sum(isinstance(piece, Number) for piece in walk.pieces[-6:]) > 2


_CLOSING = frozenset({Kind.END, Kind.COMMA, Kind.LINE, Kind.SEMICOLON, Kind.CLOSE})


def _all_out_count(walk: Walk, at: int, place: int = 0) -> int | None:
    """`100 x amrap 12`, `60 amrap: 20`, `80 x max reps 9`: the repetitions behind the word."""
    tokens = walk.tokens
    place = place or at + 1
    while tokens[place].kind in (Kind.COLON, Kind.EQUALS) or tokens[place].text in ("got", "of"):
        place += 1
    bracketed = tokens[place].kind is Kind.OPEN and tokens[place + 2].kind is Kind.CLOSE
    place += bracketed
    counted = tokens[place]
    if counted.kind is not Kind.NUMBER or not counted.text.isdigit() or float(counted.text) > MOST_ALL_OUT:
        return None
    joined = tokens[place + 1]
    if joined.kind in (Kind.CROSS, Kind.AT) or joined.text in UNITS or effort_at(tokens, place) is not None:
        return None
    number, behind = walk.number(place)
    if number.role is Role.SECONDS:
        return behind  # `amrap 5 min`: for how long, and not to failure
    if number.role not in (Role.BARE, Role.REPS) or number.also or number.more:
        return None
    number.role = Role.REPS
    walk.add_number(number)
    walk.pieces.append(Effort(tokens[at].start, tokens[at].end, rir=0.0, alone=True))
    return behind + bracketed
