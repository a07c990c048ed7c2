"""What a planned session told, picked out of the replies of a chat."""

from dataclasses import replace
from datetime import timedelta

from core.domain.guidance import NextSetTold, TodayTold
from core.domain.prescriptions import Care, PlannedDay, Safety
from core.domain.replies import Ask, Asked, Guided, Logged, Reply
from core.domain.setups import Setup
from tests.core.application.chats import MONDAY, Chat, the
from tests.core.application.plans import in_turn, set_up, with_plan

KNOWN = ("bench 80x5 rir2", "80x5 rir2", "80x5 rir2", "done 7")
"""What was logged a week before the plan began."""


def careful(setup: Setup) -> Setup:
    """A lifter with safety arms, and nothing on the screening list."""
    return replace(setup, care=Care(safety=Safety.ARMS, screened=False))


def planned_lifter(chat: Chat) -> Chat:
    """A lifter with a plan of three days, volume first, who benched a week ago."""
    chat.now = MONDAY - timedelta(days=7)
    for text in KNOWN:
        chat.say(text)
    chat.now = MONDAY
    with_plan(chat)
    set_up(chat, careful)
    return chat


def today_told(replies: list[Reply]) -> TodayTold:
    """The day's session in replies."""
    found = next(each.told for each in replies if isinstance(each, Guided) and isinstance(each.told, TodayTold))
    assert isinstance(found, TodayTold)
    return found


def coming(replies: list[Reply]) -> NextSetTold:
    """The next set in replies."""
    found = the(Logged, replies).coming
    assert isinstance(found, NextSetTold)
    return found


def taps(replies: list[Reply]) -> Asked:
    """The taps of the next planned set in replies."""
    found = next(each.taps for each in replies if isinstance(each, Logged | Guided) and each.taps is not None)
    assert found.about is Ask.PLANNED_SET
    return found


def asked(replies: list[Reply], about: Ask) -> Asked:
    """The question of a kind in replies."""
    return next(each for each in replies if isinstance(each, Asked) and each.about is about)


def planned_today(chat: Chat) -> PlannedDay:
    """The planned session of the chat's day as it is kept."""
    plan = in_turn(chat, lambda turn: turn.plan)
    assert plan is not None
    week = (chat.now.date() - plan.starts).days // 7
    days = in_turn(chat, lambda turn: turn.days_of_week(plan, week))
    [day] = [each for each in days if each.day == chat.now.date()]
    return day
