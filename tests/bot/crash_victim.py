"""A chat that kills itself at a named point: the entry point of the crash test, and of nothing else."""

import os
import signal
from datetime import UTC, datetime, timedelta
from pathlib import Path

from bot.connectors.terminal import CONNECTOR, Terminal
from bot.dispatch import Dispatch
from bot.messages import Arrived
from bot.rendering.replies import House
from core.domain.profile import Address
from core.storage.unit_of_work import open_store

START = datetime(2027, 1, 4, 17, 0, tzinfo=UTC)

MESSAGES = 200

NAME = "tove"

ADDRESS = Address(CONNECTOR, NAME)


def load_of(number: int) -> float:
    """A load that no other message has; it only falls, for a lighter one is never asked about. [kg]"""
    return 110 - number * 0.25


def text_of(number: int) -> str:
    return f"bench {load_of(number):g}x5"


def key_of(number: int) -> str:
    return f"crash:{number:09d}"


class Killer:
    """Kills this process when it passes a point for the `pass_number`th time."""

    def __init__(self, point: str, pass_number: int) -> None:
        self.point = point
        self.left = pass_number

    def __call__(self, point: str) -> None:
        if point == self.point:
            self.left -= 1
            if self.left == 0:
                os.kill(os.getpid(), signal.SIGKILL)


def text_messages(url: str, first: int, *, way: str, point: str, pass_number: int, said: Path) -> None:
    """Text the messages from a number on; answers are printed to the file `said`.

    Args:
        url: The store.
        first: Number of the first message.
        way: `at once`, or `in two steps`: received, then handled.
        point: Where to die; empty for nowhere.
        pass_number: Which passing of that point is the last.
        said: File for the answers.

    """
    killer = Killer(point, pass_number)
    store = open_store(url, observer=killer)
    at = START + first * timedelta(minutes=1)
    with said.open("w", encoding="utf-8") as out:
        dispatch = Dispatch(store, clock=lambda: at, house=House(), observer=killer)
        terminal = Terminal(dispatch, name=NAME, clock=lambda: at, run="crash", as_json=True, out=out)
        for number in range(first, MESSAGES):
            at = START + number * timedelta(minutes=1)
            key = key_of(number)
            event = Arrived(address=ADDRESS, event_key=key, sent_at=at, text=text_of(number), message_key=key)
            answers = None
            if way == "in two steps":
                dispatch.receive([event]).result()
                answers = dispatch.handle_next(ADDRESS, name=NAME)
            # Handled before the crash, the same key gives the answer that was stored.
            terminal.print(dispatch.take(event, name=NAME) if answers is None else answers, said=event.text)
    store.close()
