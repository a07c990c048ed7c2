"""Check-ins: how a week felt, in five answers, with pain and body mass where told."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from enum import StrEnum
from math import isfinite
from types import MappingProxyType

from core.domain.exercises import Muscle

WORST_ANSWER = 1
"""Lowest answer, the worst. [1] McLean et al. 2010, IJSPP 5:367-383."""

BEST_ANSWER = 5
"""Highest answer, the best. [1] McLean et al. 2010, IJSPP 5:367-383."""

LEAST_BODY_MASS_KG = 20.0
"""Least body mass that is stored. [kg] Below it a slip or the wrong unit is likelier."""

MOST_BODY_MASS_KG = 400.0
"""Most body mass that is stored. [kg] Above it a slip is likelier."""


class Item(StrEnum):
    """One of the five questions, named so that more is better: 1 is the worst, 5 the best.

    McLean et al. 2010 ask for fatigue, sleep quality, muscle soreness, stress and mood on a scale with 5 the best;
    `ENERGY` is their fatigue, `MUSCLES` their soreness and `CALM` their stress.
    """

    ENERGY = "energy"
    SLEEP = "sleep"
    MUSCLES = "muscles"
    CALM = "calm"
    MOOD = "mood"


class Ache(StrEnum):
    """What an ache does to training, from the least to the most serious."""

    FADES = "fades as I warm up"
    CHANGES_LIFTING = "changes how I lift"
    SHARP = "sharp, sudden or numb"


class Place(StrEnum):
    """Where it hurts; the chest itself is not among them, because pain there is a warning sign."""

    NECK = "neck"
    SHOULDER = "shoulder"
    ELBOW = "elbow"
    WRIST = "wrist"
    UPPER_BACK = "upper back"
    LOWER_BACK = "lower back"
    HIP = "hip"
    KNEE = "knee"
    ANKLE = "ankle"
    ELSEWHERE = "elsewhere"


@dataclass(frozen=True, slots=True)
class Pain:
    """One thing that hurts."""

    place: Place
    ache: Ache


class Tag(StrEnum):
    """What a lifter says about a week; it explains a dip and neither adds nor cuts sets by itself."""

    SICK = "sick"
    TRAVEL = "travel"
    NIGHTS = "nights"
    CUTTING = "cutting"


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckIn:
    """One week's check-in; any part of it may be missing, and it can be changed until its week ends.

    Args:
        week: First day of the week that it is about.
        answers: Answers from 1, the worst, to 5, the best. [1]
        pains: What hurts; empty for nothing, None where it was not answered.
        body_mass_kg: Optional. [kg]

    Raises:
        ValueError: An answer, a place told twice, or a body mass that cannot be.

    """

    week: date
    answers: Mapping[Item, int] = field(default_factory=dict)
    pains: tuple[Pain, ...] | None = None
    body_mass_kg: float | None = None

    def __post_init__(self) -> None:
        for item, answer in self.answers.items():
            if isinstance(answer, bool) or answer not in range(WORST_ANSWER, BEST_ANSWER + 1):
                raise ValueError(f"{item}: an answer lies between {WORST_ANSWER} and {BEST_ANSWER}, not {answer}")
        if self.pains and len({pain.place for pain in self.pains}) != len(self.pains):
            raise ValueError("a place is told once")
        mass = self.body_mass_kg
        if mass is not None and not (isfinite(mass) and LEAST_BODY_MASS_KG <= mass <= MOST_BODY_MASS_KG):
            raise ValueError(f"not a body mass: {mass} kg")
        # A frozen dataclass sets what it derives from its own arguments in this way only.
        object.__setattr__(self, "answers", MappingProxyType(dict(self.answers)))

    @property
    def unanswered(self) -> tuple[Item, ...]:
        """The questions still open, in the order in which they are asked."""
        return tuple(item for item in Item if item not in self.answers)

    def with_answer(self, item: Item, answer: int) -> "CheckIn":
        """The same check-in with one question answered, whether it was open or not."""
        return replace(self, answers={**self.answers, item: answer})


_SHOULDER_MUSCLES = frozenset(
    {
        Muscle.CHEST,
        Muscle.FRONT_SHOULDERS,
        Muscle.SIDE_SHOULDERS,
        Muscle.REAR_SHOULDERS,
        Muscle.TRICEPS,
        Muscle.BICEPS,
        Muscle.LATS,
        Muscle.UPPER_BACK,
    }
)

_HIP_MUSCLES = frozenset(
    {Muscle.GLUTES, Muscle.QUADRICEPS, Muscle.HAMSTRINGS, Muscle.ADDUCTORS, Muscle.ABS, Muscle.LOWER_BACK}
)

MUSCLES_AT: Mapping[Place, frozenset[Muscle]] = MappingProxyType(
    {
        Place.NECK: frozenset({Muscle.UPPER_BACK, Muscle.SIDE_SHOULDERS, Muscle.FRONT_SHOULDERS}),
        Place.SHOULDER: _SHOULDER_MUSCLES,
        # What is pressed, pulled or held loads elbow and wrist, whether the muscle crosses them or not.
        Place.ELBOW: _SHOULDER_MUSCLES | {Muscle.FOREARMS},
        Place.WRIST: _SHOULDER_MUSCLES | {Muscle.FOREARMS},
        Place.UPPER_BACK: frozenset({Muscle.UPPER_BACK, Muscle.LATS, Muscle.REAR_SHOULDERS, Muscle.LOWER_BACK}),
        Place.LOWER_BACK: _HIP_MUSCLES,
        Place.HIP: _HIP_MUSCLES,
        Place.KNEE: frozenset({Muscle.QUADRICEPS, Muscle.HAMSTRINGS, Muscle.GLUTES, Muscle.CALVES}),
        Place.ANKLE: frozenset({Muscle.CALVES, Muscle.QUADRICEPS}),
        Place.ELSEWHERE: frozenset(Muscle),
    }
)
"""Muscles whose training loads a place: those that cross it or are trained through it. Convention after anatomy; where
the place is not named, all of them."""
