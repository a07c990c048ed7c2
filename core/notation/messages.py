"""Messages: one text to a command, a question or a problem, with the warning signs in it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from core.domain.check_in_commands import Hurts, PainFree
from core.domain.commands import AllWell, Choice, Command, Doubt, Habit, Pain, Question, Reading, Respelt, Unwell
from core.domain.problems import Problem, ProblemKind, Span
from core.domain.session_commands import Nod
from core.domain.sets import MOST_SETS
from core.notation.canonical import canonical as canonical
from core.notation.context import Context as Context
from core.notation.doubts import Doubts, Open, Refused
from core.notation.kept import Kept
from core.notation.session_phrases import LONGEST_THUMB, THUMBS
from core.notation.signs import signs_in
from core.notation.spoken_numbers import may_be_spoken, with_digits
from core.notation.statements import Statement
from core.notation.tokens import LONGEST_TEXT, MOST_TOKENS, Kind, Text, Token, folded, tokens
from core.notation.walk import MOST_NUMBERS

MOST_CHOICES = 6
"""Most readings offered for one text: more are no help on a phone."""

DEEPEST = 3
"""Most doubts of one text whose answers are combined; further ones take their likeliest value."""

MOST_COPIED = 400
"""Longest line to copy, which is read before it is told. [tokens] Of a longer text only the wrong place is told, in time."""

LONG_TEXT = 150
"""Texts with more tokens than this are asked about one doubt only, so that the question comes in time. [tokens]"""


def read(text: str, context: Context) -> Reading:
    """What a text says; total, never raises, in time linear in its length.

    >>> from core.notation.words import catalogue_names
    >>> canonical(read("bench 80kg x5 RIR2", Context(names=catalogue_names())).outcome)
    'bench press 80 kg x 5 rir 2'

    """
    ready = folded(text[:LONGEST_TEXT])
    seen = signs_in(ready)
    found = _told(ready)
    warned = tuple([each.warned(ready) for each in seen])
    if found[0].kind is Kind.END and text.strip()[:1] in THUMBS and len(text.strip()) <= LONGEST_THUMB:
        return Reading(Nod())
    if (problem := _unreadable(text, found)) is not None:
        return Reading(problem, warned)
    reading = _Reader(ready, found, context, [(each.start, each.end) for each in seen]).reading()
    outcome = reading.outcome
    if isinstance(outcome, Problem):
        outcome = _with_remedy(outcome, context, len(found))
    elif isinstance(outcome, Pain | AllWell | Unwell | Hurts | PainFree):
        warned = ()  # the answer to a question about a sign is none itself
    return Reading(outcome, warned, reading.respelt)


def _told(ready: Text) -> Sequence[Token]:
    found = tokens(ready)
    return with_digits(found) if may_be_spoken(ready.folded) else found


def _unreadable(text: str, found: Sequence[Token]) -> Problem | None:
    """What keeps a text from being read at all: nothing in it, or more than anyone types."""
    if len(text) > LONGEST_TEXT:
        return Problem(ProblemKind.TOO_LONG, text, Span(LONGEST_TEXT, len(text)), detail=f"{LONGEST_TEXT:,}")
    if found[0].kind is Kind.END:
        return Problem(ProblemKind.EMPTY, text, Span(0, len(text)), remedy="help")
    if len(found) <= MOST_NUMBERS:
        return None
    numbers = [token for token in found if token.kind is Kind.NUMBER]
    if len(numbers) > MOST_NUMBERS:
        return Problem(ProblemKind.TOO_MANY_SETS, text, Span(0, len(text)), detail=str(MOST_SETS))
    if len(found) > MOST_TOKENS:
        return Problem(ProblemKind.UNKNOWN, text, Span(0, len(text)), remedy="help")
    return None


def _with_remedy(problem: Problem, context: Context, size: int) -> Problem:
    """The problem of a text of so many tokens, its remedy left out if it would not be accepted."""
    if problem.remedy is None:
        return problem
    if min(size, len(problem.remedy)) > MOST_COPIED:
        return replace(problem, remedy=None)
    ready = folded(problem.remedy)
    found = _told(ready)
    if len(found) > MOST_COPIED:
        return replace(problem, remedy=None)
    outcome = _Reader(ready, found, context, ()).reading().outcome
    if isinstance(outcome, Problem) or len(problem.remedy) > LONGEST_TEXT:
        return replace(problem, remedy=None)
    return problem


@dataclass(frozen=True, slots=True)
class _Attempt:
    """One reading of a text under what is settled."""

    outcome: Command | Refused
    noted: tuple[Open, ...]
    respelt: tuple[Respelt, ...]

    def settled(self, key: str, value: str) -> "_Attempt | None":
        """The same reading with a doubt settled by this value; None where not every place in that doubt took it."""
        if any(each.key == key and each.values[0] != value for each in self.noted):
            return None
        return replace(self, noted=tuple([each for each in self.noted if each.key != key]))


_COUNTING = frozenset({Doubt.ORDER, Doubt.PAIR, Doubt.OTHER})
"""Doubts whose answer may make fewer sets of the same numbers."""


def _refused_anyway(refused: Refused, noted: Sequence[Open]) -> bool:
    """Whether a long text has too many sets however its doubts are settled."""
    return refused.kind is ProblemKind.TOO_MANY_SETS and noted[0].doubt not in _COUNTING


class _Reader:
    """Reads one text, under one set of assumptions after the other."""

    __slots__ = ("_context", "_ignored", "_kept", "_text", "_tokens")

    def __init__(
        self, text: Text, found: Sequence[Token], context: Context, ignored: Sequence[tuple[int, int]]
    ) -> None:
        self._text = text
        self._tokens = found
        self._context = context
        self._ignored = ignored
        self._kept = Kept() if len(found) > LONG_TEXT else None

    def reading(self) -> Reading:
        """What the text says, without its warning signs."""
        first = self._attempt(self._context.habits)
        if not first.noted:
            if isinstance(first.outcome, Refused):
                return Reading(self._problem(first.outcome), (), first.respelt)
            return Reading(first.outcome, (), first.respelt)
        if (
            self._kept is not None
            and isinstance(first.outcome, Refused)
            and _refused_anyway(first.outcome, first.noted)
        ):
            return Reading(self._problem(first.outcome), (), first.respelt)
        choices: list[Choice] = []
        deepest = DEEPEST if len(self._tokens) <= LONG_TEXT else 1
        self._choose(first, self._context.habits, choices, None, deepest)
        if not choices:
            if isinstance(first.outcome, Refused):
                return Reading(self._problem(first.outcome))
            return Reading(first.outcome)
        if len(choices) == 1:
            return Reading(choices[0].command, (), first.respelt)
        doubt = first.noted[0]
        span = self._text.span(doubt.start, doubt.end)
        return Reading(Question(doubt.doubt, self._text.typed, span, tuple(choices[:MOST_CHOICES])), (), first.respelt)

    def _choose(
        self, attempt: _Attempt, settled: Mapping[str, str], choices: list[Choice], habit: Habit | None, depth: int
    ) -> None:
        """Add the readings that the values of the first doubt lead to, one below the other."""
        if not attempt.noted or depth == 0:
            if isinstance(attempt.outcome, Refused) or any(each.command == attempt.outcome for each in choices):
                return
            choices.append(Choice(attempt.outcome, habit))
            return
        doubt = attempt.noted[0]
        for value in doubt.values:
            if len(choices) >= MOST_CHOICES:
                return
            assumed = {**settled, doubt.key: value}
            taught = Habit(doubt.key, value) if doubt.taught and habit is None else habit
            known = attempt.settled(doubt.key, value) or self._attempt(assumed, doubt.key)
            self._choose(known, assumed, choices, taught, depth - 1)

    def _attempt(self, settled: Mapping[str, str], changed: str = "") -> _Attempt:
        doubts = Doubts(settled)
        if self._kept is not None:
            self._kept.changed = changed
        statement = Statement(self._text, self._context, doubts, self._ignored, self._kept)
        outcome: Command | Refused
        try:
            outcome = statement.command(self._tokens)
        except Refused as refused:
            outcome = refused
        return _Attempt(outcome, tuple(doubts.noted), tuple(statement.respelt))

    def _problem(self, refused: Refused) -> Problem:
        text = self._text
        span = text.span(refused.start, refused.end)
        remedy = "help" if refused.kind is ProblemKind.UNKNOWN else None
        if refused.instead is not None:
            remedy = text.typed[: span.start] + refused.instead + text.typed[span.end :]
            if not refused.instead:
                remedy = remedy.strip(" ,;:\n") or None  # what stood there is left out
        return Problem(refused.kind, text.typed, span, remedy, refused.detail)
