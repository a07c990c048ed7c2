"""Check-ins: five answers by taps or in one line, what hurts, and the week told beside the lifter's own past."""

from dataclasses import replace
from datetime import date, time, timedelta

from core.application import advising, due, questions
from core.application.training_day import is_away
from core.application.turn import Turn
from core.domain.check_in_commands import BeginCheckIn, CheckInCommand, Felt, Hurts, PainFree
from core.domain.check_in_replies import AnswerTold, CheckInTold
from core.domain.checkins import BEST_ANSWER, WORST_ANSWER, Ache, CheckIn, Item, Pain, Place
from core.domain.commands import Consent, PainAnswer
from core.domain.prescriptions import Place as Region
from core.domain.reminded import GoneQuiet
from core.domain.reminders import UNANSWERED_WEEKS, Due, Kind
from core.domain.replies import Ask, Asked, Option, PainAdvice, Reply
from core.domain.setups import NEW_SETUP, Hurting
from core.domain.units import Load, from_kg
from core.notation.messages import canonical
from core.recovery.wellness import beside_past, pains_now

LATE_DAYS = 2
"""Days after a check-in's own on which it is still about the same week. [d] It is sent up to two days late (design of the
clock), and can be changed as long."""

DAYS = 7
"""Days of a week. [d]"""

MIDWEEK = 3
"""Weekday from which on a check-in is about the week that it lies in, 0 for Monday; before it, about the one before."""

REMINDED_AFTER = timedelta(hours=12)
"""A check-in that came so late, or was answered in part so lately, needs no reminder a day after its time."""


_OF_CHECK_IN = frozenset({Ask.FELT.value, Ask.ANY_PAIN.value, Ask.MORE_PAIN.value, Ask.ACHE.value})
"""Questions of a check-in."""


def week_of_check_in(today: date, *, on: int = NEW_SETUP.check_in_day) -> date:
    """First day of the week that a check-in on a day is about, for those who check in on a weekday, 0 for Monday."""
    day = today - timedelta(days=_days_into_next(on))
    return day - timedelta(days=day.weekday())


def last_day_of_check_in(week: date, *, on: int = NEW_SETUP.check_in_day) -> date:
    """Last day on which the check-in about a week can be changed."""
    return week + timedelta(days=DAYS - 1 + _days_into_next(on))


def time_of_day(turn: Turn) -> time | None:
    """The wall time of the check-in; None where none is wished or may be kept."""
    return turn.setup.check_in_at if _may_keep(turn) else None


def next_day(turn: Turn, after: date) -> date | None:
    """The next date of the check-in, none of a time away; None while away until further word."""
    on = turn.setup.check_in_day
    day = after + timedelta(days=(on - after.weekday() - 1) % DAYS + 1)
    away = turn.setup.away
    while is_away(turn.setup, day):
        if away is None or away.until is None:
            return None
        day += timedelta(days=DAYS)
    return day


def next_day_again(turn: Turn, after: date) -> date | None:
    """The next date of the reminder: the day after a check-in."""
    day = next_day(turn, after - timedelta(days=1))
    return None if day is None else day + timedelta(days=1)


def say(turn: Turn, row: Due) -> list[Reply]:
    """Begin the week's check-in; nothing where all of it is answered, or it came too late to be about its week."""
    if not _is_wanted(turn, date.fromisoformat(row.occasion)):
        return []
    wrote = turn.work.lifters.wrote_at(turn.lifter.id)
    if wrote is not None and turn.now - wrote >= timedelta(weeks=UNANSWERED_WEEKS):
        due.fall_silent(turn.work, turn.lifter.id)
        return [GoneQuiet(weeks=True)]
    return begin(turn)


def say_again(turn: Turn, row: Due) -> list[Reply]:
    """Remind of a check-in that was sent and is not answered, once, and not of one that came late or is under way."""
    day = date.fromisoformat(row.occasion) - timedelta(days=1)
    told_at = turn.work.due.settled_at(turn.lifter.id, Kind.CHECK_IN, day.isoformat())
    if told_at is None or turn.now - told_at < REMINDED_AFTER or not _is_wanted(turn, day):
        return []
    asked = [each.asked_at for each in turn.work.questions.open(turn.lifter.id) if each.doubt in _OF_CHECK_IN]
    if any(turn.now - each < REMINDED_AFTER for each in asked):
        return []
    return _next(turn, _current(turn), again=True)


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
        until=last_day_of_check_in(check_in.week, on=turn.setup.check_in_day),
        answers=tuple(AnswerTold(item, each.answer, each.usual) for item, each in beside.items.items()),
        pains=check_in.pains,
        body_mass=mass,
        ask_mass=mass is None and not turn.lifter.body_mass_off,
    )


def _without_consent(turn: Turn, command: CheckInCommand) -> Asked | None:
    """The question whether health data may be kept, where the lifter has not said yes."""
    if _may_keep(turn):
        return None
    yes, no = Consent(given=True), Consent(given=False)
    sends = (canonical(yes) + questions.LINE_BETWEEN + canonical(command), canonical(no))
    return questions.ask(turn, Ask.CHECK_IN, (Option(yes), Option(no)), sends=sends)


def _is_wanted(turn: Turn, day: date) -> bool:
    """Whether a check-in of a day is to be asked for now."""
    on = turn.setup.check_in_day
    if time_of_day(turn) is None or is_away(turn.setup, turn.today):
        return False
    return week_of_check_in(turn.today, on=on) == week_of_check_in(day, on=on) and not _is_complete(_current(turn))


def _may_keep(turn: Turn) -> bool:
    return turn.lifter.consent is not None and turn.lifter.consent.given


def _days_into_next(on: int) -> int:
    """Days of a week on which a check-in is still about the week before. [d]"""
    return LATE_DAYS if on >= MIDWEEK else on + 1 + LATE_DAYS


def _current(turn: Turn) -> CheckIn:
    week = week_of_check_in(turn.today, on=turn.setup.check_in_day)
    return turn.work.check_ins.get(turn.lifter.id, week) or CheckIn(week=week)


def _is_complete(check_in: CheckIn) -> bool:
    return not check_in.unanswered and check_in.pains is not None


def _kept(turn: Turn, check_in: CheckIn) -> list[Reply]:
    turn.work.check_ins.save(turn.lifter.id, check_in)
    return _next(turn, check_in)


def _next(turn: Turn, check_in: CheckIn, *, again: bool = False) -> list[Reply]:
    if check_in.unanswered:
        item = check_in.unanswered[0]
        return [_about(turn, item, left=len(check_in.unanswered), again=again)]
    if check_in.pains is None:
        options = [Option(PainFree()), *(Option(Hurts(place)) for place in Place)]
        return [questions.ask(turn, Ask.ANY_PAIN, options, figures=(("again", again),))]
    return [told(turn, check_in), *advising.after(turn, check_in)]


def _about(turn: Turn, item: Item, *, left: int, again: bool) -> Asked:
    options = [Option(Felt(((item, answer),))) for answer in range(WORST_ANSWER, BEST_ANSWER + 1)]
    return questions.ask(turn, Ask.FELT, options, word=item, figures=(("left", left), ("again", again)))


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
