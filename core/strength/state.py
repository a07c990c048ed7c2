"""The state of a family: what is kept of a plain lift and its variations, and its one line of text."""

import json
from dataclasses import dataclass

from core.strength.belief import SIZE, Belief

VERSION = 1
"""Number of the model that a state belongs to; one of another number is worth nothing and is computed again."""


@dataclass(frozen=True, slots=True)
class Tie:
    """How far a variation goes with its plain lift.

    Args:
        log_mean: Level of the plain lift when the variation was last revised. [1]
        variance: Its variance then. [1]
        covariance: Of the two levels. [1]

    """

    log_mean: float
    variance: float
    covariance: float


@dataclass(frozen=True, slots=True)
class Track:
    """What is known of one lift.

    Args:
        lift: Name.
        leg_dominant: Chooses the published curve.
        day: Time of the first set of the last session, counted from 1970 in UTC. [days]
        session: Session of the last set.
        sets: Work sets of that session so far. [sets]
        evidence: Sets taken as evidence so far. [sets]
        stray_sets: Sets in a row that were far off on one side, negative where they were too heavy. [sets]
        stray_sessions: Sessions that they belong to. [sessions]
        belief: The eight quantities.
        tie: To the plain lift, for a variation that has met it.

    """

    lift: str
    leg_dominant: bool
    day: float
    session: str
    sets: int
    evidence: int
    stray_sets: int
    stray_sessions: int
    belief: Belief
    tie: Tie | None = None


@dataclass(frozen=True, slots=True)
class FamilyState:
    """Everything kept of a plain lift and its variations; constant in size, however many sets there were.

    Args:
        tracks: One for each lift that was done.

    """

    tracks: tuple[Track, ...] = ()

    def track(self, lift: str) -> Track | None:
        """What is known of one lift, if it was done."""
        for track in self.tracks:
            if track.lift == lift:
                return track
        return None

    def text(self) -> str:
        """The state as one line of JSON; `state_from` gives back exactly the same state."""
        return json.dumps([VERSION, *[_listed(track) for track in self.tracks]], separators=(",", ":"))


def state_from(text: str) -> FamilyState:
    """State that `FamilyState.text` wrote.

    Raises:
        ValueError: The text is none that it wrote, or belongs to another version of the model.

    """
    read: object = json.loads(text)
    version, *tracks = _list(read)
    if version != VERSION:
        raise ValueError(f"a state of version {version}, not {VERSION}")
    return FamilyState(tuple([_track(track) for track in tracks]))


def _listed(track: Track) -> list[object]:
    rows, tie = track.belief.covariance, track.tie
    return [
        track.lift,
        track.leg_dominant,
        track.day,
        track.session,
        [track.sets, track.evidence, track.stray_sets, track.stray_sessions],
        track.belief.mean,
        [rows[place][other] for place in range(SIZE) for other in range(place, SIZE)],
        None if tie is None else [tie.log_mean, tie.variance, tie.covariance],
    ]


def _track(value: object) -> Track:
    lift, leg_dominant, day, session, counts, mean, half, tie = _list(value)
    if not (isinstance(lift, str) and isinstance(session, str) and isinstance(leg_dominant, bool)):
        raise ValueError("not a state of a family")
    if not isinstance(day, float):
        raise ValueError("not a state of a family")
    flat = iter(_numbers(half))
    rows = [[0.0] * SIZE for _ in range(SIZE)]
    for place in range(SIZE):
        for other in range(place, SIZE):
            rows[place][other] = rows[other][place] = next(flat)
    sets, evidence, stray_sets, stray_sessions = [each for each in _list(counts) if isinstance(each, int)]
    return Track(
        lift,
        leg_dominant,
        day,
        session,
        sets,
        evidence,
        stray_sets,
        stray_sessions,
        Belief(tuple(_numbers(mean)), tuple([tuple(row) for row in rows])),
        None if tie is None else Tie(*_numbers(tie)),
    )


def _list(value: object) -> list[object]:
    if not isinstance(value, list):
        raise ValueError("not a state of a family")
    return value


def _numbers(value: object) -> list[float]:
    numbers = [number for number in _list(value) if isinstance(number, float)]
    if len(numbers) != len(_list(value)):
        raise ValueError("not a state of a family")
    return numbers
