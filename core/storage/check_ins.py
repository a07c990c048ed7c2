"""Check-ins, and the advice given after them, as rows."""

from collections.abc import Sequence
from datetime import date, datetime

import sqlalchemy as sa
from sqlalchemy.dialects.postgresql import insert

from core.domain.advice import Advice, AdviceAnswer, GivenAdvice
from core.domain.checkins import CheckIn
from core.storage.check_in_tables import advice, check_ins
from core.storage.statements import Change, Link, Query
from core.storage.values import text_of, value_from


class StoredCheckIns:
    """Check-ins over an open connection.

    Args:
        link: The connection.

    """

    def __init__(self, link: Link) -> None:
        self._link = link

    def get(self, lifter_id: int, week: date) -> CheckIn | None:
        """The check-in about the week that begins on a day."""
        return self._link.first(_ONE, lifter_id=lifter_id, week=week)

    def since(self, lifter_id: int, week: date) -> Sequence[CheckIn]:
        """Check-ins about the weeks from one on, oldest first."""
        return self._link.rows(_SINCE, lifter_id=lifter_id, week=week)

    def save(self, lifter_id: int, check_in: CheckIn) -> None:
        """Write a check-in; the same week again replaces it."""
        self._link.change(_SAVE, lifter_id=lifter_id, week=check_in.week, check_in=text_of(check_in))

    def erase(self, lifter_id: int) -> None:
        """Delete all of a lifter's."""
        self._link.change(_ERASE, lifter_id=lifter_id)


class StoredAdvice:
    """Given advice over an open connection.

    Args:
        link: The connection.

    """

    def __init__(self, link: Link) -> None:
        self._link = link

    def since(self, lifter_id: int, week: date) -> Sequence[GivenAdvice]:
        """Advice given after check-ins about the weeks from one on, by week and in the order in which it was given."""
        return self._link.rows(_ADVICE_SINCE, lifter_id=lifter_id, week=week)

    def forget_open(self, lifter_id: int, week: date) -> None:
        """Delete advice about a week that has no answer."""
        self._link.change(_FORGET_OPEN, lifter_id=lifter_id, week=week)

    def save(self, lifter_id: int, given: Sequence[GivenAdvice]) -> None:
        """Write advice; the same week and muscle again replaces it."""
        self._link.changes(
            _SAVE_ADVICE,
            [
                {
                    "lifter_id": lifter_id,
                    "week": each.week,
                    "muscle": each.advice.muscle.value,
                    "place": place,
                    "given_at": each.given_at,
                    "advice": text_of(each.advice),
                    "from_sets": each.from_sets,
                    "answer": each.answer,
                    "to_sets": each.to_sets,
                }
                for place, each in enumerate(given)
            ],
        )

    def erase(self, lifter_id: int) -> None:
        """Delete all of a lifter's."""
        self._link.change(_ERASE_ADVICE, lifter_id=lifter_id)


def _check_in(text: str) -> CheckIn:
    return value_from(text, CheckIn)


def _given(
    week: date, given_at: datetime, told: str, from_sets: int, answer: AdviceAnswer, to_sets: int | None
) -> GivenAdvice:
    return GivenAdvice(
        week=week,
        given_at=given_at,
        advice=value_from(told, Advice),
        from_sets=from_sets,
        answer=answer,
        to_sets=to_sets,
    )


_THEIRS = check_ins.c.lifter_id == sa.bindparam("lifter_id")
_ONE = Query(sa.select(check_ins.c.check_in).where(_THEIRS, check_ins.c.week == sa.bindparam("week")), _check_in)
_SINCE = Query(
    sa.select(check_ins.c.check_in).where(_THEIRS, check_ins.c.week >= sa.bindparam("week")).order_by(check_ins.c.week),
    _check_in,
)
_GIVEN = insert(check_ins).values({column.name: sa.bindparam(column.name) for column in check_ins.c})
_SAVE = Change(
    _GIVEN.on_conflict_do_update(index_elements=["lifter_id", "week"], set_={"check_in": _GIVEN.excluded.check_in})
)
_ERASE = Change(sa.delete(check_ins).where(_THEIRS))

_ADVICE_THEIRS = advice.c.lifter_id == sa.bindparam("lifter_id")
_ADVICE_SINCE = Query(
    sa.select(advice.c.week, advice.c.given_at, advice.c.advice, advice.c.from_sets, advice.c.answer, advice.c.to_sets)
    .where(_ADVICE_THEIRS, advice.c.week >= sa.bindparam("week"))
    .order_by(advice.c.week, advice.c.place),
    _given,
)
_ADVICE_GIVEN = insert(advice).values({column.name: sa.bindparam(column.name) for column in advice.c})
_KEY = ("lifter_id", "week", "muscle")
_SAVE_ADVICE = Change(
    _ADVICE_GIVEN.on_conflict_do_update(
        index_elements=list(_KEY),
        set_={column.name: _ADVICE_GIVEN.excluded[column.name] for column in advice.c if column.name not in _KEY},
    )
)
_FORGET_OPEN = Change(
    sa.delete(advice).where(_ADVICE_THEIRS, advice.c.week == sa.bindparam("week"), advice.c.answer == AdviceAnswer.OPEN)
)
_ERASE_ADVICE = Change(sa.delete(advice).where(_ADVICE_THEIRS))
