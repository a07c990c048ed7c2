"""Splitting: a text too long for one message as several, cut where a reader would pause."""

import re
from collections.abc import Iterator

from wcwidth import iter_graphemes

from bot.delivery.connector import Limits, Measure

WHOLE = re.compile(r"https?://\S+|`[^`\n]+`")
"""What is cut only where it is longer than a message: an address of the web, a command to copy."""

LEAST_FILLED = 0.5
"""A cut at a line's end is taken from this share of a message on; before it a later, less fitting one is better."""


def size(text: str, measure: Measure) -> int:
    """Size of a text as a platform counts it. [`measure`]

    >>> size("80 × 5", Measure.UTF16_UNITS), size("80 × 5", Measure.BYTES), size("🏋", Measure.UTF16_UNITS)
    (6, 7, 2)

    """
    if text.isascii():
        return len(text)
    match measure:
        case Measure.UTF16_UNITS:
            return len(text) + sum(character > "\uffff" for character in text)
        case Measure.BYTES:
            return len(text.encode())


def parts(text: str, limits: Limits) -> list[str]:
    """A text as messages that a platform takes, in order; the blanks at the cuts are left out.

    It is cut between paragraphs where it can be, else between lines, words, or user-perceived characters; inside one
    of those only if it is longer than a message by itself.

    Source:
        Unicode UAX #29 for user-perceived characters.

    """
    if size(text, limits.measure) <= limits.size:
        return [text]
    found: list[str] = []
    rest = text
    while size(rest, limits.measure) > limits.size:
        cut = _cut(rest, limits)
        head = rest[:cut].rstrip()
        if head:
            found.append(head)
        rest = rest[cut:].lstrip("\n ")
    if rest.strip():
        found.append(rest)
    return found


def _cut(text: str, limits: Limits) -> int:
    """Place to cut at, after 1 or more characters."""
    whole = _places_between_characters(text, limits)
    if not whole:
        return _fitting_alone(text, limits)
    most = whole[-1]
    # One character more, for a piece that ends just where the message does.
    pieces = [found.span() for found in WHOLE.finditer(text, 0, min(len(text), most + limits.size))]
    good = set(whole)
    for start, end in pieces:
        good.difference_update(range(start + 1, end))
    least = max(1, int(most * LEAST_FILLED))
    for between in ("\n\n", "\n", " "):
        for place in _places_before(text, between, most):
            if place < least:
                break
            if place in good:
                return place
    # Nothing to pause at: before a piece that would be cut, if it fits into a message by itself.
    for start, end in pieces:
        if 0 < start < most < end and end - start <= limits.size and start in good:
            return start
    return most


def _places_between_characters(text: str, limits: Limits) -> list[int]:
    """Places between user-perceived characters that leave no more than fits before them."""
    places: list[int] = []
    place = 0
    taken = 0
    # Each character is 1 or more units, so no more of them than units can fit.
    for grapheme in iter_graphemes(text[: limits.size + 1]):
        taken += size(grapheme, limits.measure)
        if taken > limits.size:
            break
        place += len(grapheme)
        places.append(place)
    return places


def _fitting_alone(text: str, limits: Limits) -> int:
    """Code points that fit of one user-perceived character, of which hostile ones have thousands; at least 1."""
    taken = 0
    for place, character in enumerate(text):
        taken += size(character, limits.measure)
        if taken > limits.size:
            return max(1, place)
    return len(text)


def _places_before(text: str, between: str, most: int) -> Iterator[int]:
    """Places before a separator, the last first, that leave no more than fits before them."""
    end = most + len(between)
    while (found := text.rfind(between, 0, end)) > 0:
        yield found
        end = found + len(between) - 1
