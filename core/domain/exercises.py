"""The exercises a lifter may name: muscles, equipment, aliases and the catalogue of lifts."""

import math
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cache
from importlib.resources import files
from itertools import product
from types import MappingProxyType
from typing import NotRequired, TypedDict

from core.domain.names import fold

__all__ = ["Basis", "Catalogue", "Equipment", "Exercise", "Muscle", "Pattern", "catalogue", "fold"]

LONGEST_NAME = 60
"""Longest name or alias, the lifter's own included: two lines on a phone. [characters]"""

LARGEST_STEP_KG = 50.0
"""Largest loading step that is still a step: two of the heaviest usual discs. [kg]"""

LARGEST_RATIO = 3.0
"""Largest load of a variation relative to the plain lift; partial lifts stay far below it. [1]"""


class Muscle(StrEnum):
    """A muscle or group of muscles that weekly sets are counted for."""

    CHEST = "chest"
    FRONT_SHOULDERS = "front shoulders"
    SIDE_SHOULDERS = "side shoulders"
    REAR_SHOULDERS = "rear shoulders"
    TRICEPS = "triceps"
    BICEPS = "biceps"
    FOREARMS = "forearms"
    LATS = "lats"
    UPPER_BACK = "upper back"
    LOWER_BACK = "lower back"
    ABS = "abs"
    GLUTES = "glutes"
    QUADRICEPS = "quadriceps"
    HAMSTRINGS = "hamstrings"
    ADDUCTORS = "adductors"
    CALVES = "calves"


class Equipment(StrEnum):
    """What a lifter must have at hand for a lift."""

    BARBELL = "barbell"
    TRAP_BAR = "trap bar"
    SAFETY_BAR = "safety bar"
    DUMBBELL = "dumbbell"
    KETTLEBELL = "kettlebell"
    CABLE = "cable"
    MACHINE = "machine"
    GUIDED_BAR = "guided bar"
    BODYWEIGHT = "bodyweight"
    RINGS = "rings"
    BAND = "band"
    WHEEL = "wheel"
    PLATE = "plate"
    SLED = "sled"


class Pattern(StrEnum):
    """The movement of a lift, whatever it is loaded with."""

    HORIZONTAL_PRESS = "horizontal press"
    VERTICAL_PRESS = "vertical press"
    HORIZONTAL_PULL = "horizontal pull"
    VERTICAL_PULL = "vertical pull"
    SQUAT = "squat"
    HINGE = "hinge"
    LUNGE = "lunge"
    HIP_EXTENSION = "hip extension"
    HIP_ABDUCTION = "hip abduction"
    HIP_ADDUCTION = "hip adduction"
    KNEE_EXTENSION = "knee extension"
    KNEE_FLEXION = "knee flexion"
    CALF_RAISE = "calf raise"
    CHEST_FLY = "chest fly"
    PULLOVER = "pullover"
    SHOULDER_RAISE = "shoulder raise"
    REAR_SHOULDER_RAISE = "rear shoulder raise"
    SHOULDER_ROTATION = "shoulder rotation"
    SHRUG = "shrug"
    ELBOW_FLEXION = "elbow flexion"
    ELBOW_EXTENSION = "elbow extension"
    WRIST = "wrist"
    TRUNK = "trunk"
    CARRY = "carry"
    WHOLE_BODY = "whole body"


class Basis(StrEnum):
    """Where the choice of direct and indirect muscles comes from."""

    ANATOMY = "anatomy"
    CONVENTION = "convention"
    LIFTER = "lifter"


@dataclass(frozen=True, slots=True, kw_only=True)
class Exercise:
    """A lift of the catalogue or of one lifter: what it trains and how its load is told.

    Args:
        name: Lower case, unique in its catalogue; what the store keeps and JSON prints.
        aliases: Lower case, how lifters write it; empty for most of a lifter's own exercises.
        equipment: What must be at hand.
        pattern: Movement, whatever the load is.
        direct: Muscles for which a hard set counts 1; none known is allowed for a lifter's own exercise.
        indirect: Muscles for which a hard set counts 0.5.
        multi_joint: More than one joint moves under load.
        lower_body: Leg-dominant; chooses the repetition curve and the weekly step.
        basis: Where the choice of muscles comes from.
        one_side: Done one side at a time.
        per_hand: Two equal loads are moved at once and the load is told for one of them.
        body_share: Share of body mass moved beside the load, 0 where the told load is all that counts. [1]
        step_kg: Usual smallest loading step, of the load as it is told. [kg]
        variation_of: Catalogue name of the plain lift.
        ratio: Usual load relative to the plain lift, both as told and with their share of body mass; a prior only. [1]
        bar: Loaded on a full bar whose weight counts, so that "bar x 5" is a load and nothing is lighter.
        timed: Usually held for seconds.
        assisted: The load told is help and is taken off body mass.

    Raises:
        ValueError: A value that no exercise can have.

    """

    name: str
    aliases: tuple[str, ...] = ()
    equipment: Equipment
    pattern: Pattern
    direct: frozenset[Muscle]
    indirect: frozenset[Muscle] = frozenset()
    multi_joint: bool
    lower_body: bool
    basis: Basis = Basis.LIFTER
    one_side: bool = False
    per_hand: bool = False
    body_share: float = 0.0
    step_kg: float = 2.5
    variation_of: str | None = None
    ratio: float | None = None
    bar: bool = False
    timed: bool = False
    assisted: bool = False

    def __post_init__(self) -> None:
        for words in (self.name, *self.aliases):
            _refuse_unusable(words)
        if both := self.direct & self.indirect:
            raise ValueError(f"{self.name}: a muscle is direct or indirect, not both: {', '.join(sorted(both))}")
        if not 0.0 <= self.body_share <= 1.0:
            raise ValueError(f"{self.name}: a share of body mass lies between 0 and 1, not {self.body_share}")
        if not (math.isfinite(self.step_kg) and 0.0 < self.step_kg <= LARGEST_STEP_KG):
            raise ValueError(f"{self.name}: a loading step lies above 0 and up to {LARGEST_STEP_KG} kg")
        self._refuse_impossible_variation()
        if self.bar and self.per_hand:
            raise ValueError(f"{self.name}: a load on one bar is not told per hand")
        if self.assisted and self.body_share == 0.0:
            raise ValueError(f"{self.name}: help can only be taken off body mass that is moved")

    def _refuse_impossible_variation(self) -> None:
        if self.variation_of is not None:
            _refuse_unusable(self.variation_of)
            if fold(self.variation_of) == fold(self.name):
                raise ValueError(f"{self.name}: not a variation of itself")
        if self.ratio is None:
            return
        if self.variation_of is None:
            raise ValueError(f"{self.name}: a ratio needs the plain lift it refers to")
        if not (math.isfinite(self.ratio) and 0.0 < self.ratio <= LARGEST_RATIO):
            raise ValueError(f"{self.name}: a ratio lies above 0 and up to {LARGEST_RATIO}, not {self.ratio}")


@dataclass(frozen=True, slots=True)
class Catalogue:
    """Exercises that can be found by any way of writing their names; it never changes.

    Args:
        exercises: In the order in which they are shown.
        also_written: Other ways of writing a word or phrase wherever it stands in a name ("dumbbell": "db").

    Raises:
        ValueError: A name or alias that leads to two exercises, or a variation of what is not a plain lift.

    """

    exercises: tuple[Exercise, ...]
    also_written: Mapping[str, Sequence[str]] = field(default_factory=dict, repr=False, compare=False)
    names_and_aliases: Mapping[str, str] = field(init=False, repr=False, compare=False)
    _by_name: Mapping[str, Exercise] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        by_name = {exercise.name: exercise for exercise in self.exercises}
        if len(by_name) != len(self.exercises):
            raise ValueError("two exercises have the same name")
        for exercise in self.exercises:
            _refuse_misplaced_variation(exercise, by_name)
        names = _every_writing(self.exercises, self.also_written)
        # A frozen dataclass sets what it derives from its own arguments in this way only.
        object.__setattr__(self, "also_written", MappingProxyType(dict(self.also_written)))
        object.__setattr__(self, "names_and_aliases", MappingProxyType(names))
        object.__setattr__(self, "_by_name", MappingProxyType(by_name))

    def get(self, name: str) -> Exercise | None:
        """Exercise with exactly this catalogue name, as the store keeps it."""
        return self._by_name.get(name)

    def named(self, alias: str) -> Exercise | None:
        """Exercise that a lifter means by these words, if they are one of its names; never a close spelling.

        >>> catalogue().named("Pull-Ups").name
        'pull-up'

        """
        name = self.names_and_aliases.get(fold(alias))
        return None if name is None else self._by_name[name]

    def __iter__(self) -> Iterator[Exercise]:
        return iter(self.exercises)

    def __len__(self) -> int:
        return len(self.exercises)


@cache
def catalogue() -> Catalogue:
    """Lifts that every lifter can name, read once from the table beside this module."""
    table: _Table = _read_table()
    return Catalogue(tuple(_exercise(row) for row in table["exercise"]), table["also_written"])


class _Row(TypedDict):
    name: str
    aliases: NotRequired[list[str]]
    equipment: str
    pattern: str
    direct: list[str]
    indirect: NotRequired[list[str]]
    multi_joint: bool
    lower_body: bool
    basis: str
    step_kg: float
    one_side: NotRequired[bool]
    per_hand: NotRequired[bool]
    body_share: NotRequired[float]
    variation_of: NotRequired[str]
    ratio: NotRequired[float]
    bar: NotRequired[bool]
    timed: NotRequired[bool]
    assisted: NotRequired[bool]


class _Table(TypedDict):
    also_written: dict[str, list[str]]
    exercise: list[_Row]


def _read_table() -> _Table:
    text = files(__package__).joinpath("exercises.toml").read_text(encoding="utf-8")
    content = tomllib.loads(text)
    return _Table(also_written=content["also_written"], exercise=content["exercise"])


def _exercise(row: _Row) -> Exercise:
    if unknown := row.keys() - _Row.__annotations__.keys():
        raise ValueError(f"{row['name']}: no such column: {', '.join(sorted(unknown))}")
    return Exercise(
        name=row["name"],
        aliases=tuple(row.get("aliases", ())),
        equipment=Equipment(row["equipment"]),
        pattern=Pattern(row["pattern"]),
        direct=frozenset(map(Muscle, row["direct"])),
        indirect=frozenset(map(Muscle, row.get("indirect", ()))),
        multi_joint=row["multi_joint"],
        lower_body=row["lower_body"],
        basis=Basis(row["basis"]),
        one_side=row.get("one_side", False),
        per_hand=row.get("per_hand", False),
        body_share=row.get("body_share", 0.0),
        step_kg=row["step_kg"],
        variation_of=row.get("variation_of"),
        ratio=row.get("ratio"),
        bar=row.get("bar", False),
        timed=row.get("timed", False),
        assisted=row.get("assisted", False),
    )


def _refuse_unusable(words: str) -> None:
    if not fold(words):
        raise ValueError("an exercise's name needs a letter or a number")
    if len(words) > LONGEST_NAME:
        raise ValueError(f"an exercise's name has at most {LONGEST_NAME} characters")
    if not words.isprintable() or words != " ".join(words.split()):
        raise ValueError(f"an exercise's name is one line with single blanks: {words!r}")
    if words != words.lower():
        raise ValueError(f"an exercise's name is lower case: {words}")


def _refuse_misplaced_variation(exercise: Exercise, by_name: Mapping[str, Exercise]) -> None:
    if exercise.variation_of is None:
        return
    plain = by_name.get(exercise.variation_of)
    if plain is None or plain.variation_of is not None:
        raise ValueError(f"{exercise.name}: a variation of {exercise.variation_of}, which is not a plain lift")


def _every_writing(exercises: Sequence[Exercise], also_written: Mapping[str, Sequence[str]]) -> dict[str, str]:
    phrases = {tuple(fold(phrase).split()): list(map(fold, others)) for phrase, others in also_written.items()}
    names: dict[str, str] = {}
    for exercise in exercises:
        for words in (exercise.name, *exercise.aliases):
            for writing in _writings(fold(words).split(), phrases):
                taken_by = names.setdefault(writing, exercise.name)
                if taken_by != exercise.name:
                    raise ValueError(f"{writing!r} would be both {taken_by} and {exercise.name}")
    return names


def _writings(words: Sequence[str], phrases: Mapping[tuple[str, ...], Sequence[str]]) -> Iterator[str]:
    longest = max(map(len, phrases), default=0)
    parts: list[list[str]] = []
    start = 0
    while start < len(words):
        for end in range(min(len(words), start + longest), start, -1):
            if others := phrases.get(tuple(words[start:end])):
                parts.append([" ".join(words[start:end]), *others])
                start = end
                break
        else:
            parts.append([words[start]])
            start += 1
    return map(" ".join, product(*parts))
