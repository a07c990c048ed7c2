"""Set-ups, plans and their sessions day by day, as rows."""

import json
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime

import sqlalchemy as sa
from sqlalchemy.dialects.postgresql import insert

from core.domain.plans import Block, Plan, PlannedSession, Wishes
from core.domain.prescriptions import DayState, PlannedDay, Prescription
from core.domain.setups import Setup
from core.storage.statements import Change, Link, Query
from core.storage.tables import planned_days, plans, setups
from core.storage.values import text_of, value_from


class StoredSetups:
    """Set-ups over an open connection.

    Args:
        link: The connection.

    """

    def __init__(self, link: Link) -> None:
        self._link = link

    def get(self, lifter_id: int) -> Setup | None:
        """How a lifter trains; None for one who told nothing yet."""
        return self._link.first(SETUP, lifter_id=lifter_id)

    def save(self, lifter_id: int, setup: Setup) -> None:
        """Write how a lifter trains."""
        self._link.change(_SAVE_SETUP, lifter_id=lifter_id, setup=text_of(setup))


class StoredPlans:
    """Plans over an open connection.

    Args:
        link: The connection.

    """

    def __init__(self, link: Link) -> None:
        self._link = link

    def current(self, lifter_id: int) -> Plan | None:
        """The plan that holds; None without one."""
        return self._link.first(CURRENT_PLAN, lifter_id=lifter_id)

    def last(self, lifter_id: int) -> Plan | None:
        """The plan made last, whether it holds or not."""
        return self._link.first(_LAST, lifter_id=lifter_id)

    def add(self, plan: Plan) -> Plan:
        """Store a plan, in place of the one that holds if there is one; returned with its number."""
        self._link.change(_END, lifter_id=plan.lifter_id, ended_on=plan.starts)
        [number] = self._link.rows(
            _ADD,
            lifter_id=plan.lifter_id,
            starts=plan.starts,
            made_at=plan.made_at,
            block=text_of(plan.block),
            wishes=text_of(plan.wishes),
            own=plan.own,
            ended_on=plan.ended_on,
            relieved=json.dumps(plan.relieved),
        )
        return replace(plan, id=number)

    def end(self, lifter_id: int, on: date) -> None:
        """End the plan that holds; `on` is the first day without it."""
        self._link.change(_END, lifter_id=lifter_id, ended_on=on)

    def change_block(self, plan_id: int, block: Block, wishes: Wishes) -> None:
        """Write a plan's block and what it was laid out for anew."""
        self._link.change(_CHANGE_BLOCK, plan_id=plan_id, block=text_of(block), wishes=text_of(wishes))

    def relieve(self, plan_id: int, weeks: Sequence[int]) -> None:
        """Write which weeks of a plan, from 0, are reduced ahead of its own."""
        self._link.change(_RELIEVE, plan_id=plan_id, relieved=json.dumps(list(weeks)))

    def keep_day(self, day: PlannedDay) -> None:
        """Write how one session of a plan stands."""
        self._link.change(
            _KEEP_DAY,
            plan_id=day.plan_id,
            week=day.week,
            place=day.place,
            day=day.day,
            state=day.state,
            session=text_of(day.session),
            prescription=None if day.prescription is None else text_of(day.prescription),
            session_id=day.session_id,
            adjusted=json.dumps(day.adjusted, ensure_ascii=False),
        )

    def days(self, plan_id: int, *, first: int, last: int) -> Sequence[PlannedDay]:
        """Sessions of weeks `first` to `last`, from 0, that were written; in order of week and place."""
        return self._link.rows(_DAYS, plan_id=plan_id, first=first, last=last)

    def last_settled(self, plan_id: int) -> PlannedDay | None:
        """The latest session of a plan, by week and place, that was done, skipped or dropped."""
        return self._link.first(_LAST_SETTLED, plan_id=plan_id)

    def of_session(self, lifter_id: int, session_id: int) -> PlannedDay | None:
        """The planned session that a session of the log was done by."""
        return self._link.first(PLANNED_DAY, lifter_id=lifter_id, session_id=session_id)

    def forget_days(self, plan_id: int, *, first: int) -> None:
        """Delete sessions from a week on that are neither open nor done: a changed plan lays them out anew."""
        self._link.change(_FORGET_DAYS, plan_id=plan_id, first=first)


def _setup(text: str) -> Setup:
    return value_from(text, Setup)


def _plan(
    id_: int,
    lifter_id: int,
    starts: date,
    made_at: datetime,
    block: str,
    wishes: str,
    own: bool,  # noqa: FBT001 - a row's values come by position
    ended_on: date | None,
    relieved: str | None,
) -> Plan:
    return Plan(
        id=id_,
        lifter_id=lifter_id,
        starts=starts,
        made_at=made_at,
        block=value_from(block, Block),
        wishes=value_from(wishes, Wishes),
        own=own,
        ended_on=ended_on,
        relieved=() if relieved is None else tuple(json.loads(relieved)),
    )


def _day(
    plan_id: int,
    week: int,
    place: int,
    day: date,
    state: DayState,
    session: str,
    prescription: str | None,
    session_id: int | None,
    adjusted: str,
) -> PlannedDay:
    return PlannedDay(
        plan_id=plan_id,
        week=week,
        place=place,
        day=day,
        state=state,
        session=value_from(session, PlannedSession),
        prescription=None if prescription is None else value_from(prescription, Prescription),
        session_id=session_id,
        adjusted=tuple(json.loads(adjusted)),
    )


def _number(number: int) -> int:
    return number


SETUP = Query(
    sa.select(setups.c.setup).where(setups.c.lifter_id == sa.bindparam("lifter_id")), _setup, scope="lifter_id"
)
_GIVEN_SETUP = insert(setups).values({column.name: sa.bindparam(column.name) for column in setups.c})
_SAVE_SETUP = Change(
    _GIVEN_SETUP.on_conflict_do_update(index_elements=["lifter_id"], set_={"setup": _GIVEN_SETUP.excluded.setup})
)

_IS_THEIRS = plans.c.lifter_id == sa.bindparam("lifter_id")
_HOLDS = plans.c.ended_on.is_(None)
_GIVEN = [column for column in plans.c if column.name != "id"]
CURRENT_PLAN = Query(sa.select(plans).where(_IS_THEIRS, _HOLDS), _plan, scope="lifter_id")
_LAST = Query(
    sa.select(plans)
    .where(_IS_THEIRS)
    .order_by(plans.c.made_at.desc(), plans.c.id.desc())
    .limit(sa.literal_column("1")),
    _plan,
)
_ADD = Query(
    sa.insert(plans).values({column.name: sa.bindparam(column.name) for column in _GIVEN}).returning(plans.c.id),
    _number,
)
_END = Change(sa.update(plans).where(_IS_THEIRS, _HOLDS).values(ended_on=sa.bindparam("ended_on")))
_CHANGE_BLOCK = Change(
    sa.update(plans)
    .where(plans.c.id == sa.bindparam("plan_id"))
    .values(block=sa.bindparam("block"), wishes=sa.bindparam("wishes"))
)
_RELIEVE = Change(
    sa.update(plans).where(plans.c.id == sa.bindparam("plan_id")).values(relieved=sa.bindparam("relieved"))
)

_KEPT = insert(planned_days).values({column.name: sa.bindparam(column.name) for column in planned_days.c})
_KEY = ("plan_id", "week", "place")
_KEEP_DAY = Change(
    _KEPT.on_conflict_do_update(
        index_elements=list(_KEY),
        set_={column.name: _KEPT.excluded[column.name] for column in planned_days.c if column.name not in _KEY},
    )
)
_IS_PLAN = planned_days.c.plan_id == sa.bindparam("plan_id")
_DAYS = Query(
    sa.select(planned_days)
    .where(_IS_PLAN, planned_days.c.week.between(sa.bindparam("first"), sa.bindparam("last")))
    .order_by(planned_days.c.week, planned_days.c.place),
    _day,
)
_LAST_SETTLED = Query(
    sa.select(planned_days)
    .where(_IS_PLAN, planned_days.c.state != DayState.PLANNED, planned_days.c.state != DayState.OPEN)
    .order_by(planned_days.c.week.desc(), planned_days.c.place.desc())
    .limit(sa.literal_column("1")),
    _day,
)
PLANNED_DAY = Query(
    sa.select(planned_days)
    .join(plans, plans.c.id == planned_days.c.plan_id)
    .where(_IS_THEIRS, planned_days.c.session_id == sa.bindparam("session_id"))
    .order_by(planned_days.c.plan_id.desc())
    .limit(sa.literal_column("1")),
    _day,
    scope="lifter_id",
)
_FORGET_DAYS = Change(
    sa.delete(planned_days).where(
        _IS_PLAN,
        planned_days.c.week >= sa.bindparam("first"),
        planned_days.c.state != DayState.OPEN,
        planned_days.c.state != DayState.DONE,
    )
)
