"""Commands: what a lifter can ask for, one value each, with one canonical text each."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from core.domain.check_in_commands import CheckInCommand
from core.domain.clock_commands import ClockCommand
from core.domain.exercises import Equipment, Muscle
from core.domain.link_commands import LinkCommand
from core.domain.look_commands import LookCommand
from core.domain.plan_commands import PlanCommand
from core.domain.prescriptions import Place
from core.domain.problems import Problem, Span
from core.domain.session_commands import SessionCommand
from core.domain.sets import SetRead
from core.domain.units import Load, Unit


@dataclass(frozen=True, slots=True)
class DaysAgo:
    """A day told relative to today (`yesterday` is 1) or by the last such weekday (`mon`, 1 to 7 days ago).

    Days are 0 with a weekday; weekdays are 0 for Monday to 6 for Sunday.
    """

    days: int = 0
    weekday: int | None = None


@dataclass(frozen=True, slots=True)
class DayOfYear:
    """A day of some year, told without it (`3 jan`, month and day from 1): the last such that is not still to come."""

    month: int
    day: int


@dataclass(frozen=True, slots=True)
class Done:
    """Close the session, with its effort from 0 to 10 if told."""

    effort: float | None = None


@dataclass(frozen=True, slots=True)
class LogSets:
    """Log sets, on a told day or now; `close` where the text also says that the session is over."""

    sets: tuple[SetRead, ...]
    day: date | DaysAgo | DayOfYear | None = None
    close: Done | None = None


NOTHING_CHANGED = SetRead()
"""A set of which nothing was told."""


@dataclass(frozen=True, slots=True)
class Same:
    """Log the last set of the session again, `times` times; `changes` holds what was told anew (effort, reps)."""

    times: int = 1
    changes: SetRead = NOTHING_CHANGED


@dataclass(frozen=True, slots=True)
class Undo:
    """Take back the last change to the log."""


@dataclass(frozen=True, slots=True)
class Fix:
    """Replace the last set by what is told; what is not told stays."""

    sets: tuple[SetRead, ...]


@dataclass(frozen=True, slots=True)
class Week:
    """Tell the week's hard sets."""


@dataclass(frozen=True, slots=True)
class Max:
    """Tell the estimated maximum of an exercise (None: of the last one)."""

    exercise: str | None = None


@dataclass(frozen=True, slots=True)
class History:
    """Tell the last sessions of an exercise (None: of the last one)."""

    exercise: str | None = None


@dataclass(frozen=True, slots=True)
class UseUnit:
    """Take loads without a unit in this one from now on."""

    unit: Unit


@dataclass(frozen=True, slots=True)
class BodyMass:
    """Keep a body mass; None asks for the one kept."""

    mass: Load | None = None


@dataclass(frozen=True, slots=True)
class BodyMassOff:
    """Erase body mass and never ask for it again."""


class Topic(StrEnum):
    """What `help` can tell about."""

    START = "start"
    SETS = "sets"
    EFFORT = "effort"
    MISTAKES = "mistakes"
    WARMUPS = "warm-ups"
    NUMBERS = "numbers"
    DATA = "data"
    CARE = "care"
    REMINDERS = "reminders"


@dataclass(frozen=True, slots=True)
class Help:
    """Tell what can be texted; about a topic if one is told."""

    topic: Topic | None = None


@dataclass(frozen=True, slots=True)
class Settings:
    """Tell what is set and how to change it."""


@dataclass(frozen=True, slots=True)
class Privacy:
    """Tell who runs the bot, what is kept, where, how long, and how to take or delete it."""


@dataclass(frozen=True, slots=True)
class Start:
    """Begin or go on with setting up."""


@dataclass(frozen=True, slots=True)
class Consent:
    """Say yes or no to keeping health data."""

    given: bool


@dataclass(frozen=True, slots=True)
class ForgetMe:
    """Erase everything of this lifter; asked once more unless `confirmed`."""

    confirmed: bool = False


@dataclass(frozen=True, slots=True)
class Cleared:
    """Say that a clinician has looked at a warning sign: suggestions come back."""


@dataclass(frozen=True, slots=True)
class UseBar:
    """Take this as the weight of the lifter's bar."""

    mass: Load


@dataclass(frozen=True, slots=True)
class UseZone:
    """Take this IANA zone for the lifter's days."""

    zone: str


@dataclass(frozen=True, slots=True)
class NewExercise:
    """Keep an exercise of the lifter's own: what it trains most (None: count it nowhere), what it is loaded with."""

    name: str
    muscle: Muscle | None
    equipment: Equipment | None = None


@dataclass(frozen=True, slots=True)
class AllWell:
    """Say that a doubtful word was no warning sign (canonical text `all well`)."""


@dataclass(frozen=True, slots=True)
class Unwell:
    """Say that a doubtful word was a warning sign (canonical text `unwell` and the sign)."""

    sign: "Sign"


class PainAnswer(StrEnum):
    """How a pain behaves: three answers, since a question that always takes the exercise away teaches to say no."""

    FADES = "fades"
    CHANGES = "changes"
    SHARP = "sharp"


@dataclass(frozen=True, slots=True)
class Pain:
    """Say how a pain behaves and where (canonical text `pain`, the answer and the place); None asks where."""

    answer: PainAnswer
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Cancel:
    """Leave an open question without an answer (canonical text `never mind`)."""


Command = (
    LogSets
    | Same
    | Undo
    | Fix
    | Done
    | Week
    | Max
    | History
    | UseUnit
    | BodyMass
    | BodyMassOff
    | Help
    | Settings
    | Privacy
    | Start
    | Consent
    | ForgetMe
    | Cleared
    | UseBar
    | UseZone
    | NewExercise
    | AllWell
    | Unwell
    | Pain
    | ClockCommand
    | Cancel
    | SessionCommand
    | PlanCommand
    | CheckInCommand
    | LinkCommand
    | LookCommand
)


class Doubt(StrEnum):
    """Why two readings of one text are both sensible."""

    ORDER = "order"  # three bare numbers: which is sets, reps, load
    AT = "at"  # a bare number after @: load, reps left, or RPE
    UNIT = "unit"  # kg or lb
    HELP = "help"  # 100x4+1: how many were done alone
    BODY = "body"  # bw 8: repetitions or body mass
    PAIR = "pair"  # which of two numbers is the load
    NAME = "name"  # two exercises by one name, or a close spelling of two
    SIDE = "side"  # a load told once for two sides
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class Habit:
    """What an answer teaches about how this lifter writes: a key and its value."""

    key: str
    value: str


@dataclass(frozen=True, slots=True)
class Choice:
    """One way to read a text, and the habit that choosing it teaches."""

    command: Command
    habit: Habit | None = None


@dataclass(frozen=True, slots=True)
class Question:
    """A text with more than one sensible reading; `choices` has the most likely first."""

    doubt: Doubt
    text: str
    span: Span
    choices: tuple[Choice, ...]


class Sign(StrEnum):
    """A warning sign seen in a text (or, `PAIN`, words that lead to the pain question)."""

    CHEST = "chest"
    FAINTING = "fainting"
    BREATH = "breath"
    NUMBNESS = "numbness"
    STROKE = "stroke"
    HEADACHE = "headache"
    BAR_ON_NECK = "bar on neck"
    SELF_HARM = "self-harm"
    FAST_CUT = "fast cut"
    MUSCLE_BREAKDOWN = "muscle breakdown"
    TEAR = "tear"
    PAIN = "pain"


@dataclass(frozen=True, slots=True)
class Warned:
    """A sign with its place in the text; `doubtful` if the word may mean something harmless."""

    sign: Sign
    span: Span
    doubtful: bool = False


@dataclass(frozen=True, slots=True)
class Respelt:
    """Words taken for an exercise by close spelling; the answer shows it."""

    words: str
    exercise: str


@dataclass(frozen=True, slots=True)
class Reading:
    """What one text was read as.

    Args:
        outcome: A command, a question, or a problem.
        warned: Warning signs found anywhere in the text, most pressing first.
        respelt: Names taken by close spelling.

    """

    outcome: Command | Question | Problem
    warned: tuple[Warned, ...] = ()
    respelt: tuple[Respelt, ...] = ()
