"""Marks: the words that say something about a set: a warm-up, a failure, help, a drop, a rest within it."""

from core.domain.problems import ProblemKind
from core.notation.doubts import Refused
from core.notation.pieces import (
    CLUSTERED,
    DOWN_TO,
    GLUED,
    GOING_ON,
    ONE_SET,
    Break,
    Gap,
    Join,
    Link,
    Number,
    Role,
    Sort,
)
from core.notation.remarks import behind_set
from core.notation.tokens import Kind, Token
from core.notation.vocabulary import (
    DROP,
    FAILED,
    MEASURED,
    PAUSES,
    REPS,
    REST,
    REST_PAUSE,
    SETS,
    SIDES,
    SPOTTED,
    THEN,
    UNITS,
    WARM_UP,
    WORK,
)
from core.notation.walk import Walk

OF_REPETITIONS = -1
"""Number of a mark for a best that is one of the repetitions told, and a maximum only where none are."""

MOST_FAILED = 30
"""Highest number of a repetition that is told to have failed. [repetitions]"""

_HELP = frozenset({"help", "touch", "assistance", "assist"})

_ORDINALS = frozenset({"st", "nd", "rd", "th"})


MARKING = (WARM_UP | WORK | FAILED | SPOTTED | MEASURED | REST_PAUSE | REST | DROP | {"each", "ea"}) - {"w"}
"""Words that say something about a set and are nothing else beside numbers."""


def mark_at(walk: Walk, at: int) -> int | None:
    """Add what a word says about a set; returns the index behind it, None where it says nothing."""
    tokens = walk.tokens
    word = tokens[at].text
    behind = at + 1
    if word in WARM_UP:
        return _warm_up(walk, at)
    if word in WORK:
        follows = tokens[behind].text in SETS or tokens[behind].kind in (Kind.COLON, Kind.NUMBER)
        told = word not in ("work", "working") or follows
        return walk.add_mark(Sort.WORK, at, _behind_label(walk, behind)) if told else None
    if word in FAILED:
        return _failed(walk, at)
    if word in SPOTTED:
        if at and tokens[at - 1].text in ("no", "without"):
            return behind
        if any(
            tokens[place].text in ("no", "without") and tokens[place + 1].text in _HELP for place in (at + 1, at + 2)
        ):
            return behind  # `with a spotter but no help`
        if word == "forced" and tokens[behind].text in REPS:
            behind += 1
        return walk.add_mark(Sort.ASSISTED if word in ("assist", "assistance") else Sort.HELPED, at, behind)
    if word in MEASURED:
        # `80x5 pb` is the best of five so far, and no maximum that was tried.
        return walk.add_mark(Sort.MEASURED, at, behind, OF_REPETITIONS if word == "pb" else 0)
    if word in REST_PAUSE:
        behind += tokens[behind].text in REPS | SETS and tokens[behind + 1].kind is not Kind.CROSS
        return walk.add_mark(Sort.REST_PAUSE, at, behind, CLUSTERED if word.startswith("cluster") else 0)
    if word in REST:
        place = behind + 1 if tokens[behind].kind is Kind.DASH else behind
        return walk.add_mark(Sort.REST_PAUSE, at, place + 1) if tokens[place].text in PAUSES else None
    if word in ("no", "without") and tokens[behind].text in WARM_UP and tokens[behind].text != "w":
        return _behind_warm_up(walk, behind)
    if word in ("no", "without"):
        helped = behind + 1 if tokens[behind].text == "a" else behind
        if tokens[helped].text in SPOTTED:
            return helped + 1  # `bench without a spotter 80x5`
        if tokens[behind].text in PAUSES or (tokens[behind].text in FAILED and tokens[behind].text != "f"):
            return behind + 1  # `80x5 no pause`, `80x5 without failing`
    if word == "no":
        missed = tokens[behind].text in ("rep", "reps", "lift")
        return walk.add_mark(Sort.FAILED, at, behind + 1) if missed else None
    if word in DROP:
        labelled = _behind_label(walk, behind)
        if tokens[labelled].text == "to":
            return walk.add_mark(Sort.DROP, at, labelled + 1, DOWN_TO)
        whole = labelled > behind or word.endswith(("set", "sets"))
        return walk.add_mark(Sort.DROP, at, labelled, GOING_ON if whole else 0)
    if word in ("each", "per", "ea"):
        place = behind + 1 if tokens[behind].text in SIDES else behind
        return walk.add_mark(Sort.PER_SIDE, at, place) if word != "per" or place > behind else None
    return None


def _behind_label(walk: Walk, at: int) -> int:
    while walk.tokens[at].text in SETS or walk.tokens[at].kind is Kind.COLON:
        at += 1
    return at


def _warm_up(walk: Walk, at: int) -> int | None:
    tokens = walk.tokens
    word = tokens[at].text
    behind = at + 1
    if word == "w" and tokens[behind].kind is Kind.SLASH:
        if tokens[behind + 1].text in ("u", "up"):
            return walk.add_mark(Sort.WARM_UP, at, _behind_label(walk, behind + 2))
        return behind + 1
    if word == "warm":
        place = behind + 1 if tokens[behind].kind is Kind.DASH else behind
        if tokens[place].text not in ("up", "ups"):
            return None
        behind = place + 1
    if tokens[behind].text == "to" and tokens[behind + 1].kind is Kind.NUMBER:
        place = behind + 3 if tokens[behind + 2].text in UNITS else behind + 2
        if tokens[place].kind in _CLAUSE_ENDS or tokens[place].text in THEN:
            return place  # `wu to 60, then 80x5`: spoken of, and no set is told
    if tokens[behind].kind is Kind.NUMBER and not tokens[behind].spaced and word in ("w", "wu"):
        return walk.add_mark(Sort.WARM_UP, at, behind, GLUED)
    if tokens[behind].text in _OVER or (at and tokens[at - 1].text in ("after", "post")):
        return _behind_warm_up(walk, at)  # `warm-up done, 80x5`
    one = tokens[behind].text == "set" and tokens[behind + 1].kind is not Kind.COLON
    return walk.add_mark(Sort.WARM_UP, at, _behind_label(walk, behind), ONE_SET if one else 0)


_CLAUSE_ENDS = frozenset({Kind.COMMA, Kind.SEMICOLON, Kind.LINE})

_OVER = frozenset({"done", "finished", "complete", "completed", "over"})


def _behind_warm_up(walk: Walk, at: int) -> int:
    """Index behind a warm-up that is only spoken of, and of which no set is told."""
    tokens = walk.tokens
    behind = at + 1
    while tokens[behind].text in ("up", "ups") or tokens[behind].text in _OVER or tokens[behind].kind is Kind.DASH:
        behind += 1
    return behind


def _counted_misses(walk: Walk, told: Token, behind: Token) -> bool:
    """`80x5 missed 1`: so many of those told, or so many more."""
    last = walk.last
    begins = behind.kind in (Kind.CROSS, Kind.AT, Kind.SLASH, Kind.DASH) or behind.text in UNITS
    return behind_set(walk) and isinstance(last, Number) and float(told.text) <= last.value and not begins


def _tried(walk: Walk, count: float, behind: Token) -> bool:
    """`80x5 failed 6`: the repetition after those that were made."""
    last = walk.last
    before = walk.pieces[-2] if len(walk.pieces) > 1 else None
    whole = before is None or isinstance(before, Join)  # `7 failed 8`, of the load that is planned
    begins = behind.kind in (Kind.CROSS, Kind.AT) or behind.text in UNITS or behind.text in REPS
    return whole and isinstance(last, Number) and count == last.value + 1 and not begins


def _failed(walk: Walk, at: int) -> int:
    """`fail`, `failed 5th`, `failed the last rep`, `F` in place of repetitions."""
    tokens = walk.tokens
    behind = at + 1
    place = behind
    while tokens[place].text in ("on", "at", "the", "rep", "my", "attempt", "during"):
        place += 1
    told = tokens[place]
    if at > 1 and tokens[at - 1].text in ("rep", "one") and tokens[at - 2].text in ("last", "final"):
        return walk.add_mark(Sort.FAILED_AT, at, behind, -1)  # `80x5 last rep failed`
    if told.text in ("last", "final"):
        end = place + 2 if tokens[place + 1].text in ("rep", "one", "r") else place + 1
        return walk.add_mark(Sort.FAILED_AT, at, end, -1)
    if told.kind is Kind.NUMBER and told.text.isdigit():
        ordinal = tokens[place + 1].text in _ORDINALS and not tokens[place + 1].spaced
        if (ordinal or place > behind) and float(told.text) <= MOST_FAILED:
            end = place + 2 if ordinal else place + 1
            end = end + 1 if tokens[end].text in ("rep", "one", "attempt") else end
            return walk.add_mark(Sort.FAILED_AT, at, end, int(told.text))
        if place == behind and _tried(walk, float(told.text), tokens[place + 1]):
            return walk.add_mark(Sort.FAILED_AT, at, place + 1, int(told.text))
        if place == behind and float(told.text) > MOST_FAILED and behind_set(walk):
            walk.pieces.append(Break(Gap.COMMA, tokens[at].start, tokens[at].end))  # `80x5 failed 85`
        elif tokens[place + 1].text in REPS or (place == behind and _counted_misses(walk, told, tokens[place + 1])):
            # `missed 2 reps`: nobody told how many were made.
            raise Refused(ProblemKind.NOT_REPS, tokens[at].start, tokens[place + 1].end)
    if walk.joined(Link.CROSS, Link.FOR, Link.DASH):
        walk.add_number(Number(0.0, tokens[at].start, tokens[at].end, Role.REPS, failed=True))
        return behind
    while tokens[behind].text in ("rep", "reps", "it", "attempt", "lift"):
        behind += 1
    return walk.add_mark(Sort.FAILED, at, behind)
