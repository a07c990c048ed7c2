"""Messages: one text to a command, a question or a problem, with the warning signs in it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from core.domain.commands import Choice, Command, Doubt, Habit, LogSets, Question, Reading, Respelt, Warned
from core.domain.problems import Problem, ProblemKind, Span
from core.domain.sets import MOST_SETS, SetRead
from core.domain.units import Unit
from core.notation.canonical import canonical as canonical
from core.notation.cells import Builder
from core.notation.doubts import Doubts, Open, Refused
from core.notation.entries import Entry
from core.notation.expansion import Expansion, Told
from core.notation.naming import Namer
from core.notation.parts import parts
from core.notation.scanner import Scanner
from core.notation.sense import Sense
from core.notation.tokens import LONGEST_TEXT, Kind, Text, Token, folded, tokens
from core.notation.words import Names

MOST_CHOICES = 6
"""Most readings offered for one text: more are no help on a phone."""

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
    """What a text says; total, never raises, in time linear in its length."""
    ready = folded(text)
    marked = tokens(ready)
    return _settled(ready, marked, context)


def _settled(text: Text, marked: Sequence[Token], context: Context) -> Reading:
    attempt = _attempt(text, marked, context, context.habits)
    if not attempt.open:
        outcome = attempt.outcome
        if isinstance(outcome, Refused):
            return Reading(_problem(text, outcome, context))
        return Reading(outcome, (), attempt.respelt)
    return _asked(text, marked, context, attempt)


@dataclass(frozen=True, slots=True)
class _Attempt:
    outcome: Command | Refused
    open: tuple[Open, ...]
    respelt: tuple[Respelt, ...]


def _attempt(text: Text, marked: Sequence[Token], context: Context, settled: Mapping[str, str]) -> _Attempt:
    doubts = Doubts(settled)
    namer = Namer(text, context.names, doubts, context.exercise)
    outcome: Command | Refused
    try:
        outcome = LogSets(tuple(_sets(text, marked, context, doubts, namer)))
    except Refused as refused:
        outcome = refused
    return _Attempt(outcome, tuple(doubts.noted), tuple(namer.respelt))


def _sets(text: Text, marked: Sequence[Token], context: Context, doubts: Doubts, namer: Namer) -> list[SetRead]:
    pieces = Scanner(text, marked, context.names, ()).scan()
    told: list[Told] = []
    current = context.exercise
    for part in parts(pieces, namer, doubts):
        name = part.named.exercise if part.named is not None else None
        lift = context.names.known(name or current) if (name or current) else None
        sense = Sense(lift, context.bar_kg, context.unit)
        entry = Entry(sense, doubts, planned=context.planned_load, named=name is not None)
        drafts = entry.drafts(Builder().built(part.pieces))
        told.extend(Expansion(name, sense, doubts).sets(drafts))
        current = name or current
    if not told:
        raise Refused(ProblemKind.UNKNOWN, 0, len(text.folded))
    if len(told) > MOST_SETS:
        raise Refused(ProblemKind.TOO_MANY_SETS, told[MOST_SETS].start, told[-1].end, detail=str(MOST_SETS))
    return [each.read for each in told]


def _asked(text: Text, marked: Sequence[Token], context: Context, first: _Attempt) -> Reading:
    choices: list[Choice] = []
    respelt = first.respelt
    doubt = first.open[0]
    for value in doubt.values:
        settled = {**context.habits, doubt.key: value}
        attempt = _attempt(text, marked, context, settled)
        if isinstance(attempt.outcome, Refused):
            continue
        habit = Habit(doubt.key, value) if doubt.taught else None
        choices.append(Choice(attempt.outcome, habit))
    if not choices:
        assert isinstance(first.outcome, Refused)
        return Reading(_problem(text, first.outcome, context))
    if len({choice.command for choice in choices}) == 1:
        return Reading(choices[0].command, (), respelt)
    span = text.span(doubt.start, doubt.end)
    return Reading(Question(doubt.doubt, text.typed, span, tuple(choices[:MOST_CHOICES])), (), respelt)


def _problem(text: Text, refused: Refused, context: Context) -> Problem:
    span = text.span(refused.start, refused.end)
    remedy = None
    if refused.instead is not None:
        remedy = text.typed[: span.start] + refused.instead + text.typed[span.end :]
    return Problem(refused.kind, text.typed, span, remedy, refused.detail)
