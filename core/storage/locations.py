"""Locations: where a database is, read from its URL."""

from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path

import sqlalchemy as sa


@dataclass(frozen=True, slots=True)
class InMemory:
    """A SQLite database in memory, gone when its store is closed."""

    @property
    def told(self) -> str:
        """The location as it is told to an operator."""
        return "sqlite://"


@dataclass(frozen=True, slots=True)
class OnDisk:
    """A SQLite database in a file."""

    path: Path

    @property
    def told(self) -> str:
        """The location as it is told to an operator."""
        return f"sqlite:///{self.path}"


@dataclass(frozen=True, slots=True)
class OnServer:
    """A PostgreSQL database.

    Args:
        url: With the password; never shown.

    """

    url: sa.URL

    @property
    def told(self) -> str:
        """The location as it is told to an operator, without the password."""
        return self.url.set(drivername="postgresql").render_as_string(hide_password=True)


Location = InMemory | OnDisk | OnServer


def location_of(url: str) -> Location:
    """Where the database of a URL is.

    Args:
        url: `sqlite:///path`, `sqlite://` (in memory), `postgresql://...` or `postgresql+psycopg://...`.

    Raises:
        ValueError: The URL names no engine that the store runs on, or its driver is missing. The message does not
            repeat the URL, which may hold a password.

    >>> location_of("sqlite:///rackside.db")
    OnDisk(path=PosixPath('rackside.db'))

    """
    try:
        parsed = sa.make_url(url)
    except sa.exc.ArgumentError:
        raise ValueError("not the URL of a database; try: sqlite:///rackside.db") from None
    if parsed.drivername in {"sqlite", "sqlite+pysqlite"}:
        if parsed.query or parsed.host:
            raise ValueError("a SQLite database is named by its path alone; try: sqlite:///rackside.db")
        return InMemory() if parsed.database in {None, "", ":memory:"} else OnDisk(Path(parsed.database or ""))
    if parsed.drivername in {"postgresql", "postgres", "postgresql+psycopg"}:
        if find_spec("psycopg") is None:
            raise ValueError("PostgreSQL needs its driver; try: pip install 'rackside[postgres]'")
        return OnServer(parsed.set(drivername="postgresql+psycopg"))
    raise ValueError(f"no store runs on {parsed.drivername}; there are sqlite and postgresql")
