"""Strength now: what planning asks of the estimate, from the lifter's states of this turn or before a session."""

from dataclasses import dataclass, field
from datetime import date

from core.application.standing import standing_from
from core.application.turn import Turn
from core.domain.exercises import Exercise
from core.planning.ports import Known
from core.strength import estimate as strength
from core.strength.evidence import Lift


@dataclass(frozen=True, slots=True)
class StrengthNow:
    """How strong the lifter of a turn is at its time; loads as they are told, without body mass.

    A lift that moves body mass is known only where body mass is.

    Args:
        turn: The turn.
        before: The session from before which the states are taken; None for as they stand now.

    """

    turn: Turn
    before: int | None = None
    _states: dict[str, strength.FamilyState] = field(default_factory=dict, compare=False)

    def estimate(self, exercise: Exercise) -> Known | None:
        """The estimated maximum and its interval."""
        body_kg = self._body_kg(exercise)
        lift = Lift.of(exercise)
        found = strength.estimate(self._state(lift.family), lift, self.turn.at)
        if found is None or body_kg is None:
            return None
        return Known(
            estimate_kg=found.mean_kg - body_kg,
            low_kg=found.low_kg - body_kg,
            high_kg=found.high_kg - body_kg,
            body_kg=body_kg,
        )

    def load_kg(self, exercise: Exercise, *, reps: float, left: float, sets: int) -> float | None:
        """Load, as it is told, with which the last of some equal sets leaves so many repetitions. [kg]"""
        body_kg = self._body_kg(exercise)
        lift = Lift.of(exercise)
        found = strength.load_for(self._state(lift.family), lift, self.turn.at, repetitions=reps, left=left, sets=sets)
        return None if found is None or body_kg is None else found - body_kg

    def expected_left(self, exercise: Exercise, *, load_kg: float, reps: int, set_number: int) -> float | None:
        """Repetitions that the lifter is expected to report as left after a set, 1 being the first. [repetitions]"""
        body_kg = self._body_kg(exercise)
        if body_kg is None or load_kg + body_kg <= 0:
            return None
        lift = Lift.of(exercise)
        return strength.expected_left(
            self._state(lift.family),
            lift,
            self.turn.at,
            load_kg=load_kg + body_kg,
            repetitions=reps,
            set_number=set_number,
        )

    def implied_kg(self, exercise: Exercise, *, load_kg: float, reps: int, left: float) -> float | None:
        """Maximum that a set alone implies, as it is told. [kg]"""
        body_kg = self._body_kg(exercise)
        lift = Lift.of(exercise)
        state = self._state(lift.family)
        if body_kg is None or load_kg + body_kg <= 0 or strength.estimate(state, lift, self.turn.at) is None:
            return None
        share = strength.share(state, lift, self.turn.at, repetitions=reps, left=left)
        return (load_kg + body_kg) / share - body_kg

    def low_kg(self, exercise: Exercise) -> float | None:
        """Lower end of the interval of the estimated maximum. [kg]"""
        known = self.estimate(exercise)
        return None if known is None else known.low_kg

    def _state(self, family: str) -> strength.FamilyState:
        if self.before is None:
            return self.turn.standing(family).state
        found = self._states.get(family)
        if found is None:
            found = self._before(family)
            self._states[family] = found
        return found

    def _before(self, family: str) -> strength.FamilyState:
        """The state before the session's first set of a family; as it stands where there was none yet."""
        checkpoint = self.turn.work.estimates.last_checkpoint(self.turn.lifter.id, family)
        if checkpoint is not None and checkpoint.session_id == self.before:
            return standing_from(checkpoint.state).state
        return self.turn.standing(family).state

    def _body_kg(self, exercise: Exercise) -> float | None:
        if exercise.body_share == 0:
            return 0.0
        mass = self.turn.lifter.body_mass_kg
        return None if mass is None else exercise.body_share * mass


@dataclass(frozen=True, slots=True)
class StrengthAfresh:
    """How strong the lifter of a turn is, as far as lifts done since a day tell; of all others nothing is known."""

    turn: Turn
    since: date

    def estimate(self, exercise: Exercise) -> Known | None:
        """The estimated maximum and its interval."""
        return StrengthNow(self.turn).estimate(exercise) if self._done_since(exercise) else None

    def load_kg(self, exercise: Exercise, *, reps: float, left: float, sets: int) -> float | None:
        """Load, as it is told, with which the last of some equal sets leaves so many repetitions. [kg]"""
        if not self._done_since(exercise):
            return None
        return StrengthNow(self.turn).load_kg(exercise, reps=reps, left=left, sets=sets)

    def expected_left(self, exercise: Exercise, *, load_kg: float, reps: int, set_number: int) -> float | None:
        """Repetitions that the lifter is expected to report as left after a set, 1 being the first. [repetitions]"""
        if not self._done_since(exercise):
            return None
        return StrengthNow(self.turn).expected_left(exercise, load_kg=load_kg, reps=reps, set_number=set_number)

    def _done_since(self, exercise: Exercise) -> bool:
        recent = self.turn.work.sets.recent_sessions(self.turn.lifter.id, exercise.name, limit=1)
        return bool(recent) and recent[0][0] >= self.since
