"""Away: pauses, illness, what explains a dip, and the way back."""

from dataclasses import replace
from datetime import date, timedelta

from core.application.training_day import back, is_away
from core.application.turn import Turn
from core.domain.checkins import Tag
from core.domain.plan_commands import ComingDay, Pause, TagWeek
from core.domain.plan_replies import AwayTold, BackTold, Noted, PlanRefusal, PlanRefused, ReturnKind
from core.domain.plans import DAYS
from core.domain.reminders import Due
from core.domain.replies import Acknowledged, Done, Reply
from core.domain.setups import Away, Tagged
from core.planning.returns import AS_PLANNED_WEEKS, LONG_WEEKS, MIDDLE_WEEKS, SHORT_WEEKS


def pause(turn: Turn, command: Pause) -> list[Reply]:
    """Train no more until a day, or until told."""
    until = None if command.until is None else coming_day(command.until, turn.today)
    if until is not None and until <= turn.today:
        return [PlanRefused(PlanRefusal.DAY_GONE)]
    turn.settle_setup(replace(turn.setup, away=Away(_since(turn), until, sick=_is_sick(turn))))
    return [AwayTold(until)]


def resume(turn: Turn) -> list[Reply]:
    """Be back: training begins again as the time away asks for."""
    away = turn.setup.away
    if away is not None and away.until is not None and 0 <= (turn.today - away.until).days < DAYS:
        # The day that was told has come: they are back as they said.
        days = (away.until - away.since).days
        turn.settle_setup(back(turn.setup, away))
        return [BackTold(days, kind_of_return(days), was_sick=away.sick)]
    if away is None or not is_away(turn.setup, turn.today):
        return [PlanRefused(PlanRefusal.NOT_AWAY)]
    turn.settle_setup(back(turn.setup, Away(away.since, turn.today, sick=away.sick)))
    days = (turn.today - away.since).days
    return [BackTold(days, kind_of_return(days), was_sick=away.sick)]


def return_day(turn: Turn, after: date) -> date | None:
    """The day of the way back from a break; None where none was told, or the lifter knows already."""
    away = turn.setup.away
    return away.until if away is not None and away.until is not None and after < away.until and not away.told else None


def return_due(turn: Turn, row: Due) -> list[Reply]:
    """Tell on the first day back how training begins again, unless the lifter is back already."""
    away = turn.setup.away
    if away is None or away.until is None or away.told or away.until.isoformat() != row.occasion:
        return []
    turn.settle_setup(back(turn.setup, away))
    last = turn.last_session()
    if last is not None and last.day >= away.until:
        return []
    days = (away.until - away.since).days
    return [BackTold(days, kind_of_return(days), was_sick=away.sick, by_clock=True)]


def tag(turn: Turn, command: TagWeek) -> list[Reply]:
    """Keep what explains a dip, or that it is over; it neither adds nor cuts by itself."""
    setup = turn.setup
    match command:
        case TagWeek(tag=Tag.SICK, on=True):
            # That they are away needs no word on health; why does.
            may_say_why = turn.lifter.consent is not None and turn.lifter.consent.given
            turn.settle_setup(replace(setup, away=Away(_since(turn), sick=may_say_why)))
            return [AwayTold(None, sick=True)]
        case TagWeek(tag=Tag.SICK):
            return resume(turn)
        case TagWeek(tag=Tag.CUTTING, on=on):
            if on and (turn.lifter.consent is None or not turn.lifter.consent.given):
                return [Acknowledged(Done.NEEDS_CONSENT)]
            turn.settle_setup(replace(setup, cutting=on))
        case TagWeek(tag=told, on=on):
            kept = tuple(each for each in setup.tagged if each.tag is not told)
            turn.settle_setup(replace(setup, tagged=(*kept, Tagged(told, turn.today)) if on else kept))
    return [Noted(command)]


def kind_of_return(days: int) -> ReturnKind:
    """How a return after some days away is eased in. [d]"""
    for most, kind in (
        (AS_PLANNED_WEEKS, ReturnKind.AS_PLANNED),
        (SHORT_WEEKS, ReturnKind.SHORT),
        (MIDDLE_WEEKS, ReturnKind.MIDDLE),
        (LONG_WEEKS, ReturnKind.LONG),
    ):
        if days / DAYS <= most:
            return kind
    return ReturnKind.AFRESH


def coming_day(told: date | ComingDay, today: date) -> date:
    """The next day that was meant; today itself never is."""
    if isinstance(told, date):
        return told
    if told.days:
        return today + timedelta(days=told.days)
    if told.weekday is not None:
        return today + timedelta(days=(told.weekday - today.weekday() - 1) % DAYS + 1)
    for year in range(today.year, today.year + 9):
        try:
            found = date(year, told.month, told.day)
        except ValueError:
            # The 29th of February of another year.
            continue
        if found > today:
            return found
    raise ValueError(f"no such day: {told}")


def _since(turn: Turn) -> date:
    """First day of a time away that is told of now: of the one that holds, for it only goes on."""
    away = turn.setup.away
    return away.since if away is not None and is_away(turn.setup, turn.today) else turn.today


def _is_sick(turn: Turn) -> bool:
    away = turn.setup.away
    return away is not None and away.sick and is_away(turn.setup, turn.today)
