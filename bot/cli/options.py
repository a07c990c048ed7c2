"""Options that every command takes, and what they open: the store, the clock, the lifter."""

import secrets
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from getpass import getuser
from io import TextIOWrapper
from pathlib import Path
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import click
from tzlocal import get_localzone_name

from bot.connectors.terminal import CONNECTOR
from bot.rendering.replies import House
from bot.settings import Settings, default_db
from core.application.ports import Store, StoreUnavailable, UnitOfWork
from core.application.rows import (
    InboxRow,
    MessageKind,
)
from core.application.turn import Turn
from core.domain.profile import Address, Lifter
from core.storage.unit_of_work import open_store

DB_HELP = "URL of the store: sqlite:///path or postgresql://..."

STEP = timedelta(seconds=1)
"""How far a clock that stands still goes on with each line of a pipe."""


class Stopped(click.ClickException):
    """Something other than wrong use went wrong: exit code 1."""

    exit_code = 1


def options(command: Callable[..., None]) -> Callable[..., None]:  # type: ignore[explicit-any]  # click's own shape
    """The options that every command takes, behind its name too."""
    for option in (
        click.option("--clock", help="ISO time to begin at; without a zone, the lifter's local time."),
        click.option("--as", "name", help="Who writes."),
        click.option("--db", help=DB_HELP),
    ):
        command = option(command)
    return click.pass_context(command)


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.option("--db", help=DB_HELP)
@click.option("--as", "name", help="Who writes.")
@click.option("--clock", help="ISO time to begin at; without a zone, the lifter's local time.")
@click.pass_context
def program(context: click.Context, db: str | None, name: str | None, clock: str | None) -> None:
    """A training companion in a chat: text a set, get the next decision."""
    context.obj = (db, name, clock)
    for stream in (sys.stdin, sys.stdout, sys.stderr):
        # What is typed or piped may hold any bytes; none of them may end the program.
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(encoding="utf-8", errors="replace")


class RunningClock:
    """A clock that begins at a told time: it runs at wall speed, or stands and steps."""

    def __init__(self, start: datetime, *, stands: bool) -> None:
        self.start = start
        self.stands = stands
        self.begun = datetime.now(UTC)

    def __call__(self) -> datetime:
        """The instant, in UTC."""
        return self.start if self.stands else self.start + (datetime.now(UTC) - self.begun)

    def step(self) -> None:
        """Go on by a second, where the clock stands."""
        if self.stands:
            self.start += STEP


def local_zone() -> str:
    """IANA name of this machine's time zone; UTC where it has none."""
    try:
        name = get_localzone_name()
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return "UTC"
    return name or "UTC"


def run_word() -> str:
    """A word for this run's event keys; later runs sort after earlier ones."""
    return f"{int(datetime.now(UTC).timestamp() * 1000):014d}{secrets.token_hex(3)}"


def house(place: str) -> House:
    """Who runs this bot, from the settings."""
    settings = Settings()
    return House(
        operator=settings.operator,
        contact=settings.contact,
        place=place,
        privacy=settings.privacy,
        text_days=settings.text_days,
    )


@contextmanager
def opened(url: str) -> Iterator[tuple[Store, str]]:
    """An open store, and where it lies in words.

    Raises:
        Stopped: the store can't be opened.

    """
    try:
        if url.startswith("sqlite:///"):
            Path(url.removeprefix("sqlite:///")).parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        store = open_store(url)
    except (StoreUnavailable, ValueError, OSError) as wrong:
        raise Stopped(str(wrong)) from wrong
    try:
        yield store, f"in {url}" if url.startswith("sqlite:///") else "in a database"
    except StoreUnavailable as wrong:
        raise Stopped(f"the store can't be used now, nothing is lost: {wrong}") from wrong
    finally:
        store.close()


@contextmanager
def looked(store: Store, name: str, clock: str | None) -> Iterator[Turn]:
    """A turn that only looks at what is stored of a lifter.

    Raises:
        Stopped: nobody of that name has written.

    """
    with store.read() as work:
        lifter = _found(work, name)
        now = instant(clock, lifter.zone) if clock else datetime.now(UTC)
        row = InboxRow(
            address=Address(CONNECTOR, name),
            event_key="",
            kind=MessageKind.ARRIVED,
            message_key="",
            text=None,
            sent_at=now,
            received_at=now,
        )
        yield Turn(work=work, lifter=lifter, row=row, now=now, token=str)


def _found(work: UnitOfWork, name: str) -> Lifter:
    for connector in (CONNECTOR, "replay"):
        lifter = work.lifters.at_address(Address(connector, name))
        if lifter is not None:
            return lifter
    found = work.lifters.find(name)
    if not found:
        raise Stopped(f"{name}: nobody of that name has written yet")
    return found[0]


def told(context: click.Context, db: str | None, name: str | None, clock: str | None) -> tuple[str, str, str | None]:
    """What was told behind the command, before it, by the environment or by nobody: store, lifter, clock."""
    first_db, first_name, first_clock = context.obj
    clock = clock or first_clock
    if clock is not None:
        instant(clock, "UTC")
    return (
        db or first_db or Settings().db or default_db(),
        name or first_name or _login(),
        clock,
    )


def _login() -> str:
    try:
        return getuser()
    except (OSError, KeyError, ImportError):
        return "lifter"


def instant(clock: str, zone: str) -> datetime:
    """The instant of an ISO time; one without a zone is local time in this zone.

    Raises:
        BadParameter: it is no ISO time.

    """
    try:
        at = datetime.fromisoformat(clock)
    except ValueError as wrong:
        raise click.BadParameter(f"{clock!r} is not an ISO time", param_hint="--clock") from wrong
    if at.tzinfo is None:
        at = at.replace(tzinfo=ZoneInfo(zone))
    return at.astimezone(UTC)


def running_clock(clock: str | None, zone: str, *, stands: bool) -> RunningClock:
    """The clock that `--clock` asks for; the wall's without it."""
    if clock is None:
        return RunningClock(datetime.now(UTC), stands=False)
    return RunningClock(instant(clock, zone), stands=stands)
