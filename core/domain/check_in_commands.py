"""Commands of the check-in: its answers, the advice that follows, session load and charts."""

from dataclasses import dataclass
from enum import StrEnum

from core.domain.checkins import Ache, Item, Place
from core.domain.exercises import Muscle


@dataclass(frozen=True, slots=True)
class BeginCheckIn:
    """Begin the week's check-in, go on with it, or tell it again (canonical text `check-in`)."""


@dataclass(frozen=True, slots=True)
class Felt:
    """Answer questions of the check-in, each once, 1 the worst and 5 the best (canonical text `sleep 4 mood 2`)."""

    answers: tuple[tuple[Item, int], ...]


@dataclass(frozen=True, slots=True)
class PainFree:
    """Say in the check-in that nothing hurts (canonical text `check-in no pain`)."""


@dataclass(frozen=True, slots=True)
class Hurts:
    """Say in the check-in where it hurts, and how it behaves once that is told (`check-in shoulder: fades`)."""

    place: Place
    ache: Ache | None = None


@dataclass(frozen=True, slots=True)
class TellLoad:
    """Tell the week's session load and its monotony (canonical text `load`)."""


@dataclass(frozen=True, slots=True)
class AskReducedWeek:
    """Ask for a reduced week (canonical text `reduced week`)."""


@dataclass(frozen=True, slots=True)
class AnswerAdvice:
    """Take the advice that is open, or decline it (canonical texts `advice yes` and `advice no`)."""

    taken: bool


@dataclass(frozen=True, slots=True)
class ChangeAdvice:
    """Take another number of weekly sets than advised; None asks which (canonical text `advice chest 9`)."""

    muscle: Muscle
    sets: int | None = None


@dataclass(frozen=True, slots=True)
class WhyAdvice:
    """Tell how the last advice came about (canonical text `why advice`)."""


class ChartOf(StrEnum):
    """What can be drawn."""

    ESTIMATE = "estimate"
    WEEK = "week"
    CHECK_INS = "check-ins"


@dataclass(frozen=True, slots=True)
class DrawChart:
    """Draw a chart; of the estimate, the exercise is named or is the last one (canonical text `chart bench press`)."""

    of: ChartOf
    exercise: str | None = None


CheckInCommand = (
    BeginCheckIn
    | Felt
    | PainFree
    | Hurts
    | TellLoad
    | AskReducedWeek
    | AnswerAdvice
    | ChangeAdvice
    | WhyAdvice
    | DrawChart
)
