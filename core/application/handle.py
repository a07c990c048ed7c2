"""Handling: one received event to the lifter's change and the replies, inside one unit of work."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime
from typing import assert_never

from core.application import (
    account,
    care,
    correct,
    due,
    hurts,
    linking,
    log,
    looks,
    maximum_test,
    questions,
    rests,
    review,
    session,
    setting_up,
    settings,
    week_check,
)
from core.application.callings import CALLINGS
from core.application.ports import UnitOfWork
from core.application.reading import context_of
from core.application.replay import NONE_BEFORE, Replays
from core.application.rows import (
    InboxRow,
    MessageKind,
)
from core.application.turn import Letter, Turn, unlabelled
from core.domain.check_in_commands import CheckInCommand
from core.domain.clock_commands import ShowReminders, SkipRest, UseMorning, UseQuiet, UseRest
from core.domain.commands import (
    AllWell,
    BodyMass,
    BodyMassOff,
    Cancel,
    Cleared,
    Command,
    Consent,
    Done,
    Fix,
    ForgetMe,
    Help,
    History,
    LogSets,
    Max,
    NewExercise,
    Pain,
    Privacy,
    Question,
    Reading,
    Respelt,
    Same,
    Settings,
    Sign,
    Start,
    Undo,
    Unwell,
    UseBar,
    UseUnit,
    UseZone,
    Week,
)
from core.domain.link_commands import LinkCommand
from core.domain.look_commands import LookCommand
from core.domain.plan_commands import PlanCommand
from core.domain.problems import Problem, ProblemKind
from core.domain.profile import Lifter
from core.domain.replies import (
    Acknowledged,
    Ask,
    Asked,
    Emergency,
    Logged,
    Nothing,
    NothingThere,
    Refused,
    Reply,
    TapDidNothing,
    TapRefusal,
    Welcome,
)
from core.domain.replies import Done as Small
from core.notation.readings import reading_of

_CONFIRMED = frozenset({Ask.HEAVY.value, Ask.MEASURED.value})
"""Questions whose answer says that a set was as it was told."""

_UNREAD = frozenset({ProblemKind.UNKNOWN, ProblemKind.WORD_LEFT_OVER})
"""Problems of a text that may be no more than a no."""

_ABOUT_NOW = frozenset({Ask.PLANNED_SET.value, Ask.REPS_MADE.value, Ask.ATTEMPT.value})
"""Questions whose answer is a set done now, rather than what a message meant."""


def handle(
    work: UnitOfWork,
    row: InboxRow,
    lifter: Lifter | None,
    *,
    now: datetime,
    token: Callable[[], str],
    name: str,
    zone: str,
    labels: Callable[[Asked], tuple[str, ...]] = unlabelled,
    replays: Replays = NONE_BEFORE,
) -> tuple[int | None, list[Reply], list[Letter]]:
    """Handle one event; returned: whose it is (None if they are gone), the replies, most important first, and letters.

    Args:
        work: An open unit of work.
        row: The event.
        lifter: Who writes from its address, as `work` holds them; None for somebody who writes for the first time.
        now: The clock; aware.
        token: Gives a new random word for a question's id.
        name: What to call a lifter who writes for the first time.
        zone: Their time zone until they say otherwise.
        labels: What the options of a question read, so that their words answer it.
        replays: What was worked out before the work began.

    Raises:
        Longer: something has to be worked out first, and the event handled again after.
        NotWorkedOut: the same, of a week.

    """
    if row.kind is MessageKind.REACH_CHANGED:
        _reach_changed(work, row, lifter, now=now)
        return None if lifter is None else lifter.id, [], []
    if lifter is not None:
        work.lifters.wrote(row.address, at=now)
    new = lifter is None
    if lifter is None:
        lifter = work.lifters.create(row.address, name=name, now=now, zone=zone)
    turn = Turn(work=work, lifter=lifter, row=row, now=now, token=token, labels=labels, new=new, replays=replays)
    if not new:
        due.heard(turn, CALLINGS)
    replies = _replies(turn)
    if turn.gone:
        return None, replies, turn.letters
    if new and not any(isinstance(reply, Emergency) for reply in replies) and not turn.lifter.introduced:
        replies.append(Welcome())
    if turn.touched:
        work.lifters.save(turn.lifter)
    return turn.lifter.id, replies, turn.letters


def _replies(turn: Turn) -> list[Reply]:
    match turn.row.kind:
        case MessageKind.ARRIVED:
            return _arrived(turn)
        case MessageKind.EDITED:
            return _edited(turn)
        case MessageKind.DELETED:
            turn.work.inbox.erase_text(turn.row.address.connector, turn.row.message_key, chat=turn.row.address.chat)
            return correct.removed(turn)
        case MessageKind.TAPPED:
            chosen = turn.row.text or ""
            if not (chosen.isascii() and chosen.isdigit() and len(chosen) <= 2):
                return [TapDidNothing(TapRefusal.UNKNOWN)]
            return _tapped(turn, turn.row.question or "", int(chosen))
        case MessageKind.REACH_CHANGED:
            raise ValueError("a change of reach is nothing that a lifter says")
        case _:
            assert_never(turn.row.kind)


def _reach_changed(work: UnitOfWork, row: InboxRow, lifter: Lifter | None, *, now: datetime) -> None:
    """Send nothing more to an address that takes nothing; that it takes messages again shows when it writes."""
    if row.text != "0":
        return
    work.lifters.unreachable(row.address, at=now)
    work.outbox.refuse_waiting(row.address)
    if lifter is not None and work.lifters.reach(lifter.id) is None:
        due.fall_silent(work, lifter.id)


def _arrived(turn: Turn) -> list[Reply]:
    if turn.row.text is None:
        # A voice message, a picture or a video: nothing that could be read.
        return [NothingThere(Nothing.TEXT)]
    text = turn.row.text
    answer = questions.by_letter(turn, text) or questions.by_word(turn, text) or questions.by_number(turn, text)
    if answer is not None:
        return _tapped(turn, *answer)
    if (asked := questions.about_number(turn, text)) is not None:
        return [asked]
    reading = reading_of(text, context_of(turn))
    first = care.answer_signs(turn, reading.warned)
    if isinstance(reading.outcome, Problem):
        if (answer := questions.by_label(turn, text)) is not None:
            return [*first, *_tapped(turn, *answer)]
        if first:
            return first
        if reading.outcome.kind in _UNREAD and questions.declined(turn, text):
            return account.cancel(turn)
    return [*first, *setting_up.asked_again(turn, _outcome(turn, reading))]


def _edited(turn: Turn) -> list[Reply]:
    reading = reading_of(turn.row.text or "", context_of(turn))
    first = care.answer_signs(turn, reading.warned)
    if not turn.work.sets.of_root(turn.lifter.id, turn.row.message_key):
        turn.work.questions.withdraw(turn.lifter.id, turn.row.message_key)
        if isinstance(reading.outcome, LogSets | Question | Problem):
            # Nothing came of the message before: it is read as if it had arrived like this.
            return [*first, *_outcome(turn, reading)]
        return [*first, Acknowledged(Small.EDITED_COMMAND)]
    match reading.outcome:
        case LogSets() as command:
            weak = any(each.sign is Sign.PAIN for each in reading.warned)
            return [*first, *(correct.edited(turn, command, respelt=reading.respelt, weak=weak) or [])]
        case Problem():
            return [*first, *_outcome(turn, reading), Acknowledged(Small.SETS_STAND)]
        case Question():
            return [*first, *_outcome(turn, reading)]
        case _:
            return [*first, Acknowledged(Small.EDITED_COMMAND)]


def _tapped(turn: Turn, question_id: str, chosen: int) -> list[Reply]:
    answered = questions.tapped(turn, question_id, chosen)
    if isinstance(answered, TapDidNothing):
        return [answered]
    if answered.doubt not in _ABOUT_NOW:
        # What is chosen counts as the message that was in doubt: under its key, at its time.
        turn.row = replace(turn.row, message_key=answered.message_key, sent_at=answered.sent_at)
    replies: list[Reply] = []
    for line in answered.sends[chosen].split(questions.LINE_BETWEEN):
        reading = reading_of(line, context_of(turn))
        if isinstance(reading.outcome, Cancel):
            # This question is answered; another one that is open stays so.
            replies.append(Acknowledged(Small.CANCELLED))
            continue
        sure = answered.doubt in _CONFIRMED
        replies += _outcome(turn, reading, sure=sure)
    if len(replies) > 1 and isinstance(replies[-1], Logged):
        replies = replies[-1:]
    return replies


def _outcome(turn: Turn, reading: Reading, *, sure: bool = False) -> list[Reply]:
    match reading.outcome:
        case Problem() as problem:
            return [Refused(problem)]
        case Question() as question:
            return [questions.about_reading(turn, question)]
        case command:
            weak = any(each.sign is Sign.PAIN for each in reading.warned)
            return _command(turn, command, respelt=reading.respelt, sure=sure, weak=weak)


def _command(turn: Turn, command: Command, *, respelt: Sequence[Respelt], sure: bool, weak: bool) -> list[Reply]:
    if isinstance(command, PlanCommand):
        return _arranged(turn, settings.told(turn, command))
    if isinstance(command, CheckInCommand):
        return week_check.answer(turn, command)
    if isinstance(command, LinkCommand):
        return linking.answer(turn, command)
    if isinstance(command, LookCommand):
        return looks.answer(turn, command)
    match command:
        case LogSets():
            if (recent := setting_up.about_recent(turn, command)) is not None:
                return [recent]
            if turn.row.kind is MessageKind.TAPPED and turn.work.sets.of_root(turn.lifter.id, turn.row.message_key):
                return correct.edited(turn, command, respelt=tuple(respelt), weak=weak, sure=sure) or []
            replies = log.log_sets(turn, command, respelt=respelt, sure=sure, weak=weak)
            if command.close is not None:
                return review.closed_behind(turn, replies, command.close)
            return [*replies, *maximum_test.typed(turn, command)] if command.sets[-1].reps in (0, 1) else replies
        case Same():
            return log.same(turn, command)
        case Undo():
            return correct.undo(turn)
        case Fix():
            return correct.fix(turn, command, sure=sure)
        case Done():
            return review.done(turn, command)
        case Week():
            return review.week(turn)
        case Max(exercise=exercise):
            return review.maximum(turn, exercise)
        case History(exercise=exercise):
            return review.history(turn, exercise)
        case UseUnit():
            return account.use_unit(turn, command)
        case UseBar():
            return account.use_bar(turn, command)
        case UseZone():
            return account.use_zone(turn, command)
        case BodyMass():
            return account.body_mass(turn, command)
        case BodyMassOff():
            return account.body_mass_off(turn)
        case Help():
            return account.help_told(command)
        case Settings():
            return [setting_up.settings_told(turn)]
        case Privacy():
            return account.privacy(turn)
        case Start():
            return setting_up.start(turn)
        case Consent():
            return _arranged(turn, [*account.consent(turn, command), *setting_up.going_on(turn)])
        case ForgetMe():
            return account.forget_me(turn, command)
        case NewExercise():
            return account.new_exercise(turn, command)
        case Cleared():
            return care.cleared(turn)
        case AllWell():
            return [Acknowledged(Small.ALL_WELL)]
        case Unwell(sign=sign):
            return care.unwell(turn, sign)
        case UseRest():
            return rests.use_rest(turn, command)
        case UseQuiet():
            return rests.use_quiet(turn, command)
        case UseMorning():
            return _arranged(turn, setting_up.with_morning(turn, rests.use_morning(turn, command, CALLINGS)))
        case SkipRest():
            return rests.skip_rest(turn)
        case ShowReminders():
            return rests.reminders(turn, CALLINGS)
        case Pain():
            return hurts.pain(turn, command)
        case Cancel():
            return account.cancel(turn)
        case _:
            return session.answer(turn, command)


def _arranged(turn: Turn, replies: list[Reply]) -> list[Reply]:
    """The replies, with what comes day by day put where the plan now has it."""
    due.arrange(turn, CALLINGS)
    return replies
