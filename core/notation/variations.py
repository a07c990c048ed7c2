"""Variations: words that make another lift of a plain one wherever they stand."""

from collections.abc import Mapping, Sequence

VARIATIONS: Mapping[tuple[str, ...], str] = {
    ("paused",): "paused",
    ("pause",): "paused",
    ("with", "pause"): "paused",
    ("with", "a", "pause"): "paused",
    ("touch", "and", "go"): "touch and go",
    ("touch", "&", "go"): "touch and go",
    ("touch", "n", "go"): "touch and go",
    ("touch", "go"): "touch and go",
    ("t", "g"): "touch and go",
    ("tng",): "touch and go",
    ("close", "grip"): "close grip",
    ("narrow", "grip"): "close grip",
    ("cg",): "close grip",
    ("wide", "grip"): "wide grip",
    ("wg",): "wide grip",
    ("reverse", "grip"): "reverse grip",
    ("neutral", "grip"): "neutral grip",
    ("tempo",): "tempo",
    ("with", "band"): "banded",
    ("banded",): "banded",
    ("band",): "banded",
    ("with", "chain"): "chain",
    ("chain",): "chain",
    ("from", "pin"): "pin",
    ("off", "pin"): "pin",
    ("pin",): "pin",
    ("feet", "up"): "feet up",
    ("long", "pause"): "long paused",
    ("dead", "stop"): "dead stop",
    ("deficit",): "deficit",
    ("1", "board"): "1 board",
    ("2", "board"): "2 board",
    ("3", "board"): "3 board",
    ("assisted",): "assisted",
    ("with", "dumbbell"): "dumbbell",
    ("with", "db"): "dumbbell",
    ("with", "barbell"): "barbell",
    ("with", "cable"): "cable",
    ("with", "machine"): "machine",
    ("with", "kettlebell"): "kettlebell",
}
"""Words, folded, that make another lift of a plain one wherever they stand, and how they stand in its name."""

LONGEST = max(map(len, VARIATIONS))
"""Most words of a variation."""


def variations_in(words: Sequence[str]) -> tuple[list[str], list[int]]:
    """Variations told in a run of folded words, and the places of its other words.

    >>> variations_in(["bench", "with", "pause"])
    (['paused'], [0])

    """
    told: list[str] = []
    rest: list[int] = []
    place = 0
    while place < len(words):
        for size in range(min(LONGEST, len(words) - place), 0, -1):
            variation = VARIATIONS.get(tuple(words[place : place + size]))
            if variation is not None:
                if variation not in told:
                    told.append(variation)
                place += size
                break
        else:
            rest.append(place)
            place += 1
    return told, rest
