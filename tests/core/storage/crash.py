"""A process that receives and handles messages until it is killed at a point of its own choice.

Its `main` takes the URL of a database, a file to write acknowledgements to, a point, and how often the point is passed
before the process ends there.
"""

import os
import signal
from concurrent.futures import Future
from dataclasses import replace
from functools import partial
from pathlib import Path

from core.application.ports import UnitOfWork
from core.application.rows import InboxRow, MessageState
from core.domain.profile import Address
from core.domain.sessions import Session
from core.storage.unit_of_work import open_store
from tests.core.storage.rows import NOW, TODAY, answer, arrived, bench

MESSAGES = 200

AT_ONCE = 8
"""Messages in flight, so that some share a commit. [messages]"""

ADDRESSES = [Address("terminal", f"lifter {number}") for number in range(5)]


class Cut:
    """An observer that ends the process at a point."""

    def __init__(self, point: str, times: int) -> None:
        self.point = point
        self.left = times

    def __call__(self, point: str, /) -> None:
        """Take note of a point."""
        if point == self.point:
            self.left -= 1
            if self.left == 0:
                os.kill(os.getpid(), signal.SIGKILL)


def messages() -> list[InboxRow]:
    """Every message, the same in every run."""
    return [
        replace(arrived(f"e{number}", address=ADDRESSES[number % len(ADDRESSES)]), message_key=f"m{number}")
        for number in range(MESSAGES)
    ]


def receive(row: InboxRow, work: UnitOfWork) -> None:
    """Take in an event; the same one again changes nothing."""
    work.inbox.receive([row])


def handle(address: Address, work: UnitOfWork) -> str | None:
    """Handle the oldest event of an address as a whole: a lifter, a session, a set, an answer."""
    lifter = work.lifters.at_address(address)
    row = work.inbox.next_for(address)
    if row is None:
        return None
    if lifter is None:
        lifter = work.lifters.create(address, name=address.chat, now=NOW, zone="UTC")
    session = work.sessions.last(lifter.id)
    if session is None:
        session = work.sessions.add(Session(lifter_id=lifter.id, day=TODAY, opened_at=NOW, last_set_at=NOW))
    work.sets.add(lifter.id, [bench(session, key=row.message_key)], days=[TODAY], change=row.id)
    work.outbox.add([answer(row.id, address=address)], lifter_id=lifter.id)
    work.inbox.handled(row.id, at=NOW, lifter_id=lifter.id)
    return row.event_key


def main(url: str, acknowledgements: Path, point: str, times: int) -> None:
    """Receive and handle every message; what is acknowledged is written down at once."""
    written = os.open(acknowledgements, os.O_RDWR | os.O_CREAT | os.O_APPEND)
    confirmed = {line for line in acknowledgements.read_text().splitlines() if line.startswith("received")}

    def acknowledge_received(key: str, future: "Future[None]") -> None:
        if future.exception() is None:
            os.write(written, f"received {key}\n".encode())

    def acknowledge_handled(future: "Future[str | None]") -> None:
        if future.exception() is None and (key := future.result()) is not None:
            os.write(written, f"handled {key}\n".encode())

    def received(row: InboxRow) -> "Future[None]":
        future = store.submit(partial(receive, row))
        future.add_done_callback(partial(acknowledge_received, row.event_key))
        return future

    def handled(address: Address) -> "Future[str | None]":
        future = store.submit(partial(handle, address))
        future.add_done_callback(acknowledge_handled)
        return future

    store = open_store(url, observer=Cut(point, times))
    # What was not confirmed comes again, as from a platform; what waits since the last run is handled first.
    rows = [row for row in messages() if f"received {row.event_key}" not in confirmed]
    with store.read() as work:
        waiting = [row for row in messages() if _waits(work.inbox.by_key("terminal", row.event_key))]
    for some in [waiting, *[rows[start : start + AT_ONCE] for start in range(0, len(rows), AT_ONCE)]]:
        if some is not waiting:
            for each in [received(row) for row in some]:
                each.result()
        for answered in [handled(row.address) for row in some]:
            answered.result()
    store.close()


def _waits(row: InboxRow | None) -> bool:
    return row is not None and row.state is MessageState.WAITING
