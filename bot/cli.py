"""Command line: every command of the program, its options and its exit codes."""

import json
import secrets
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from getpass import getuser
from pathlib import Path
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import click
from tzlocal import get_localzone_name

from bot.connectors.replay import StandingClock, play
from bot.connectors.script import ScriptError, described
from bot.connectors.terminal import CONNECTOR, Terminal, answer_object, is_terminal
from bot.dispatch import Dispatch
from bot.logs import to_stderr
from bot.rendering.readings import reading_object
from bot.rendering.replies import House, text
from bot.rendering.stored import max_object, week_object
from bot.settings import Settings, data_folder, default_db
from core.application import review
from core.application.ports import InboxRow, MessageKind, Store, StoreUnavailable, UnitOfWork
from core.application.turn import Turn
from core.domain.profile import Address, Lifter
from core.domain.replies import Nothing, NothingThere
from core.notation.messages import Context, read
from core.notation.words import catalogue_names, names_with
from core.storage.unit_of_work import open_store

DB_HELP = "URL of the store: sqlite:///path or postgresql://..."

STEP = timedelta(seconds=1)
"""How far a clock that stands still goes on with each line of a pipe."""


class Stopped(click.ClickException):
    """Something other than wrong use went wrong: exit code 1."""

    exit_code = 1


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.option("--db", help=DB_HELP)
@click.option("--as", "name", help="Who writes.")
@click.option("--clock", help="ISO time to begin at; without a zone, the lifter's local time.")
@click.pass_context
def program(context: click.Context, db: str | None, name: str | None, clock: str | None) -> None:
    """A training companion in a chat: text a set, get the next decision."""
    context.obj = (db, name, clock)


def options(command: Callable[..., None]) -> Callable[..., None]:  # type: ignore[explicit-any]  # click's own shape
    """The options that every command takes, behind its name too."""
    for option in (
        click.option("--clock", help="ISO time to begin at; without a zone, the lifter's local time."),
        click.option("--as", "name", help="Who writes."),
        click.option("--db", help=DB_HELP),
    ):
        command = option(command)
    return click.pass_context(command)


@program.command()
@click.option("--json", "as_json", is_flag=True, help="One JSON object an answer.")
@options
def chat(context: click.Context, db: str | None, name: str | None, clock: str | None, *, as_json: bool) -> None:
    """Talk in this terminal, or one message a line through a pipe."""
    db, name, clock = _told(context, db, name, clock)
    to_stderr()
    zone = local_zone()
    typed = is_terminal()
    running = _clock(clock, zone, stands=not typed)
    with opened(db) as (store, place):
        dispatch = Dispatch(store, clock=running, house=house(place), zone=zone, with_data=as_json)
        terminal = Terminal(dispatch, name=name, clock=running, run=run_word(), as_json=as_json, out=sys.stdout)
        if typed:
            terminal.prompt(data_folder() / "typed")
        else:
            terminal.lines(sys.stdin, step=running.step)


@program.command("read")
@click.argument("words")
@click.option("--json", "as_json", is_flag=True, help="One JSON line a text.")
@options
def read_command(
    context: click.Context, words: str, db: str | None, name: str | None, clock: str | None, *, as_json: bool
) -> None:
    """Only read WORDS (`-`: one text a line) and tell the reading."""
    _told(context, db, name, clock)
    plain = Context(names=catalogue_names())
    sources = (line.rstrip("\r\n") for line in sys.stdin) if words == "-" else iter([words])
    for source in sources:
        found = reading_object(source, read(source, plain))
        if as_json:
            click.echo(json.dumps(found, ensure_ascii=True))
        else:
            click.echo(f"{found['kind']}: {found['command'] or found['problem'] or '; '.join(found['choices'])}")
        sys.stdout.flush()


@program.command()
@click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="One JSON line an answer.")
@options
def replay(
    context: click.Context, file: Path, db: str | None, name: str | None, clock: str | None, *, as_json: bool
) -> None:
    """Play the conversation in FILE; the store is thrown away unless --db is told."""
    told_db = db or context.obj[0]
    db, name, clock = _told(context, db, name, clock)
    zone = local_zone()
    start = _instant(clock, zone) if clock else datetime(2027, 1, 4, 18, 0, tzinfo=ZoneInfo(zone))
    standing = StandingClock(zone=zone, local=start.astimezone(ZoneInfo(zone)).replace(tzinfo=None))
    with opened(told_db or "sqlite://") as (store, place):
        dispatch = Dispatch(store, clock=standing, house=house(place), zone=zone, with_data=as_json)
        try:
            for played in play(file.read_text(encoding="utf-8"), dispatch, clock=standing, name=name):
                said = described(played.step)
                if said is not None and not as_json:
                    click.echo(f"{name}> {said}")
                for answer in played.answers:
                    if as_json:
                        click.echo(json.dumps(answer_object(answer, at=standing(), said=said), ensure_ascii=False))
                    else:
                        click.echo(answer.message.text)
        except ScriptError as wrong:
            raise Stopped(f"{file}: {wrong}") from wrong
        except UnicodeDecodeError as wrong:
            raise Stopped(f"{file}: not a text in UTF-8") from wrong


@program.command("max")
@click.argument("exercise")
@click.option("--json", "as_json", is_flag=True, help="One JSON object.")
@options
def max_command(
    context: click.Context, exercise: str, db: str | None, name: str | None, clock: str | None, *, as_json: bool
) -> None:
    """Tell the estimated maximum of EXERCISE from the store."""
    db, name, clock = _told(context, db, name, clock)
    with opened(db) as (store, _), looked(store, name, clock) as turn:
        found = names_with(turn.own_exercises().values()).named(exercise)
        if found is None:
            raise Stopped(f"{exercise}: no such exercise")
        told = review.max_told(turn, found.name)
        if as_json:
            click.echo(json.dumps(max_object(found.name, turn.unit, told, zone=turn.lifter.zone)))
        else:
            click.echo(text(told or NothingThere(Nothing.NO_ESTIMATE, found.name), house=House()))


@program.command()
@click.option("--json", "as_json", is_flag=True, help="One JSON object.")
@options
def week(context: click.Context, db: str | None, name: str | None, clock: str | None, *, as_json: bool) -> None:
    """Tell the week's hard sets from the store."""
    db, name, clock = _told(context, db, name, clock)
    with opened(db) as (store, _), looked(store, name, clock) as turn:
        told = review.week_told(turn, turn.today)
        click.echo(json.dumps(week_object(told)) if as_json else text(told, house=House()))


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
    return House(operator=settings.operator, contact=settings.contact, place=place, text_days=settings.text_days)


@contextmanager
def opened(url: str) -> Iterator[tuple[Store, str]]:
    """An open store, and where it lies in words.

    Raises:
        Stopped: the store can't be opened.

    """
    if url.startswith("sqlite:///"):
        Path(url.removeprefix("sqlite:///")).parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    try:
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
        now = _instant(clock, lifter.zone) if clock else datetime.now(UTC)
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


def _told(context: click.Context, db: str | None, name: str | None, clock: str | None) -> tuple[str, str, str | None]:
    first_db, first_name, first_clock = context.obj
    clock = clock or first_clock
    if clock is not None:
        _instant(clock, "UTC")
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


def _instant(clock: str, zone: str) -> datetime:
    try:
        at = datetime.fromisoformat(clock)
    except ValueError as wrong:
        raise click.BadParameter(f"{clock!r} is not an ISO time", param_hint="--clock") from wrong
    if at.tzinfo is None:
        at = at.replace(tzinfo=ZoneInfo(zone))
    return at.astimezone(UTC)


def _clock(clock: str | None, zone: str, *, stands: bool) -> RunningClock:
    if clock is None:
        return RunningClock(datetime.now(UTC), stands=False)
    return RunningClock(_instant(clock, zone), stands=stands)
