"""What planning is told of a lifter's strength is what their own log says."""

from collections.abc import Callable
from typing import TypeVar

import pytest

from core.application.ports import UnitOfWork
from core.application.rows import InboxRow, MessageKind
from core.application.strength_now import StrengthNow
from core.application.turn import Turn
from core.domain.exercises import Exercise
from core.planning.ports import Strength
from tests.core.application.chats import Chat
from tests.core.planning.gyms import lift

T = TypeVar("T")


def asked(chat: Chat, ask: Callable[[Strength], T]) -> T:
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
        return ask(StrengthNow(Turn(work=unit, lifter=lifter, row=row, now=chat.now, token=str)))

    return chat.store.submit(work).result()


def test_nothing_is_known_of_a_lift_that_was_never_logged(chat: Chat) -> None:
    chat.say("squat 100x5 rir2")
    bench = lift("bench press")

    assert asked(chat, lambda now: now.estimate(bench)) is None
    assert asked(chat, lambda now: now.load_kg(bench, reps=5, left=2, sets=1)) is None
    assert asked(chat, lambda now: now.expected_left(bench, load_kg=80, reps=5, set_number=1)) is None


def test_the_load_for_one_set_leaves_what_it_was_asked_to_leave(chat: Chat) -> None:
    for _ in range(3):
        chat.say("bench 80x5 rir2")
    bench = lift("bench press")

    load_kg = asked(chat, lambda now: now.load_kg(bench, reps=6, left=2, sets=1))
    assert load_kg is not None

    # The one is the other's inverse.
    left = asked(chat, lambda now: now.expected_left(bench, load_kg=load_kg, reps=6, set_number=1))
    assert left == pytest.approx(2.0, abs=0.05)


@pytest.mark.parametrize("name", ["pull-up", "dip"])
def test_a_lift_that_moves_body_mass_is_told_without_it(chat: Chat, name: str) -> None:
    chat.say("consent on")
    chat.say("bw 80")
    chat.say(f"{name} bw+20x5 rir2")
    exercise: Exercise = lift(name)

    known = asked(chat, lambda now: now.estimate(exercise))

    assert known is not None
    assert known.body_kg == pytest.approx(80 * exercise.body_share)
    # 20 kg were moved for 5 with 2 left: the maximum is more, and less than twice what moved.
    assert 20 < known.low_kg < known.estimate_kg < known.high_kg < 120


def test_without_body_mass_nothing_is_known_of_a_lift_that_moves_it(chat: Chat) -> None:
    chat.say("pull-up bw+20x5 rir2")
    pull_up = lift("pull-up")

    assert asked(chat, lambda now: now.estimate(pull_up)) is None
