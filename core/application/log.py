"""Logging: sets into the log, the last set again, and the answer that follows."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from core.application import follow, next_set, plausibility, questions, resolve, rests, trends, visits
from core.application.course import Course, begun, course, told_late, with_ways_up
from core.application.session_changes import unplanned
from core.application.turn import Turn
from core.domain.commands import Cancel, LogSets, Respelt, Same
from core.domain.replies import Ask, Logged, Nothing, NothingThere, Option, Reply
from core.domain.reviews import EstimateTold, MuscleWeek
from core.domain.sessions import Session
from core.domain.sets import Counted, LoggedSet, SetRead
from core.strength import estimate as strength
from core.strength.evidence import Lift
from core.workload.hard_sets import weekly_sets

SURPRISING = frozenset({Counted.TOO_EASY, Counted.TOO_LIGHT, Counted.TOO_MANY, Counted.NOTHING_DONE})
"""Verdicts that a lifter may not expect, told in the answer."""


def log_sets(
    turn: Turn,
    command: LogSets,
    *,
    respelt: Sequence[Respelt] = (),
    sure: bool = False,
    weak: bool = False,
    guided: bool = True,
) -> list[Reply]:
    """Store sets and tell what follows.

    Args:
        turn: The turn.
        command: What was read.
        respelt: Names taken by close spelling.
        sure: The lifter has confirmed a load far above the estimate, or a measured maximum.
        weak: The text also told of a pain: the sets say little about strength.
        guided: They may be sets of the day's session.

    """
    key = turn.row.message_key
    day = None if command.day is None else resolve.told_day(turn, command.day)
    if command.day is not None and (why := resolve.never_meant(turn, command.day)) is not None:
        return [NothingThere(why)]
    if day is None or day == turn.today:
        session, at = resolve.session_now(turn), turn.at
    else:
        session, at = resolve.on_day(turn, day)
    planned = course(turn) if guided and (day is None or day == turn.today) else None
    current = session.exercise if session is not None else None
    session_id = 0 if session is None else session.id
    before = _before(turn, session, command.sets, planned)
    if planned is not None and planned.going_on is not None:
        if (doubt := next_set.which_lift(turn, command, planned, before)) is not None:
            return [doubt]
        current = planned.going_on.exercise.name
    sets = resolve.resolved(
        turn,
        command.sets,
        at=at,
        current=current,
        before=before,
        root_key=key,
        session_id=session_id,
        weak=weak,
        planned=resolve.NOTHING_PLANNED if planned is None else planned.next_loads(turn.unit),
    )
    if not isinstance(sets, tuple):
        return [questions.about_unresolved(turn, command, sets)]
    if not sure and any(each.measured for each in sets):
        plain = replace(command, sets=tuple([replace(each, measured=False) for each in command.sets]))
        return [questions.ask(turn, Ask.MEASURED, (Option(command), Option(plain)), word=sets[-1].exercise)]
    if not sure and (above := plausibility.far_above(turn, sets, before)):
        return [questions.ask(turn, Ask.HEAVY, (Option(command), Option(Cancel())), word=above[0], figures=above[1])]
    last = turn.last_session()
    session = _session_with(turn, session, sets, day)
    late = day is None and last is not None and at < last.last_set_at
    session, came = visits.widened(turn, session) if late else (session, ())
    before = turn.work.sets.of_session(session.id) if came else before
    if session.id != session_id:
        sets = tuple([replace(each, session_id=session.id) for each in sets])
    if planned is not None:
        sets = with_ways_up(turn, planned, sets, before)
        begun(turn, planned, session, sets)
    if day is not None and day != turn.today:
        told_late(turn, session, sets)
    since = min([each.at for each in came], default=None)
    followed = follow.log(turn, sets, day=session.day, before=before, changed_since=since)
    if since is not None:
        visits.compute_again(turn, came, since=since)
    rests.after_set(turn, session)
    _learn_unit(turn, command.sets)
    replies = answer(
        turn,
        session,
        followed.sets,
        before=before,
        followed=followed,
        respelt=tuple(respelt),
        coming=next_set.NOTHING_FOLLOWS if planned is None else next_set.after(turn, followed.sets, hurts=weak),
    )
    if guided and planned is None and not session_id and (day is None or day == turn.today):
        question = unplanned(turn, followed.sets)
        if question is not None:
            replies.append(question)
    return replies


def same(turn: Turn, command: Same) -> list[Reply]:
    """Log the session's last set again, with what was told anew."""
    session = resolve.session_now(turn)
    sets = () if session is None else turn.work.sets.of_session(session.id)
    if not sets:
        return [NothingThere(Nothing.TO_REPEAT)]
    again = changed(as_read(sets[-1]), command.changes)
    if not command.changes.failed:
        again = replace(again, failed=False)
    if again.reps == 0 and not again.failed:
        # A lift that did not go up at all is not what anybody does again.
        return [NothingThere(Nothing.WHICH_REPS, again.exercise or "")]
    if command.changes.rir is None and command.changes.rpe is None:
        # Effort is not the set: it was not told this time.
        again = replace(again, rir=None, rpe=None, at_least=False)
    return log_sets(turn, LogSets((again,) * command.times))


def as_read(each: LoggedSet) -> SetRead:
    """A logged set as the text that would log it again is read."""
    return SetRead(
        exercise=each.exercise,
        load=each.load,
        unit=None if each.load is None else each.unit,
        reps=each.reps,
        rir=each.rir,
        rpe=each.rpe,
        at_least=each.at_least,
        failed=each.failed,
        warmup=each.warmup,
        bodyweight=each.bodyweight,
        per_side=each.per_side,
        seconds=each.seconds,
        helped=each.helped,
        measured=each.measured,
        parts=each.parts,
    )


def changed(old: SetRead, new: SetRead) -> SetRead:
    """A set with what was told anew; what was not told stays."""
    effort_told = new.rir is not None or new.rpe is not None
    load_told = new.load is not None or new.bar
    done_told = new.reps is not None or new.seconds is not None
    return replace(
        old,
        exercise=new.exercise or old.exercise,
        load=new.load if load_told else old.load,
        unit=(new.unit or old.unit) if load_told else old.unit,
        bar=new.bar,
        step=new.step,
        plates=new.plates,
        load_per_side=new.load_per_side,
        bodyweight=new.bodyweight or (old.bodyweight and not load_told),
        reps=new.reps if done_told else old.reps,
        seconds=new.seconds if done_told else old.seconds,
        rir=new.rir if effort_told else old.rir,
        rpe=new.rpe if effort_told else old.rpe,
        at_least=new.at_least if effort_told else old.at_least,
        failed=new.failed or (old.failed and not done_told),
        warmup=new.warmup or (old.warmup and new.load is None),
        per_side=new.per_side or old.per_side,
        helped=new.helped or old.helped,
        measured=new.measured or old.measured,
        parts=new.parts if done_told else old.parts,
    )


def answer(
    turn: Turn,
    session: Session,
    sets: tuple[LoggedSet, ...],
    *,
    before: Sequence[LoggedSet],
    followed: follow.Followed,
    respelt: tuple[Respelt, ...] = (),
    replaced: bool = False,
    taken_back: tuple[str, ...] = (),
    coming: next_set.Followed = next_set.NOTHING_FOLLOWS,
) -> list[Reply]:
    """The answer to sets: the reading in one line, the estimate once an exercise, the week, and what comes next.

    By a plan the estimate and the week are told when a lift is done, since its last set is known; without one, the
    estimate at its first work set.
    """
    last = sets[-1]
    work = [each for each in (*before, *sets) if each.exercise == last.exercise and not each.warmup]
    told = tuple(
        each
        for name in dict.fromkeys(each.exercise for each in sets if not each.warmup)
        if coming.guides or replaced or not any(old.exercise == name and not old.warmup for old in before)
        if (each := estimate_told(turn, name)) is not None
    )
    surprising = last.counted if last.counted in SURPRISING and coming.effort_asked else None
    assumed = turn.new and not turn.lifter.unit_told and any(each.load is not None for each in sets)
    quiet = coming.guides and not coming.lift_over
    logged = Logged(
        sets=sets,
        number=0 if last.warmup else len(work),
        day=None if session.day == turn.today else session.day,
        estimates=told if turn.lifter.stopped_at is None and not quiet else (),
        week=() if quiet else week_of(turn, session.day, sets),
        records=tuple(followed.broken),
        taken_back=taken_back,
        respelt=respelt,
        unit_assumed=assumed,
        replaced=replaced,
        not_hard=surprising,
        coming=coming.coming,
        taps=coming.taps,
    )
    return [logged] if coming.ask is None else [logged, coming.ask]


def estimate_told(turn: Turn, name: str) -> EstimateTold | None:
    """The estimate of an exercise as it stands now; None without any evidence."""
    exercise = turn.known(name)
    lift = Lift.of(exercise)
    standing = turn.standing(lift.family)
    if standing.state.track(lift.name) is None:
        return None
    found = strength.estimate(standing.state, lift, turn.now)
    if found is None:
        return None
    carried = 0.0
    if exercise.body_share > 0:
        if turn.lifter.body_mass_kg is None:
            return None
        carried = exercise.body_share * turn.lifter.body_mass_kg
    return EstimateTold(
        exercise=name,
        unit=turn.unit,
        estimate_kg=found.mean_kg - carried,
        low_kg=found.low_kg - carried,
        high_kg=found.high_kg - carried,
        level=strength.INTERVAL,
        change_kg=trends.change_kg(turn, lift, found),
        added_to_body=carried > 0,
    )


def week_of(turn: Turn, day: date, sets: Sequence[LoggedSet]) -> tuple[MuscleWeek, ...]:
    """Hard sets so far, in the week of a day, of the muscles that some sets train directly."""
    direct = {muscle for each in sets for muscle in turn.known(each.exercise).direct}
    return tuple(each for each in muscles_of_week(turn, day) if each.muscle in direct)


def muscles_of_week(turn: Turn, day: date) -> tuple[MuscleWeek, ...]:
    """Hard sets by muscle in the week of a day, Monday to Sunday."""
    first, last = resolve.week_around(day)
    rows = turn.work.sets.counted(turn.lifter.id, first, last)
    return tuple(
        MuscleWeek(muscle, found.sets, found.sessions)
        for muscle, found in weekly_sets(rows, exercises=turn.exercises()).muscles.items()
    )


def _before(
    turn: Turn, session: Session | None, read: Sequence[SetRead], planned: Course | None
) -> Sequence[LoggedSet]:
    """Sets of the session so far: all of them where a plan is followed, else those of the exercises of the new ones."""
    if session is None:
        return ()
    if planned is not None:
        return turn.work.sets.of_session(session.id)
    names = {each.exercise or session.exercise for each in read}
    return turn.work.sets.of_session(session.id, exercise=names.pop() if len(names) == 1 else None)


def _session_with(turn: Turn, session: Session | None, sets: Sequence[LoggedSet], day: date | None) -> Session:
    first, last = sets[0].at, sets[-1].at
    name = sets[-1].exercise
    if session is None:
        past = day is not None and day != turn.today
        session = turn.work.sessions.add(
            Session(
                lifter_id=turn.lifter.id,
                day=day if day is not None else turn.lifter.day_of(first),
                opened_at=first,
                last_set_at=last,
                closed_at=last if past else None,
                exercise=name,
            )
        )
        turn.session_changed()
        return session
    session = replace(session, last_set_at=max(session.last_set_at, last), exercise=name)
    if first < session.opened_at:
        session = replace(session, opened_at=first)
        turn.work.sessions.save(session)
    else:
        turn.work.sessions.go_on(session)
    turn.session_changed()
    return session


def _learn_unit(turn: Turn, read: Sequence[SetRead]) -> None:
    told = next((each.unit for each in read if each.unit is not None), None)
    if told is not None and not turn.lifter.unit_told:
        turn.settle(replace(turn.lifter, unit=told, unit_told=True))
