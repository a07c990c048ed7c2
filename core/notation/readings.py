"""Readings: what short texts of sets were read as before, so that they need not be read again."""

from core.domain.commands import LogSets, Reading
from core.notation.context import Context
from core.notation.messages import read

LONGEST = 40
"""Longest text whose reading is kept. [characters] Longer ones are seldom typed twice."""

MOST = 4096
"""Most readings that are kept; then they are begun anew. [readings] About two megabytes."""

_Key = tuple[object, ...]

_known: dict[_Key, Reading] = {}


def reading_of(text: str, context: Context) -> Reading:
    """What `read` says of a text; straight sets and lifters of like strength write the same line again and again.

    A reading depends on the text and its context alone, so one is as good as the next. Only sets are kept: a text with a
    warning sign, a question or anything personal in it leaves nothing behind.

    >>> from core.notation.words import catalogue_names
    >>> context = Context(names=catalogue_names())
    >>> reading_of("bench 80x5", context) is reading_of("bench 80x5", context)
    True

    """
    if len(text) > LONGEST or context.names.own:
        return read(text, context)
    key = (
        text,
        tuple(context.habits.items()),
        context.unit,
        context.bar_kg,
        context.exercise,
        context.planned_load,
        context.asked,
    )
    known = _known.get(key)
    if known is not None:
        return known
    reading = read(text, context)
    if isinstance(reading.outcome, LogSets) and not reading.warned:
        if len(_known) >= MOST:
            _known.clear()
        _known[key] = reading
    return reading
