"""Strokes: the signs between numbers: crosses, dashes, slashes, brackets."""

from core.domain.problems import ProblemKind
from core.domain.sets import MOST_SETS
from core.notation.asides import added_behind, total_behind
from core.notation.doubts import Refused
from core.notation.efforts import HIGHEST_RPE, effort_at
from core.notation.pieces import (
    BY_SIGN,
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
    Sort,
    Words,
)
from core.notation.tokens import Kind
from core.notation.variations import variations_in
from core.notation.vocabulary import FAILED, SPOTTED, UNITS
from core.notation.walk import KEYWORDS, Walk

LOWEST_RATING = 5.0
"""Above it a number in a bracket behind a set is likelier a rating than repetitions left."""

_GAPS = {
    Kind.COMMA: Gap.COMMA,
    Kind.AND: Gap.COMMA,
    Kind.SEMICOLON: Gap.STRONG,
    Kind.LINE: Gap.LINE,
}

_TRANSPARENT = KEYWORDS | {
    "all",
    "these",
    "those",
    "were",
    "a",
    "on",
    "the",
    "was",
    "up",
    "ups",
    "tank",
    "in",
    "rep",
    "last",
    "pause",
}
"""Words that may stand in a bracket without making it a remark."""

_ENDS = frozenset({Kind.END, Kind.COMMA, Kind.LINE, Kind.SEMICOLON})


def sign_at(walk: Walk, at: int) -> int:
    """Add what a sign means; returns the index behind it."""
    token = walk.tokens[at]
    kind = token.kind
    if (gap := _GAPS.get(kind)) is not None:
        if kind is Kind.SEMICOLON and _parts_columns(walk, at):
            return at + 1
        walk.pieces.append(Break(gap, token.start, token.end))
        walk.begins = walk.begins or gap is Gap.LINE
        return at + 1
    if kind is Kind.CROSS:
        return _cross(walk, at)
    if kind is Kind.DASH:
        return _dash(walk, at)
    if kind is Kind.PLUS:
        return _plus(walk, at)
    if kind in (Kind.AT, Kind.MORE):
        return _at_or_more(walk, at)
    if kind in (Kind.SLASH, Kind.EQUALS, Kind.COLON):
        return _slash(walk, at)
    if kind is Kind.OPEN:
        return _bracket(walk, at)
    if token.text == "<" and walk.tokens[at + 1].text == "3" and not walk.tokens[at + 1].spaced:
        return at + 2  # a heart
    if token.text == "$" and walk.tokens[at + 1].kind is Kind.NUMBER and not walk.tokens[at + 1].spaced:
        raise Refused(ProblemKind.UNKNOWN, token.start, walk.tokens[at + 1].end)  # a price
    if kind is Kind.CLOSE:
        walk.pieces.append(Bracket(opens=False, start=token.start, end=token.end))
    return at + 1


def _parts_columns(walk: Walk, at: int) -> bool:
    """Whether a semicolon or a stroke parts two numbers that are no sets by themselves: `bench | 80 | 5`."""
    last, number, behind = walk.last, walk.tokens[at + 1], walk.tokens[at + 2]
    if not isinstance(last, Number) or number.kind is not Kind.NUMBER or behind.kind not in _COLUMN_ENDS:
        return False
    before = walk.pieces[-2] if len(walk.pieces) > 1 else None
    return not isinstance(before, Join)


_COLUMN_ENDS = frozenset({Kind.END, Kind.SEMICOLON, Kind.LINE})


def _cross(walk: Walk, at: int) -> int:
    token, behind = walk.tokens[at], walk.tokens[at + 1]
    last = walk.last
    if behind.kind is Kind.NUMBER and not behind.spaced and not token.spaced and walk.joined(Link.CROSS):
        return at + 1  # `80xx5`: hit twice
    listed = isinstance(last, Break) and last.gap is Gap.COMMA and behind.kind in _ENDS
    if token.text == "x" and (listed or walk.joined()):
        # `100 x x`, `5, 5, x`: a cross in place of the repetitions.
        walk.add_number(Number(0.0, token.start, token.end, Role.REPS, failed=True))
        return at + 1
    if token.text == "*" and not (walk.joins() and behind.kind in (Kind.NUMBER, Kind.WORD, Kind.OPEN)):
        return at + 1
    walk.pieces.append(Join(Link.CROSS, token.start, token.end, token.spaced and not behind.spaced))
    return at + 1


def _dash(walk: Walk, at: int) -> int:
    token, behind = walk.tokens[at], walk.tokens[at + 1]
    if behind.kind is Kind.MORE and not behind.spaced:
        walk.pieces.append(Mark(Sort.DROP, token.start, behind.end, BY_SIGN))
        return at + 2
    if walk.joined(Link.CROSS, Link.FOR, Link.AT) and behind.kind is Kind.NUMBER and not behind.spaced:
        raise Refused(ProblemKind.NOT_REPS, token.start, behind.end, instead=behind.text)  # `80x-5`
    if behind.kind is Kind.NUMBER and _is_complete(walk) and _begins_set(walk, at + 1) and not _in_row(walk, at):
        walk.pieces.append(Break(Gap.COMMA, token.start, token.end))
        return at + 1  # `80x8-60x8`
    if walk.joins() and (behind.kind is Kind.NUMBER or behind.text in FAILED):
        walk.pieces.append(Join(Link.DASH, token.start, token.end, token.spaced and behind.spaced))
        return at + 1
    if behind.kind is Kind.NUMBER and not behind.spaced and token.spaced:
        return add_signed(walk, at)
    return at + 1


def _plus(walk: Walk, at: int) -> int:
    token, behind = walk.tokens[at], walk.tokens[at + 1]
    if behind.text in SPOTTED:
        return walk.add_mark(Sort.HELPED, at, at + 2, 1)
    if behind.kind is not Kind.NUMBER:
        return at + 1
    if walk.joined(Link.CROSS) and not behind.spaced and not token.spaced:
        raise Refused(ProblemKind.NOT_REPS, token.start, behind.end, instead=behind.text)  # `80x+5`
    if (added := added_behind(walk.tokens, at + 1)) is not None:
        return added  # `80x5 + 20kg chains`
    apart = behind.spaced and token.spaced and walk.joins()
    if apart or (not token.spaced and _is_complete(walk) and _begins_set(walk, at + 1)):
        walk.pieces.append(Break(Gap.COMMA, token.start, token.end))
        return at + 1
    return add_signed(walk, at)


def add_signed(walk: Walk, at: int) -> int:
    """A number with its sign is a load: `+2.5x5`, `-20x8`."""
    sign = walk.tokens[at]
    number, behind = walk.number(at + 1)
    number.start = sign.start
    number.signed = "-" if sign.kind is Kind.DASH or sign.text == "minus" else "+"
    if number.signed == "-":
        number.value = -number.value
    if number.role is Role.BARE:
        number.role = Role.LOAD
    walk.add_number(number)
    return behind


def _at_or_more(walk: Walk, at: int) -> int:
    token = walk.tokens[at]
    if (told := effort_at(walk.tokens, at)) is not None:
        walk.pop_join()
        walk.pieces.append(told[0])
        return told[1]
    if token.kind is Kind.AT:
        _refuse_quick(walk, at)
    if token.kind is Kind.MORE:
        walk.pieces.append(Mark(Sort.DROP, token.start, token.end, BY_SIGN))
    else:
        walk.pieces.append(Join(Link.AT, token.start, token.end))
    return at + 1


def _refuse_quick(walk: Walk, at: int) -> None:
    """Refuse `60x8 @ 30x0`: a tempo, most likely, but nobody said so."""
    down, cross, up = walk.tokens[at + 1 : at + 4]
    if (
        cross.kind is Kind.CROSS
        and not cross.spaced
        and len(down.text) == 2
        and len(up.text) == 1
        and _is_complete(walk)
    ):
        instead = f"tempo {down.text}x{up.text}"
        raise Refused(ProblemKind.NOT_EFFORT, walk.tokens[at].start, up.end, instead=instead)


def _slash(walk: Walk, at: int) -> int:
    token, behind = walk.tokens[at], walk.tokens[at + 1]
    if token.kind is Kind.EQUALS and behind.kind is Kind.MORE:
        walk.pieces.append(Mark(Sort.DROP, token.start, behind.end, BY_SIGN))
        return at + 2
    beside = len(walk.pieces) > 1 and isinstance(walk.last, Number) and isinstance(walk.pieces[-2], Number)
    if token.kind is Kind.EQUALS and _is_complete(walk) and not beside:
        return total_behind(walk.tokens, at)
    if token.kind is Kind.COLON and isinstance(walk.last, Number) and walk.last.role is Role.SETS:
        return at + 1  # `3 sets: 10, 9, 8`
    if token.kind is Kind.COLON and behind.kind is Kind.NUMBER and _is_scheme(walk):
        walk.pieces.append(Bracket(opens=True, start=token.start, end=token.end))
        return at + 1  # `3x8 @ 60: 8, 8, 7`
    if token.kind is Kind.SLASH and behind.kind is Kind.NUMBER and _is_complete(walk) and _begins_set(walk, at + 1):
        walk.pieces.append(Break(Gap.COMMA, token.start, token.end))
        return at + 1  # `80x5 / 85x5`
    if behind.kind is Kind.NUMBER and walk.joins():
        link = Link.SLASH if token.kind is Kind.SLASH else Link.EQUALS
        walk.pieces.append(Join(link, token.start, token.end, token.spaced))
    return at + 1


def _begins_set(walk: Walk, at: int) -> bool:
    behind = walk.tokens[at + 2] if walk.tokens[at + 1].text in UNITS else walk.tokens[at + 1]
    return behind.kind is Kind.CROSS


def _is_complete(walk: Walk) -> bool:
    """Whether a whole set stands directly before: numbers joined, or one and what was said about it."""
    recent = walk.pieces[-3:]
    if not recent or isinstance(recent[-1], Break):
        return False
    return isinstance(recent[-1], (Effort, Mark, Bracket)) or any(
        isinstance(piece, Join) and piece.link is not Link.SLASH for piece in recent
    )


def _is_scheme(walk: Walk) -> bool:
    """Whether sets, repetitions and their load stand directly before: `3x8 @ 60`."""
    recent = walk.pieces[-5:]
    links = [piece.link for piece in recent if isinstance(piece, Join)]
    numbers = sum(isinstance(piece, Number) for piece in recent)
    beside = len(walk.pieces) > 1 and isinstance(walk.pieces[-2], Number)  # `5x5 80: 5 5 5 4 3`
    return numbers == 3 and (links == [Link.CROSS, Link.AT] or (links == [Link.CROSS] and beside))


def _in_row(walk: Walk, at: int) -> bool:
    """Whether a dash goes on with a row of numbers held by dashes: `40-60-80 x 5`."""
    before = walk.pieces[-2] if len(walk.pieces) > 1 else None
    return isinstance(before, Join) and before.link is Link.DASH and not walk.tokens[at].spaced


def _bracket(walk: Walk, at: int) -> int:
    """A bracket groups sets or says something about one; with any other word in it, it is a remark."""
    tokens = walk.tokens
    end = at + 1
    remark = False
    while tokens[end].kind not in (Kind.CLOSE, Kind.END, Kind.LINE):
        token = tokens[end]
        remark = remark or token.kind is Kind.OPEN or (token.kind is Kind.WORD and token.text not in _TRANSPARENT)
        end += 1
        if token.kind is Kind.OPEN and end - at > LONGEST_BRACKET:
            break
    behind = end + 1 if tokens[end].kind is Kind.CLOSE else end
    if end == at + 2 and tokens[at + 1].text in _EQUIPMENT and tokens[end].kind is Kind.CLOSE:
        return _add_equipment(walk, at)
    if remark and end - at < LONGEST_BRACKET:
        remark = not (walk.name_behind(at + 1) == end or _only_variations(walk, at + 1, end))
    lone = tokens[at + 1] if end == at + 2 and tokens[at + 1].kind is Kind.NUMBER else None
    if lone is not None and _counts_reps(walk, at):
        number, _ = walk.number(at + 1)
        walk.add_number(number)  # `80(5)`, `80x(5)`, `80x5+ (8)`
        return behind
    if lone is not None and not walk.begins and tokens[behind].kind is not Kind.CROSS:
        _refuse_lone(walk, at, behind)
    if lone is not None and tokens[behind].kind is Kind.CROSS and walk.begins and tokens[end].kind is Kind.CLOSE:
        number, _ = walk.number(at + 1)
        walk.add_number(number)  # `(80) x 5`
        return behind
    if remark or end == at + 1 or lone is not None:
        return max(behind, at + 1)
    last = walk.last
    crossed = any(token.kind is Kind.CROSS for token in tokens[at + 1 : end])
    if walk.joined(Link.CROSS) and not crossed and len(walk.pieces) > 1 and _is_heavy(walk.pieces[-2]):
        return at + 1  # `80 x (5, 5, 4)`: what was done with the load, and no sets of sets
    if isinstance(last, Number) and last.role is Role.BARE and not tokens[at].spaced and crossed and not walk.joined():
        walk.pieces.append(Join(Link.CROSS, tokens[at].start, tokens[at].start))  # `3(80x5)`
    walk.pieces.append(Bracket(opens=True, start=tokens[at].start, end=tokens[at].end))
    return at + 1


LONGEST_BRACKET = 60
"""How far the end of a bracket with brackets in it is looked for. [tokens]"""


_EQUIPMENT = {
    **dict.fromkeys(("dumbbell", "dumbbells", "db", "dbs"), "dumbbell"),
    **dict.fromkeys(("barbell", "bb"), "barbell"),
    **dict.fromkeys(("cable", "cables"), "cable"),
    "machine": "machine",
}
"""What stands in brackets behind a lift and says what it is done with."""


def _add_equipment(walk: Walk, at: int) -> int:
    """`bench press (dumbbell)`: the lift with them."""
    tokens = walk.tokens
    place = (tokens[at].start, tokens[at + 2].end)
    if isinstance(walk.last, Words):
        walk.last.words.extend(("with", _EQUIPMENT[tokens[at + 1].text]))
        walk.last.places.extend((place, place))
    return at + 3


def _only_variations(walk: Walk, first: int, behind: int) -> bool:
    """`(paused)`, `(close grip)`: another lift, and no remark."""
    words = [walk.folded(place) for place in range(first, behind) if walk.tokens[place].kind is Kind.WORD]
    told, rest = variations_in(words)
    return bool(told) and not rest


def _is_heavy(piece: Piece) -> bool:
    """Whether a number before a cross is a load rather than how often something was done."""
    return isinstance(piece, Number) and (piece.role is Role.LOAD or piece.value > MOST_SETS)


def _counts_reps(walk: Walk, at: int) -> bool:
    """Whether a number alone in a bracket is the repetitions of what stands before: `80(5)`, `80x(5)`, `80x5+ (8)`."""
    last = walk.last
    if walk.joined(Link.CROSS):
        return True
    if not isinstance(last, Number):
        return False
    if last.at_least:
        return True
    before = walk.pieces[-2] if len(walk.pieces) > 1 else None
    further = isinstance(before, Number) and len(walk.pieces) > 2 and isinstance(walk.pieces[-3], Join)  # `80(5) 85(3)`
    alone = not isinstance(before, (Join, Number)) or further
    if not alone or walk.tokens[at].spaced or last.role not in (Role.BARE, Role.LOAD):
        return False
    walk.pieces.append(Join(Link.CROSS, walk.tokens[at].start, walk.tokens[at].start))
    return True


def _refuse_lone(walk: Walk, at: int, behind: int) -> None:
    """`80x5 (8)`: a rating, repetitions left, minutes; nobody can tell."""
    value = float(walk.tokens[at + 1].text)
    instead = f"@{value:g}" if value > LOWEST_RATING else f"rir {value:g}"
    if isinstance(walk.last, Number) and not _is_complete(walk):
        instead = f"x {value:g}"  # `80 (5)`
    start, end = walk.tokens[at].start, walk.tokens[behind - 1].end
    raise Refused(ProblemKind.NOT_EFFORT, start, end, instead=instead if value <= HIGHEST_RPE else None)
