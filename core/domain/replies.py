"""Replies: what the program has to say, as values; the words are in `bot/rendering`."""

from dataclasses import dataclass
from datetime import date, time
from enum import StrEnum

from core.domain.check_in_replies import AdviceTold, CheckInReply
from core.domain.commands import Command, Doubt, PainAnswer, Respelt, Sign, Topic
from core.domain.guidance import Coming, Guidance
from core.domain.link_replies import LinkReply
from core.domain.plan_commands import PlanCommand
from core.domain.plan_replies import OfferTold, PlanReply
from core.domain.problems import Problem
from core.domain.profile import Lifter
from core.domain.reminded import Reminded
from core.domain.reviews import EstimateTold, MuscleWeek, RecordTold, ReviewReply
from core.domain.sets import Counted, LoggedSet
from core.domain.setups import NEW_SETUP, Setup, SetupStep
from core.domain.units import Load, Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class Logged:
    """Sets that were stored.

    Args:
        sets: In the order told.
        number: Which work set of its exercise in its session the last of them is; 0 for a warm-up.
        day: The day they count for, where it is not today.
        estimates: Told once an exercise.
        week: Hard sets of the muscles that these sets train directly.
        records: Records that these sets broke.
        taken_back: Exercises whose records a correction took back.
        respelt: Names taken by close spelling.
        unit_assumed: The unit is the default and the lifter was never told so.
        replaced: They stand in place of sets logged before.
        not_hard: Why the last of them does not count, where that may surprise.
        coming: What comes next, where a plan is followed.
        taps: Answers to tap for what comes next.

    """

    sets: tuple[LoggedSet, ...]
    number: int
    day: date | None = None
    estimates: tuple[EstimateTold, ...] = ()
    week: tuple[MuscleWeek, ...] = ()
    records: tuple[RecordTold, ...] = ()
    taken_back: tuple[str, ...] = ()
    respelt: tuple[Respelt, ...] = ()
    unit_assumed: bool = False
    replaced: bool = False
    not_hard: Counted | None = None
    coming: Coming | None = None
    taps: "Asked | None" = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenBack:
    """Sets that were taken out of the log, and sets put back in their place."""

    removed: tuple[LoggedSet, ...]
    restored: tuple[LoggedSet, ...] = ()
    records: tuple[str, ...] = ()


class Nothing(StrEnum):
    """Why there is nothing to do or tell."""

    TO_UNDO = "to undo"
    TO_FIX = "to fix"
    TO_REPEAT = "to repeat"
    TO_CLOSE = "to close"
    LOGGED_THIS_WEEK = "logged this week"
    LOGGED_OF_EXERCISE = "logged of exercise"
    NO_ESTIMATE = "no estimate"
    ESTIMATE_WITHOUT_BODY_MASS = "estimate without body mass"
    WHICH_EXERCISE = "which exercise"
    WHICH_LOAD = "which load"
    WHICH_REPS = "which reps"
    LAST_LOAD = "last load"
    DAY_AHEAD = "day ahead"
    DAY_LONG_GONE = "day long gone"
    NO_SUCH_EXERCISE = "no such exercise"
    PLANNED = "planned"
    NEXT_PLANNED = "next planned"
    SUCH_LIFT_TODAY = "such lift today"
    OTHER_LIFTS = "other lifts"
    SUCH_SESSION = "such session"
    IN_LINE = "in line"
    OTHER_WEEK = "other week"
    SHORTER = "shorter"
    SPARING = "sparing"
    NO_MORE_SETS = "no more sets"
    ATTEMPT = "attempt"
    SUCH_BAR = "such bar"
    SUCH_ZONE = "such zone"
    SUCH_BODY_MASS = "such body mass"
    OPEN_QUESTION = "open question"
    BODY_MASS = "body mass"
    TEXT = "text"


@dataclass(frozen=True, slots=True)
class NothingThere:
    """There is nothing to do or tell; `about` names the exercise, if there is one."""

    why: Nothing
    about: str = ""


class Done(StrEnum):
    """Something small that was done and needs one line."""

    UNIT = "unit"
    BAR = "bar"
    ZONE = "zone"
    BODY_MASS = "body mass"
    BODY_MASS_OFF = "body mass off"
    CONSENT_ON = "consent on"
    CONSENT_OFF = "consent off"
    NEEDS_CONSENT = "needs consent"
    CLEARED = "cleared"
    EDITED_COMMAND = "edited command"
    DELETED_COMMAND = "deleted command"
    NEW_EXERCISE = "new exercise"
    HABIT = "habit"
    CANCELLED = "cancelled"
    UNIT_TWICE = "unit twice"
    ALL_WELL = "all well"
    SETS_STAND = "sets stand"
    EFFORT_OF_SESSION = "effort of session"
    NOTHING_HURTS = "nothing hurts"
    NOD = "nod"
    SESSION_SKIPPED = "session skipped"
    SPOTTER = "spotter"
    PLACE_NOTED = "place noted"
    PLACE_BETTER = "place better"
    PLACE_EASED = "place eased"


@dataclass(frozen=True, slots=True)
class Acknowledged:
    """One small thing that was done, with the word it is about."""

    done: Done
    about: str = ""
    load: Load | None = None


@dataclass(frozen=True, slots=True)
class HelpTold:
    """What can be texted; about one topic if one was told."""

    topic: Topic | None
    exercise: str | None = None


@dataclass(frozen=True, slots=True)
class SettingsTold:
    """What is set."""

    lifter: Lifter
    setup: Setup = NEW_SETUP
    morning: time | None = None


@dataclass(frozen=True, slots=True)
class PrivacyTold:
    """Who runs the bot, what is kept, where, how long; with the lifter's word on health data."""

    lifter: Lifter


@dataclass(frozen=True, slots=True)
class Welcome:
    """The first line that a new lifter reads, after the answer to their first message."""


class Ask(StrEnum):
    """A question of the program's own, beside doubts about a text."""

    CONSENT = "consent"
    FORGET = "forget"
    EXERCISE = "exercise"
    SIGN = "sign"
    PAIN = "pain"
    HEAVY = "heavy"
    MEASURED = "measured"
    BODY_MASS = "body mass"
    LEFT = "left"
    PLANNED_SET = "planned set"
    REPS_MADE = "reps made"
    LAST_REP = "last rep"
    SESSION_EFFORT = "session effort"
    WHICH_SESSION = "which session"
    SWAP = "swap"
    SKIP = "skip"
    TIRED = "tired"
    CUE = "cue"
    HURTS = "hurts"
    PLACE = "place"
    WHICH_LIFT = "which lift"
    ATTEMPT = "attempt"
    REST_DAY = "rest day"
    SETUP = "set-up"
    RECENT = "recent"
    OFFERS = "offers"
    ZONE = "zone"
    CHECK_IN = "check-in"
    FELT = "felt"
    ANY_PAIN = "any pain"
    MORE_PAIN = "more pain"
    ACHE = "ache"
    ADVICE = "advice"
    OTHER_SETS = "other sets"
    SHARE_LOG = "share log"
    LINK = "link"
    UNLINK = "unlink"


@dataclass(frozen=True, slots=True)
class Option:
    """One answer that can be tapped: the command it stands for, and the habit that it teaches."""

    command: Command
    habit: tuple[str, str] = ("", "")


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A question with options to tap.

    Args:
        id: The question's id.
        about: What is asked.
        options: The most likely first.
        text: The lifter's own text that is in doubt; empty for the program's own questions.
        word: The part of it, or the name, that is asked about.
        figures: Numbers that the question tells, by name; masses in `unit`.
        unit: Unit of the masses told.
        step: The question of setting up that it is.
        noted: What was answered just before it.
        offers: Weeks to choose from.
        advice: The advice that is asked about.

    """

    id: str
    about: Doubt | Ask
    options: tuple[Option, ...]
    text: str = ""
    word: str = ""
    span: tuple[int, int] | None = None
    sign: Sign | None = None
    figures: tuple[tuple[str, float], ...] = ()
    unit: Unit = Unit.KG
    step: SetupStep | None = None
    noted: PlanCommand | None = None
    offers: tuple[OfferTold, ...] = ()
    advice: AdviceTold | None = None


@dataclass(frozen=True, slots=True)
class Guided:
    """Something of a planned session, with answers to tap for what comes next."""

    told: Guidance
    taps: Asked | None = None


class TapRefusal(StrEnum):
    """Why a tap did nothing."""

    ALREADY = "already"
    TOO_LATE = "too late"
    NOT_YOURS = "not yours"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class TapDidNothing:
    """A tap that changed nothing, and why; `chosen` is what was chosen before."""

    why: TapRefusal
    chosen: str = ""


@dataclass(frozen=True, slots=True)
class Refused:
    """A text with one thing wrong."""

    problem: Problem


@dataclass(frozen=True, slots=True)
class Emergency:
    """A warning sign was seen: what to do now. It leads every other answer."""

    sign: Sign


@dataclass(frozen=True, slots=True)
class PainAdvice:
    """What a pain of this kind asks for; never a diagnosis."""

    answer: PainAnswer


@dataclass(frozen=True, slots=True)
class Forgotten:
    """Everything of this lifter was erased; the last word."""


@dataclass(frozen=True, slots=True)
class Fault:
    """A fault of ours: nothing was saved; the log has the trace under the reference."""

    reference: str


Reply = (
    Logged
    | TakenBack
    | ReviewReply
    | NothingThere
    | Acknowledged
    | HelpTold
    | SettingsTold
    | PrivacyTold
    | Welcome
    | Asked
    | Guided
    | TapDidNothing
    | Refused
    | Emergency
    | PainAdvice
    | Reminded
    | Forgotten
    | Fault
    | PlanReply
    | CheckInReply
    | LinkReply
)
