"""Correcting: undo, fix, and messages that were edited or deleted."""

from collections.abc import Sequence
from dataclasses import replace

from core.application import follow, log, next_set, plausibility, questions, resolve, visits
from core.application.course import course, with_ways_up
from core.application.rows import MessageKind
from core.application.turn import Turn
from core.domain.commands import Cancel, DaysAgo, Fix, LogSets, Respelt
from core.domain.replies import Acknowledged, Ask, Done, Logged, Nothing, NothingThere, Option, Reply, TakenBack
from core.domain.sets import LoggedSet, SetRead


def undo(turn: Turn) -> list[Reply]:
    """Take back the last change to the log: sets that it added go, sets that it took out come back."""
    change = turn.work.sets.last_change(turn.lifter.id)
    if change is None:
        return [NothingThere(Nothing.TO_UNDO)]
    added = tuple(turn.work.sets.added_by(turn.lifter.id, change))
    restored = tuple(turn.work.sets.taken_back_by(turn.lifter.id, change))
    records = follow.records_of(turn, (*added, *restored))
    turn.work.sets.erase([each.id for each in added])
    turn.work.sets.restore([each.id for each in restored])
    follow.after_removal(turn, (*added, *restored))
    visits.tidy(turn, (*added, *restored))
    for key in dict.fromkeys(each.root_key for each in added):
        if not restored:
            turn.work.inbox.erase_text(turn.row.address.connector, key, chat=turn.row.address.chat)
    return [TakenBack(removed=added, restored=restored, records=follow.fallen(turn, records))]


def fix(turn: Turn, command: Fix, *, sure: bool = False) -> list[Reply]:
    """Replace the last set by what was told; what was not told stays. A load far above the estimate is asked about."""
    old = _meant(turn)
    if old is None:
        return [NothingThere(Nothing.TO_FIX)]
    first = log.changed(log.as_read(old), command.sets[0])
    rest = tuple([log.changed(first, each) for each in command.sets[1:]])
    asked = None if sure else command
    return _replace(turn, (old,), LogSets((first, *rest)), weak=old.weak, asked=asked)


def last_rep_missed(turn: Turn) -> list[Reply]:
    """Ask whether the repetitions told last include the one that was missed."""
    old = _meant(turn)
    if old is None or not old.reps:
        return [NothingThere(Nothing.TO_FIX)]
    if old.failed:
        return [Acknowledged(Done.NOD)]
    counted = (old.reps - 1, old.reps)
    options = [Option(Fix((SetRead(reps=made, failed=True),))) for made in counted]
    told = (("told", float(old.reps)),)
    return [questions.ask(turn, Ask.LAST_REP, options, word=old.exercise, figures=told, key=old.root_key)]


def _meant(turn: Turn) -> LoggedSet | None:
    """The set that a correction is of: the last one told; by a tap, the last one of the message that it is about."""
    if turn.row.kind is MessageKind.TAPPED:
        told = turn.work.sets.of_root(turn.lifter.id, turn.row.message_key)
        if told:
            return told[-1]
    session = turn.last_session()
    sets = () if session is None else turn.work.sets.of_session(session.id)
    return _last_told(sets) if sets else None


def edited(
    turn: Turn, command: LogSets, *, respelt: tuple[Respelt, ...] = (), weak: bool = False, sure: bool = False
) -> list[Reply] | None:
    """Put the sets of an edited message in place of what that message told; None if it told none."""
    old = tuple(turn.work.sets.of_root(turn.lifter.id, turn.row.message_key))
    if not old:
        return None
    if _goes_elsewhere(turn, old, command):
        return _on_another_day(turn, old, command, respelt=respelt, weak=weak, sure=sure)
    return _replace(turn, old, command, respelt=respelt, weak=weak, asked=None if sure else command)


def removed(turn: Turn) -> list[Reply]:
    """Take out what a message told, for it was deleted (or edited into something else)."""
    old = tuple(turn.work.sets.of_root(turn.lifter.id, turn.row.message_key))
    turn.work.questions.withdraw(turn.lifter.id, turn.row.message_key)
    # What a fix took back goes with the message, too: nothing of it may come back.
    turn.work.sets.erase_taken_back(turn.lifter.id, turn.row.message_key)
    if not old:
        return []
    records = follow.records_of(turn, old)
    turn.work.sets.erase([each.id for each in old])
    follow.after_removal(turn, old)
    visits.tidy(turn, old)
    return [TakenBack(removed=old, records=follow.fallen(turn, records))]


def _replace(
    turn: Turn,
    old: tuple[LoggedSet, ...],
    command: LogSets,
    *,
    respelt: tuple[Respelt, ...] = (),
    weak: bool,
    asked: Fix | LogSets | None,
) -> list[Reply]:
    first = old[0]
    before = [each for each in turn.work.sets.of_session(first.session_id) if each.position < first.position]
    current = before[-1].exercise if before else None
    sets = resolve.resolved(
        turn,
        command.sets,
        at=first.at,
        current=first.exercise if not _names_any(command) else current,
        before=before,
        root_key=first.root_key,
        place=first.place,
        session_id=first.session_id,
        weak=weak,
    )
    if not isinstance(sets, tuple):
        return [sets] if isinstance(sets, NothingThere) else [NothingThere(Nothing.WHICH_EXERCISE)]
    if asked is not None and any(each.measured for each in sets) and not any(each.measured for each in old):
        plain = replace(asked, sets=tuple([replace(each, measured=False) for each in asked.sets]))
        options = (Option(asked), Option(plain))
        return [questions.ask(turn, Ask.MEASURED, options, word=sets[-1].exercise, key=first.root_key)]
    records = follow.records_of(turn, old)
    turn.work.sets.take_back(turn.lifter.id, old, change=turn.row.id)
    # In the newest session little has to be computed, and what is planned for it may ask for the estimate meanwhile.
    newest = turn.last_session()
    in_newest = newest is None or newest.id == first.session_id
    follow.after_removal(turn, old, replaced_by=() if in_newest else sets)
    if asked is not None and in_newest:
        others = turn.work.sets.of_session(first.session_id)
        # The estimate knows nothing of the old sets by now: a slip that was too light makes no right load look heavy.
        if (above := plausibility.far_above(turn, sets, (*others, *old))) is not None:
            turn.work.sets.restore([each.id for each in old])
            follow.after_removal(turn, old)
            options = (Option(asked), Option(Cancel()))
            return [questions.ask(turn, Ask.HEAVY, options, word=above[0], figures=above[1], key=first.root_key)]
    # What was asked about the old sets is no question any more.
    turn.work.questions.withdraw(turn.lifter.id, first.root_key)
    session = turn.work.sessions.by_id(turn.lifter.id, first.session_id)
    if session is None:
        raise LookupError(f"no such session: {first.session_id}")
    there = turn.work.sets.of_session(session.id)
    planned = course(turn)
    if planned is not None and planned.session is not None and planned.session.id == session.id:
        earlier = [each for each in there if each.position < first.position]
        sets = with_ways_up(turn, planned, sets, earlier)
    followed = follow.log(
        turn,
        sets,
        day=session.day,
        before=there,
        changed_since=min(each.at for each in old),
    )
    visits.tidy(turn, old)
    return log.answer(
        turn,
        session,
        followed.sets,
        before=before,
        followed=followed,
        respelt=respelt,
        replaced=True,
        taken_back=follow.fallen(turn, records),
        coming=next_set.after(turn, followed.sets),
    )


def _goes_elsewhere(turn: Turn, old: Sequence[LoggedSet], command: LogSets) -> bool:
    """Whether an edited message tells of another day than its sets stand on.

    `yesterday` is seen from when the message was sent, which is known of sets of today alone.
    """
    session = turn.work.sessions.by_id(turn.lifter.id, old[0].session_id)
    if command.day is None or session is None or resolve.told_day(turn, command.day) == session.day:
        return False
    return session.day == turn.today or not isinstance(command.day, DaysAgo)


def _on_another_day(
    turn: Turn,
    old: tuple[LoggedSet, ...],
    command: LogSets,
    *,
    respelt: tuple[Respelt, ...],
    weak: bool,
    sure: bool,
) -> list[Reply]:
    """Log the sets of an edited message on the day that it tells now; where that can't be, they stay where they are."""
    turn.work.sets.take_back(turn.lifter.id, old, change=turn.row.id)
    follow.after_removal(turn, old)
    replies = log.log_sets(turn, command, respelt=respelt, sure=sure, weak=weak, guided=False)
    if not any(isinstance(each, Logged) for each in replies):
        turn.work.sets.restore([each.id for each in old])
        follow.after_removal(turn, old)
        return replies
    turn.work.questions.withdraw(turn.lifter.id, old[0].root_key)
    visits.tidy(turn, old)
    return [replace(each, replaced=True) if isinstance(each, Logged) else each for each in replies]


def _names_any(command: LogSets) -> bool:
    return command.sets[0].exercise is not None


def _last_told(sets: Sequence[LoggedSet]) -> LoggedSet:
    """The set that was told last: of the newest message, the last place."""
    return max(sets, key=lambda each: each.id)
