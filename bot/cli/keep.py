"""Commands that keep the store: migrate, backup, export."""

import json
from datetime import date
from pathlib import Path

import click

from bot.cli.options import Stopped, looked, opened, options, program, told
from bot.rendering.json_data import as_object
from core.application.ports import StoreUnavailable
from core.storage.sqlite_files import backup as copied
from core.storage.upgrades import migrate as migrated


@program.command()
@options
def migrate(context: click.Context, db: str | None, name: str | None, clock: str | None) -> None:
    """Bring the database's tables up to date; PostgreSQL needs it once a release, SQLite does it at the start."""
    url, _, _ = told(context, db, name, clock)
    try:
        migrated(url)
    except (StoreUnavailable, ValueError, OSError) as wrong:
        raise Stopped(str(wrong)) from wrong
    click.echo("the tables are up to date")


@program.command()
@click.argument("target", type=click.Path(dir_okay=False, path_type=Path))
@options
def backup(context: click.Context, target: Path, db: str | None, name: str | None, clock: str | None) -> None:
    """Copy a SQLite database to TARGET while it is in use; PostgreSQL has pg_dump for that."""
    url, _, _ = told(context, db, name, clock)
    if target.exists():
        raise Stopped(f"{target} is there already; name another file")
    try:
        copied(url, target)
    except (StoreUnavailable, ValueError, OSError) as wrong:
        raise Stopped(str(wrong)) from wrong
    click.echo(f"copied to {target}")


@program.command()
@options
def export(context: click.Context, db: str | None, name: str | None, clock: str | None) -> None:
    """Print everything that is kept of a lifter's training: one JSON line for the lifter, then one a set, check-in and advice."""
    url, who, when = told(context, db, name, clock)
    with opened(url) as (store, _), looked(store, who, when) as turn:
        click.echo(json.dumps({"lifter": as_object(turn.lifter)}, ensure_ascii=False))
        for each in turn.work.sets.between(turn.lifter.id, date.min, date.max):
            click.echo(json.dumps({"set": as_object(each)}, ensure_ascii=False))
        for check_in in turn.work.check_ins.since(turn.lifter.id, date.min):
            click.echo(json.dumps({"check_in": as_object(check_in)}, ensure_ascii=False))
        for given in turn.work.advice.since(turn.lifter.id, date.min):
            click.echo(json.dumps({"advice": as_object(given)}, ensure_ascii=False))
