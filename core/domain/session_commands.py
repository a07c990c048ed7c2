"""Session commands: what a lifter can ask for of the day's session, one value each."""

from dataclasses import dataclass
from enum import StrEnum

from core.domain.prescriptions import Place
from core.domain.units import Load


@dataclass(frozen=True, slots=True)
class Today:
    """Tell today's session."""


@dataclass(frozen=True, slots=True)
class AsPlanned:
    """Log the planned set as it was planned (canonical text `did it`), or with some repetitions fewer."""

    fewer: int = 0


@dataclass(frozen=True, slots=True)
class Missed:
    """Say that the planned set was not made: how many repetitions were is asked."""


@dataclass(frozen=True, slots=True)
class LastRepMissed:
    """Say that the last repetition of the set told last was missed: whether it was counted is asked."""


@dataclass(frozen=True, slots=True)
class Nod:
    """Say thanks or agree: nothing is asked for."""


@dataclass(frozen=True, slots=True)
class Why:
    """Tell how the load told last came about."""


@dataclass(frozen=True, slots=True)
class Swap:
    """Put another exercise in a lift's place, this session only; None asks which."""

    exercise: str
    to: str | None = None


@dataclass(frozen=True, slots=True)
class Skip:
    """Leave out a lift (None: the one that is next), or the whole session."""

    exercise: str | None = None
    whole: bool = False


@dataclass(frozen=True, slots=True)
class MoveSession:
    """Move the day's session to the next such weekday, 0 for Monday; None is tomorrow."""

    weekday: int | None = None


@dataclass(frozen=True, slots=True)
class Train:
    """Do today the session of a weekday of this week, 0 for Monday."""

    weekday: int


@dataclass(frozen=True, slots=True)
class Short:
    """Fit the session into fewer minutes. [min]"""

    minutes: int


@dataclass(frozen=True, slots=True)
class AddSet:
    """Add one set to a lift (None: the one that is going on)."""

    exercise: str | None = None


@dataclass(frozen=True, slots=True)
class RepeatSession:
    """Do the session of the last such weekday again, 0 for Monday; None is the last session."""

    weekday: int | None = None


class Tired(StrEnum):
    """What a tired lifter can choose; each is a command text, `as planned` changes nothing."""

    ONE_MORE_LEFT = "one more left"
    ONE_SET_FEWER = "one set fewer"
    AS_PLANNED = "as planned"


@dataclass(frozen=True, slots=True)
class TiredToday:
    """Make the session easier; None asks how."""

    choice: Tired | None = None


@dataclass(frozen=True, slots=True)
class SpotterToday:
    """Say that a spotter is there for this session."""


class Cue(StrEnum):
    """What a technique reminder is about; its words belong to the rendering."""

    BLADES = "shoulder blades back and down through every rep"
    FEET = "feet set before the unrack"
    GRIP = "grip marked and not wider than 1.5 shoulder widths"  # Green & Comfort 2007
    ELBOWS = "elbows 45 to 60 degrees from the trunk"  # common practice, no source
    WRISTS = "wrist over elbow seen from the feet"  # common practice, no source
    PATH = "from the chest up and back towards the shoulders"  # cp; Madsen & McLaughlin 1984


@dataclass(frozen=True, slots=True)
class TellCue:
    """Say that a technique point fails; None asks for the reminders there are."""

    failing: Cue | None = None


@dataclass(frozen=True, slots=True)
class NothingHurts:
    """Say that a set far below what was expected had no pain in it (canonical text `nothing hurts`)."""


@dataclass(frozen=True, slots=True)
class Better:
    """Say that a place hurts no more (canonical text `shoulder better`)."""

    place: Place


@dataclass(frozen=True, slots=True)
class FindMaximum:
    """Be guided through a tested maximum of a lift (None: of the last one)."""

    exercise: str | None = None


@dataclass(frozen=True, slots=True)
class MaximumAttempt:
    """One attempt of a tested maximum, by its number from 1.

    Args:
        exercise: The lift.
        number: Its number, from 1.
        load: What is on the bar.
        made: Whether it was made; None before it is tried.

    """

    exercise: str
    number: int
    load: Load
    made: bool | None = None


SessionCommand = (
    Today
    | AsPlanned
    | Missed
    | LastRepMissed
    | Nod
    | Why
    | Swap
    | Skip
    | MoveSession
    | Train
    | Short
    | AddSet
    | RepeatSession
    | TiredToday
    | SpotterToday
    | TellCue
    | NothingHurts
    | Better
    | FindMaximum
    | MaximumAttempt
)
