"""Messages: one text to a command, a question or a problem, with the warning signs in it."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from core.domain.commands import Command, Done, Help, LogSets, Reading, Undo, Week
from core.domain.problems import Problem, ProblemKind, Span
from core.domain.sets import SetRead
from core.domain.units import Unit
from core.notation.words import Names

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
    plain = {"undo": Undo(), "done": Done(), "week": Week(), "help": Help()}
    if command := plain.get(text.strip().lower()):
        return Reading(command)
    found = re.fullmatch(r"\s*([a-zA-Z ]*?)\s*(\d{1,4}(?:\.\d{1,2})?)\s*[x×]\s*(\d{1,2})(?:\s*rir\s*(\d))?\s*", text)
    if found is None:
        return Reading(Problem(ProblemKind.UNKNOWN, text, Span(0, len(text)), remedy="help"))
    words, load, reps, rir = found.groups()
    lift = context.names.named(words) if words else None
    name = lift.name if lift else words or None
    one = SetRead(exercise=name, load=float(load), reps=int(reps), rir=float(rir) if rir else None)
    return Reading(LogSets((one,)))


def canonical(command: Command) -> str:
    """The one text that stands for a command; reading it gives the command back."""
    match command:
        case LogSets(sets=(one,)):
            left = "" if one.rir is None else f" rir {one.rir:g}"
            return f"{one.exercise or ''} {one.load:g} x {one.reps}{left}".strip()
        case _:
            return type(command).__name__.lower()
