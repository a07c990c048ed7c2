"""Visits: sessions as the times of their sets make them, whatever order those came in."""

from dataclasses import replace
from datetime import UTC, datetime
from itertools import pairwise

from core.application import follow
from core.application.course import begun_no_more
from core.application.turn import Turn
from core.domain.sessions import SESSION_GAP, Session
from core.domain.sets import LoggedSet

_EVER = datetime.min.replace(tzinfo=UTC)


def widened(turn: Turn, session: Session) -> tuple[Session, tuple[LoggedSet, ...]]:
    """A session that a new set has widened, as one with those that it now reaches, and the sets that came from them.

    A set that comes late can lie between two sessions that were more than three hours apart without it. What hangs on the
    sets that came is to be computed again, from the first of them on.
    """
    came: list[LoggedSet] = []
    while (other := _reached(turn, session)) is not None:
        first, second = sorted((session, other), key=lambda each: (each.opened_at, each.id))
        # The sets of the other one come over, for new sets may be on their way to this one.
        came += turn.work.sets.of_session(other.id)
        turn.work.sessions.hand_over(other.id, session.id, day=first.day, since=_EVER)
        planned = turn.work.plans.of_session(turn.lifter.id, other.id)
        if planned is not None:
            turn.work.plans.keep_day(replace(planned, session_id=session.id))
        turn.work.sessions.remove(other.id)
        session = replace(
            session,
            opened_at=first.opened_at,
            last_set_at=max(first.last_set_at, second.last_set_at),
            closed_at=second.closed_at,
            exercise=session.exercise if session.last_set_at >= other.last_set_at else other.exercise,
            effort=first.effort if second.effort is None else second.effort,
        )
    day = turn.lifter.day_of(session.opened_at)
    if came or day != session.day:
        turn.work.sessions.hand_over(session.id, session.id, day=day, since=_EVER)
        session = replace(session, day=day)
        turn.work.sessions.save(session)
        turn.session_changed()
    return session, tuple(came)


def compute_again(turn: Turn, sets: tuple[LoggedSet, ...], *, since: datetime) -> None:
    """Compute what hangs on sets that changed their session, from an instant on."""
    for family in sorted({turn.known(each.exercise).variation_of or each.exercise for each in sets}):
        follow.rebuild(turn, family, since=since)


def tidy(turn: Turn, touched: tuple[LoggedSet, ...]) -> None:
    """Bring sessions in line with the sets that are left in them, after some were taken out or put back.

    A session without sets goes. One that only a set now gone held together becomes two; a set that is back joins two.
    """
    for session_id in dict.fromkeys(each.session_id for each in touched):
        session = turn.work.sessions.by_id(turn.lifter.id, session_id)
        if session is None:
            continue
        left = tuple(turn.work.sets.of_session(session_id))
        if not left:
            begun_no_more(turn, session_id)
            turn.work.sessions.remove(session_id)
            continue
        parts = _apart(left)
        kept = replace(
            session,
            opened_at=left[0].at,
            last_set_at=parts[0][-1].at,
            exercise=parts[0][-1].exercise,
        )
        if len(parts) > 1:
            kept = replace(kept, closed_at=None, effort=None)
        turn.work.sessions.save(kept)
        for part in parts[1:]:
            # What closed the session closed the last of them.
            is_last = part is parts[-1]
            day = turn.lifter.day_of(part[0].at)
            new = turn.work.sessions.add(
                Session(
                    lifter_id=turn.lifter.id,
                    day=day,
                    opened_at=part[0].at,
                    last_set_at=part[-1].at,
                    closed_at=session.closed_at if is_last else None,
                    exercise=part[-1].exercise,
                    effort=session.effort if is_last else None,
                )
            )
            turn.work.sessions.hand_over(kept.id, new.id, day=day, since=part[0].at)
            kept = new
        if len(parts) > 1:
            moved = tuple([each for part in parts[1:] for each in part])
            compute_again(turn, moved, since=moved[0].at)
            continue
        _, came = widened(turn, kept)
        if came:
            compute_again(turn, came, since=min(each.at for each in (*left, *came)))
    turn.session_changed()


def _reached(turn: Turn, session: Session) -> Session | None:
    """A session that is the same visit as this one."""
    near = {
        each.id: each
        for at in (session.opened_at, session.last_set_at)
        for each in turn.work.sessions.near(turn.lifter.id, at)
        if each.id != session.id
    }
    return next((each for each in near.values() if _is_one_visit(session, each)), None)


def _is_one_visit(one: Session, other: Session) -> bool:
    first, second = sorted((one, other), key=lambda each: (each.opened_at, each.id))
    if first.closed_at is not None and second.opened_at >= first.closed_at:
        return False
    return second.opened_at <= first.last_set_at + SESSION_GAP


def _apart(sets: tuple[LoggedSet, ...]) -> list[list[LoggedSet]]:
    """Sets of a session in the visits that their times make."""
    parts = [[sets[0]]]
    for before, each in pairwise(sets):
        if each.at > before.at + SESSION_GAP:
            parts.append([])
        parts[-1].append(each)
    return parts
