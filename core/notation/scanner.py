"""Scanner: tokens to pieces, left to right, each token looked at once."""

from collections.abc import Sequence

from core.domain.problems import ProblemKind
from core.domain.sets import MOST_REPS
from core.notation.asides import BEGIN_ASIDE, aside_at, setting_at, tempo_behind
from core.notation.doubts import Refused
from core.notation.efforts import BEGIN_EFFORT, effort_at
from core.notation.keywords import body_or_bar, keyword_at
from core.notation.other_counts import HEADINGS, LABELS, behind_heading, label_at
from core.notation.pieces import Break, Effort, Join, Link, Number, Piece, Role, Side, Sort
from core.notation.remarks import BEGIN_REMARK, number_remark, word_remark
from core.notation.strokes import add_signed, sign_at
from core.notation.tokens import Kind, Text, Token
from core.notation.vocabulary import LENGTHS, NUMBER_WORDS, SETS, UNITS, UNREAD_NUMBERS, WARM_UP
from core.notation.walk import KEYWORDS, Walk
from core.notation.words import Names

_BEFORE_COUNT = (Link.CROSS, Link.FOR, Link.OF)
_EMPTY = frozenset({"empty", "naked", "just", "only", "the"})


def pieces_of(
    text: Text, tokens: Sequence[Token], names: Names, ignored: Sequence[tuple[int, int]] = ()
) -> list[Piece]:
    """What the words and numbers of a text mean one by one, in order.

    Args:
        text: The folded text.
        tokens: Its tokens, the last one an END.
        names: Exercises that the lifter can name.
        ignored: Parts of the folded text that are no part of a set, as warning signs.

    Raises:
        Refused: a number is followed by what means nothing.

    """
    walk = Walk(text, tokens, names)
    kept = walk.tokens
    at = 0
    while (kind := kept[at].kind) is not Kind.END:
        if ignored and (behind := _behind_ignored(walk, at, ignored)) is not None:
            at = behind
        elif kind is Kind.NUMBER:
            at = _number(walk, at)
        elif kind is Kind.WORD:
            at = _word(walk, at)
        else:
            at = sign_at(walk, at)
    return walk.pieces


def _behind_ignored(walk: Walk, at: int, ignored: Sequence[tuple[int, int]]) -> int | None:
    tokens = walk.tokens
    for first, last in ignored:
        if first <= tokens[at].start < last:
            while tokens[at].start < last and tokens[at].kind is not Kind.END:
                at += 1
            return at
    return None


def _number(walk: Walk, at: int) -> int:
    tokens = walk.tokens
    last = walk.last
    if not isinstance(last, (Join, Number)) and (behind := walk.name_behind(at)) is not None:
        return walk.add_words(at, behind)  # `3 board press`, where no number of a set stands before it
    if tokens[at + 1].text in ("board", "boards") and tokens[at].text in ("1", "2", "3") and not walk.joined():
        return walk.add_words(at, at + 2)  # `bench 80x5 2 board`
    if (behind := number_remark(walk, at)) is not None:
        return behind
    if tokens[at + 1].text in WARM_UP and _counts_warm_ups(walk, at):
        return at + 1  # `3 warm-up sets, then 80x5`
    if not (isinstance(last, Join) and last.link in _BEFORE_COUNT) and (told := effort_at(tokens, at)) is not None:
        return _effort(walk, *told)
    if isinstance(last, Number) and last.role is Role.PAIR and tokens[at + 1].text in LENGTHS:
        last.role = Role.LOAD  # `farmers 32s 40m`
    if (behind := aside_at(tokens, at, begins=walk.begins, named=walk.named)) is not None:
        walk.pop_join()
        if tokens[at + 1].kind is Kind.PERCENT:
            walk.add_mark(Sort.SHARE, at, at + 2)
        return behind
    if walk.tempo and (behind := tempo_behind(tokens, at)) is not None:
        return behind
    following = tokens[at + 1]
    if following.text == "rm" and not following.spaced:
        if at and tokens[at - 1].text == "e" and not tokens[at].spaced:
            raise Refused(ProblemKind.WORD_LEFT_OVER, tokens[at - 1].start, following.end)  # an estimate is no set
        count = float(tokens[at].text)
        if count > MOST_REPS:
            raise Refused(ProblemKind.REPS_TOO_MANY, tokens[at].start, following.end, detail=str(MOST_REPS))
        return walk.add_mark(Sort.MEASURED, at, at + 2, int(count))
    if following.text == "more" and tokens[at + 2].text not in SETS:
        # `80x5 and 2 more`: repetitions, sets, or left to do.
        instead = tokens[at].text if walk.begins else f"{tokens[at].text} left"
        raise Refused(ProblemKind.WORD_LEFT_OVER, tokens[at].start, following.end, instead=instead)
    if following.text in ("left", "l") and (behind := _sides_apart(walk, at)) is not None:
        return behind
    number, behind = walk.number(at)
    if number.role is Role.SECONDS and tokens[at - 1].text == "at" and at:
        walk.pop_join()  # `at 18:30` is a time of day
        return behind
    walk.add_number(number)
    return behind


def _counts_warm_ups(walk: Walk, at: int) -> bool:
    place = at + 2
    while walk.tokens[place].text in ("up", "ups") or walk.tokens[place].kind is Kind.DASH:
        place += 1
    return walk.tokens[place].text in SETS and not walk.joined()


def _sides_apart(walk: Walk, at: int) -> int | None:
    """`8 left 8 right`; where the two differ, nobody told which one counts."""
    tokens = walk.tokens
    parted = tokens[at + 2].kind in (Kind.COMMA, Kind.SLASH, Kind.AND) or tokens[at + 2].text == "and"
    place = at + 3 if parted else at + 2
    if tokens[place].kind is not Kind.NUMBER or tokens[place + 1].text not in ("right", "r"):
        return None
    left, right = float(tokens[at].text), float(tokens[place].text)
    start, end = tokens[at].start, tokens[place + 1].end
    if left != right:
        raise Refused(ProblemKind.NOT_REPS, start, end, instead=f"{min(left, right):g} each side")
    walk.add_number(Number(left, start, end, Role.REPS, side=Side.SIDE))
    return place + 2


def _effort(walk: Walk, effort: Effort, behind: int) -> int:
    last = walk.last
    if isinstance(last, Join) and last.link is not Link.CROSS:
        walk.pieces.pop()
    walk.pieces.append(effort)
    return behind


_TO_COME = frozenset({"time", "week", "session", "workout"})


def _refuse_to_come(walk: Walk, at: int) -> None:
    """Refuse `80x5, 85 next time`, `80x5 next time 82.5`: what is only meant to be done."""
    tokens, last = walk.tokens, walk.last
    start, place = tokens[at].start, at + 2
    while tokens[place].kind in (Kind.NUMBER, Kind.CROSS, Kind.COLON) or tokens[place].text in UNITS:
        place += 1
    if place == at + 2 and isinstance(last, Number) and len(walk.pieces) > 1 and isinstance(walk.pieces[-2], Break):
        start = last.start
    raise Refused(ProblemKind.WORD_LEFT_OVER, start, tokens[place - 1].end, instead="")


def _counts_load(walk: Walk, at: int) -> bool:
    """Whether a word for a number stands beside a set: `3x10 at fifty kg`, `eighty five x 5`."""
    place = at + 2 if walk.tokens[at + 1].text in NUMBER_WORDS else at + 1
    behind = walk.tokens[place]
    return behind.text in UNITS or behind.kind is Kind.CROSS or walk.joined()


def _refuse_number_word(walk: Walk, at: int) -> None:
    """Refuse a number in words that is not read as one, with its digits."""
    token, behind = walk.tokens[at], walk.tokens[at + 1]
    said = NUMBER_WORDS.get(walk.tokens[at - 1].text, 0) if at and walk.tokens[at - 1].text in _HUNDREDS else 0
    value, ones = UNREAD_NUMBERS[token.text], NUMBER_WORDS.get(behind.text, 0)
    together = value % 10 == 0 and value < 100 and 0 < ones < 10
    end = behind.end if together else token.end
    start = walk.tokens[at - 1].start if said else token.start
    value = 100 * said + (value + ones if together else value)  # `one forty`, as it is said of plates
    raise Refused(ProblemKind.WORD_LEFT_OVER, start, end, instead=f"{value}")


_HUNDREDS = frozenset({"one", "two", "three", "four", "five", "six"})


SAY_MORE = frozenset().union(
    KEYWORDS,
    BEGIN_ASIDE,
    BEGIN_EFFORT,
    BEGIN_REMARK,
    HEADINGS,
    LABELS,
    UNREAD_NUMBERS,
    _EMPTY,
    ("touch", "t", "body", "next", "minus"),
)
"""Words that may be more than a part of a name or a remark."""


def _word(walk: Walk, at: int) -> int:
    tokens = walk.tokens
    word = tokens[at].text
    if word not in SAY_MORE:
        return walk.add_words(at, walk.name_behind(at) or at + 1)
    if word in ("minus", "plus") and tokens[at + 1].kind is Kind.NUMBER and not walk.joins():
        return add_signed(walk, at)  # `pull ups minus 20 x 8`
    if word == "touch" and tokens[at + 2].text == "go":
        return walk.add_words(at, at + 3)  # `bench 80 touch and go x5`: the word between parts nothing
    if word == "t" and tokens[at + 1].kind is Kind.AND and tokens[at + 2].text == "g":
        return walk.add_words(at, at + 3)
    if word == "body" and tokens[at + 1].text in ("weight", "mass") and walk.name_behind(at) is None:
        return body_or_bar(walk, at + 1) or at + 2
    passed_over = word in BEGIN_ASIDE
    if passed_over and (behind := setting_at(tokens, at)) is not None:
        return behind
    if word in HEADINGS and (behind := behind_heading(tokens, at, begins=walk.begins)) is not None:
        return behind
    if word == "next" and tokens[at + 1].text in _TO_COME:
        _refuse_to_come(walk, at)
    if word in UNREAD_NUMBERS and (_counts_load(walk, at) or tokens[at - 1].text in _HUNDREDS):
        _refuse_number_word(walk, at)
    keyword = word in KEYWORDS
    if (behind := walk.name_behind(at)) is not None and (behind > at + 1 or not keyword):
        return walk.add_words(at, behind)
    if word in LABELS and (behind := label_at(tokens, at)) is not None:
        return behind
    if word in BEGIN_REMARK and (behind := word_remark(walk, at)) is not None:
        return behind
    if word in BEGIN_EFFORT and (told := effort_at(tokens, at)) is not None:
        return _effort(walk, *told)
    if passed_over and (behind := aside_at(tokens, at, begins=walk.begins, named=True)) is not None:
        return behind
    if keyword and (behind := keyword_at(walk, at)) is not None:
        return behind
    if word in _EMPTY and tokens[at + 1].text in ("bar", "the") and (word != "the" or tokens[at + 1].text == "bar"):
        return at + 1
    return walk.add_words(at, at + 1)
