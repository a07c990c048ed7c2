"""Dispatch: an event handled once, faults of ours set aside, and hostile text through the whole way."""

import asyncio
import logging
import re
from collections.abc import Callable, Iterator
from concurrent.futures import Future
from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import UTC, date, datetime
from itertools import count
from typing import TypeVar

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from bot.dispatch import Dispatch, Step, committed
from bot.messages import Arrived, Deleted, Edited, Tapped
from bot.rows import Answer
from core.application.link_codes import Addresses, LinkCodes
from core.application.mail import DueRows, Inbox, Outbox, RemindersKept
from core.application.ports import Hint, Questions, Store, UnitOfWork
from core.application.repositories import (
    CheckIns,
    Estimates,
    GivenAdvices,
    Lifters,
    OwnExercises,
    Plans,
    Records,
    Sessions,
    Sets,
    Setups,
)
from core.application.rows import (
    MessageState,
)
from core.domain.profile import Address
from core.domain.sets import MOST_REPS, MOST_SETS, LoggedSet
from core.domain.units import MOST_LOAD_KG
from core.storage.unit_of_work import open_store
from tests.conversations import dispatch_on

T = TypeVar("T")

TOVE = Address("replay", "tove")

NOW = datetime(2027, 1, 4, 18, 0, tzinfo=UTC)

LONGEST_ANSWER = 900
"""Characters of the longest answer: `help`, a phone's screenful. [characters]"""


@dataclass(slots=True)
class Chat:
    """A store and the way of a message to it."""

    store: Store
    dispatch: Dispatch

    def say(self, text: str, *, key: str, address: Address = TOVE) -> list[Answer]:
        event = Arrived(address=address, event_key=key, sent_at=NOW, text=text, message_key=key)
        return self.dispatch.take(event, name=address.chat)

    def sets(self, address: Address = TOVE) -> list[LoggedSet]:
        def found(work: UnitOfWork) -> list[LoggedSet]:
            lifter = work.lifters.at_address(address)
            if lifter is None:
                return []
            return list(work.sets.between(lifter.id, date.min, date.max))

        return self.store.submit(found).result()

    def state(self, key: str) -> tuple[MessageState, str | None]:
        row = self.store.submit(lambda work: work.inbox.by_key("replay", key)).result()
        assert row is not None
        return row.state, row.reference


@pytest.fixture(scope="module")
def hostile() -> Iterator[Chat]:
    store = open_store("sqlite://")
    yield Chat(store, dispatch_on(store, lambda: NOW))
    store.close()


@pytest.fixture
def chat() -> Iterator[Chat]:
    store = open_store("sqlite://")
    yield Chat(store, dispatch_on(store, lambda: NOW))
    store.close()


def texts(answers: list[Answer]) -> list[str]:
    return [each.message.text for each in answers]


def test_the_same_event_key_again_gives_the_stored_answer_and_changes_nothing(chat: Chat) -> None:
    first = chat.say("bench 80x5 rir2", key="1")
    logged = chat.sets()

    again = chat.say("bench 80x5 rir2", key="1")

    assert len(logged) == 1
    assert chat.sets() == logged
    assert again == first


def test_the_same_event_key_with_another_text_is_still_the_same_event(chat: Chat) -> None:
    first = chat.say("bench 80x5 rir2", key="1")

    again = chat.say("bench 100x1", key="1")

    assert texts(again) == texts(first)
    assert [each.load_kg for each in chat.sets()] == [80.0]


def test_an_edit_a_deletion_and_a_tap_of_the_same_key_are_handled_once(chat: Chat) -> None:
    chat.say("bench 80x5 rir2", key="1")
    edit = Edited(address=TOVE, event_key="2", sent_at=NOW, message_key="1", text="bench 82.5x5")
    deletion = Deleted(address=TOVE, event_key="3", sent_at=NOW, message_key="1")
    tap = Tapped(address=TOVE, event_key="4", sent_at=NOW, question="none", option=0)

    for event in (edit, edit, deletion, deletion):
        chat.dispatch.take(event, name="tove")
    tapped = [texts(chat.dispatch.take(tap, name="tove")) for _ in range(2)]

    assert (
        tapped == [["that question was taken back, something has changed since: answer the last one, or text it"]] * 2
    )
    assert chat.sets() == []


def test_received_events_are_handled_in_order_and_once(chat: Chat) -> None:
    events = [
        Arrived(address=TOVE, event_key=key, sent_at=NOW, text=text, message_key=key)
        for key, text in (("1", "bench 80x5 rir2"), ("2", "85x5"))
    ]

    received = [chat.dispatch.receive(events).result() for _ in range(2)]
    handled = [chat.dispatch.handle_next(TOVE, name="tove") for _ in range(3)]

    assert received == [2, 0]
    assert [None if each is None else len(each) > 0 for each in handled] == [True, True, None]
    assert [each.load_kg for each in chat.sets()] == [80.0, 85.0]


async def test_an_event_is_received_and_handled_in_one_where_nothing_is_in_the_way(chat: Chat) -> None:
    events = [
        Arrived(address=TOVE, event_key=key, sent_at=NOW, text=text, message_key=key)
        for key, text in (("1", "bench 80x5 rir2"), ("2", "85x5"), ("3", "90x5"))
    ]

    steps = [await chat.dispatch.take_in(each, name="tove") for each in (events[0], events[0])]
    await committed(chat.dispatch.receive([events[1]]))
    behind = await chat.dispatch.take_in(events[2], name="tove")
    kept = [each.load_kg for each in chat.sets()]
    await asyncio.to_thread(lambda: [chat.dispatch.handle_next(TOVE, name="tove") for _ in range(2)])

    assert steps == [Step.LAST, Step.NONE]
    # What waits is handled first: the third is received, and waits behind it.
    assert (behind, kept) == (Step.KEPT, [80.0])
    assert [each.load_kg for each in chat.sets()] == [80.0, 85.0, 90.0]


async def test_an_event_with_a_fault_of_ours_is_received_and_waits(chat: Chat) -> None:
    broken = dispatch_on(BrokenStore(chat.store), lambda: NOW)
    event = Arrived(address=TOVE, event_key="1", sent_at=NOW, text="bench 80x5 rir2", message_key="1")

    step = await broken.take_in(event, name="tove")

    assert step is Step.KEPT
    assert chat.sets() == []
    assert await asyncio.to_thread(chat.dispatch.handle_next, TOVE, name="tove")
    assert [each.load_kg for each in chat.sets()] == [80.0]


def test_an_answer_that_was_sent_is_marked_so(chat: Chat) -> None:
    answers = chat.say("bench 80x5 rir2", key="1")
    waiting = chat.store.submit(lambda work: len(work.outbox.waiting("replay", limit=10))).result()

    chat.dispatch.sent(answers)

    assert waiting == len(answers)
    assert chat.store.submit(lambda work: len(work.outbox.waiting("replay", limit=10))).result() == 0


WRITTEN = "bench 80x5 wobbly"


class OursError(Exception):
    """A fault of ours whose text could hold what a lifter wrote."""


@dataclass(frozen=True, slots=True)
class BrokenUnit:
    """A unit of work in which sets can't be reached."""

    work: UnitOfWork

    @property
    def lifters(self) -> Lifters:
        return self.work.lifters

    @property
    def sessions(self) -> Sessions:
        return self.work.sessions

    @property
    def sets(self) -> Sets:
        raise OursError(WRITTEN)

    @property
    def exercises(self) -> OwnExercises:
        return self.work.exercises

    @property
    def estimates(self) -> Estimates:
        return self.work.estimates

    @property
    def records(self) -> Records:
        return self.work.records

    @property
    def setups(self) -> Setups:
        return self.work.setups

    @property
    def plans(self) -> Plans:
        return self.work.plans

    @property
    def check_ins(self) -> CheckIns:
        return self.work.check_ins

    @property
    def advice(self) -> GivenAdvices:
        return self.work.advice

    @property
    def questions(self) -> Questions:
        return self.work.questions

    @property
    def inbox(self) -> Inbox:
        return self.work.inbox

    @property
    def outbox(self) -> Outbox:
        return self.work.outbox

    @property
    def due(self) -> DueRows:
        return self.work.due

    @property
    def reminders(self) -> RemindersKept:
        return self.work.reminders

    @property
    def addresses(self) -> Addresses:
        return self.work.addresses

    @property
    def link_codes(self) -> LinkCodes:
        return self.work.link_codes


@dataclass(frozen=True, slots=True)
class BrokenStore:
    """A store whose units of work are broken."""

    store: Store

    def submit(self, work: Callable[[UnitOfWork], T], *, live: bool = True) -> Future[T]:
        return self.store.submit(lambda unit: work(BrokenUnit(unit)), live=live)

    def read(self) -> AbstractContextManager[UnitOfWork]:
        return self.store.read()

    def watch(self, told: Callable[[Hint], None]) -> None:
        self.store.watch(told)

    def close(self) -> None:
        self.store.close()


def test_a_fault_of_ours_is_rolled_back_set_aside_and_apologised_for_once(
    chat: Chat, caplog: pytest.LogCaptureFixture
) -> None:
    broken = Chat(chat.store, dispatch_on(BrokenStore(chat.store), lambda: NOW))

    with caplog.at_level(logging.ERROR, logger="rackside"):
        answers = broken.say(WRITTEN, key="1")
    again = broken.say(WRITTEN, key="1")

    state, reference = chat.state("1")
    assert state is MessageState.SET_ASIDE
    assert texts(answers) == [f"something went wrong here, nothing was saved (ref {reference})"]
    assert texts(again) == texts(answers)
    assert chat.store.submit(lambda work: work.lifters.at_address(TOVE)).result() is None
    assert chat.store.submit(lambda work: len(work.outbox.waiting("replay", limit=10))).result() == 1
    assert f"ref {reference}: OursError" in caplog.text
    assert WRITTEN not in caplog.text


def test_a_received_event_with_a_fault_of_ours_does_not_hold_up_the_next(chat: Chat) -> None:
    broken = dispatch_on(BrokenStore(chat.store), lambda: NOW)
    events = [
        Arrived(address=TOVE, event_key=key, sent_at=NOW, text="bench 80x5 rir2", message_key=key) for key in ("1", "2")
    ]
    chat.dispatch.receive(events).result()

    apology = broken.handle_next(TOVE, name="tove")
    answer = chat.dispatch.handle_next(TOVE, name="tove")

    assert apology is not None
    assert apology[0].message.text.startswith("something went wrong here, nothing was saved")
    assert answer is not None
    assert [each.root_key for each in chat.sets()] == ["2"]


def assert_answered_shortly(answers: list[Answer]) -> None:
    assert 1 <= len(answers) <= 3
    for said in texts(answers):
        assert said.strip()
        assert len(said) <= LONGEST_ANSWER
        assert "Traceback" not in said
        assert "something went wrong" not in said
        assert "None" not in said
        assert "\0" not in said
        assert said.encode()


def assert_possible(sets: list[LoggedSet]) -> None:
    assert len(sets) <= MOST_SETS
    for each in sets:
        assert abs(each.load_kg) <= MOST_LOAD_KG
        assert each.reps is None or 0 <= each.reps <= MOST_REPS


HOSTILE = (
    "wibble",
    "🏋️‍♀️🔥💪",
    "🏋️" * 2_000,
    "\u202ebench 80gk x 5\u202c",
    "\u2067مرحبا 80gk x 5\u2069",
    "\ud800 bench 8gk",
    "bench \udfff",
    "\0",
    "bench 80\0x5",
    "bench 80x5 " + "a" * 100_000,
    "9" * 10_000,
    "bench " + "9" * 10_000 + "x5",
    "bench 80x" + "9" * 10_000,
    "bench 1e309x5",
    "bench nan x 5",
    "bench inf x 5",
    "bench -80x5",
    "bench 80x-5",
    "bench 0x5",
    "'; DROP TABLE sets; --",
    "bench 80x5'; DROP TABLE sets; --\" OR 1=1",
    "%s%s%n %(name)s {0} {reply.exercise} ${jndi}",
    "bench {80}x{5}",
    "max %s",
    "history '; DELETE FROM lifters; --",
    "zone ../../etc/passwd",
    "zone " + "a" * 3_000,
    "bw 1e309",
    "bar -20",
    "fix " + "9" * 4_000,
    "\n" * 5_000,
    " ",
    "`" * 3_000,
    "x" * 4_000,
    "80x5," * 800,
    "(" * 4_000,
)

KEYS = count(1)


@pytest.mark.parametrize("text", HOSTILE, ids=lambda text: ascii(text[:24]))
def test_hostile_text_gets_a_short_answer_and_stores_nothing_impossible(text: str, hostile: Chat) -> None:
    address = Address("replay", f"stranger {next(KEYS)}")

    answers = hostile.say(text, key=address.chat, address=address)

    assert_answered_shortly(answers)
    assert_possible(hostile.sets(address))
    assert hostile.state(address.chat)[0] is MessageState.HANDLED


@pytest.mark.parametrize(
    "text",
    ["bench -80x5", "bench 0x5", "bench 1e309x5", "bench 1501x5", "bench 80x201", "bench nan x 5"],
)
def test_loads_and_reps_that_nobody_lifts_are_not_stored(text: str, hostile: Chat) -> None:
    address = Address("replay", f"stranger {next(KEYS)}")

    hostile.say(text, key=address.chat, address=address)

    assert hostile.sets(address) == []


WORDS = st.sampled_from(
    [
        *("bench", "squat", "x", "@", "80", "5", "82,5", "3x5", "1e9", "rir", "rpe", "kg", "lb", "w", "f", "bw"),
        *("same", "undo", "fix", "done", "week", "max", "history", "plates", ";", ",", "-", "é", "🏋️"),
    ]
)

ANY_TEXT = st.one_of(st.text(st.characters(), max_size=60), st.lists(WORDS, min_size=1, max_size=8).map(" ".join))


@settings(max_examples=60)
@example(said=["bench 80x5", "\ud83c", "fix \0"])
@given(said=st.lists(ANY_TEXT, min_size=1, max_size=4))
def test_any_conversation_gets_short_answers_and_stores_only_what_a_bar_holds(said: list[str], hostile: Chat) -> None:
    address = Address("replay", f"stranger {next(KEYS)}")

    for number, text in enumerate(said):
        key = f"{address.chat} {number}"
        before = len(hostile.sets(address))
        answers = hostile.say(text, key=key, address=address)

        assert_answered_shortly(answers)
        assert hostile.state(key)[0] is MessageState.HANDLED
        if len(hostile.sets(address)) > before:
            # What is stored is told: a figure of the last set stands in the answer.
            assert re.search(r"\d", "\n".join(texts(answers)))
    assert_possible(hostile.sets(address)[:MOST_SETS])
