"""The plan of a session: what is prescribed for it, worked out from the log, the set-up and what was asked for."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Protocol

from core.application import replay
from core.application.strength_now import StrengthAfresh, StrengthNow
from core.application.training_day import easing
from core.application.turn import Turn
from core.domain.checkins import Ache
from core.domain.equipment import Bar, Owned, mass_ng
from core.domain.exercises import Catalogue, Equipment, Exercise
from core.domain.plans import DAYS, PlannedLift, PlannedSession
from core.domain.prescriptions import DayState, PlannedDay, PrescribedLift
from core.domain.profile import USUAL_BAR
from core.domain.session_commands import Tired
from core.domain.sets import LoggedSet
from core.planning.calendar import is_reduced
from core.planning.lift_walk import ON_THE_WAY, LiftNow
from core.planning.loading import loads
from core.planning.minutes import session_s
from core.planning.pain import FADING, loaded_places
from core.planning.ports import Strength
from core.planning.prescription import Lifting, prescription
from core.planning.progression import LastTime
from core.planning.ramp import WORTH_OF_A_REP
from core.planning.returns import REDUCED, Adjustment, SetsChange, StartAfresh, adjusted_session, tired

SESSIONS_BACK = 8
"""Sessions of a lift that are looked at for its last times: two of each kind of day with room. [sessions]"""

EASED = "ease "
"""Begins the text of a lift that is eased today: one more left and nothing goes up."""


def given(turn: Turn, day: PlannedDay) -> PlannedDay:
    """The session with what is prescribed for it now; nothing is written."""
    known = lifts_of(turn, day.session)
    session = spared(turn, day.session)
    lifting = Lifting(
        owned=gym(turn),
        strength=strength_for(turn),
        care=turn.setup.care_on(turn.today),
        lasts=last_times(turn, day.session, besides=day.session_id),
        adjustments=adjustments(turn, day),
        by_lift=eased(turn, day, known),
    )
    return replace(
        day,
        prescription=replace(prescription(session, known, lifting), reduced=_is_reduced(turn, day)),
        state=DayState.OPEN if day.session_id is None else day.state,
    )


def spared(turn: Turn, session: PlannedSession) -> PlannedSession:
    """A session without the lifts that load a place with a sharp pain, or one that is to be left alone this week."""
    out = {each.place for each in turn.setup.hurting if each.ache is Ache.SHARP or each.is_out(turn.today)}
    if not out:
        return session
    known = lifts_of(turn, session)
    lifts = [
        lift
        for lift in session.lifts
        if (exercise := known.get(lift.exercise)) is None or not out & loaded_places(exercise)
    ]
    return session if len(lifts) == len(session.lifts) else with_lifts(turn, session, lifts)


def with_lifts(turn: Turn, session: PlannedSession, lifts: Iterable[PlannedLift]) -> PlannedSession:
    """A session with other lifts, and the time that they take."""
    changed = replace(session, lifts=tuple(lifts))
    known = lifts_of(turn, changed)
    timed = [(lift, exercise) for lift in changed.lifts if (exercise := known.get(lift.exercise)) is not None]
    return replace(changed, seconds=session_s(timed))


def planned_again(turn: Turn, planned: "Underway", session: PlannedSession, texts: Sequence[str]) -> PlannedDay:
    """The session with other lifts or sets, worked out anew but for the sets that are done; nothing is written."""
    adjusted = (*planned.day.adjusted, *texts)
    day = given(turn, replace(planned.day, session=session, adjusted=adjusted, prescription=None))
    old = {(each.lift.exercise, each.lift.role): each for each in planned.lifts if each.now.done}
    prescription = day.prescription
    if prescription is None or not old:
        return day
    owned = gym(turn)
    lifts = tuple(_merged(old.get((each.exercise, each.role)), each, owned) for each in prescription.lifts)
    return replace(day, prescription=replace(prescription, lifts=lifts))


class OneUnderway(Protocol):
    """A lift with how far it has come."""

    @property
    def lift(self) -> PrescribedLift:
        """As it was given out."""

    @property
    def exercise(self) -> Exercise:
        """What it is."""

    @property
    def now(self) -> LiftNow:
        """Where it stands."""


class Underway(Protocol):
    """A planned session with how far its lifts have come."""

    @property
    def day(self) -> PlannedDay:
        """The session."""

    @property
    def lifts(self) -> Sequence[OneUnderway]:
        """Its lifts."""


def _merged(old: OneUnderway | None, new: PrescribedLift, owned: Owned) -> PrescribedLift:
    """A lift under way: its sets done as they were given out, and as many to come as there are now, on its own bar.

    Those to come keep their load, for what the sets so far have said of it moves it already; only where more are to be
    left than before are they lighter.
    """
    if old is None:
        return new
    done, pattern = old.now.done, old.lift.sets[-1]
    more = len(new.sets) - done
    if pattern.load is None:
        return replace(old.lift, sets=(*old.lift.sets[:done], *old.lift.sets[:1] * more))
    if not new.sets:
        return replace(old.lift, sets=old.lift.sets[:done])  # nothing of it is left to do
    left = new.sets[-1].left
    if left is not None and pattern.left is not None and left > pattern.left:
        ng = mass_ng(pattern.load)
        lighter = ng - round(WORTH_OF_A_REP * (left - pattern.left) * abs(ng))
        available = loads(old.exercise, owned).on(old.now.load.bar)
        load = (available.at_most(lighter) or available.lightest).told_in(pattern.load.unit)
        pattern = replace(new.sets[-1], load=load, reps=pattern.reps)
    return replace(old.lift, sets=(*old.lift.sets[:done], *(pattern,) * max(more, 0)))


def strength_for(turn: Turn) -> Strength:
    """How strong the lifter is; after a time too long for any plan nothing is known of a lift until it is done again."""
    away = turn.setup.away
    if away is not None and away.until is not None and isinstance(easing(turn, turn.today), StartAfresh):
        return StrengthAfresh(turn, away.until)
    return StrengthNow(turn)


def gym(turn: Turn) -> Owned:
    """What the lifter can load with; in a usual gym on a bar of the weight that they told."""
    owned = turn.setup.gym(turn.unit)
    if turn.setup.owned is not None or turn.lifter.bar == USUAL_BAR:
        return owned
    bars = [Bar(turn.lifter.bar, bar.equipment, bar.collar) if _is_plain(bar) else bar for bar in owned.bars]
    return replace(owned, bars=tuple(bars))


def lifts_of(turn: Turn, session: PlannedSession) -> Catalogue:
    """The catalogue, with the lifter's own exercises where the session has any."""
    own = turn.own_exercises()
    if not any(lift.exercise in own for lift in session.lifts):
        return turn.lifts
    return Catalogue((*turn.lifts, *(each for each in own.values() if turn.lifts.get(each.name) is None)))


def adjustments(turn: Turn, day: PlannedDay) -> tuple[Adjustment, ...]:
    """What changes the session as a whole: a reduced week, a return after a time away, a tired day."""
    found: list[Adjustment] = []
    if _is_reduced(turn, day):
        found.append(REDUCED)
    back = easing(turn, turn.today)
    if isinstance(back, Adjustment):
        # Never both: the week's sets are halved already, and of the two loads the lighter one counts.
        found = (
            [replace(back, sets=SetsChange.AS_PLANNED, factor=min(back.factor, REDUCED.factor))] if found else [back]
        )
    found += [change for choice in Tired if f"tired {choice}" in day.adjusted and (change := tired(choice)) is not None]
    return tuple(found)


def laid_out_for(turn: Turn, day: PlannedDay, lift: PlannedLift, sets: int) -> PlannedLift:
    """A lift with the sets that come to so many by what changes the session as a whole, such as a week of return."""
    changes = adjustments(turn, day)
    for count in range(sets, lift.sets + 1):
        tried = replace(lift, sets=count)
        after = adjusted_session(replace(day.session, lifts=(tried,)), changes).lifts
        if after and after[0].sets >= sets:
            return tried
    return replace(lift, sets=sets)


def eased(turn: Turn, day: PlannedDay, known: Catalogue) -> Mapping[str, tuple[Adjustment, ...]]:
    """Lifts that are eased because something hurts: those told so today, and those that load a place that aches."""
    aching = {each.place for each in turn.setup.hurting}
    found = {}
    for lift in day.session.lifts:
        exercise = known.get(lift.exercise)
        if exercise is None:
            continue
        if EASED + lift.exercise in day.adjusted or aching & loaded_places(exercise):
            found[lift.exercise] = (FADING,)
    return found


def last_times(
    turn: Turn, session: PlannedSession, *, besides: int | None = None
) -> dict[tuple[str, int], tuple[LastTime, ...]]:
    """The last times that each lift was done by a plan for as many repetitions, newest first.

    Reduced weeks are passed over: what follows them goes on from the weeks before. So is the session `besides`, that is
    going on.
    """
    planned: dict[int, PlannedDay | None] = {}
    found: dict[tuple[str, int], tuple[LastTime, ...]] = {}
    for lift in session.lifts:
        times: list[LastTime] = []
        recent = turn.work.sets.recent_sessions(turn.lifter.id, lift.exercise, limit=SESSIONS_BACK)
        for when, sets in recent:
            number = sets[0].session_id
            if number == besides:
                continue
            if number not in planned:
                planned[number] = turn.work.plans.of_session(turn.lifter.id, number)
            before = planned[number]
            if before is None or before.prescription is None or _was_reduced(turn, before):
                continue
            asked = _same_kind(before, lift.exercise, lift.scheme.reps)
            if asked is not None and (time := _last_time(*asked, sets, turn.today, when)) is not None:
                times.append(time)
        if times:
            found[lift.exercise, lift.scheme.reps] = tuple(times)
    return found


def _is_plain(bar: Bar) -> bool:
    return bar.equipment is Equipment.BARBELL


def _was_reduced(turn: Turn, day: PlannedDay) -> bool:
    # Of a plan before this one only what was given out tells it.
    return (day.prescription is not None and day.prescription.reduced) or _is_reduced(turn, day)


def _is_reduced(turn: Turn, day: PlannedDay) -> bool:
    plan = turn.plan
    return plan is not None and plan.id == day.plan_id and is_reduced(plan, day.week)


def _same_kind(day: PlannedDay, exercise: str, reps: int) -> tuple[PrescribedLift, int] | None:
    """The lift of an exercise on a day that asked for as many repetitions, and how many sets of it came before."""
    if day.prescription is None:
        return None
    kinds = {(lift.exercise, lift.role): lift.scheme.reps for lift in day.session.lifts}
    before = 0
    for each in day.prescription.lifts:
        if each.exercise != exercise or not each.sets:
            continue
        if kinds.get((exercise, each.role)) == reps:
            return each, before
        before += len(each.sets)
    return None


def _without_ramp(done: Sequence[LoggedSet], asked: PrescribedLift) -> Sequence[LoggedSet]:
    """Sets of a lift without the lighter ones before them that lead up to its load and that nobody marked as warm-ups."""
    load = asked.sets[0].load
    first = 0
    while load is not None and first + 1 < len(done):
        here = done[first].load_kg
        if here >= ON_THE_WAY * load.kg or max(each.load_kg for each in done[first + 1 :]) <= here:
            break
        first += 1
    return done[first:]


def _last_time(
    asked: PrescribedLift, before: int, sets: Sequence[LoggedSet], today: date, when: date
) -> LastTime | None:
    """A lift's straight sets: of its work sets those on the load that most of them had."""
    done = [each for each in sets if not each.warmup and each.reps and not each.helped]
    work = _without_ramp(done[before:], asked)[: len(asked.sets)]
    if not work:
        return None
    counts = Counter(each.load_kg for each in work)
    load_kg = max(counts, key=lambda load: (counts[load], -load))
    last = [each for each in work if each.load_kg == load_kg][-1]
    wanted, target = asked.sets[-1].reps, asked.sets[-1].left
    left, _ = replay.told_left(last)
    more = float((last.reps or 0) - wanted)
    over = more + left - target if left is not None and target is not None else more or None
    return LastTime(load_kg=load_kg, reps=wanted, over=over, weeks_ago=(today - when).days / DAYS)
