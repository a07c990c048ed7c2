"""Standing: the state of a family of lifts, with the place in the log up to which it reaches."""

import json
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from core.strength import estimate as strength

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)

_MICROSECOND = timedelta(microseconds=1)

Position = tuple[datetime, str, int]
"""Time, key of the message and place in it: what puts sets in order."""


@dataclass(frozen=True, slots=True)
class Standing:
    """State of a family of lifts with the position of the last set in it.

    Args:
        state: The state.
        through: Position of the last set in it; None before any.
        session_id: Session of that set.
        outdated: The text was written by an earlier version of the estimate: all sets have to be taken in again.

    """

    state: strength.FamilyState
    through: Position | None
    session_id: int = 0
    outdated: bool = False

    def text(self) -> str:
        """One line that `standing_from` reads back."""
        if self.through is None:
            return f"||0|{self.state.text()}"
        at, key, place = self.through
        return f"{(at - _EPOCH) // _MICROSECOND}|{self.session_id}|{place}|{json.dumps(key)}{self.state.text()}"


MOST = 1024
"""Standings that were written last, which are kept as they were; then they are begun anew. [standings]"""

_written: dict[str, Standing] = {}


def written(standing: Standing) -> str:
    """One line of a standing; `standing_from` knows it without reading it, for the next set is seldom far."""
    text = standing.text()
    if len(_written) >= MOST:
        _written.clear()
    _written[text] = standing
    return text


def standing_from(text: str | None) -> Standing:
    """The standing that `Standing.text` wrote; one without any set for None."""
    if text is None:
        return Standing(strength.initial(), None)
    known = _written.get(text)
    return _read(text) if known is None else known


def _read(text: str) -> Standing:
    at, session_id, place, rest = text.split("|", 3)
    if not at:
        return Standing(strength.initial(), None)
    key, end = json.JSONDecoder().raw_decode(rest)
    try:
        state = strength.state_from(rest[end:])
    except ValueError:
        return Standing(strength.initial(), None, outdated=True)
    return Standing(state, (_EPOCH + int(at) * _MICROSECOND, str(key), int(place)), int(session_id))
