"""Check-ins: five answers by taps or in one line, what hurts, and the week told beside the lifter's own past."""

from dataclasses import replace
from datetime import date, timedelta

from core.application import advising, questions
from core.application.turn import Turn
from core.domain.check_in_commands import BeginCheckIn, CheckInCommand, Felt, Hurts, PainFree
from core.domain.check_in_replies import AnswerTold, CheckInTold
from core.domain.checkins import BEST_ANSWER, WORST_ANSWER, Ache, CheckIn, Item, Pain, Place
from core.domain.commands import Consent, PainAnswer
from core.domain.prescriptions import Place as Region
from core.domain.replies import Ask, Asked, Option, PainAdvice, Reply
from core.domain.setups import Hurting
from core.domain.units import Load, from_kg
from core.notation.messages import canonical
from core.recovery.wellness import beside_past, pains_now

LATE_DAYS = 2
"""Days into a week on which a check-in is still about the week before. [d] One that is due on a Sunday evening is sent
up to two days late (design of the clock), and can be changed as long."""

DAYS = 7
"""Days of a week. [d]"""


def week_of_check_in(today: date) -> date:
    """First day of the week that a check-in on a day is about."""
    day = today - timedelta(days=LATE_DAYS)
    return day - timedelta(days=day.weekday())


def last_day_of_check_in(week: date) -> date:
    """Last day on which the check-in about a week can be changed."""
    return week + timedelta(days=DAYS - 1 + LATE_DAYS)


def is_answered(turn: Turn) -> bool:
    """Whether the week's check-in needs no reminder: all of it was answered."""
    check_in = turn.work.check_ins.get(turn.lifter.id, week_of_check_in(turn.today))
    return check_in is not None and _is_complete(check_in)


def begin(turn: Turn) -> list[Reply]:
    """Begin the week's check-in, go on with it, or tell it again once all is answered."""
    if (ask := _without_consent(turn, BeginCheckIn())) is not None:
        return [ask]
    return _next(turn, _current(turn))


def felt(turn: Turn, command: Felt) -> list[Reply]:
    """Keep some answers, new or in place of others, and go on."""
    if (ask := _without_consent(turn, command)) is not None:
        return [ask]
    check_in = _current(turn)
    for item, answer in command.answers:
        check_in = check_in.with_answer(item, answer)
    return _kept(turn, check_in)


def nothing_hurts(turn: Turn) -> list[Reply]:
    """Keep that nothing hurts."""
    if (ask := _without_consent(turn, PainFree())) is not None:
        return [ask]
    if turn.setup.hurting:
        # After a sharp pain lifts come back eased first.
        eased = tuple(
            Hurting(each.place, Ache.FADES, turn.today) for each in turn.setup.hurting if each.ache is Ache.SHARP
        )
        turn.settle_setup(replace(turn.setup, hurting=eased))
    return _kept(turn, replace(_current(turn), pains=()))


def hurts(turn: Turn, command: Hurts) -> list[Reply]:
    """Ask how an ache behaves, or keep it and what follows from it."""
    if (ask := _without_consent(turn, command)) is not None:
        return [ask]
    if command.ache is None:
        options = [Option(Hurts(command.place, ache)) for ache in Ache]
        return [questions.ask(turn, Ask.ACHE, options, word=command.place)]
    check_in = _current(turn)
    others = [each for each in check_in.pains or () if each.place is not command.place]
    check_in = replace(check_in, pains=(*others, Pain(command.place, command.ache)))
    turn.work.check_ins.save(turn.lifter.id, check_in)
    _note_region(turn, check_in, command.place)
    care: list[Reply] = [PainAdvice(PainAnswer.SHARP)] if command.ache is Ache.SHARP else []
    told = {each.place for each in check_in.pains or ()}
    options = [Option(BeginCheckIn()), *(Option(Hurts(place)) for place in Place if place not in told)]
    return [*care, questions.ask(turn, Ask.MORE_PAIN, options, word=command.place)]


def with_body_mass(turn: Turn, mass_kg: float) -> None:
    """Keep a body mass with the week's check-in, whether that was begun or not. [kg]"""
    turn.work.check_ins.save(turn.lifter.id, replace(_current(turn), body_mass_kg=mass_kg))


def erase_health(turn: Turn) -> None:
    """Erase check-ins, the advice that tells of them, and what hurts."""
    turn.work.check_ins.erase(turn.lifter.id)
    turn.work.advice.erase(turn.lifter.id)
    if turn.setup.hurting:
        turn.settle_setup(replace(turn.setup, hurting=()))


def told(turn: Turn, check_in: CheckIn) -> CheckInTold:
    """A check-in beside the lifter's own past."""
    past = turn.work.check_ins.since(turn.lifter.id, date.min)
    beside = beside_past(check_in, past=past)
    mass = None
    if check_in.body_mass_kg is not None:
        mass = Load(round(from_kg(check_in.body_mass_kg, turn.unit), 1), turn.unit)
    return CheckInTold(
        week=check_in.week,
        until=last_day_of_check_in(check_in.week),
        answers=tuple(AnswerTold(item, each.answer, each.usual) for item, each in beside.items.items()),
        pains=check_in.pains,
        body_mass=mass,
        ask_mass=mass is None and not turn.lifter.body_mass_off,
    )


def _without_consent(turn: Turn, command: CheckInCommand) -> Asked | None:
    """The question whether health data may be kept, where the lifter has not said yes."""
    if turn.lifter.consent is not None and turn.lifter.consent.given:
        return None
    yes, no = Consent(given=True), Consent(given=False)
    sends = (canonical(yes) + questions.LINE_BETWEEN + canonical(command), canonical(no))
    return questions.ask(turn, Ask.CHECK_IN, (Option(yes), Option(no)), sends=sends)


def _current(turn: Turn) -> CheckIn:
    week = week_of_check_in(turn.today)
    return turn.work.check_ins.get(turn.lifter.id, week) or CheckIn(week=week)


def _is_complete(check_in: CheckIn) -> bool:
    return not check_in.unanswered and check_in.pains is not None


def _kept(turn: Turn, check_in: CheckIn) -> list[Reply]:
    turn.work.check_ins.save(turn.lifter.id, check_in)
    return _next(turn, check_in)


def _next(turn: Turn, check_in: CheckIn) -> list[Reply]:
    if check_in.unanswered:
        item = check_in.unanswered[0]
        return [_about(turn, item, left=len(check_in.unanswered))]
    if check_in.pains is None:
        options = [Option(PainFree()), *(Option(Hurts(place)) for place in Place)]
        return [questions.ask(turn, Ask.ANY_PAIN, options)]
    return [told(turn, check_in), *advising.after(turn, check_in)]


def _about(turn: Turn, item: Item, *, left: int) -> Asked:
    options = [Option(Felt(((item, answer),))) for answer in range(WORST_ANSWER, BEST_ANSWER + 1)]
    return questions.ask(turn, Ask.FELT, options, word=item, figures=(("left", left),))


def _note_region(turn: Turn, check_in: CheckIn, place: Place) -> None:
    """Keep what hurts for the sessions to come, too.

    What changes the lifting, or was told in two check-ins running, leaves out what loads the place in the week to come.
    A sharp pain stays one until the lifter says that it is better.
    """
    if place is Place.ELSEWHERE:
        return
    before = turn.work.check_ins.get(turn.lifter.id, check_in.week - timedelta(weeks=1))
    ache = next(each.ache for each in pains_now(check_in, before=before) if each.place is place)
    region = Region(place.value)
    if any(each.place is region and each.ache is Ache.SHARP for each in turn.setup.hurting):
        return
    out_until = check_in.week + timedelta(weeks=2) if ache is Ache.CHANGES_LIFTING else None
    others = [each for each in turn.setup.hurting if each.place is not region]
    turn.settle_setup(replace(turn.setup, hurting=(*others, Hurting(region, ache, turn.today, out_until))))
