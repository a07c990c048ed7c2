"""Keywords: the words that mean something beside numbers, and what they make of them."""

from core.domain.problems import ProblemKind
from core.domain.sets import MOST_SETS
from core.notation.doubts import Refused
from core.notation.efforts import effort_at
from core.notation.marks import MARKING, mark_at
from core.notation.pieces import Break, Effort, Gap, Join, Link, Number, Role, Sort
from core.notation.quantities import number_at
from core.notation.remarks import behind_set
from core.notation.tokens import LOOK_AHEAD, Kind, Token
from core.notation.vocabulary import (
    AGAIN,
    BODYWEIGHT,
    DROP,
    FAILED,
    LOAD_LABELS,
    NUMBER_WORDS,
    PLATES,
    REPS,
    SETS,
    SIDES,
    SPOTTED,
    THEN,
    UNITS,
)
from core.notation.walk import KEYWORDS, Walk

LIGHTEST_LIFTER = 40.0
"""From here on `bw 81` beside a set is body mass; below it, repetitions. [kg or lb] Common practice, no source."""

_SMALL = {"single": 1, "singles": 1, "double": 2, "doubles": 2, "triple": 3, "triples": 3}

_LINKS = {
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

_BEFORE_NUMBER = frozenset({"a", "the", "about", "around", "another", "only", "just", "set"})


def keyword_at(walk: Walk, at: int) -> int | None:
    """Add what a keyword means; returns the index behind it, None where it is only a word like others."""
    token = walk.tokens[at]
    word = token.text
    if word in _IN_NAMES and _in_name(walk, at):
        return None
    if word in ("work", "working") and walk.tokens[at + 1].text == "up":
        return at + 3 if walk.tokens[at + 2].text == "to" else at + 2  # `work up to 180x1`
    if word in MARKING:
        return mark_at(walk, at)
    if word in BODYWEIGHT or word == "bar":
        return body_or_bar(walk, at)
    if word in LOAD_LABELS or word in REPS or word in SETS:
        return _label(walk, at)
    if word in NUMBER_WORDS and _counts(walk, at):
        number, behind = walk.number(at)
        walk.add_number(number)
        return behind
    if word in _SMALL and walk.tokens[at + 1].text in DROP:
        return at + 1  # `triple drop set`
    if word in _SMALL and _leads_number(walk, at):
        walk.add_number(Number(_SMALL[word], token.start, token.end, Role.REPS))
        walk.pieces.append(Join(Link.WITH, token.end, token.end))
        return at + 1
    if word in _SMALL and (walk.joined() or walk.joins() or _leads_load(walk, at)):
        walk.add_number(Number(_SMALL[word], token.start, token.end, Role.REPS))
        return at + 1
    if word in PLATES:
        if walk.tokens[at + 1].kind is Kind.NUMBER and not walk.joined():
            raise Refused(ProblemKind.NOT_A_LOAD, token.start, walk.tokens[at + 1].end)  # `plate 8` of a stack
        return _one_plate(walk, at)
    if word == "times" and _counts_before(walk, at):
        return at + 1
    if word == "to" and walk.joins() and walk.tokens[at + 1].kind is Kind.NUMBER:
        walk.pieces.append(Join(Link.DASH, token.start, token.end, spaced=True))
        return at + 1
    if word == "w" and not token.spaced and isinstance(walk.last, Number):
        return walk.add_mark(Sort.WARM_UP, at, at + 1)  # `20x10w 40x5w 80x5`
    if word in ("or", "maybe") and isinstance(walk.last, Number) and walk.tokens[at + 1].kind is Kind.NUMBER:
        walk.pieces.append(Join(Link.OR, token.start, token.end, spaced=True))
        return at + 1
    if word in _LINKS and (linked := _link(walk, at)) is not None:
        return linked
    if word == "and" and walk.tokens[at + 1].text in FAILED and walk.tokens[at + 2].kind is not Kind.NUMBER:
        return at + 1  # `80x5 and failed`: said of the same set
    if word in ("and", "plus"):
        _refuse_hundreds(walk, at)
        walk.pieces.append(Break(Gap.COMMA, token.start, token.end))
        return at + 1
    if word in THEN:
        walk.pieces.append(Break(Gap.THEN, token.start, token.end))
        return at + 1
    if word == "again" and isinstance(walk.last, Number | Effort) and walk.tokens[at + 1].kind in _CLAUSE_ENDS:
        return at + 1  # `80x5 again`: the set of before, once more; `80x5, again` is two
    if word in AGAIN and not walk.begins:
        return _again(walk, at)
    if word == "twice":
        walk.add_number(Number(2.0, token.start, token.end, Role.SETS))
        return at + 1
    if word == "left" and walk.joins() and walk.tokens[at + 1].text not in SIDES:
        raise Refused(ProblemKind.NOT_EFFORT, token.start, token.end)  # nobody told how many
    return mark_at(walk, at)


_CLAUSE_ENDS = frozenset({Kind.END, Kind.COMMA, Kind.SEMICOLON, Kind.LINE})


def _leads_number(walk: Walk, at: int) -> bool:
    """Whether `single`, `triple` stand directly before the load they are done with: `top single 100 @8`."""
    number, behind = walk.tokens[at + 1], walk.tokens[at + 2]
    if walk.joins() or walk.joined() or number.kind is not Kind.NUMBER or walk.tokens[at].text[-1] != "e":
        return False
    return behind.kind not in (Kind.CROSS, Kind.DASH, Kind.SLASH) and behind.text not in ("for", "by", "times")


def _leads_load(walk: Walk, at: int) -> bool:
    """Whether `single`, `triple` stand before a load: `triple at 100`."""
    behind = walk.tokens[at + 1]
    at_load = behind.kind is Kind.AT or behind.text in ("at", "with")
    return at_load and walk.tokens[at].text[-1] == "e" and walk.tokens[at + 2].kind is Kind.NUMBER


def _refuse_hundreds(walk: Walk, at: int) -> None:
    """Refuse `100 and 5 for 3`: said, it is one load, and two where it was written."""
    last, behind, joined = walk.last, walk.tokens[at + 1], walk.tokens[at + 2]
    if not isinstance(last, Number) or last.role is not Role.BARE or last.value < 100 or last.value % 100:
        return
    counted = joined.kind is Kind.CROSS or joined.text == "for"
    if counted and behind.kind is Kind.NUMBER and float(behind.text) < MOST_SAID_BEHIND and len(walk.pieces) < 3:
        instead = f"{last.value + float(behind.text):g}"
        raise Refused(ProblemKind.NOT_A_LOAD, last.start, behind.end, instead=instead)


MOST_SAID_BEHIND = 20.0
"""Below it a number behind a hundred and an `and` is likelier a part of it than another load."""


def _in_name(walk: Walk, at: int) -> bool:
    """Whether a word for a load stands in a name or a remark: `plate push`, `bar felt heavy`, `drop lunge`."""
    behind = walk.tokens[at + 1]
    if behind.kind is not Kind.WORD:
        return False
    return behind.text not in KEYWORDS and behind.text not in _BEHIND_LOAD


_IN_NAMES = PLATES | DROP | BODYWEIGHT | {"bar"}
_BEHIND_LOAD = frozenset({"a", "only", "minus", "alone", "weight", "to", "reps"})


def _again(walk: Walk, at: int) -> int:
    """`80x5, same, same`, `80x5, same x2`."""
    tokens = walk.tokens
    behind = at + 1
    while tokens[behind].text in ("again", "set", "weight"):
        behind += 1
    if tokens[behind].text == "as":
        while tokens[behind].kind is Kind.WORD:
            behind += 1
        return behind  # `80x5 same as monday`: how it compares, and no further set
    if tokens[behind - 1].text == "weight":
        return behind  # `same weight 8 reps`
    if tokens[behind].kind is Kind.CROSS and tokens[behind + 1].text.isdigit():
        return walk.add_mark(Sort.AGAIN, at, behind + 2, min(int(float(tokens[behind + 1].text)), MOST_SETS + 1))
    if tokens[behind].text == "twice":
        return walk.add_mark(Sort.AGAIN, at, behind + 1, 2)
    return walk.add_mark(Sort.AGAIN, at, behind, 1)


# Numbers told by words


def _counts(walk: Walk, at: int) -> bool:
    """Whether a word for a number counts something here: `three sets`, `sets of eight`."""
    behind = walk.tokens[at + 1]
    if behind.text == "more":
        return walk.tokens[at + 2].text in SETS
    by = behind.text == "by" and (walk.tokens[at + 2].kind is Kind.NUMBER or walk.tokens[at + 2].text in NUMBER_WORDS)
    return by or walk.joined() or behind.text == "x" or behind.text in _COUNTED


_COUNTED = REPS | SETS | PLATES | frozenset(UNITS) | {"times"}


def _counts_before(walk: Walk, at: int) -> bool:
    """Take `times` as what the number before it counts, where it joins none behind it."""
    counted = walk.last
    if not isinstance(counted, Number) or counted.role is not Role.BARE or _joins_number(walk, at):
        return False
    counted.role = Role.SETS if _reps_told(walk) else Role.REPS
    return True


def _joins_number(walk: Walk, at: int) -> bool:
    """Whether `times` joins a number behind it (`80 times 5`), rather than ending a count (`80x5 3 times`)."""
    behind = walk.tokens[at + 1]
    return (
        behind.kind is Kind.NUMBER or behind.text in NUMBER_WORDS or behind.text in BODYWEIGHT or behind.text == "bar"
    )


def _reps_told(walk: Walk) -> bool:
    """Whether repetitions were told before the last number: then it says how often (`80x5 3 times`)."""
    before = walk.pieces[:-1]
    numbers = [piece for piece in before if isinstance(piece, Number)]
    crossed = any(isinstance(piece, Join) and piece.link is Link.CROSS for piece in before)
    return crossed or len(numbers) > 1 or any(number.role is Role.REPS for number in numbers)


def _one_plate(walk: Walk, at: int) -> int:
    """`plate`, `plate and a half`: one of them."""
    tokens = walk.tokens
    start = tokens[at].start
    one = Token(Kind.NUMBER, "1", start, start, spaced=True)
    number, behind = number_at([one, *tokens[at : at + LOOK_AHEAD]], 0, is_word=walk.is_word)
    number.end = tokens[at + behind - 2].end
    walk.add_number(number)
    return at + behind - 1


def body_or_bar(walk: Walk, at: int) -> int | None:
    """`bw`, `bw+10`, `bw-20`, `bar`, `bar+20`; `BW 81` beside a set is passed over."""
    tokens = walk.tokens
    token, sign = tokens[at], tokens[at + 1]
    is_bar = token.text == "bar"
    if not is_bar and (behind := _behind_body_mass(walk, at)) is not None:
        return behind
    number = Number(0.0, token.start, token.end, Role.LOAD, bodyweight=not is_bar, bar=is_bar, bare_body=True)
    walk.add_number(number)
    minus = sign.kind is Kind.DASH or sign.text == "minus"
    plus = sign.kind is Kind.PLUS or sign.text == "plus"
    if not (plus or (minus and not is_bar)) or tokens[at + 2].kind is not Kind.NUMBER:
        return at + 1
    added, behind = walk.number(at + 2)
    if sign.kind is Kind.DASH and sign.spaced and added.role is Role.BARE and tokens[behind].kind is not Kind.CROSS:
        return at + 1  # `bw - 8`: a dash between body mass and repetitions
    number.value = -added.value if minus else added.value
    number.unit, number.side, number.bare_body = added.unit, added.side, False
    number.plates = added.plates
    number.end = tokens[behind - 1].end
    return behind


def _behind_body_mass(walk: Walk, at: int) -> int | None:
    tokens = walk.tokens
    place = at + 2 if tokens[at + 1].kind in (Kind.COLON, Kind.EQUALS) else at + 1
    if tokens[place].kind is not Kind.NUMBER:
        return None
    value = float(tokens[place].text)
    united = tokens[place + 1].text in UNITS
    if not united and value < LIGHTEST_LIFTER and value.is_integer():
        return None
    behind = place + 2 if united else place + 1
    if tokens[behind].kind is Kind.CROSS:
        # `bw 81 x 8`: the repetitions are done with body mass.
        start, end = tokens[at].start, tokens[at].end
        walk.add_number(Number(0.0, start, end, Role.LOAD, bodyweight=True, bare_body=True))
    return behind


def _label(walk: Walk, at: int) -> int | None:
    """`load 80 reps 5`, `sets: 3`: a label before its number."""
    tokens = walk.tokens
    word = tokens[at].text
    place = at + 2 if tokens[at + 1].kind in (Kind.COLON, Kind.EQUALS) else at + 1
    counted = word == "set" and tokens[place].text == "of"  # `another set of 5`
    if tokens[place].text in ("of", "was", "is"):
        place += 1
    if word in LOAD_LABELS and tokens[place].text == "bar":
        return place
    if tokens[place].kind is not Kind.NUMBER:
        # Behind a number that had a label already, or behind a list, it says nothing new.
        return at + 1 if word not in LOAD_LABELS and isinstance(walk.last, Number) else None
    if word in SETS and tokens[place + 1].kind is Kind.CROSS:
        return at + 1  # `work sets 80x5`
    if word == "r" and isinstance(walk.last, Number):
        instead = f"rir {tokens[place].text}"
        raise Refused(ProblemKind.NOT_EFFORT, tokens[at].start, tokens[place].end, instead=instead)
    number, behind = walk.number(place, labelled=True)
    if number.role is Role.BARE:
        number.role = Role.LOAD if word in LOAD_LABELS else Role.REPS if word in REPS or counted else Role.SETS
    walk.add_number(number)
    return behind


def _link(walk: Walk, at: int) -> int | None:
    """A word that joins two numbers; None where no number follows."""
    tokens = walk.tokens
    word = tokens[at].text
    place = at + 2 if word == "w" and tokens[at + 1].kind is Kind.SLASH else at + 1
    while tokens[place].text in _BEFORE_NUMBER or (tokens[place].text == "of" and tokens[place - 1].text == "set"):
        place += 1
    behind = tokens[place]
    if word in ("w", "with") and behind.text in SPOTTED:
        return place
    if effort_at(tokens, place) is not None:
        return place
    counted = behind.text in NUMBER_WORDS and walk.name_behind(place) is None
    numeric = behind.kind is Kind.NUMBER or behind.text in BODYWEIGHT or behind.text == "bar"
    if not (numeric or counted or behind.text in _SMALL or behind.text in PLATES):
        return None
    if word == "w" and (
        not isinstance(walk.last, Number) or (tokens[place + 1].kind is Kind.CROSS and behind_set(walk))
    ):
        return None  # `40x10 w 60x5` is a warm-up
    link = _LINKS[word]
    if walk.joins() or link in (Link.AT, Link.WITH):
        walk.pieces.append(Join(link, tokens[at].start, tokens[place - 1].end, spaced=True))
    return place
