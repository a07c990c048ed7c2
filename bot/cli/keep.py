"""Commands that keep the store: migrate, backup, export."""

import json
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import click

from bot.cli.options import Stopped, looked, opened, options, program, told
from bot.rendering.json_data import as_object
from core.application.ports import StoreUnavailable
from core.application.turn import Turn
from core.storage.sqlite_files import backup as copied
from core.storage.upgrades import migrate as migrated

LAST_WEEK = 10_000
"""A week that no plan comes to. [weeks]"""


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
    """Print everything that is kept of a lifter's training, as JSON: one line for the lifter, then one for each thing kept."""
    url, who, when = told(context, db, name, clock)
    with opened(url) as (store, _), looked(store, who, when) as turn:
        for kind, value in _kept(turn):
            click.echo(json.dumps({kind: as_object(value)}, ensure_ascii=False))


def _kept(turn: Turn) -> Iterator[tuple[str, object]]:
    """All that is kept of a lifter, each with the word for what it is."""
    work, lifter_id = turn.work, turn.lifter.id
    yield "lifter", turn.lifter
    yield "setup", turn.setup
    yield "reminders", work.reminders.of(lifter_id)
    yield from (("exercise", each) for each in work.exercises.all(lifter_id))
    sets = work.sets.between(lifter_id, date.min, date.max)
    for number in dict.fromkeys(each.session_id for each in sets):
        if (session := work.sessions.by_id(lifter_id, number)) is not None:
            yield "session", session
    yield from (("set", each) for each in sets)
    if (plan := work.plans.last(lifter_id)) is not None:
        yield "plan", plan
        yield from (("planned_day", each) for each in work.plans.days(plan.id, first=0, last=LAST_WEEK))
    yield from (("check_in", each) for each in work.check_ins.since(lifter_id, date.min))
    yield from (("advice", each) for each in work.advice.since(lifter_id, date.min))
