"""A bot on Matrix that kills itself at a named point: the entry point of the crash tests, and of nothing else."""

import asyncio
import os
import signal
from datetime import timedelta
from pathlib import Path

from bot.connectors.matrix.state import State
from core.storage.unit_of_work import open_store
from tests.bot.connectors.matrix.running import Bot


def talk(url: str, user: str, folder: Path, *, point: str) -> None:
    """Run a bot until it passes a point, and die there.

    Args:
        url: The homeserver.
        user: The bot's account.
        folder: Its log and its state.
        point: Where to die.

    """

    def observer(passed: str) -> None:
        if passed == point:
            os.kill(os.getpid(), signal.SIGKILL)

    store = open_store(f"sqlite:///{folder / 'rackside.db'}", observer=observer)
    bot = Bot(url, user, store, State(folder / "matrix"), grace=timedelta(minutes=1), observer=observer)
    asyncio.run(bot.run())
