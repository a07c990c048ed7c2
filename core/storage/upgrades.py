"""Upgrades: bring a database to the newest revision, with a copy of a SQLite file made first."""

import sqlite3
from collections.abc import Sequence
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

import sqlalchemy as sa
from sqlalchemy.pool import NullPool, StaticPool

from core.application.ports import StoreBusy, StoreUnavailable
from core.storage.locations import InMemory, Location, OnDisk, OnServer, location_of
from core.storage.sqlite_files import connect, copy
from core.storage.tables import HEAD

if TYPE_CHECKING:
    import psycopg
    from alembic.config import Config
    from psycopg.rows import TupleRow

LOCK = 7249126043185301
"""Number of PostgreSQL's advisory lock that one upgrade at a time holds."""

LOCK_TIMEOUT_S = 10
"""How long an upgrade waits for a table in use; waiting, it would hold up every message behind it. [s]"""


CONNECT_TIMEOUT_S = 5
"""How long a connection for an upgrade may take to open. [s]"""


class SchemaError(StoreUnavailable):
    """The tables are not those that this program works with."""


def migrate(url: str) -> None:
    """Bring the database of a URL to the newest revision; one that is there already is left alone.

    Raises:
        SchemaError: What is there is not a database of this program, or one of a newer one.
        StoreUnavailable: The database cannot be reached, or its tables are in use for too long.

    """
    location = location_of(url)
    match location:
        case OnServer():
            _upgrade_server(location)
        case OnDisk() | InMemory():
            with closing(connect(location, writes=True)) as connection:
                upgrade_sqlite(connection, location)


def upgrade_sqlite(
    connection: sqlite3.Connection,
    location: InMemory | OnDisk,
    *,
    head: str = HEAD,
    versions: Sequence[Path] = (),
) -> None:
    """Bring a SQLite database to the newest revision, after a copy of an older one.

    Foreign keys are off meanwhile: a table is changed by making it anew and dropping the old one, at which every row
    that hangs on it by a cascade would go. They are checked before the commit.

    Args:
        connection: Outside any transaction.
        location: What it is connected to.
        head: The newest revision.
        versions: Further folders of revisions, for tests.

    """
    if _revision_of_sqlite(connection) == head:
        return
    if isinstance(location, InMemory) and _IMAGE:
        connection.deserialize(_IMAGE[0])
        return
    engine = sa.create_engine("sqlite://", creator=lambda: connection, poolclass=StaticPool)
    # SQLAlchemy rolls back when it first sees a connection, so it sees this one before the transaction begins.
    with engine.connect() as through:
        connection.execute("PRAGMA foreign_keys = OFF")
        try:
            with through.begin():
                connection.execute("BEGIN IMMEDIATE")
                _upgrade_in_transaction(connection, through, location, head=head, versions=versions)
        finally:
            connection.execute("PRAGMA foreign_keys = ON")
    if isinstance(location, InMemory):
        _IMAGE.append(connection.serialize())


_IMAGE: list[bytes] = []
"""An empty database in memory after its upgrade: the next ones need no more than a copy of it."""


def _upgrade_in_transaction(
    connection: sqlite3.Connection,
    through: sa.Connection,
    location: InMemory | OnDisk,
    *,
    head: str,
    versions: Sequence[Path],
) -> None:
    # Asked again: another process may have been first.
    revision = _revision_of_sqlite(connection)
    if revision == head:
        return
    _refuse_strange(revision, empty=not _tables_of_sqlite(connection), location=location)
    if revision is not None and isinstance(location, OnDisk):
        copy(location, copy_before(location.path, revision))
    upgrade(through, versions=versions)
    _refuse_broken(connection)
    if not connection.in_transaction:
        raise SchemaError("a revision ended the transaction that it ran in")


def copy_before(path: Path, revision: str) -> Path:
    """Where the copy goes that is made of a SQLite file before its revision is left behind."""
    return path.with_name(f"{path.name}.at-{revision}")


def refuse_outdated(connection: "psycopg.Connection[TupleRow]", location: OnServer) -> None:
    """Raise SchemaError unless a PostgreSQL database is at the newest revision."""
    revision = _revision_of_server(connection)
    if revision == HEAD:
        return
    _refuse_strange(revision, empty=True, location=location)
    have = "has no tables yet" if revision is None else f"is at revision {revision}, not {HEAD}"
    raise SchemaError(f"the database {location.told} {have}; run `rackside migrate` on it once")


def upgrade(connection: sa.Connection, *, versions: Sequence[Path] = (), target: str = "head") -> None:
    """Run the revisions that are missing up to a target, inside the connection's transaction.

    Args:
        connection: The database; the caller commits.
        versions: Further folders of revisions, for tests.
        target: The revision to end at.

    """
    # Loaded here: a database that is up to date starts in half the time without it.
    from alembic import command

    command.upgrade(config_for(connection, versions=versions), target)


def config_for(connection: sa.Connection, *, versions: Sequence[Path] = ()) -> "Config":
    """Alembic's settings for a connection."""
    from alembic.config import Config

    home = Path(__file__).parent / "migrations"
    config = Config(attributes={"connection": connection})
    config.set_main_option("script_location", str(home).replace("%", "%%"))
    config.set_main_option("path_separator", "newline")
    folders = "\n".join(str(folder) for folder in (home / "versions", *versions))
    config.set_main_option("version_locations", folders.replace("%", "%%"))
    return config


def known_revisions() -> frozenset[str]:
    """Revisions that this program can upgrade from."""
    from alembic.config import Config
    from alembic.script import ScriptDirectory

    home = Path(__file__).parent / "migrations"
    config = Config()
    config.set_main_option("script_location", str(home).replace("%", "%%"))
    return frozenset(script.revision for script in ScriptDirectory.from_config(config).walk_revisions())


def _refuse_strange(revision: str | None, *, empty: bool, location: Location) -> None:
    if revision is None:
        if not empty:
            raise SchemaError(f"{location.told} holds the tables of another program; name another file")
    elif revision not in known_revisions():
        raise SchemaError(
            f"{location.told} is at revision {revision}, which a newer rackside made; this one knows up to {HEAD}"
        )


def _refuse_broken(connection: sqlite3.Connection) -> None:
    broken = connection.execute("PRAGMA foreign_key_check").fetchall()
    if broken:
        raise SchemaError(f"the upgrade left rows that hang on nothing: {broken[:5]}")


def _revision_of_sqlite(connection: sqlite3.Connection) -> str | None:
    if "alembic_version" not in _tables_of_sqlite(connection):
        return None
    [found] = connection.execute("SELECT min(version_num) FROM alembic_version").fetchall()
    return None if found[0] is None else str(found[0])


def _tables_of_sqlite(connection: sqlite3.Connection) -> set[str]:
    rows = connection.execute(
        "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite\\_%' ESCAPE '\\'"
    )
    return {str(name) for (name,) in rows.fetchall()}


def _revision_of_server(connection: "psycopg.Connection[TupleRow]") -> str | None:
    [there] = connection.execute("SELECT to_regclass('alembic_version') IS NOT NULL").fetchall()
    if not there[0]:
        return None
    [found] = connection.execute("SELECT min(version_num) FROM alembic_version").fetchall()
    return None if found[0] is None else str(found[0])


def _upgrade_server(location: OnServer) -> None:
    engine = sa.create_engine(location.url, poolclass=NullPool, connect_args={"connect_timeout": CONNECT_TIMEOUT_S})
    try:
        with engine.begin() as connection:
            connection.execute(sa.text("SELECT pg_advisory_xact_lock(:lock)"), {"lock": LOCK})
            connection.execute(sa.text(f"SET LOCAL lock_timeout = '{LOCK_TIMEOUT_S}s'"))
            driver = connection.connection.driver_connection
            revision = None if driver is None else _revision_of_server(driver)
            if revision != HEAD:
                _refuse_strange(revision, empty=not sa.inspect(connection).get_table_names(), location=location)
                upgrade(connection)
    except sa.exc.OperationalError as error:
        # The driver's own words: what SQLAlchemy adds to them is for developers.
        raise StoreBusy(f"the database cannot be upgraded now: {str(error.orig).splitlines()[0]}") from error
    finally:
        engine.dispose()
