"""Plans made by hand for a lifter of a chat, and looks at what is planned for them."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from typing import TypeVar

from core.application.ports import UnitOfWork
from core.application.rows import InboxRow, MessageKind
from core.application.turn import Turn
from core.domain.equipment import usual_gym
from core.domain.exercises import catalogue
from core.domain.plans import Plan, WeekPlan, Wishes
from core.domain.prescriptions import DayState, PlannedDay
from core.domain.setups import Setup
from core.domain.units import Unit
from core.planning.undulation import block
from core.planning.week_layout import week_layout
from tests.core.application.chats import Chat

T = TypeVar("T")

THREE_DAYS = Wishes(days=(0, 2, 4))
"""Monday, Wednesday, Friday: volume, power, strength."""


@cache
def week_of_wishes(wishes: Wishes) -> WeekPlan:
    return week_layout(wishes, usual_gym(Unit.KG), catalogue())


def in_turn(chat: Chat, ask: Callable[[Turn], T]) -> T:
    """What a turn of the lifter at the chat's time answers."""

    def work(unit: UnitOfWork) -> T:
        lifter = unit.lifters.at_address(chat.address)
        assert lifter is not None
        row = InboxRow(
            address=chat.address,
            event_key="",
            kind=MessageKind.ARRIVED,
            message_key="",
            text="",
            sent_at=chat.now,
            received_at=chat.now,
        )
        return ask(Turn(work=unit, lifter=lifter, row=row, now=chat.now, token=str))

    return chat.store.submit(work).result()


def with_plan(chat: Chat, wishes: Wishes = THREE_DAYS, *, starts: date | None = None, own: bool = False) -> Plan:
    """Give the lifter a plan that was made at the chat's time."""
    chat.say("help")
    monday = chat.now.date() - timedelta(days=chat.now.weekday())
    laid_out = block(week_of_wishes(wishes))

    def made(turn: Turn) -> Plan:
        turn.settle_setup(replace(turn.setup, wishes=wishes))
        plan = Plan(
            lifter_id=turn.lifter.id,
            starts=starts or monday,
            made_at=chat.now,
            block=laid_out,
            wishes=wishes,
            own=own,
        )
        return turn.work.plans.add(plan)

    return in_turn(chat, made)


def set_up(chat: Chat, change: Callable[[Setup], Setup]) -> None:
    in_turn(chat, lambda turn: turn.settle_setup(change(turn.setup)))


def settled(chat: Chat, day: PlannedDay, state: DayState = DayState.DONE) -> None:
    """Write that a planned session came to an end on the chat's day."""
    told = replace(day, state=state, day=chat.now.date(), session_id=1 if state is DayState.DONE else None)
    in_turn(chat, lambda turn: turn.work.plans.keep_day(told))
