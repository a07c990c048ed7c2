"""A serving process: from the first event to the last answer, what is due, who may serve, and how it ends."""

import asyncio
import os
import signal
import subprocess
import sys
from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager, contextmanager, nullcontext
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from bot.cli.serve import kept_copies
from bot.delivery.connector import Limits
from bot.delivery.firing import Firing
from bot.dispatch import Dispatch
from bot.messages import Arrived
from bot.rendering.replies import House
from bot.scheduler.nights import housekeeping
from bot.scheduler.service import Service
from bot.scheduler.waking import QUEUED_S
from core.application.callings import CALLINGS
from core.application.due import Calling
from core.application.ports import Store, StoreBusy, UnitOfWork
from core.application.turn import Turn
from core.domain.profile import Address
from core.domain.reminders import Due, DueState, Kind, Reminders
from core.domain.replies import Acknowledged, Reply
from core.domain.replies import Done as Small
from core.storage.sqlite_files import connect
from tests.bot.delivery.platform import Platform
from tests.core.storage.rows import NOW, arrived, done, new_lifter

WAIT_S = 20


def good_morning(turn: Turn, row: Due) -> list[Reply]:
    del turn
    return [Acknowledged(Small.HABIT, row.occasion)]


class Ours:
    """A claim that always holds."""

    def holds(self) -> bool:
        return True


@dataclass(slots=True)
class Served:
    """A service over a store, with one platform and a clock that can be ahead."""

    store: Store
    platform: Platform = field(default_factory=Platform)
    ahead: timedelta = timedelta()
    nights: int = 0
    refusals: int = 0

    def now(self) -> datetime:
        return datetime.now(UTC) + self.ahead

    def dispatch(self) -> Dispatch:
        return Dispatch(self.store, clock=self.now, house=House())

    @contextmanager
    def claim(self) -> Iterator[Ours]:
        if self.refusals:
            self.refusals -= 1
            raise StoreBusy("another process serves it")
        yield Ours()

    @asynccontextmanager
    async def serving(self) -> AsyncIterator[None]:
        dispatch = self.dispatch()

        async def night() -> None:
            self.nights += 1

        service = Service(
            dispatch,
            Firing(dispatch, callings={**CALLINGS, Kind.SESSION: Calling(good_morning)}),
            [self.platform],
            claiming=lambda _connector: self.claim(),
            housekeeping=night,
            owner_look_s=0.05,
        )
        stopping = asyncio.Event()
        running = asyncio.create_task(service.run(stopping))
        try:
            yield
        finally:
            stopping.set()
            await asyncio.wait_for(running, timeout=WAIT_S)

    def said(self, text: str, key: str, *, chat: str = "tove") -> Arrived:
        return Arrived(address=Address("platform", chat), event_key=key, sent_at=self.now(), text=text, message_key=key)

    def lifters(self, number: int, *, due_at: datetime) -> None:
        """Lifters whose day's session is due at an instant."""

        def make(work: UnitOfWork) -> None:
            for place in range(number):
                lifter = work.lifters.create(Address("platform", f"{place}"), name="Tove", now=due_at, zone="UTC")
                work.reminders.save(lifter.id, Reminders(quiet=None))
                work.due.put(Due(lifter_id=lifter.id, kind=Kind.SESSION, occasion=due_at.date().isoformat(), at=due_at))

        done(self.store, make)


@pytest.fixture
def served(store: Store) -> Served:
    return Served(store)


def test_messages_are_received_handled_and_answered_in_order(served: Served) -> None:
    async def scene() -> None:
        async with served.serving():
            served.platform.give(*[served.said(f"bench {80 - number}x5", f"e{number}") for number in range(5)])
            # The first answer is followed by the welcome.
            await served.platform.called(6)

    asyncio.run(scene())

    lines = [text.splitlines()[0] for _, text in served.platform.shown if "bench press" in text]
    assert [line.split()[2] for line in lines] == ["80", "79", "78", "77", "76"]
    assert served.platform.closed


def test_what_waited_from_before_the_start_is_handled(served: Served) -> None:
    done(
        served.store, lambda work: work.inbox.receive([arrived("e1", address=Address("platform", "tove"), text="week")])
    )

    async def scene() -> None:
        async with served.serving():
            await served.platform.called(1)

    asyncio.run(scene())

    assert served.platform.calls[0].chat == "tove"


def test_something_due_is_sent_silently_when_it_is_due_and_not_before(served: Served) -> None:
    served.lifters(1, due_at=served.now() + timedelta(hours=1))

    async def scene() -> None:
        async with served.serving():
            served.platform.give(served.said("week", "e1", chat="kim"))
            await served.platform.called(2)
        assert "0" not in {call.chat for call in served.platform.calls}
        served.ahead = timedelta(hours=1)
        async with served.serving():
            await served.platform.called(3)

    asyncio.run(scene())

    assert (served.platform.calls[-1].chat, served.platform.calls[-1].silent) == ("0", True)


def test_a_rest_that_begins_while_serving_is_told_when_it_is_over(served: Served) -> None:
    async def scene() -> None:
        async with served.serving():
            served.platform.give(served.said("rest 0:10", "e1"), served.said("bench 80x5", "e2"))
            await served.platform.called(3)
            # The clock is put on; the rows of the clock wake nobody by that, a new event of theirs does.
            served.ahead = timedelta(seconds=11)
            served.platform.give(
                served.said("rest 0:20", "e3", chat="kim"), served.said("bench 60x5", "e4", chat="kim")
            )
            await served.platform.called(7)

    asyncio.run(scene())

    assert ("tove", "rest over, 0:10: next set") in served.platform.shown
    [call] = [each for each in served.platform.calls if each.text.startswith("rest over")]
    assert not call.silent


def test_no_more_is_queued_than_the_platform_sends_in_half_a_minute(served: Served) -> None:
    served.platform.limits = Limits(size=4096, a_second=2, scheduled_a_second=1)
    served.lifters(120, due_at=served.now() - timedelta(seconds=1))

    async def scene() -> int:
        async with served.serving():
            await served.platform.called(2)
            return await asyncio.to_thread(
                lambda: done(served.store, lambda work: work.outbox.scheduled_waiting("platform"))
            )

    waiting = asyncio.run(scene())

    assert 0 < waiting <= QUEUED_S * 1


def test_a_connector_owned_elsewhere_is_taken_over_when_it_is_free(served: Served) -> None:
    served.refusals = 3

    async def scene() -> None:
        async with served.serving():
            served.platform.give(served.said("week", "e1"))
            await served.platform.called(1)

    asyncio.run(scene())

    assert served.refusals == 0
    assert served.platform.shown != []


def test_the_house_is_kept_once_a_night(served: Served) -> None:
    async def scene() -> None:
        async with served.serving():
            await asyncio.sleep(0)
        for day in (1, 2):
            served.ahead = timedelta(days=day)
            async with served.serving():
                served.platform.give(served.said("week", f"e{day}"))
                await served.platform.called(2 * day - 1)
            assert served.nights == day

    # One night's is kept late, the next one's is put down by it; here the housekeeping itself puts none down.
    asyncio.run(scene())


def test_housekeeping_erases_old_texts_and_puts_down_the_next_night(store: Store) -> None:
    old = datetime(2027, 1, 4, 18, tzinfo=UTC)
    now = old + timedelta(days=31)
    address = Address("platform", "tove")
    done(store, lambda work: work.inbox.receive([replace(arrived("e1", address=address), received_at=old)]))
    waiting = done(store, lambda work: work.inbox.next_for(address))
    assert waiting is not None
    done(store, lambda work: work.inbox.handled(waiting.id, at=old))
    dispatch = Dispatch(store, clock=lambda: now, house=House())

    asyncio.run(housekeeping(dispatch, text_days=30, backup=None))
    row = done(store, lambda work: work.inbox.by_key("platform", "e1"))
    asyncio.run(housekeeping(dispatch, text_days=30, backup=None))

    assert row is None or row.text is None
    assert done(store, lambda work: work.due.next_at()) == datetime(2027, 2, 5, 3, tzinfo=UTC)


def test_housekeeping_warns_whoever_has_not_written_for_eleven_months_and_erases_after_twelve(store: Store) -> None:
    # Design, section 10: after 12 idle months, warned once, a lifter's data goes.
    tove = new_lifter(store)
    now = NOW + timedelta(days=336)
    dispatch = Dispatch(store, clock=lambda: now, house=House())

    asyncio.run(housekeeping(dispatch, text_days=30, backup=None))
    [warning] = done(store, lambda work: work.due.of_lifter(tove.id, limit=9))
    done(store, lambda work: work.due.settle(warning.id, DueState.SENT, at=now))
    now += timedelta(days=29)
    asyncio.run(housekeeping(dispatch, text_days=30, backup=None))
    before = done(store, lambda work: work.lifters.by_id(tove.id))
    now += timedelta(days=1)
    asyncio.run(housekeeping(dispatch, text_days=30, backup=None))

    assert warning.kind is Kind.IDLE
    assert before is not None
    assert done(store, lambda work: work.lifters.by_id(tove.id)) is None


def test_nightly_copies_are_whole_and_expire_by_their_date(empty_file: Path, tmp_path: Path) -> None:
    folder = tmp_path / "copies"
    folder.mkdir()
    for day in ("2026-12-20", "2026-12-21", "2027-01-03"):
        (folder / f"{day}.db").touch()
    (folder / "notes.txt").touch()

    kept_copies(f"sqlite:///{empty_file}", folder, today=date(2027, 1, 4), days=14)

    assert {path.name for path in folder.iterdir()} == {
        *("2026-12-21.db", "2027-01-03.db", "2027-01-04.db", "notes.txt"),
    }
    with nullcontext(connect_copy(folder / "2027-01-04.db")) as tables:
        assert "due" in tables


def connect_copy(path: Path) -> set[str]:
    from core.storage.locations import OnDisk

    connection = connect(OnDisk(path), writes=False)
    try:
        return {name for (name,) in connection.execute("SELECT name FROM sqlite_master").fetchall()}
    finally:
        connection.close()


def test_a_second_serve_on_a_sqlite_file_is_refused_and_the_first_ends_when_asked(tmp_path: Path) -> None:
    command = [sys.executable, "-m", "bot", "serve", "--db", f"sqlite:///{tmp_path}/rackside.db"]
    environment = {**os.environ, "XDG_DATA_HOME": str(tmp_path)}
    with subprocess.Popen(command, stderr=subprocess.PIPE, text=True, env=environment) as first:
        assert first.stderr is not None
        # It says so once it has the file.
        assert "no chat platform is set up" in first.stderr.readline()

        second = subprocess.run(command, capture_output=True, text=True, env=environment, check=False, timeout=60)
        first.send_signal(signal.SIGTERM)
        _, rest = first.communicate(timeout=60)

    assert second.returncode == 1
    assert "another process serves" in second.stderr
    assert "Traceback" not in second.stderr
    assert first.returncode == 0
    assert "stopped" in rest
