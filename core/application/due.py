"""Due: what fires by the clock, how late it still may, and when it comes next."""

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta

from core.application.mail import DueRows
from core.application.ports import UnitOfWork
from core.application.rows import InboxRow, MessageKind
from core.application.turn import Turn
from core.domain.profile import Address, Lifter
from core.domain.reminded import GoneQuiet
from core.domain.reminders import (
    UNANSWERED_MORNINGS,
    URGENT,
    Due,
    DueState,
    Kind,
    Reminders,
    instant_of,
    latest,
    wished_at,
)
from core.domain.replies import Reply

LOOKED_AHEAD = 60
"""Days after which one that says it comes again is taken not to. [days]"""

WAITING_READ = 50
"""Rows of a lifter read at once: one or two of each kind wait. [rows]"""

AFTER_FAULT = timedelta(minutes=15)
"""What could not be said through a fault of ours is tried again this much later, as long as it may be."""

HOUSE_HOUR = 3
"""Hour of the nightly housekeeping. [h, UTC] Hardly anybody trains then in Europe or America."""


@dataclass(frozen=True, slots=True)
class Calling:
    """What a kind of due message says, and when it comes again.

    Args:
        say: What to say in a turn of its own; nothing to say drops it.
        next_day: The next local date after one on which it comes; None for never again.
        time_of_day: The local time at which it comes then; None for not at all.
        meant_at: The instant at which it comes by what has happened since it was put down; a row need not be written
            anew each time that this moves on. None where it comes when its row says.

    """

    say: Callable[[Turn, Due], list[Reply]]
    next_day: Callable[[Turn, date], date | None] | None = None
    time_of_day: Callable[[Turn], time | None] = lambda turn: turn.work.reminders.of(turn.lifter.id).morning
    meant_at: Callable[[UnitOfWork, Due], datetime | None] | None = None


Callings = Mapping[Kind, Calling]
"""What each kind of due message says."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fired:
    """Something that was due and has something to say.

    Args:
        due: What.
        address: Where to.
        lifter_id: Whose.
        replies: What to say.
        until: From then on it is not worth sending. [UTC]

    """

    due: Due
    address: Address
    lifter_id: int
    replies: list[Reply]
    until: datetime


def run_until(
    work: UnitOfWork,
    at: datetime,
    *,
    callings: Callings,
    kinds: Collection[Kind],
    limit: int,
    token: Callable[[], str],
    lifter_id: int | None = None,
) -> tuple[Sequence[Due], Sequence[Fired]]:
    """Fire what is due by an instant; nothing else fires anything.

    Args:
        work: An open unit of work.
        at: The instant; aware.
        callings: What each kind says.
        kinds: The kinds to fire.
        limit: Most of them to take in this work.
        token: Gives a new random word for a question's id.
        lifter_id: Whose alone; None for everybody's.

    Returns:
        What was taken, and what those say that have something to say. Nothing taken: nothing more is due.

    """
    rows = work.due.claim(at, kinds=kinds, limit=limit, lifter_id=lifter_id)
    # How to come back is read before the session that it is about.
    rows = sorted(rows, key=lambda row: (row.at, row.kind is not Kind.RETURN, row.id))
    fired = [found for row in rows if (found := _fired(work, row, at, callings=callings, token=token)) is not None]
    return rows, fired


def arrange(turn: Turn, callings: Callings) -> None:
    """Have everything that comes day by day come on its next day; what no longer does is withdrawn."""
    for kind, calling in callings.items():
        if calling.next_day is not None:
            _arrange(turn, kind, calling)


def rezone(turn: Turn) -> None:
    """Have what waits at a wall time come at that time in the lifter's zone."""
    zone = turn.lifter.zone
    for row in turn.work.due.of_lifter(turn.lifter.id, limit=1000):
        if row.wish is not None:
            turn.work.due.put(replace(row, zone=zone, at=instant_of(row.wish, zone)))


def put(turn: Turn, kind: Kind, occasion: str, *, at: datetime, data: str = "", moves: bool = True) -> None:
    """Have something come at an instant, in place of what waits of its kind; where it waits itself, only if it moves."""
    turn.work.due.withdraw(turn.lifter.id, kind, but=occasion)
    row = Due(lifter_id=turn.lifter.id, kind=kind, occasion=occasion, at=at.astimezone(UTC), data=data)
    if moves:
        turn.work.due.put(row)
    else:
        turn.work.due.put_first(row)


def put_on(turn: Turn, kind: Kind, day: date, at: time, *, data: str = "") -> None:
    """Have something come on a local date at a wall time, in place of what waits of its kind."""
    zone = turn.lifter.zone
    wish = wished_at(day, at)
    turn.work.due.withdraw(turn.lifter.id, kind, but=day.isoformat())
    turn.work.due.put(
        Due(
            lifter_id=turn.lifter.id,
            kind=kind,
            occasion=day.isoformat(),
            at=instant_of(wish, zone),
            wish=wish,
            zone=zone,
            data=data,
        )
    )


def heard(turn: Turn, callings: Callings) -> None:
    """A lifter wrote: what fell silent comes again."""
    settled = turn.work.reminders.of(turn.lifter.id)
    if settled.unanswered:
        turn.work.reminders.save(turn.lifter.id, replace(settled, unanswered=0))
        arrange(turn, callings)


def fall_silent(work: UnitOfWork, lifter_id: int) -> None:
    """Send a lifter nothing by itself until they write."""
    for kind in Kind:
        if kind is not Kind.IDLE:
            work.due.withdraw(lifter_id, kind)
    work.reminders.save(lifter_id, replace(work.reminders.of(lifter_id), unanswered=UNANSWERED_MORNINGS + 1))


def put_off(work: UnitOfWork, at: datetime, *, kinds: Collection[Kind]) -> bool:
    """Put off the first thing that is due, which could not be said through a fault of ours; whether there was one."""
    for row in work.due.claim(at, kinds=kinds, limit=1):
        work.due.move(row.id, to=at + AFTER_FAULT)
        return True
    return False


def meant_anew(rows: DueRows, after: int, *, limit: int) -> int | None:
    """Have some of what waits come when the time zones as they are known now say; the last number looked at."""
    found = rows.wishes_after(after, limit=limit)
    for row in found:
        # A row put off by quiet hours is left where it is: those end later.
        if row.meant_at > row.at or (row.meant_at < row.at and row.at - row.meant_at <= timedelta(hours=2)):
            rows.move(row.id, to=row.meant_at)
    return found[-1].id if found else None


def put_housekeeping(work: UnitOfWork, now: datetime) -> None:
    """Have the next night's housekeeping come, if it does not wait already."""
    today = now.astimezone(UTC)
    night = datetime.combine(today.date(), time(HOUSE_HOUR), tzinfo=UTC)
    if night <= today:
        night += timedelta(days=1)
    work.due.put(Due(lifter_id=None, kind=Kind.HOUSEKEEPING, occasion=night.date().isoformat(), at=night))


def _arrange(turn: Turn, kind: Kind, calling: Calling, *, after: Due | None = None) -> None:
    """Have a kind come on its next day; after one that came late, a day that is past may still be of use.

    So may one that waits, put off by quiet hours or by a downtime.
    """
    lifter = turn.lifter
    at = calling.time_of_day(turn)
    today = lifter.local(turn.now).date()
    day: date | None = today - timedelta(days=1)
    late: set[str] = set()
    if after is not None and after.wish is not None:
        # Nothing is of use for longer than two days.
        day = max(after.wish.date(), today - timedelta(days=3))
    elif after is None:
        waiting = [row for row in turn.work.due.of_lifter(lifter.id, limit=WAITING_READ) if row.kind is kind]
        late = {row.occasion for row in waiting if row.wish is not None and row.meant_at <= turn.now}
        day = min([today, *map(date.fromisoformat, late)]) - timedelta(days=1)
    for _ in range(LOOKED_AHEAD):
        if at is None or day is None or calling.next_day is None:
            break
        day = calling.next_day(turn, day)
        if day is None:
            break
        wish = wished_at(day, at)
        row = Due(
            lifter_id=lifter.id,
            kind=kind,
            occasion=day.isoformat(),
            at=instant_of(wish, lifter.zone),
            wish=wish,
            zone=lifter.zone,
        )
        waits_late = row.occasion in late
        may_be_late = after is not None or waits_late
        in_time = latest(row, zone=lifter.zone) > turn.now if may_be_late else row.at > turn.now
        if in_time and turn.work.due.settled_at(lifter.id, kind, row.occasion) is None:
            turn.work.due.withdraw(lifter.id, kind, but=row.occasion)
            if not waits_late:
                turn.work.due.put(row)
            return
    turn.work.due.withdraw(lifter.id, kind)


def _fired(work: UnitOfWork, row: Due, at: datetime, *, callings: Callings, token: Callable[[], str]) -> Fired | None:
    if row.lifter_id is None:
        work.due.settle(row.id, DueState.SENT, at=at)
        return None
    lifter = work.lifters.by_id(row.lifter_id)
    if lifter is None:
        return None
    if row.meant_at > at:
        # The zone's rules changed since it was put down.
        work.due.move(row.id, to=row.meant_at)
        return None
    row = as_meant(work, row, callings)
    if row.at > at:
        work.due.move(row.id, to=row.at)
        return None
    until = latest(row, zone=lifter.zone)
    settled = work.reminders.of(lifter.id)
    if row.kind not in URGENT and settled.quiet is not None:
        ends = settled.quiet.ends_after(lifter.local(at).replace(tzinfo=None))
        if ends is not None and (later := instant_of(ends, lifter.zone)) < until:
            work.due.move(row.id, to=later)
            return None
        if ends is not None:
            until = at
    address = work.lifters.reach(lifter.id)
    if address is None:
        work.due.settle(row.id, DueState.DROPPED, at=at)
        fall_silent(work, lifter.id)
        return None
    turn = Turn(work=work, lifter=lifter, row=_event(row, address, at), now=at, token=token)
    replies = [] if until <= at else _said(turn, row, settled, callings)
    work.due.settle(row.id, DueState.SENT if replies else DueState.DROPPED, at=at)
    calling = callings.get(row.kind)
    if calling is not None and calling.next_day is not None and not _is_silent(work, lifter):
        _arrange(turn, row.kind, calling, after=row)
    if turn.touched:
        work.lifters.save(turn.lifter)
    if not replies:
        return None
    return Fired(due=row, address=address, lifter_id=lifter.id, replies=replies, until=until)


def as_meant(work: UnitOfWork, row: Due, callings: Callings) -> Due:
    """A row with the instant at which it comes by what has happened since it was put down; never an earlier one."""
    calling = callings.get(row.kind)
    meant = None if calling is None or calling.meant_at is None else calling.meant_at(work, row)
    return row if meant is None or meant <= row.at else replace(row, at=meant)


def _said(turn: Turn, row: Due, settled: Reminders, callings: Callings) -> list[Reply]:
    calling = callings.get(row.kind)
    if calling is None:
        return []
    if row.kind is not Kind.SESSION:
        return calling.say(turn, row)
    if settled.unanswered >= UNANSWERED_MORNINGS:
        fall_silent(turn.work, turn.lifter.id)
        return [GoneQuiet()]
    replies = calling.say(turn, row)
    if replies:
        counted = replace(settled, unanswered=settled.unanswered + 1, last_morning=turn.now)
        turn.work.reminders.save(turn.lifter.id, counted)
    return replies


def _is_silent(work: UnitOfWork, lifter: Lifter) -> bool:
    return work.reminders.of(lifter.id).unanswered > UNANSWERED_MORNINGS


def _event(row: Due, address: Address, at: datetime) -> InboxRow:
    """What a turn by the clock stands on, in place of a message."""
    return InboxRow(
        address=address,
        event_key="",
        kind=MessageKind.ARRIVED,
        message_key=f"due:{row.id}",
        text=None,
        sent_at=at,
        received_at=at,
    )
