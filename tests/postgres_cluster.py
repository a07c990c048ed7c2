"""A throw-away PostgreSQL cluster on loopback, and a fresh database in it for each test that asks."""

import os
import pwd
import shutil
import socket
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from functools import cache
from itertools import count
from pathlib import Path
from typing import TypedDict

import psycopg

from core.storage.upgrades import migrate

DEBIANS_PLACE = Path("/usr/lib/postgresql")
"""Where Debian keeps the server's programs, one folder a version, off the PATH."""

SUPERUSER = "rackside"

START_TRIES = 5
"""A port that was free may be taken before the server has it; then another is tried. [tries]"""

SETTINGS = {
    "listen_addresses": "127.0.0.1",
    "shared_buffers": "32MB",
    "max_connections": "60",
    # The server itself is never killed here, so nothing it acknowledged hangs on the disk; that is what takes time.
    "fsync": "off",
    "full_page_writes": "off",
    "autovacuum": "off",
    "logging_collector": "off",
}


@cache
def programs() -> Path | None:
    """Folder with the server's programs: the one that the PATH names, else the newest that Debian installed."""
    found: list[Path] = []
    for name in ("postgres", "initdb"):
        there = shutil.which(name)
        if there is not None:
            found.append(Path(there).resolve().parent)
    installed = [folder for folder in DEBIANS_PLACE.glob("*/bin") if folder.parent.name.isdigit()]
    found += sorted(installed, key=lambda folder: int(folder.parent.name), reverse=True)
    return next((each for each in found if (each / "initdb").is_file() and (each / "postgres").is_file()), None)


@cache
def version() -> str:
    """Major version of the server's programs; empty without any."""
    folder = programs()
    if folder is None:
        return ""
    told = subprocess.run([folder / "postgres", "--version"], capture_output=True, text=True, check=True).stdout
    return told.split()[2].split(".")[0]


class Cluster:
    """A running cluster.

    Args:
        folder: Its files; empty, and of the user that the server runs as.
        programs: Folder with the server's programs.

    """

    def __init__(self, folder: Path, *, programs: Path) -> None:
        self._programs = programs
        self._data = folder / "data"
        self._log = folder / "log"
        self._sockets = folder
        self._numbers = count(1)
        self._template: str | None = None
        self._run(
            "initdb",
            f"--pgdata={self._data}",
            f"--username={SUPERUSER}",
            "--auth=trust",
            "--encoding=UTF8",
            # Not C: text must be in code point order because its columns say so, not because the database does.
            "--locale=C.UTF-8",
            "--no-sync",
        )
        self.port = self._started()

    @property
    def empty_database(self) -> str:
        """URL of a new database without tables."""
        name = f"test_{next(self._numbers)}"
        self._order(f"CREATE DATABASE {name}")
        return self.url(name)

    @property
    def database(self) -> str:
        """URL of a new database with the tables of the newest revision, copied from one that was migrated once."""
        if self._template is None:
            self._order("CREATE DATABASE migrated")
            migrate(self.url("migrated"))
            self._template = "migrated"
        name = f"test_{next(self._numbers)}"
        self._order(f"CREATE DATABASE {name} TEMPLATE {self._template}")
        return self.url(name)

    def drop(self, url: str) -> None:
        """Drop a database, whoever is still connected to it."""
        self._order(f"DROP DATABASE {url.rpartition('/')[2]} WITH (FORCE)")

    def url(self, database: str) -> str:
        """URL of a database of this cluster."""
        return f"postgresql://{SUPERUSER}@127.0.0.1:{self.port}/{database}"

    def stop(self) -> None:
        """Stop the server; connections are cut."""
        with suppress(subprocess.CalledProcessError):
            self._run("pg_ctl", "stop", f"--pgdata={self._data}", "--mode=immediate", "--wait")

    def _started(self) -> int:
        for _ in range(START_TRIES):
            port = _free_port()
            settings = {**SETTINGS, "port": str(port), "unix_socket_directories": str(self._sockets)}
            options = " ".join(f"-c {name}={value}" for name, value in settings.items())
            with suppress(subprocess.CalledProcessError):
                self._run(
                    "pg_ctl", "start", f"--pgdata={self._data}", f"--log={self._log}", f"--options={options}", "--wait"
                )
                return port
        told = self._log.read_text(errors="replace") if self._log.exists() else ""
        raise RuntimeError(f"PostgreSQL does not start:\n{told[-2000:]}")

    def _order(self, command: str) -> None:
        with psycopg.connect(self.url("postgres"), autocommit=True) as connection:
            connection.execute(command.encode())

    def _run(self, name: str, *arguments: str) -> None:
        # A server that keeps our output open would keep us waiting for its end.
        subprocess.run(
            [self._programs / name, *arguments],
            check=True,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            cwd=self._sockets,
            **_as_whom(),
        )


@contextmanager
def running_cluster() -> Iterator[Cluster]:
    """A cluster that is stopped and deleted at the end.

    Raises:
        RuntimeError: There are no server programs, or the server does not start.

    """
    folder = programs()
    if folder is None:
        raise RuntimeError("no PostgreSQL server programs found")
    # Not below pytest's own folder, which another user cannot enter.
    place = Path(tempfile.mkdtemp(prefix="rackside-postgres-"))
    try:
        whom = _unprivileged()
        if whom is not None:
            os.chown(place, whom.pw_uid, whom.pw_gid)
        cluster = Cluster(place, programs=folder)
        try:
            yield cluster
        finally:
            cluster.stop()
    finally:
        shutil.rmtree(place, ignore_errors=True)


class _Whom(TypedDict, total=False):
    user: int
    group: int
    extra_groups: list[int]


def _as_whom() -> _Whom:
    whom = _unprivileged()
    return {} if whom is None else {"user": whom.pw_uid, "group": whom.pw_gid, "extra_groups": []}


def _unprivileged() -> pwd.struct_passwd | None:
    """The user that the server runs as where we are root, which it refuses to be; None where we are not."""
    if os.geteuid() != 0:
        return None
    for name in ("postgres", "nobody"):
        with suppress(KeyError):
            return pwd.getpwnam(name)
    raise RuntimeError("PostgreSQL does not run as root, and there is neither a user postgres nor nobody")


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port
