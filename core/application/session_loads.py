"""Session loads: effort times minutes of the last seven days, and how alike the days were."""

from datetime import timedelta

from core.application.turn import Turn
from core.domain.check_in_replies import CheckInNothing, LoadTold, NoCheckIn, SessionLoadTold
from core.domain.replies import Reply
from core.workload.session_load import DAYS, daily_loads, session_load, week_load

SHORTEST_KNOWN_MIN = 5
"""Shortest length of a session that its sets tell. [min] One told in a single message has none."""


def load(turn: Turn) -> list[Reply]:
    """Session load of the last seven days, today's included; sessions without an effort are told as such."""
    first = turn.today - timedelta(days=DAYS - 1)
    sessions: list[SessionLoadTold] = []
    for number in range(DAYS):
        for each in turn.work.sessions.on_day(turn.lifter.id, first + timedelta(days=number)):
            minutes = round((each.last_set_at - each.opened_at).total_seconds() / 60)
            known = each.effort is not None and minutes >= SHORTEST_KNOWN_MIN
            amount = session_load(each.effort, minutes=minutes) if known and each.effort is not None else None
            sessions.append(SessionLoadTold(day=each.day, minutes=minutes, effort=each.effort, load=amount))
    if not sessions:
        return [CheckInNothing(NoCheckIn.LOAD)]
    week = week_load(daily_loads(((each.day, each.load) for each in sessions if each.load is not None), first=first))
    return [
        LoadTold(
            first=first,
            last=turn.today,
            sessions=tuple(sessions),
            total=week.total,
            monotony=week.monotony,
            strain=week.strain,
        )
    ]
