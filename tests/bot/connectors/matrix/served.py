"""`rackside serve` in a process of its own, with Matrix, and whatever else it is told to serve."""

import asyncio
import os
import signal
from collections.abc import AsyncIterator, Mapping
from contextlib import asynccontextmanager
from multiprocessing import get_context
from pathlib import Path

from tests.homeserver import NAME, PASSWORD

STOPPING_S = 60.0
"""Longest time that a serving process may take to stop. [s]"""

PROCESSES = get_context("forkserver")
"""Starts them from a process that has everything imported: a dozen starts cost the time of one."""

PROCESSES.set_forkserver_preload(
    [
        "tests.bot.connectors.matrix.served",
        "tests.bot.connectors.matrix.victim",
        "bot.cli.serve",
        "bot.connectors.matrix.opening",
        "bot.connectors.telegram.opening",
        "bot.scheduler.service",
    ]
)


def settings_in(folder: Path, *, user: str, url: str) -> dict[str, str]:
    """Settings of a bot on Matrix whose files are in a folder."""
    (folder / "password").write_text(PASSWORD + "\n", encoding="utf-8")
    return {
        "RACKSIDE_DB": f"sqlite:///{folder / 'rackside.db'}",
        "RACKSIDE_MATRIX_HOMESERVER": url,
        "RACKSIDE_MATRIX_USER": user,
        "RACKSIDE_MATRIX_PASSWORD_FILE": str(folder / "password"),
        "RACKSIDE_MATRIX_ALLOWED": NAME,
        "RACKSIDE_MATRIX_STATE": str(folder / "matrix"),
    }


def serve(settings: Mapping[str, str], log: Path) -> None:
    """Run `rackside serve`; what it says goes to a file."""
    from bot.cli import program

    out = os.open(log, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)
    os.dup2(out, 1)
    os.dup2(out, 2)
    os.environ.update(settings)
    program(["serve"], prog_name="rackside")


class Served:
    """A serving process.

    Args:
        settings: Its settings.
        log: File for what it says.

    """

    def __init__(self, settings: Mapping[str, str], log: Path) -> None:
        self.log = log
        self._process = PROCESSES.Process(target=serve, args=(dict(settings), log), daemon=True)
        self._process.start()

    def kill(self) -> None:
        """Kill it, and wait until it is no more."""
        self._process.kill()
        self._process.join(STOPPING_S)

    async def stop(self) -> int | None:
        """Ask it to stop; its exit code."""
        assert self._process.pid is not None
        os.kill(self._process.pid, signal.SIGTERM)
        return await self.ended()

    async def ended(self) -> int | None:
        """Wait until it ends; its exit code."""
        await asyncio.to_thread(self._process.join, STOPPING_S)
        return self._process.exitcode

    @property
    def said(self) -> str:
        """What it said, in all its lives."""
        return self.log.read_text(encoding="utf-8")


@asynccontextmanager
async def serving(settings: Mapping[str, str], log: Path) -> AsyncIterator[Served]:
    """A serving process that is gone at the end."""
    served = Served(settings, log)
    try:
        yield served
    finally:
        served.kill()
