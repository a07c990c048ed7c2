"""A process that receives and handles messages until it is killed at a point of its own choice.

Called with the URL of a database, a file to write acknowledgements to, a point, and how often the point is passed
before the process ends there.
"""

import os
import signal
import sys
from concurrent.futures import Future, wait
from dataclasses import replace
from functools import partial
from pathlib import Path

from core.application.ports import UnitOfWork
from core.application.rows import InboxRow
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
    work.inbox.claim(row.id, lifter.id)
    work.inbox.handled(row.id, at=NOW)
    return row.event_key


def main(url: str, acknowledgements: Path, point: str, times: int) -> None:
    """Receive and handle every message; what is acknowledged is written down at once."""
    written = os.open(acknowledgements, os.O_WRONLY | os.O_CREAT | os.O_APPEND)

    def acknowledge(kind: str, told: str, _future: Future[None]) -> None:
        os.write(written, f"{kind} {told}\n".encode())

    def acknowledge_handled(future: Future[str | None]) -> None:
        if future.exception() is None and (key := future.result()) is not None:
            os.write(written, f"handled {key}\n".encode())

    store = open_store(url, observer=Cut(point, times))
    rows = messages()
    for start in range(0, len(rows), AT_ONCE):
        some = rows[start : start + AT_ONCE]
        received = []
        for row in some:
            future = store.submit(partial(receive, row))
            future.add_done_callback(partial(acknowledge, "received", row.event_key))
            received.append(future)
        wait(received)
        handled = []
        for row in some:
            answered = store.submit(partial(handle, row.address))
            answered.add_done_callback(acknowledge_handled)
            handled.append(answered)
        wait(handled)
        for told in received:
            told.result()
        for answered in handled:
            answered.result()
    store.close()


if __name__ == "__main__":
    main(sys.argv[1], Path(sys.argv[2]), sys.argv[3], int(sys.argv[4]))
