"""The command that serves: chat platforms, the clock, and messages that wait, until it is told to stop."""

import asyncio
import logging
import signal
from collections.abc import Awaitable, Callable, Iterator
from contextlib import AbstractContextManager, contextmanager, nullcontext
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import click

from bot.cli.options import Stopped, house, opened, options, program, running_clock, told
from bot.cli.platforms import platforms, server_of
from bot.delivery.connector import Connector
from bot.delivery.firing import Firing
from bot.dispatch import Dispatch
from bot.loading import loading
from bot.logs import logger, to_stderr
from bot.settings import Settings
from core.application.ports import StoreUnavailable
from core.storage.ownership import AlreadyOwned, Ownership, claim_owner
from core.storage.sqlite_files import backup

if TYPE_CHECKING:
    from bot.health import Server

BACKUPS = ".backups"
"""Behind the name of a SQLite file: the folder of its nightly copies."""


@program.command()
@options
def serve(context: click.Context, db: str | None, name: str | None, clock: str | None) -> None:
    """Serve the chat platforms that are set up, and the clock, until stopped (SIGTERM, Ctrl-C)."""
    with loading():
        from bot.scheduler.nights import housekeeping
        from bot.scheduler.service import Service

    url, _, clock = told(context, db, name, clock)
    to_stderr(logging.INFO)
    settings = Settings()
    with _alone(url), opened(url) as (store, place):
        dispatch = Dispatch(store, clock=running_clock(clock, "UTC", stands=False), house=house(place))
        with loading():
            served = platforms(dispatch, settings)
        if not served.connectors:
            logger.info("no chat platform is set up: the clock and messages that wait are served")
        service = Service(
            dispatch,
            Firing(dispatch),
            served.connectors,
            claiming=claiming(url),
            housekeeping=lambda: housekeeping(
                dispatch, text_days=settings.text_days, backup=_backup_of(url, settings.backup_days, dispatch)
            ),
        )
        server = server_of(dispatch, served, settings.listen)
        asyncio.run(until_told(service.run if server is None else beside(server, settings.listen, service.run)))
    logger.info("stopped")


def beside(
    server: "Server", listen: str, run: Callable[[asyncio.Event], Awaitable[None]]
) -> Callable[[asyncio.Event], Awaitable[None]]:
    """Run something with a server beside it, which closes first: what it lets in then comes again."""

    async def both(stopping: asyncio.Event) -> None:
        host, _, port = listen.rpartition(":")
        try:
            await server.start(host, int(port))
        except OSError as wrong:
            raise Stopped(f"nobody can listen at {listen}: {wrong.strerror}") from wrong
        logger.info("health and pushes at %s", listen)
        running = asyncio.ensure_future(run(stopping))
        try:
            await asyncio.wait({running, asyncio.ensure_future(stopping.wait())}, return_when=asyncio.FIRST_COMPLETED)
            await server.stop()
            await running
        finally:
            await server.stop()

    return both


def claiming(url: str) -> Callable[[Connector], AbstractContextManager[Ownership]]:
    """Claims connectors of a database: on PostgreSQL each by itself, on SQLite all with the file."""
    if url.startswith("sqlite"):
        return lambda _connector: nullcontext(_Ours())
    return lambda connector: claim_owner(url, role=f"serve {connector.name}")


async def until_told(run: Callable[[asyncio.Event], Awaitable[None]]) -> None:
    """Run something that stops when this process is asked to end."""
    stopping = asyncio.Event()
    loop = asyncio.get_running_loop()
    for asked in (signal.SIGTERM, signal.SIGINT):
        loop.add_signal_handler(asked, stopping.set)
    await run(stopping)


class _Ours:
    def holds(self) -> bool:
        return True


@contextmanager
def _alone(url: str) -> Iterator[None]:
    """Hold a SQLite database for this process; a PostgreSQL one is shared, connector by connector."""
    if not url.startswith("sqlite"):
        yield
        return
    try:
        with claim_owner(url):
            yield
    except AlreadyOwned as held:
        raise Stopped(f"{held}; end that one first, or name another database with --db") from held
    except (StoreUnavailable, ValueError, OSError) as wrong:
        raise Stopped(str(wrong)) from wrong


def _backup_of(url: str, days: int, dispatch: Dispatch) -> Callable[[], Awaitable[None]] | None:
    """What copies a SQLite file each night, and drops copies that are too old."""
    path = url.removeprefix("sqlite:///")
    if not days or path == url:
        return None
    file = Path(path)

    async def copied() -> None:
        today = dispatch.clock().date()
        await asyncio.to_thread(kept_copies, url, file.with_name(file.name + BACKUPS), today=today, days=days)

    return copied


def kept_copies(url: str, folder: Path, *, today: date, days: int) -> None:
    """Copy a SQLite database into a folder under the day's name, and drop the copies older than some days."""
    folder.mkdir(mode=0o700, exist_ok=True)
    backup(url, folder / f"{today.isoformat()}.db")
    oldest = today - timedelta(days=days)
    for copy in folder.glob("????-??-??.db"):
        if copy.stem < oldest.isoformat():
            copy.unlink()
