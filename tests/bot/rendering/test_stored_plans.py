"""`rackside plan --json` prints what the issue asks for, field by field."""

import json
from collections.abc import Iterator

import pytest

from bot.rendering.stored_plans import plan_object
from core.application.plan_ahead import plan_ahead
from core.domain.units import Unit
from core.storage.unit_of_work import open_store
from tests.core.application.chats import Chat
from tests.core.application.plans import in_turn


@pytest.fixture
def chat() -> Iterator[Chat]:
    opened = open_store("sqlite://")
    yield Chat(opened)
    opened.close()


def test_a_plan_is_printed_week_by_week_with_loads_and_whys(chat: Chat) -> None:
    for text in ("days mon thu", "recent bench 80x5 2 left", "plan new", "take plan usual"):
        chat.say(text)

    told = plan_object(in_turn(chat, plan_ahead), Unit.KG)

    assert json.loads(json.dumps(told)) == told
    assert set(told) == {"block", "weeks"}
    assert len(told["weeks"]) == 6
    week = told["weeks"][0]
    assert [session["date"] for session in week["sessions"]] == ["2027-01-04", "2027-01-07"]
    session = week["sessions"][0]
    assert {"date", "kind", "minutes", "exercises"} <= set(session)
    bench = session["exercises"][0]
    assert set(bench) == {"exercise", "sets", "warm_up", "plates"}
    assert bench["exercise"] == "bench press"
    one = bench["sets"][0]
    assert set(one) == {"load", "unit", "reps", "left", "why"}
    # A strength day asks for fives with 2 left after the last; the solver has 3 to 6 sets a lift.
    assert 3 <= len(bench["sets"]) <= 6
    assert (one["reps"], one["left"], one["unit"]) == (5, 2.0, "kg")
    assert one["load"] is not None
    assert one["why"]
    # The plates of both sides and the bar of 20 kg make the load.
    assert 20 + 2 * sum(disc["load"] for disc in bench["plates"]) == one["load"]
    assert week["muscles"]["chest"] > 0


def test_without_a_plan_an_empty_one_is_printed() -> None:
    assert plan_object(None, Unit.KG) == {"block": None, "weeks": []}
