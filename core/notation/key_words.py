"""Key words: words of the notation that a slip of the thumb turned into others."""

from functools import lru_cache

from rapidfuzz.distance import OSA

from core.notation.vocabulary import COMMENTS, FILLERS
from core.notation.walk import KEYWORDS

_SHORT_SLIPS = {"ri": "rir", "rr": "rir", "ir": "rir", "rp": "rpe", "re": "rpe", "pe": "rpe"}
"""Slips that are too short to be known but by the number behind them."""

_MEANT = ("rir", "rpe", "reps", "sets", "failed", "warmup", "paused", "left", "amrap")


@lru_cache(maxsize=4096)
def near_key_word(word: str, *, counted: bool) -> str | None:
    """Word of the notation that this one is a slip of the thumb away from; None if none is.

    >>> near_key_word("rri", counted=False)
    'rir'

    """
    if len(word) < 3 or word in FILLERS or word in COMMENTS or word in KEYWORDS:
        return _SHORT_SLIPS.get(word) if counted else None
    for key in _MEANT:
        if abs(len(key) - len(word)) <= 1 and OSA.distance(word, key, score_cutoff=1) <= 1:
            return key
    return None
