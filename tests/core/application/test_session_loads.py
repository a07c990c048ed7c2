"""Session load in a chat: Foster's figures of the last seven days."""

from datetime import date, timedelta

import pytest

from core.domain.check_in_replies import CheckInNothing, LoadTold, NoCheckIn
from tests.core.application.chats import Chat, the


def session(chat: Chat, *, minutes: int, effort: int | None) -> None:
    chat.say("bench 80x5")
    chat.now += timedelta(minutes=minutes)
    chat.say("bench 80x5")
    chat.say("done" if effort is None else f"done {effort}")
    chat.now -= timedelta(minutes=minutes)


def test_the_figures_are_those_of_the_worked_week(chat: Chat) -> None:
    # Foster 1998 and 2001, worked in the references: daily loads 420, 0, 360, 0, 490, 300, 0.
    for minutes, effort in ((60, 7), (0, 0), (60, 6), (0, 0), (70, 7), (60, 5), (0, 0)):
        if minutes:
            session(chat, minutes=minutes, effort=effort)
        chat.now += timedelta(days=1)
    chat.now -= timedelta(days=1)

    told = the(LoadTold, chat.say("load"))

    assert (told.first, told.last) == (date(2027, 1, 4), date(2027, 1, 10))
    assert [each.load for each in told.sessions] == [420, 360, 490, 300]
    assert told.total == 1570
    assert told.monotony == pytest.approx(1.0310, abs=5e-5)
    assert told.strain == pytest.approx(1618.6, abs=0.05)


def test_sessions_without_an_effort_are_told_as_such(chat: Chat) -> None:
    session(chat, minutes=60, effort=7)
    chat.now += timedelta(days=1)
    session(chat, minutes=45, effort=None)

    told = the(LoadTold, chat.say("load"))

    assert [(each.minutes, each.effort, each.load) for each in told.sessions] == [(60, 7, 420), (45, None, None)]


def test_without_a_session_there_is_nothing_to_tell(chat: Chat) -> None:
    session(chat, minutes=60, effort=7)
    chat.now += timedelta(days=7)

    assert chat.say("load") == [CheckInNothing(NoCheckIn.LOAD)]
