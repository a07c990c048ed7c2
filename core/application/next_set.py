"""The next set: what comes after the sets just logged, and the taps that answer it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from core.application import questions
from core.application.course import Course, LiftOn, course, is_main, planned_read
from core.application.turn import Turn
from core.domain.commands import Fix, LogSets, Pain, PainAnswer
from core.domain.guidance import Coming, LastLiftDone, Move, NextLiftTold, NextSetTold, Reason
from core.domain.replies import Ask, Asked, Nothing, NothingThere, Option, Reply
from core.domain.session_commands import AsPlanned, Missed, NothingHurts
from core.domain.sets import LoggedSet, SetRead

LEFT_OFFERED = (0.0, 1.0, 2.0, 3.0, 4.0)
"""Repetitions left that can be tapped; the last is "or more". [repetitions]"""

MOST_REPS_OFFERED = 8
"""Most answers to how many repetitions were made: a phone's screenful."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Followed:
    """What comes after sets, and what is asked beside."""

    coming: Coming | None = None
    taps: Asked | None = None
    ask: Asked | None = None
    lift_over: bool = False
    effort_asked: bool = True
    """Whether the planned lift asks for repetitions to be left: power sets ask for speed alone."""

    @property
    def guides(self) -> bool:
        """Whether a plan is followed."""
        return self.coming is not None or self.ask is not None


NOTHING_FOLLOWS = Followed()
"""No plan is followed."""


def after(turn: Turn, sets: Sequence[LoggedSet], *, hurts: bool = False) -> Followed:
    """What comes after these sets, the newest of their session's planned lift; nothing without a plan.

    Where their message told of a pain nothing is offered before the question about it is answered.
    """
    planned = course(turn)
    if planned is None or planned.session is None or sets[-1].session_id != planned.session.id:
        return NOTHING_FOLLOWS
    on = planned.took(sets[-1]) or planned.of(sets[-1].exercise)
    withdraw(turn)
    if on is None or hurts:
        return NOTHING_FOLLOWS
    if on.now.ask_pain and not on.now.over:
        return Followed(ask=_pain_first(turn, on))
    return replace(followed(turn, planned, on, sets[-1]), effort_asked=on.lift.sets[-1].left is not None)


def followed(turn: Turn, planned: Course, on: LiftOn, last: LoggedSet | None) -> Followed:
    """What comes in a lift, or after it."""
    ended = on.now.move is Move.END and on.now.reason is Reason.FAILED_TWICE
    left = planned.left
    if not left:
        return Followed(coming=LastLiftDone(ended=ended), ask=_left(turn, on, last), lift_over=on.now.over)
    upcoming = left[0] if on.now.over else on
    if upcoming is not on:
        told = NextLiftTold(lift=upcoming.told, ended=ended)
        return Followed(coming=told, taps=taps(turn, upcoming), ask=_left(turn, on, last), lift_over=True)
    if (untold := _effort_untold(on)) is not None and last is not None and untold.id == last.id:
        # What comes depends on it: nothing else is offered, or a tap would log a set that was not done.
        return Followed(ask=_left_asked(turn, on, untold))
    return Followed(coming=next_told(turn, on), taps=taps(turn, on), ask=_left(turn, on, last))


def next_told(turn: Turn, on: LiftOn) -> NextSetTold:
    """The next set of a lift that is going on."""
    now = on.now
    changed = now.changed and now.load.bar is not None
    return NextSetTold(
        lift=on.told,
        number=now.done + 1,
        of=len(on.lift.sets),
        load=now.load.told_in(turn.unit),
        reps=now.reps,
        side=now.load.side if changed else (),
        changed=now.changed,
        move=now.move,
        reason=now.reason,
        finding=now.finding,
    )


def taps(turn: Turn, on: LiftOn) -> Asked:
    """One tap logs the planned set; where the load is still to be found, with the repetitions left."""
    reps = on.now.reps
    if on.now.finding:
        options = [Option(LogSets((planned_read(turn, on, reps=reps, left=left),))) for left in LEFT_OFFERED]
    else:
        options = [Option(AsPlanned()), *([Option(AsPlanned(fewer=1))] if reps > 1 else []), Option(Missed())]
    return questions.ask(turn, Ask.PLANNED_SET, options, word=on.exercise.name, key=_key(turn))


def withdraw(turn: Turn) -> None:
    """Take back the taps of a set that is no longer the next one."""
    for each in turn.work.questions.open(turn.lifter.id):
        if each.doubt == Ask.PLANNED_SET.value:
            turn.work.questions.withdraw(turn.lifter.id, each.message_key)


def as_planned(turn: Turn, command: AsPlanned) -> LogSets | NothingThere | Asked:
    """The planned set as the text that logs it is read.

    While a load is being found the set just told is what was done, and the repetitions left in it are asked for.
    """
    planned = course(turn)
    on = None if planned is None else next(iter(planned.left), None)
    if on is None:
        return NothingThere(Nothing.PLANNED)
    if (untold := _effort_untold(on)) is not None and not command.fewer:
        return _left_asked(turn, on, untold)
    return LogSets((planned_read(turn, on, reps=max(on.now.reps - command.fewer, 1)),))


def missed(turn: Turn) -> list[Reply]:
    """Ask how many repetitions of the planned set were made before the one that was missed."""
    planned = course(turn)
    on = None if planned is None else next(iter(planned.left), None)
    if on is None:
        return [NothingThere(Nothing.PLANNED)]
    most = range(on.now.reps - 1, -1, -1)[:MOST_REPS_OFFERED]
    options = [Option(LogSets((planned_read(turn, on, reps=reps, failed=True),))) for reps in most]
    return [questions.ask(turn, Ask.REPS_MADE, options, word=on.exercise.name, key=_key(turn))]


def which_lift(turn: Turn, command: LogSets, planned: Course, before: Sequence[LoggedSet]) -> Asked | None:
    """Ask which lift a set without a name is of, where its load is that of the lift just done and not the planned one."""
    first, on = command.sets[0], planned.going_on
    if first.exercise is not None or first.load is None or not before or on is None:
        return None
    last = before[-1]
    if last.exercise == on.exercise.name or first.load != last.load:
        return None
    if planned.next_loads(turn.unit)[on.exercise.name].amount == first.load:
        return None
    options = [
        Option(replace(command, sets=(replace(first, exercise=name), *command.sets[1:])))
        for name in (last.exercise, on.exercise.name)
    ]
    return questions.ask(turn, Ask.WHICH_LIFT, options, word=turn.row.text or "")


def _left(turn: Turn, on: LiftOn, last: LoggedSet | None) -> Asked | None:
    """After the first and the last work set of the main lift, if none were told: how many repetitions were left."""
    if last is None or last.warmup or last.failed or last.rir is not None or last.rpe is not None:
        return None
    effort_counts = is_main(on) and on.lift.sets[-1].left is not None
    first_or_last = on.now.done == 1 or on.now.over
    if not (effort_counts and first_or_last and any(each.id == last.id for each in on.taken)):
        return None
    return _left_asked(turn, on, last)


def _left_asked(turn: Turn, on: LiftOn, one: LoggedSet) -> Asked:
    options = [Option(Fix((SetRead(rir=left, at_least=left >= LEFT_OFFERED[-1]),))) for left in LEFT_OFFERED]
    return questions.ask(turn, Ask.LEFT, options, word=on.exercise.name, key=one.root_key)


def _effort_untold(on: LiftOn) -> LoggedSet | None:
    """The last set on the way to a load that is to be found, if how many were left in it was not told."""
    last = on.taken[-1] if on.now.finding and on.taken else None
    return None if last is None or last.failed or last.rir is not None or last.rpe is not None else last


def _pain_first(turn: Turn, on: LiftOn) -> Asked:
    options = [Option(NothingHurts()), *(Option(Pain(each)) for each in PainAnswer)]
    return questions.ask(turn, Ask.HURTS, options, word=on.exercise.name, key=_key(turn))


def _key(turn: Turn) -> str:
    """Key of a question that is about what comes, not about the message that led to it."""
    return f"{turn.row.message_key} next"
