"""The state of a family: what is kept of a plain lift and its variations, and its one line of text."""

import json
from binascii import a2b_base64, b2a_base64
from dataclasses import dataclass
from struct import Struct

from core.strength.belief import PAIRS, SIZE, Belief

VERSION = 6
"""Number of the model that a state belongs to; one of another number is worth nothing and is computed again."""

_IN_SHORT = json.JSONEncoder(separators=(",", ":"))


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
        sessions: Sessions so far. [sessions]
        sets: Work sets of that session so far. [sets]
        evidence: Sets taken as evidence so far. [sets]
        stray_sets: Sets in a row that were far off on one side, negative where they were too heavy. [sets]
        stray_sessions: Sessions that they belong to. [sessions]
        load_kg: Load of the last set. [kg]
        repetitions: Its repetitions. [repetitions]
        top_kg: Heaviest load of that session so far. [kg]
        top_repetitions: Most repetitions done with it. [repetitions]
        least: Natural logarithm of what its sets prove at the least, in kg; minus infinity where they prove nothing. [1]
        belief: The eight quantities.
        tie: To the plain lift, for a variation that has met it.

    """

    lift: str
    leg_dominant: bool
    day: float
    session: str
    sessions: int
    sets: int
    evidence: int
    stray_sets: int
    stray_sessions: int
    load_kg: float
    repetitions: int
    top_kg: float
    top_repetitions: int
    least: float
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

    def sets_in(self, session: str, lift: str) -> int:
        """Work sets of a lift so far in a session. [sets]"""
        track = self.track(lift)
        return track.sets if track is not None and track.session == session else 0

    def text(self) -> str:
        """The state as one line; `state_from` gives back exactly the same state."""
        return _IN_SHORT.encode([VERSION, *[_listed(track) for track in self.tracks]])


def state_from(text: str) -> FamilyState:
    """State that `FamilyState.text` wrote.

    Raises:
        ValueError: The text is none that it wrote, or belongs to another version of the model.

    """
    read: object = json.loads(text)
    if not isinstance(read, list) or not read or read[0] != VERSION:
        raise ValueError(f"not a state of version {VERSION}")
    return FamilyState(tuple([_track(track) for track in read[1:]]))


# Numbers are kept as the bytes of their doubles: shorter than in decimals, exact, and ten times as quick to read.
_PARTS = 5
_UNTIED = Struct(f"<{4 + SIZE + PAIRS}d")
_TIED = Struct(f"<{4 + SIZE + PAIRS + 3}d")


def _listed(track: Track) -> list[object]:
    belief, tie = track.belief, track.tie
    if tie is None:
        packed = _UNTIED.pack(track.day, track.load_kg, track.top_kg, track.least, *belief.mean, *belief.pairs)
    else:
        packed = _TIED.pack(
            track.day,
            track.load_kg,
            track.top_kg,
            track.least,
            *belief.mean,
            *belief.pairs,
            tie.log_mean,
            tie.variance,
            tie.covariance,
        )
    counts = [
        track.sessions,
        track.sets,
        track.evidence,
        track.stray_sets,
        track.stray_sessions,
        track.repetitions,
        track.top_repetitions,
    ]
    return [track.lift, track.leg_dominant, track.session, counts, b2a_base64(packed, newline=False).decode("ascii")]


def _track(value: object) -> Track:
    if not isinstance(value, list) or len(value) != _PARTS:
        raise ValueError("not a state of a family")
    lift, leg_dominant, session, counts, numbers = value
    if not (isinstance(lift, str) and isinstance(session, str) and isinstance(numbers, str)):
        raise ValueError("not a state of a family")
    packed = a2b_base64(numbers)
    tie = None
    if len(packed) == _TIED.size:
        read = _TIED.unpack(packed)
        tie = Tie(*read[-3:])
    elif len(packed) == _UNTIED.size:
        read = _UNTIED.unpack(packed)
    else:
        raise ValueError("not a state of a family")
    sessions, sets, evidence, stray_sets, stray_sessions, repetitions, top_repetitions = counts
    return Track(
        lift,
        bool(leg_dominant),
        read[0],
        session,
        sessions,
        sets,
        evidence,
        stray_sets,
        stray_sessions,
        read[1],
        repetitions,
        read[2],
        top_repetitions,
        read[3],
        Belief(read[4 : 4 + SIZE], read[4 + SIZE : 4 + SIZE + PAIRS]),
        tie,
    )
