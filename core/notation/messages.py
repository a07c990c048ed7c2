"""Messages: one text to a command, a question or a problem, with the warning signs in it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from core.domain.commands import (
    AllWell,
    Choice,
    Command,
    Fix,
    Habit,
    LogSets,
    Pain,
    Question,
    Reading,
    Respelt,
    Same,
    Unwell,
)
from core.domain.problems import Problem, ProblemKind, Span
from core.domain.sets import MOST_SETS, SetRead
from core.domain.units import Unit
from core.notation.canonical import canonical as canonical  # both sides of the notation are found here
from core.notation.cells import Builder
from core.notation.commas import with_decimals
from core.notation.dates import Day, day_told
from core.notation.doubts import Doubts, Open, Refused
from core.notation.entries import Entry
from core.notation.expansion import Expansion, Told
from core.notation.naming import Namer
from core.notation.parts import parts
from core.notation.requests import Asking, request_in
from core.notation.scanner import pieces_of
from core.notation.sense import Sense
from core.notation.signs import signs_in
from core.notation.tokens import LONGEST_TEXT, Kind, Text, Token, folded, tokens
from core.notation.units import with_units
from core.notation.words import Names

MOST_CHOICES = 6
"""Most readings offered for one text: more are no help on a phone."""

DEEPEST = 3
"""Most doubts of one text whose answers are combined; further ones take their likeliest value."""

MOST_NUMBERS = 250
"""Most numbers of a text that may be sets: 30 sets with load, repetitions, effort, rest and their own number have 150."""

MOST_TOKENS = 800
"""Most words, numbers and signs of a text that is read: 4,000 characters of prose have about 750."""

LONG_TEXT = 150
"""Texts with more tokens than this are asked about one doubt only, so that the question comes in time. [tokens]"""

NO_HABITS: Mapping[str, str] = {}


@dataclass(frozen=True, slots=True, kw_only=True)
class Context:
    """All that reading may depend on; no clock.

    Args:
        names: Exercises that this lifter can name.
        habits: What answers taught about how this lifter writes.
        unit: The unit this lifter told or chose; None if they never did.
        bar_kg: Weight of the lifter's bar. [kg]
        exercise: What a set without a name belongs to; None if nothing is known.
        planned_load: A planned load stands, so that `8 @ 2` has a load.

    """

    names: Names
    habits: Mapping[str, str] = field(default_factory=lambda: NO_HABITS)
    unit: Unit | None = None
    bar_kg: float = 20.0
    exercise: str | None = None
    planned_load: bool = False


def read(text: str, context: Context) -> Reading:
    """What a text says; total, never raises, in time linear in its length.

    >>> from core.notation.words import catalogue_names
    >>> canonical(read("bench 80kg x5 RIR2", Context(names=catalogue_names())).outcome)
    'bench press 80 kg x 5 rir 2'

    """
    ready = folded(text[:LONGEST_TEXT])
    found = tokens(ready)
    seen = signs_in(found)
    warned = tuple([each.warned(ready) for each in seen])
    if (problem := _unreadable(text, found)) is not None:
        return Reading(problem, warned)
    reading = _Reader(ready, found, context, [(each.start, each.end) for each in seen]).reading()
    outcome = reading.outcome
    if isinstance(outcome, Problem):
        outcome = _with_remedy(outcome, context)
    elif isinstance(outcome, Pain | AllWell | Unwell):
        warned = ()  # the answer to a question about a sign is none itself
    return Reading(outcome, warned, reading.respelt)


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


def _with_remedy(problem: Problem, context: Context) -> Problem:
    """The problem, its remedy left out if it would not be accepted."""
    if problem.remedy is None:
        return problem
    ready = folded(problem.remedy)
    outcome = _Reader(ready, tokens(ready), context, ()).reading().outcome
    if isinstance(outcome, Problem) or len(problem.remedy) > LONGEST_TEXT:
        return replace(problem, remedy=None)
    return problem


@dataclass(frozen=True, slots=True)
class _Attempt:
    """One reading of a text under what is settled."""

    outcome: Command | Refused
    noted: tuple[Open, ...]
    respelt: tuple[Respelt, ...]


class _Reader:
    """Reads one text, under one set of assumptions after the other."""

    __slots__ = ("_context", "_ignored", "_text", "_tokens")

    def __init__(
        self, text: Text, found: Sequence[Token], context: Context, ignored: Sequence[tuple[int, int]]
    ) -> None:
        self._text = text
        self._tokens = found
        self._context = context
        self._ignored = ignored

    def reading(self) -> Reading:
        """What the text says, without its warning signs."""
        first = self._attempt(self._context.habits)
        if not first.noted:
            if isinstance(first.outcome, Refused):
                return Reading(self._problem(first.outcome), (), first.respelt)
            return Reading(first.outcome, (), first.respelt)
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
            self._choose(self._attempt(assumed), assumed, choices, taught, depth - 1)

    def _attempt(self, settled: Mapping[str, str]) -> _Attempt:
        doubts = Doubts(settled)
        respelt: list[Respelt] = []
        outcome: Command | Refused
        try:
            outcome = self._command(doubts, respelt)
        except Refused as refused:
            outcome = refused
        return _Attempt(outcome, tuple(doubts.noted), tuple(respelt))

    def _command(self, doubts: Doubts, respelt: list[Respelt]) -> Command:
        found = self._tokens
        if found[0].kind is Kind.SLASH:
            found = found[1:]  # as platforms write commands: `/help`
        context = self._context
        found = with_decimals(found, doubts)
        if found[0].kind is not Kind.NUMBER or found[1].text == "rm":
            asking = Asking(self._text, found, context.names, doubts, context.unit, respelt)
            if (command := request_in(asking)) is not None:
                return command
        first = found[0].text
        if first in _FIXES:
            behind = 2 if found[1].text in ("that", "it", "last", "to") or found[1].kind is Kind.COLON else 1
            return self._fix(found, behind, doubts, respelt)
        if first in _REPEATS:
            return self._same(found, doubts, respelt)
        return self._log(found, doubts, respelt)

    def _log(self, found: Sequence[Token], doubts: Doubts, respelt: list[Respelt]) -> Command:
        dated = day_told(found, doubts)
        day: Day | None = None
        if dated is not None:
            day = dated.day
            found = [*found[: dated.first], *found[dated.behind :]]
        told = self._sets(found, doubts, respelt)
        sets = tuple(each.read for each in told)
        if all(_only_effort(each) for each in sets):
            return Fix(sets[-1:])
        return LogSets(sets, day)

    def _fix(self, found: Sequence[Token], behind: int, doubts: Doubts, respelt: list[Respelt]) -> Command:
        first = found[0]
        if found[behind].kind is Kind.END:
            raise Refused(ProblemKind.COMMAND_INCOMPLETE, first.start, first.end)
        told = self._sets(found[behind:], doubts, respelt, partial=True)
        return Fix(tuple(each.read for each in told))

    def _same(self, found: Sequence[Token], doubts: Doubts, respelt: list[Respelt]) -> Command:
        at = 1
        times = 1
        while found[at].text in _REPEAT_FILLERS or found[at].kind is Kind.COMMA:
            at += 1
        if found[at - 1].text == "weight":
            pass  # `same weight x 8` tells repetitions
        elif found[at].kind is Kind.CROSS and found[at + 1].text.isdigit() and found[at + 2].kind is not Kind.CROSS:
            times, at = _times(found[at + 1]), at + 2
        elif (
            found[at].text.isdigit() and found[at + 1].text in ("x", "times") and found[at + 2].kind is not Kind.NUMBER
        ):
            times, at = _times(found[at]), at + 2
        if found[at].kind is Kind.END:
            return Same(times)
        told = self._sets(found[at:], doubts, respelt, partial=True)
        if len(told) != 1:
            raise Refused(ProblemKind.WORD_LEFT_OVER, told[1].start, told[-1].end)
        if told[0].read.failed and told[0].read.reps is None:
            raise Refused(ProblemKind.REPS_MISSING, found[at].start, told[0].end)
        return Same(times, told[0].read)

    def _sets(
        self, found: Sequence[Token], doubts: Doubts, respelt: list[Respelt], *, partial: bool = False
    ) -> list[Told]:
        context = self._context
        namer = Namer(self._text, context.names, doubts, context.exercise)
        pieces = pieces_of(self._text, found, context.names, self._ignored)
        told: list[Told] = []
        current = context.exercise
        named = None
        for part in parts(pieces, namer, doubts):
            named = part.named or named
            name = named.exercise if named is not None else None
            lift = context.names.known(name or current or "")
            sense = Sense(lift, context.bar_kg, context.unit)
            entry = Entry(sense, doubts, planned=context.planned_load or partial, named=name is not None)
            drafts = entry.drafts(Builder().built(part.pieces))
            told.extend(Expansion(name, sense, doubts, partial=partial).sets(drafts))
            if len(told) > MOST_SETS:
                raise Refused(ProblemKind.TOO_MANY_SETS, told[MOST_SETS].start, told[-1].end, detail=str(MOST_SETS))
            current = name or current
        respelt.extend(namer.respelt)
        if not told:
            if partial and named is not None:
                return [
                    Told(
                        SetRead(exercise=named.exercise),
                        None,
                        Sense(None, context.bar_kg, None),
                        named.start,
                        named.end,
                    )
                ]
            if named is not None and named.known:
                raise Refused(ProblemKind.REPS_MISSING, named.start, named.end)
            raise self._unknown(found)
        return with_units(told, doubts, context.unit)

    def _unknown(self, found: Sequence[Token]) -> Refused:
        spoken = [token for token in found if token.kind not in (Kind.END, Kind.LINE)]
        start = spoken[0].start if spoken else 0
        end = spoken[-1].end if spoken else len(self._text.folded)
        return Refused(ProblemKind.UNKNOWN, start, end)

    def _problem(self, refused: Refused) -> Problem:
        text = self._text
        span = text.span(refused.start, refused.end)
        remedy = "help" if refused.kind is ProblemKind.UNKNOWN else None
        if refused.instead is not None:
            remedy = text.typed[: span.start] + refused.instead + text.typed[span.end :]
        return Problem(refused.kind, text.typed, span, remedy, refused.detail)


_FIXES = frozenset({"fix", "correct", "correction", "change"})
_REPEATS = frozenset({"same", "again", "ditto", "repeat"})
_REPEAT_FILLERS = frozenset(
    {"again", "set", "but", "with", "weight", "as", "last", "before", "at", "for", "same", "now", "only"}
)


def _times(token: Token) -> int:
    if not 1 <= float(token.text) <= MOST_SETS:
        raise Refused(ProblemKind.TOO_MANY_SETS, token.start, token.end, detail=str(MOST_SETS))
    return int(token.text)


def _only_effort(one: SetRead) -> bool:
    told = one.rir is not None or one.rpe is not None
    return told and replace(one, rir=None, rpe=None, at_least=False) == SetRead()
