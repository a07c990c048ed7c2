"""Setting up: few questions with taps, each with a default, answered in any order and at any time."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import time, timedelta
from typing import assert_never

from core.application import block_plans, log, questions
from core.application.turn import Turn
from core.domain.clock_commands import UseMorning
from core.domain.commands import Consent, DaysAgo, LogSets
from core.domain.exercises import Equipment, Muscle
from core.domain.plan_commands import (
    Matters,
    PlanCommand,
    RecentSets,
    Screened,
    SkipStep,
    UseDays,
    UseEquipment,
    UseMinutes,
    UseSafety,
    UseSessions,
    UseSetsNow,
)
from core.domain.prescriptions import Safety
from core.domain.problems import ProblemKind
from core.domain.replies import (
    Ask,
    Asked,
    Nothing,
    NothingThere,
    Option,
    PrivacyTold,
    Refused,
    Reply,
    SettingsTold,
)
from core.domain.setups import SetupStep
from core.domain.units import Unit

STEPS = (
    SetupStep.EQUIPMENT,
    SetupStep.SCREENING,
    SetupStep.SAFETIES,
    SetupStep.DAYS,
    SetupStep.MINUTES,
    SetupStep.MATTERS,
    SetupStep.STRENGTH,
    SetupStep.SETS_NOW,
    SetupStep.TIMES,
)
"""Questions in the order in which they are asked. With the word on health data before them they are ten; the unit is
asked for with the equipment."""

OPEN_FOR = timedelta(days=30)
"""How long a question of setting up can be answered. [d] Whoever breaks off comes back after days."""

JUST_ASKED = timedelta(minutes=10)
"""How long a text that can't be read is taken for an answer gone wrong. [min]"""

RECENT_DAYS = 7
"""How far back sets told as recent are logged. [d] They stand for the last weeks, and count for no week that is shown."""

_HOME = frozenset({Equipment.BARBELL, Equipment.DUMBBELL})
_DUMBBELLS = frozenset({Equipment.DUMBBELL})


def start(turn: Turn) -> list[Reply]:
    """Begin, or go on where it was left: who runs this bot and a word on health data, then the questions."""
    begun = turn.lifter.introduced
    turn.settle(replace(turn.lifter, introduced=True))
    told: list[Reply] = [] if begun else [PrivacyTold(turn.lifter)]
    if turn.lifter.consent is None:
        turn.settle_setup(replace(turn.setup, asked=_open_step(turn)))
        options = (Option(Consent(given=True)), Option(Consent(given=False)))
        return [*told, questions.ask(turn, Ask.CONSENT, options, open_for=OPEN_FOR)]
    if _open_step(turn) is None and turn.plan is not None:
        return [*told, settings_told(turn)]
    return [*told, *next_question(turn)]


def settings_told(turn: Turn) -> SettingsTold:
    """What is set."""
    return SettingsTold(turn.lifter, turn.setup, turn.work.reminders.of(turn.lifter.id).morning)


def going_on(turn: Turn) -> list[Reply]:
    """The next question, where setting up is under way; one that was asked before what is answered here is asked again."""
    if turn.setup.asked is None:
        return []
    asked = [each.asked_at for each in turn.work.questions.open(turn.lifter.id) if each.doubt == Ask.SETUP.value]
    answers = turn.row.sent_at < turn.now
    stands = bool(asked) and not (answers and max(asked) < turn.row.sent_at)
    return [] if stands else next_question(turn)


def asked_again(turn: Turn, replies: list[Reply]) -> list[Reply]:
    """The replies; where a text was no answer to a question of setting up just asked, that question once more."""
    newest = questions.newest_open(turn) if turn.setup.asked is not None and _unread(replies) else None
    if newest is None or newest.doubt not in _OF_SETTING_UP or turn.now - newest.asked_at > JUST_ASKED:
        return replies
    if sum(each.sends == newest.sends for each in turn.work.questions.open(turn.lifter.id)) > 1:
        # It was asked again already: who goes on with something else is left alone.
        return replies
    # The question says what would be read.
    plain = [
        replace(each, problem=replace(each.problem, remedy=None)) if isinstance(each, Refused) else each
        for each in replies
    ]
    return [*plain, *(start(turn) if newest.doubt == Ask.CONSENT.value else next_question(turn))]


def _unread(replies: list[Reply]) -> bool:
    match replies:
        case [Refused(problem=problem)]:
            return problem.kind in (ProblemKind.UNKNOWN, ProblemKind.WORD_LEFT_OVER, ProblemKind.REPS_MISSING)
        case [NothingThere(why=Nothing.WHICH_EXERCISE)]:
            return True
        case _:
            return False


_OF_SETTING_UP = frozenset({Ask.CONSENT.value, Ask.SETUP.value})


def answered(turn: Turn, step: SetupStep | None, noted: PlanCommand | None) -> list[Reply] | None:
    """Mark a question as answered; the next one where it is the one that waits, else None."""
    setup = turn.setup
    if step is not None:
        setup = replace(setup, answered=setup.answered | {step}, skipped=setup.skipped - {step})
    if setup != turn.setup:
        turn.settle_setup(setup)
    return None if step is None or setup.asked is not step else next_question(turn, noted=noted)


def skip(turn: Turn, command: SkipStep) -> list[Reply]:
    """Leave a question without an answer: its careful default holds."""
    setup = turn.setup
    if command.step not in setup.answered:
        setup = replace(setup, skipped=setup.skipped | {command.step})
        turn.settle_setup(setup)
    return [] if setup.asked is None else next_question(turn)


def next_question(turn: Turn, *, noted: PlanCommand | None = None) -> list[Reply]:
    """The first question that is open; at the end the plan."""
    step = _open_step(turn)
    if step is SetupStep.SCREENING and not _may_keep_health(turn):
        # What applies would not be kept anyway: the careful answer holds.
        turn.settle_setup(replace(turn.setup, skipped=turn.setup.skipped | {step}))
        step = _open_step(turn)
    turn.settle_setup(replace(turn.setup, asked=step))
    if step is None:
        return block_plans.after_setting_up(turn)
    options = [*_options(turn, step), Option(SkipStep(step))]
    return [questions.ask(turn, Ask.SETUP, options, open_for=OPEN_FOR, step=step, noted=noted, word=turn.lifter.zone)]


def with_morning(turn: Turn, replies: list[Reply]) -> list[Reply]:
    """What is told of the morning's time, and what comes after it in setting up."""
    return [*replies, *(answered(turn, SetupStep.TIMES, None) or [])]


def about_recent(turn: Turn, command: LogSets) -> Asked | None:
    """Ask whether sets were done now or in the last weeks, where recent ones were just asked for."""
    if turn.setup.asked is not SetupStep.STRENGTH or command.day is not None:
        return None
    # Once: from then on sets are logged as they come.
    turn.settle_setup(replace(turn.setup, asked=None))
    options = (Option(RecentSets(command.sets)), Option(command))
    return questions.ask(turn, Ask.RECENT, options)


def recent(turn: Turn, command: RecentSets) -> list[Reply]:
    """Log sets of the last weeks a week back."""
    turn.settle_setup(replace(turn.setup, recent_on=turn.today))
    return log.log_sets(turn, LogSets(command.sets, DaysAgo(RECENT_DAYS)), respelt=(), sure=False, weak=False)


def _open_step(turn: Turn) -> SetupStep | None:
    setup = turn.setup
    return next((step for step in STEPS if step not in setup.answered and step not in setup.skipped), None)


def _may_keep_health(turn: Turn) -> bool:
    return turn.lifter.consent is not None and turn.lifter.consent.given


def _options(turn: Turn, step: SetupStep) -> Sequence[Option]:
    commands: Sequence[PlanCommand] = ()
    match step:
        case SetupStep.EQUIPMENT:
            units: tuple[Unit | None, ...] = (None,) if turn.lifter.unit_told else tuple(Unit)
            commands = [UseEquipment(has, unit) for has in (None, _HOME, _DUMBBELLS) for unit in units]
        case SetupStep.SCREENING:
            commands = (Screened(applies=False), Screened(applies=True))
        case SetupStep.SAFETIES:
            commands = tuple(map(UseSafety, Safety))
        case SetupStep.DAYS:
            commands = (UseDays((0, 2, 4)), UseDays((0, 3)), UseDays((0, 1, 3, 4)), UseSessions(2), UseSessions(3))
        case SetupStep.MINUTES:
            commands = tuple(map(UseMinutes, (30, 45, 60, 75, 90)))
        case SetupStep.MATTERS:
            commands = (
                Matters((Muscle.CHEST,)),
                Matters((Muscle.CHEST, Muscle.UPPER_BACK, Muscle.LATS)),
                Matters((Muscle.CHEST, Muscle.QUADRICEPS, Muscle.HAMSTRINGS)),
            )
        case SetupStep.SETS_NOW:
            commands = tuple(map(UseSetsNow, (4, 6, 8, 10)))
        case SetupStep.TIMES:
            mornings = [UseMorning(time(6, 0)), UseMorning(time(7, 0)), UseMorning(time(8, 0)), UseMorning(None)]
            return [Option(each) for each in mornings]
        case SetupStep.STRENGTH | SetupStep.UNITS:
            pass
        case _:
            assert_never(step)
    return [Option(command) for command in commands]
