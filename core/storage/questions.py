"""Questions that wait for a tap, as rows."""

import json
from collections.abc import Sequence
from datetime import datetime

import sqlalchemy as sa

from core.application.rows import (
    AskedQuestion,
)
from core.storage.statements import Change, Link, Query
from core.storage.tables import questions


class StoredQuestions:
    """Questions over an open connection.

    Args:
        link: The connection.

    """

    def __init__(self, link: Link) -> None:
        self._link = link

    def ask(self, question: AskedQuestion) -> None:
        """Store a question."""
        self._link.change(
            _ASK,
            id=question.id,
            lifter_id=question.lifter_id,
            doubt=question.doubt,
            sends=json.dumps(question.sends, ensure_ascii=False),
            labels=json.dumps(question.labels, ensure_ascii=False),
            habits=json.dumps(question.habits, ensure_ascii=False),
            message_key=question.message_key,
            sent_at=question.sent_at,
            asked_at=question.asked_at,
            expires_at=question.expires_at,
            chosen=question.chosen,
        )

    def get(self, question_id: str) -> AskedQuestion | None:
        """A question by its id, whosever it is."""
        return self._link.first(_GET, question_id=question_id)

    def open(self, lifter_id: int) -> Sequence[AskedQuestion]:
        """Questions of a lifter without an answer, newest first."""
        return self._link.rows(_OPEN, lifter_id=lifter_id)

    def answer(self, question_id: str, chosen: int) -> None:
        """Write the option taken."""
        self._link.change(_ANSWER, question_id=question_id, chosen=chosen)

    def withdraw(self, lifter_id: int, message_key: str) -> None:
        """Delete the open questions about a message."""
        self._link.change(_WITHDRAW, lifter_id=lifter_id, message_key=message_key)


def _question(
    id_: str,
    lifter_id: int,
    doubt: str,
    sends: str,
    labels: str,
    habits: str,
    message_key: str,
    sent_at: datetime,
    asked_at: datetime,
    expires_at: datetime,
    chosen: int | None,
) -> AskedQuestion:
    return AskedQuestion(
        id=id_,
        lifter_id=lifter_id,
        doubt=doubt,
        sends=tuple(json.loads(sends)),
        labels=tuple(json.loads(labels)),
        habits=tuple((key, value) for key, value in json.loads(habits)),
        message_key=message_key,
        sent_at=sent_at,
        asked_at=asked_at,
        expires_at=expires_at,
        chosen=chosen,
    )


_IS_QUESTION = questions.c.id == sa.bindparam("question_id")
_IS_OPEN = sa.and_(questions.c.lifter_id == sa.bindparam("lifter_id"), questions.c.chosen.is_(None))

_ASK = Change(sa.insert(questions).values({column.name: sa.bindparam(column.name) for column in questions.c}))
_GET = Query(sa.select(questions).where(_IS_QUESTION), _question)
_OPEN = Query(sa.select(questions).where(_IS_OPEN).order_by(questions.c.asked_at.desc(), questions.c.id), _question)
_ANSWER = Change(sa.update(questions).where(_IS_QUESTION).values(chosen=sa.bindparam("chosen")))
_WITHDRAW = Change(sa.delete(questions).where(_IS_OPEN, questions.c.message_key == sa.bindparam("message_key")))
