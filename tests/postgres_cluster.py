"""A throw-away PostgreSQL cluster on loopback, and databases in it for the tests that ask."""

import os
import pwd
import shutil
import signal
import socket
import stat
import subprocess
import tempfile
from collections import deque
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from functools import cache
from itertools import count
from pathlib import Path
from threading import Thread
from typing import TypedDict

import psycopg

from core.storage.tables import metadata
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
    # Errors are what many tests are about; the server need not write them down.
    "log_min_messages": "log",
    "lc_messages": "C",
}


DURABLE = {"fsync": "on", "full_page_writes": "on"}
"""Settings of a cluster that is measured."""


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
        durable: Commits reach the disk.

    """

    def __init__(self, folder: Path, *, programs: Path, durable: bool = False) -> None:
        self._programs = programs
        self._folder = folder
        self._durable = DURABLE if durable else {}
        self._numbers = count(1)
        self._told: deque[str] = deque(maxlen=100)
        subprocess.run(
            [
                programs / "initdb",
                f"--pgdata={folder / 'data'}",
                f"--username={SUPERUSER}",
                "--auth=trust",
                "--encoding=UTF8",
                "--no-locale",
                "--no-sync",
            ],
            check=True,
            stdout=subprocess.DEVNULL,
            cwd=folder,
            **_as_whom(),
        )
        self.port, self._server = self._started()
        self._migrated: str | None = None
        self._shared: str | None = None

    @property
    def empty_database(self) -> str:
        """URL of a new database without tables."""
        return self._new("template0")

    @property
    def own_database(self) -> str:
        """URL of a new database with all tables, for a test that does to it what others would not survive."""
        if self._migrated is None:
            # Nobody connects to it again, so it can be copied at any time.
            self._migrated = self.empty_database
            migrate(self._migrated)
        return self._new(self._migrated.rpartition("/")[2])

    @property
    def database(self) -> str:
        """URL of the database with all tables that tests share one after the other, each leaving it empty."""
        if self._shared is None:
            self._shared = self.own_database
        return self._shared

    def empty(self, url: str) -> None:
        """Delete every row of every table; it takes a tenth of what a new copy of the database takes."""
        with psycopg.connect(url, autocommit=True) as connection:
            for table in reversed(metadata.sorted_tables):
                connection.execute(str(table.delete()).encode())

    def drop(self, url: str) -> None:
        """Drop a database, whoever is still connected to it."""
        self._order(f"DROP DATABASE {url.rpartition('/')[2]} WITH (FORCE)")

    def stop(self) -> None:
        """Stop the server; connections are cut."""
        self._server.send_signal(signal.SIGQUIT)
        self._server.wait(timeout=60)
        self._listener.join(timeout=60)
        if self._server.stderr is not None:
            self._server.stderr.close()

    def _new(self, template: str) -> str:
        name = f"test_{next(self._numbers)}"
        order = f"CREATE DATABASE {name} TEMPLATE {template}"
        try:
            # A language's order of words, as most servers have it: ours must be by code point all the same.
            self._order(f"{order} LOCALE_PROVIDER icu ICU_LOCALE 'en-US'")
        except psycopg.Error:
            # A server older than 15, or built without ICU.
            self._order(order)
        return self._url(name)

    def _url(self, database: str) -> str:
        return f"postgresql://{SUPERUSER}@127.0.0.1:{self.port}/{database}"

    def _order(self, command: str) -> None:
        with psycopg.connect(self._url("postgres"), autocommit=True) as connection:
            connection.execute(command.encode())

    def _started(self) -> tuple[int, "subprocess.Popen[str]"]:
        for _ in range(START_TRIES):
            port = _free_port()
            settings = {**SETTINGS, **self._durable, "port": str(port), "unix_socket_directories": str(self._folder)}
            server = subprocess.Popen(
                [
                    self._programs / "postgres",
                    "-D",
                    self._folder / "data",
                    *[word for name, value in settings.items() for word in ("-c", f"{name}={value}")],
                ],
                stdout=subprocess.DEVNULL,
                stderr=subprocess.PIPE,
                text=True,
                errors="replace",
                cwd=self._folder,
                **_as_whom(),
            )
            if self._is_ready(server):
                self._listener = Thread(target=self._listen, args=(server,), daemon=True)
                self._listener.start()
                return port, server
            server.communicate(timeout=60)
        raise RuntimeError(f"PostgreSQL does not start:\n{''.join(self._told)}")

    def _is_ready(self, server: "subprocess.Popen[str]") -> bool:
        for line in server.stderr or ():
            self._told.append(line)
            if "ready to accept connections" in line:
                return True
        return False

    def _listen(self, server: "subprocess.Popen[str]") -> None:
        # A server whose words nobody reads would stop in the middle of one.
        for line in server.stderr or ():
            self._told.append(line)


@contextmanager
def running_cluster(*, durable: bool = False) -> Iterator[Cluster]:
    """A cluster that is stopped and deleted at the end.

    Args:
        durable: Commits reach the disk, for measuring; else they reach the system, which outlives the server.

    Raises:
        RuntimeError: There are no server programs, or the server does not start.

    """
    folder = programs()
    if folder is None:
        raise RuntimeError("no PostgreSQL server programs found")
    place = Path(tempfile.mkdtemp(prefix="rackside-postgres-", dir=_enterable()))
    try:
        whom = _unprivileged()
        if whom is not None:
            os.chown(place, whom.pw_uid, whom.pw_gid)
        cluster = Cluster(place, programs=folder, durable=durable)
        try:
            yield cluster
        finally:
            cluster.stop()
    finally:
        shutil.rmtree(place, ignore_errors=True)


def _enterable() -> Path:
    """A folder for passing files that the server's user may enter; pytest's own, and root's, they may not."""
    for folder in (Path(tempfile.gettempdir()), Path("/var/tmp")):  # noqa: S108 - mkdtemp makes one inside
        every = (folder.resolve(), *folder.resolve().parents)
        if os.geteuid() != 0 or all(each.stat().st_mode & stat.S_IXOTH for each in every):
            return folder
    raise RuntimeError("there is no folder for passing files that another user may enter")


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


def until_somebody_waits(url: str) -> None:
    """Return once a statement waits for a lock in a database."""
    with closing(psycopg.connect(url, autocommit=True)) as other:
        for _ in range(100_000):
            waiting = other.execute(
                "SELECT count(*) FROM pg_stat_activity WHERE datname = current_database() AND wait_event_type = 'Lock'"
            ).fetchone()
            if waiting != (0,):
                return
    raise TimeoutError("nobody waits")


def cut_all(url: str) -> None:
    """End every other connection to a database, as a server that restarts does."""
    with closing(psycopg.connect(url, autocommit=True)) as other:
        other.execute(
            "SELECT pg_terminate_backend(pid) FROM pg_stat_activity "
            "WHERE datname = current_database() AND pid <> pg_backend_pid()"
        )
