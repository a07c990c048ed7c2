"""Commands that talk: chat, read, replay."""

import json
import sys
from collections.abc import Iterable
from datetime import datetime
from io import TextIOWrapper
from pathlib import Path
from zoneinfo import ZoneInfo

import click

from bot.cli.options import Stopped, house, instant, local_zone, opened, options, program, run_word, running_clock, told
from bot.connectors.replay import StandingClock, play
from bot.connectors.script import ScriptError, described
from bot.connectors.terminal import Terminal, answer_object, is_terminal
from bot.dispatch import Dispatch
from bot.logs import to_stderr
from bot.rendering.readings import in_short, reading_object
from bot.settings import data_folder
from core.notation.messages import Context, read
from core.notation.words import catalogue_names


@program.command()
@click.option("--json", "as_json", is_flag=True, help="One JSON object an answer.")
@options
def chat(context: click.Context, db: str | None, name: str | None, clock: str | None, *, as_json: bool) -> None:
    """Talk in this terminal, or one message a line through a pipe."""
    db, name, clock = told(context, db, name, clock)
    to_stderr()
    zone = local_zone()
    typed = is_terminal()
    running = running_clock(clock, zone, stands=not typed)
    with opened(db) as (store, place):
        dispatch = Dispatch(store, clock=running, house=house(place), zone=zone, with_data=as_json)
        terminal = Terminal(
            dispatch,
            name=name,
            clock=running,
            run=run_word(),
            as_json=as_json,
            out=sys.stdout,
            pictures=data_folder() / "pictures" if typed else None,
        )
        if typed:
            terminal.prompt(data_folder() / "typed")
        else:
            terminal.lines(piped(), step=running.step)


@program.command("read")
@click.argument("words")
@click.option("--json", "as_json", is_flag=True, help="One JSON line a text.")
@options
def read_command(
    context: click.Context, words: str, db: str | None, name: str | None, clock: str | None, *, as_json: bool
) -> None:
    """Only read WORDS (`-`: one text a line) and tell the reading."""
    told(context, db, name, clock)
    plain = Context(names=catalogue_names())
    sources = (line.rstrip("\r\n") for line in piped()) if words == "-" else iter([words])
    for source in sources:
        reading = read(source, plain)
        click.echo(json.dumps(reading_object(reading)) if as_json else in_short(reading))
        sys.stdout.flush()


def piped() -> Iterable[str]:
    """Lines from standard input; bytes that are no text come as replacement characters."""
    if isinstance(sys.stdin, TextIOWrapper):
        sys.stdin.reconfigure(encoding="utf-8", errors="replace")
    return sys.stdin


@program.command()
@click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="One JSON line an answer.")
@options
def replay(
    context: click.Context, file: Path, db: str | None, name: str | None, clock: str | None, *, as_json: bool
) -> None:
    """Play the conversation in FILE; the store is thrown away unless --db is told."""
    told_db = db or context.obj[0]
    db, name, clock = told(context, db, name, clock)
    zone = local_zone()
    start = instant(clock, zone) if clock else datetime(2027, 1, 4, 18, 0, tzinfo=ZoneInfo(zone))
    standing = StandingClock(zone=zone, local=start.astimezone(ZoneInfo(zone)).replace(tzinfo=None))
    with opened(told_db or "sqlite://") as (store, place):
        dispatch = Dispatch(store, clock=standing, house=house(place), zone=zone, with_data=as_json)
        try:
            for played in play(file.read_text(encoding="utf-8"), dispatch, clock=standing, name=name):
                said = described(played.step)
                if said is not None and not as_json:
                    click.echo(f"{name}> {said}")
                for answer in played.answers:
                    if answer.message.chart is not None:
                        continue
                    if as_json:
                        made = answer_object(answer, at=standing(), said=said, due=played.due)
                        click.echo(json.dumps(made, ensure_ascii=False))
                    else:
                        click.echo(answer.message.text)
        except ScriptError as wrong:
            raise Stopped(f"{file}: {wrong}") from wrong
        except UnicodeDecodeError as wrong:
            raise Stopped(f"{file}: not a text in UTF-8") from wrong
