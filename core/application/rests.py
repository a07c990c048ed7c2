"""Rests: the timer between sets, quiet hours, the morning's time, and what comes next."""

from dataclasses import replace
from datetime import datetime, time, timedelta

from core.application import due
from core.application.due import Callings
from core.application.ports import UnitOfWork
from core.application.turn import Turn
from core.domain.clock_commands import UseMorning, UseQuiet, UseRest
from core.domain.reminded import ClockChanged, ClockSet, RemindersTold, RestOver, RestSkipped, SessionLeftOpen
from core.domain.reminders import DAY_KEPT_HOUR, Due, Kind
from core.domain.replies import Reply
from core.domain.sessions import Session

LEFT_OPEN = timedelta(hours=2)
"""A session this long after its last set is asked about. The longest rest is shorter."""

SHOWN = 6
"""Reminders shown: a phone's screenful. [reminders]"""

MOST_WAITING = 30
"""Rows looked at for a rest: a lifter has one of each kind or two. [rows]"""

JUST_NOW = timedelta(minutes=10)
"""A set this long ago may still have its rest begun by `rest 3:00`."""


DAY_BEGINS = time(DAY_KEPT_HOUR)
"""Where the training day begins by the wall clock."""


def after_set(turn: Turn, session: Session) -> None:
    """A set was logged: its rest begins, whatever rest ran before it, and its session is open."""
    settled = turn.work.reminders.of(turn.lifter.id)
    turn.work.due.withdraw(turn.lifter.id, Kind.REST)
    if settled.rest_s is not None and turn.now - turn.at < timedelta(seconds=settled.rest_s):
        _begin(turn, settled.rest_s)
    if turn.lifter.day_of(turn.now) == session.day:
        # When it comes it looks how long ago the last set was; so a set need not write it anew.
        due.put(turn, Kind.SESSION_OPEN, str(session.id), at=turn.now + LEFT_OPEN, moves=False)


def after_session(turn: Turn) -> None:
    """A session was closed: nothing of it waits."""
    turn.work.due.withdraw(turn.lifter.id, Kind.REST)
    turn.work.due.withdraw(turn.lifter.id, Kind.SESSION_OPEN)


def use_rest(turn: Turn, command: UseRest) -> list[Reply]:
    """Have a word come after each rest from now on, the one that runs included; or none any more."""
    settled = replace(turn.work.reminders.of(turn.lifter.id), rest_s=command.rest_s)
    turn.work.reminders.save(turn.lifter.id, settled)
    turn.work.due.withdraw(turn.lifter.id, Kind.REST)
    session = turn.last_session()
    runs = command.rest_s is not None and session is not None and turn.now - session.last_set_at < JUST_NOW
    if runs and command.rest_s is not None:
        _begin(turn, command.rest_s)
    return [ClockChanged(ClockSet.REST, settled, running=runs)]


def skip_rest(turn: Turn) -> list[Reply]:
    """Say nothing when the rest that runs is over."""
    rows = turn.work.due.of_lifter(turn.lifter.id, limit=MOST_WAITING)
    turn.work.due.withdraw(turn.lifter.id, Kind.REST)
    return [RestSkipped(ran=any(row.kind is Kind.REST for row in rows))]


def use_quiet(turn: Turn, command: UseQuiet) -> list[Reply]:
    """Keep these hours quiet; or none."""
    settled = replace(turn.work.reminders.of(turn.lifter.id), quiet=command.quiet)
    turn.work.reminders.save(turn.lifter.id, settled)
    return [ClockChanged(ClockSet.QUIET, settled)]


def use_morning(turn: Turn, command: UseMorning, callings: Callings) -> list[Reply]:
    """Send the day's session at this time; or not at all."""
    # Before the training day begins it would be about the day before.
    at = None if command.at is None else max(command.at, DAY_BEGINS)
    settled = replace(turn.work.reminders.of(turn.lifter.id), morning=at)
    turn.work.reminders.save(turn.lifter.id, settled)
    due.arrange(turn, callings)
    return [ClockChanged(ClockSet.MORNING, settled)]


def reminders(turn: Turn, callings: Callings) -> list[Reply]:
    """Tell what comes next."""
    rows = [
        due.as_meant(turn.work, row, callings)
        for row in turn.work.due.of_lifter(turn.lifter.id, limit=due.WAITING_READ)
    ]
    rows = sorted(rows, key=lambda row: (row.at, row.id))[:SHOWN]
    coming = tuple([(row.kind, turn.lifter.local(row.at).replace(tzinfo=None)) for row in rows])
    settled = turn.work.reminders.of(turn.lifter.id)
    return [RemindersTold(coming, settled, turn.lifter.local(turn.now).date())]


def rest_over(turn: Turn, row: Due) -> list[Reply]:
    """Say that the rest is over."""
    del turn
    return [RestOver(int(row.data))]


def left_open_at(work: UnitOfWork, row: Due) -> datetime | None:
    """When a session is asked about by its last set; None where it is gone."""
    session = None if row.lifter_id is None else work.sessions.by_id(row.lifter_id, int(row.occasion))
    return None if session is None else session.last_set_at + LEFT_OPEN


def left_open(turn: Turn, row: Due) -> list[Reply]:
    """Say that a session is still open, if it is."""
    session = turn.work.sessions.by_id(turn.lifter.id, int(row.occasion))
    if session is None or session.closed_at is not None:
        return []
    return [SessionLeftOpen(session.day)]


def _begin(turn: Turn, rest_s: int) -> None:
    # Each begin is an occasion of its own: a rest is never told of twice, and one that was told of may begin again.
    due.put(
        turn,
        Kind.REST,
        f"{turn.row.id}",
        at=turn.now + timedelta(seconds=rest_s),
        data=str(rest_s),
    )
