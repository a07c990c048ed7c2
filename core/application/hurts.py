"""What hurts: the three answers to the pain question act on the session, the week and what follows."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import timedelta

from core.application import questions
from core.application.course import Course, LiftOn, course
from core.application.replanning import replanned, without
from core.application.session_plan import EASED, gym, lifts_of, with_lifts
from core.application.training_day import SETTLED, in_line, week_days, week_now
from core.application.turn import Turn
from core.domain.checkins import Ache as Behaviour
from core.domain.commands import Cancel, Pain, PainAnswer
from core.domain.exercises import Exercise
from core.domain.guidance import DayChange
from core.domain.plans import DAYS
from core.domain.prescriptions import Place, PlannedDay
from core.domain.replies import Acknowledged, Ask, Done, Nothing, NothingThere, Option, PainAdvice, Reply
from core.domain.session_commands import Better, Swap
from core.domain.setups import Hurting
from core.planning.pain import (
    Ache,
    Keep,
    OutThisWeek,
    RegionEnds,
    loaded_places,
    pain_decision,
)

OUT = "out "
"""Begins the text of a lift that is left out because something hurts."""

_ACHES = {PainAnswer.FADES: Ache.FADES, PainAnswer.CHANGES: Ache.CHANGES, PainAnswer.SHARP: Ache.SHARP}

_KEPT_AS = {
    PainAnswer.FADES: Behaviour.FADES,
    PainAnswer.CHANGES: Behaviour.CHANGES_LIFTING,
    PainAnswer.SHARP: Behaviour.SHARP,
}


def pain(turn: Turn, command: Pain) -> list[Reply]:
    """Say what a pain of this kind asks for, ask where it is, and change the session by it."""
    if command.place is None:
        advice = PainAdvice(command.answer)
        if turn.plan is None and not _may_keep(turn):
            return [advice]
        options = [*(Option(Pain(command.answer, place)) for place in Place), Option(Cancel())]
        return [advice, questions.ask(turn, Ask.PLACE, options)]
    _keep(turn, command.answer, command.place)
    spares_the_week = command.answer is PainAnswer.CHANGES
    advised: list[Reply] = [] if _answers(turn, Ask.PLACE) else [PainAdvice(command.answer)]
    planned = course(turn)
    if spares_the_week and (planned is None or _hurting_lift(planned, command.place) is None):
        # No exercise of today is the one, so it is whatever loads the place.
        _place_out_this_week(turn, command.place)
    if planned is None:
        return advised or [Acknowledged(Done.PLACE_NOTED, command.place)]
    return [*advised, *_acted(turn, planned, _ACHES[command.answer], command.place)]


def asked_again(turn: Turn) -> list[Reply]:
    """The question about a pain that still waits for its answer, once more; nothing where none does."""
    waiting = [
        each
        for each in turn.work.questions.open(turn.lifter.id)
        if each.doubt == Ask.PAIN.value and turn.now < each.expires_at
    ]
    if not waiting:
        return []
    newest = max(waiting, key=lambda each: each.asked_at)
    turn.work.questions.withdraw(turn.lifter.id, newest.message_key)
    place = next((each for each in Place if newest.sends[0].endswith(f" {each.value}")), None)
    return [questions.about_pain(turn, "pain" if place is None else place.value, place)]


def torn(turn: Turn) -> list[Reply]:
    """A sudden pop or tear: nothing is pressed any more today, and nothing loads the shoulder."""
    _keep(turn, PainAnswer.SHARP, Place.SHOULDER)
    planned = course(turn)
    if planned is None or not planned.left:
        return []
    return _acted(turn, planned, Ache.SHARP, Place.SHOULDER, popped=True)


def better(turn: Turn, command: Better) -> list[Reply]:
    """A place hurts no more: its lifts are worked out as usual again; after a sharp pain they come back eased first."""
    setup = turn.setup
    others = tuple(each for each in setup.hurting if each.place is not command.place)
    if any(each.place is command.place and each.ache is Behaviour.SHARP for each in setup.hurting):
        eased = Hurting(command.place, Behaviour.FADES, turn.today)
        turn.settle_setup(replace(setup, hurting=(*others, eased)))
        return _back_eased(turn, command)
    turn.settle_setup(replace(setup, hurting=others))
    planned = course(turn)
    if planned is None or not planned.lifts:
        return [Acknowledged(Done.PLACE_BETTER, command.place)]
    known = {each.exercise.name: each.exercise for each in planned.lifts}
    day = planned.day
    kept = tuple(
        text
        for text in day.adjusted
        if not (
            text.startswith(EASED)
            and (exercise := known.get(text.removeprefix(EASED))) is not None
            and command.place in loaded_places(exercise)
        )
    )
    planned = replace(planned, day=replace(day, adjusted=kept))
    return replanned(turn, planned, day.session.lifts, DayChange.BETTER, command.place)


def _back_eased(turn: Turn, command: Better) -> list[Reply]:
    """Give the lifts back that were left out for a sharp pain, but for those of a session in which it came."""
    planned = course(turn)
    if planned is None or not planned.day.session.lifts:
        return [Acknowledged(Done.PLACE_EASED, command.place)]
    return replanned(turn, planned, planned.day.session.lifts, DayChange.BACK_EASED, command.place)


def _answers(turn: Turn, about: Ask) -> bool:
    """Whether this message answers a question of a kind."""
    question = None if turn.row.question is None else turn.work.questions.get(turn.row.question)
    return question is not None and question.doubt == about.value


def _acted(turn: Turn, planned: Course, ache: Ache, place: Place, *, popped: bool = False) -> list[Reply]:
    left = planned.left
    on = _hurting_lift(planned, place)
    if ache is Ache.FADES and on is not None and f"skip {on.exercise.name}" in planned.day.adjusted:
        # It was left out since: what can be eased is what is still to come.
        on = next((each for each in left if _loads(each.exercise, place)), None)
    if on is None and not popped:
        return [Acknowledged(Done.PLACE_NOTED, place)]
    exercise = left[0].exercise if on is None else on.exercise
    decision = pain_decision(
        ache,
        place,
        exercise,
        session=[each.exercise.name for each in left],
        catalogue=turn.lifts,
        wishes=turn.setup.wishes,
        owned=gym(turn),
        popped=popped,
    )
    match decision:
        case Keep(exercise=name, gentler=others):
            replies = replanned(turn, planned, planned.day.session.lifts, DayChange.EASED, name, EASED + name)
            return [*replies, *_offered(turn, planned, name, others)]
        case OutThisWeek(exercise=name, substitutes=others):
            gone = [each for each in left if each.exercise.name == name]
            _out_this_week(turn, planned, name)
            replies = replanned(turn, planned, without(planned, gone), DayChange.OUT_THIS_WEEK, name, OUT + name)
            return [*replies, *(_offered(turn, planned, name, others) or [NothingThere(Nothing.SPARING, place)])]
        case RegionEnds(ended=names):
            gone = [each for each in left if each.exercise.name in names]
            if not gone:
                return [Acknowledged(Done.PLACE_NOTED, place)]
            texts = [OUT + each.exercise.name for each in gone]
            return replanned(turn, planned, without(planned, gone), DayChange.ENDED, place, *texts)


def _offered(turn: Turn, planned: Course, name: str, others: Iterable[str]) -> list[Reply]:
    """Other exercises to tap in place of one."""
    there = {each.exercise.name for each in planned.lifts}
    options = [Option(Swap(name, each)) for each in others if each not in there]
    if not options:
        return []
    return [questions.ask(turn, Ask.SWAP, [*options, Option(Cancel())], word=name)]


def _hurting_lift(planned: Course, place: Place) -> LiftOn | None:
    """The lift in which it hurts: the one going on or just done, or the next one that loads the place."""
    name = None if planned.session is None else planned.session.exercise
    on = None if name is None else planned.of(name)
    if on is not None and _loads(on.exercise, place):
        return on
    return next((each for each in planned.left if _loads(each.exercise, place)), None)


def _loads(exercise: Exercise, place: Place) -> bool:
    return place in loaded_places(exercise)


def _place_out_this_week(turn: Turn, place: Place) -> None:
    """Take what loads a place out of the sessions that are still to come this week."""
    if _may_keep(turn):
        out_until = turn.today + timedelta(days=DAYS - turn.today.weekday())
        hurting = [replace(each, out_until=out_until) if each.place is place else each for each in turn.setup.hurting]
        turn.settle_setup(replace(turn.setup, hurting=tuple(hurting)))
        return
    for day in _to_come(turn):
        known = lifts_of(turn, day.session)
        there = [each for lift in day.session.lifts if (each := known.get(lift.exercise)) is not None]
        _take_out(turn, day, frozenset(each.name for each in there if _loads(each, place)))


def _out_this_week(turn: Turn, planned: Course, name: str) -> None:
    """Take an exercise out of the sessions that are still to come this week."""
    for each in _to_come(turn):
        if (each.week, each.place) != (planned.day.week, planned.day.place):
            _take_out(turn, each, frozenset({name}))


def _to_come(turn: Turn) -> list[PlannedDay]:
    """Sessions of this week, or of the round that sessions in line have come to, that are not settled yet."""
    plan = turn.plan
    if plan is None:
        return []
    week = week_now(turn, plan)
    days = turn.days_of_week(plan, week) if in_line(plan) else week_days(turn, plan, week)
    return [each for each in days if each.state not in SETTLED]


def _take_out(turn: Turn, day: PlannedDay, names: frozenset[str]) -> None:
    lifts = tuple(lift for lift in day.session.lifts if lift.exercise not in names)
    if not lifts or len(lifts) == len(day.session.lifts):
        return
    session = with_lifts(turn, day.session, lifts)
    texts = [OUT + lift.exercise for lift in day.session.lifts if lift.exercise in names]
    turn.work.plans.keep_day(replace(day, session=session, prescription=None, adjusted=(*day.adjusted, *texts)))


def _may_keep(turn: Turn) -> bool:
    """Whether health data may be kept."""
    return turn.lifter.consent is not None and turn.lifter.consent.given


def _keep(turn: Turn, answer: PainAnswer, place: Place) -> None:
    """Keep where it hurts, with the lifter's consent; without it only what the session loses is kept."""
    if not _may_keep(turn):
        return
    setup = turn.setup
    others = tuple(each for each in setup.hurting if each.place is not place)
    turn.settle_setup(replace(setup, hurting=(*others, Hurting(place, _KEPT_AS[answer], turn.today))))
