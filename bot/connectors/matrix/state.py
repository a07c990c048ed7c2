"""The state folder: who the bot is logged in as, its keys, and how far it has read, for its owner alone."""

import fcntl
import json
import os
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from bot.connectors.matrix.json_values import Json, object_in, text_in

REMEMBERED = timedelta(days=60)
"""How long it is remembered who wrote which message; of an older one the homeserver is asked."""

PARKED = timedelta(days=7)
"""How long the key of a message that cannot be read is waited for."""

MOST_PARKED = 1_000
"""Messages that wait for their key at most; of more, the oldest are let go."""

TABLES = """
CREATE TABLE IF NOT EXISTS marks (name TEXT PRIMARY KEY, value TEXT NOT NULL);
CREATE TABLE IF NOT EXISTS heard (
    event TEXT PRIMARY KEY, sender TEXT NOT NULL, message_key TEXT NOT NULL, at REAL NOT NULL
);
CREATE TABLE IF NOT EXISTS parked (
    event TEXT PRIMARY KEY, room TEXT NOT NULL, sender TEXT NOT NULL, source TEXT NOT NULL,
    at REAL NOT NULL, told INTEGER NOT NULL DEFAULT 0
);
CREATE TABLE IF NOT EXISTS asked (
    event TEXT PRIMARY KEY, person TEXT NOT NULL, question TEXT NOT NULL, options INTEGER NOT NULL, at REAL NOT NULL
);
CREATE TABLE IF NOT EXISTS rooms (person TEXT PRIMARY KEY, room TEXT NOT NULL, thread TEXT NOT NULL);
CREATE TABLE IF NOT EXISTS tries (
    txn TEXT PRIMARY KEY, room TEXT NOT NULL, device TEXT NOT NULL, at REAL NOT NULL
);
CREATE INDEX IF NOT EXISTS tries_in_room ON tries (room, device);
"""


class StateTaken(Exception):  # noqa: N818 - it names what is the case
    """Another process uses this state folder."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Credentials:
    """Who the bot is logged in as.

    Args:
        homeserver: Address of the homeserver.
        user: Full id.
        device: Id of the device.
        token: What proves it; never shown.

    """

    homeserver: str
    user: str
    device: str
    token: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Parked:
    """A message that could not be read yet.

    Args:
        event: Its id.
        room: Where it was written.
        sender: Who wrote it.
        source: The encrypted event.
        at: When it was received; aware.

    """

    event: str
    room: str
    sender: str
    source: Json
    at: datetime


@dataclass(frozen=True, slots=True)
class Question:
    """A question that was sent as an event: whom it asks, its id, and how many options it has."""

    person: str
    id: str
    options: int


class State:
    """What one bot account keeps beside the store.

    Args:
        folder: Where; made for its owner alone.

    Raises:
        StateTaken: Another process has it.

    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        folder.chmod(0o700)
        self._held: int | None = os.open(folder / "lock", os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600)
        try:
            fcntl.flock(self._held, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError as taken:
            os.close(self._held)
            raise StateTaken(f"another process uses {folder}: stop it first") from taken
        self.crypto.mkdir(mode=0o700, exist_ok=True)
        path = folder / "connector.db"
        path.touch(mode=0o600)
        self._base = sqlite3.connect(path, isolation_level=None)
        # What a power cut takes with it is read and said again, and then known by its event key.
        self._base.executescript("PRAGMA journal_mode=WAL; PRAGMA synchronous=NORMAL;" + TABLES)

    @property
    def crypto(self) -> Path:
        """The folder of the keys."""
        return self.folder / "crypto"

    def close(self) -> None:
        """Let go of the files, and let others have them."""
        self._base.close()
        if self._held is not None:
            os.close(self._held)
            self._held = None

    # --- Who the bot is

    def credentials(self) -> Credentials | None:
        """Who the bot is logged in as; None before it ever was."""
        told = self._file("credentials.json")
        if told is None:
            return None
        return Credentials(
            homeserver=text_in(told, "homeserver"),
            user=text_in(told, "user"),
            device=text_in(told, "device"),
            token=text_in(told, "token"),
        )

    def log_in(self, credentials: Credentials) -> None:
        """Keep who the bot is logged in as."""
        self._write("credentials.json", json.dumps(asdict(credentials)))

    def seeds(self) -> tuple[bytes, bytes, bytes] | None:
        """Seeds of the keys that sign the bot's devices: master, self-signing, user-signing; None before there are any."""
        told = self._file("signing.json")
        if told is None:
            return None
        master, own, users = (bytes.fromhex(text_in(told, name)) for name in ("master", "self_signing", "user_signing"))
        return master, own, users

    def keep_seeds(self, seeds: tuple[bytes, bytes, bytes]) -> None:
        """Keep the seeds of the keys that sign the bot's devices."""
        names = ("master", "self_signing", "user_signing")
        self._write("signing.json", json.dumps({name: seed.hex() for name, seed in zip(names, seeds, strict=True)}))

    def has_keys(self, credentials: Credentials) -> bool:
        """Whether the keys of this device are here."""
        return (self.crypto / key_file(credentials)).exists()

    # --- How far it has read

    def mark(self, name: str) -> str | None:
        """A mark by its name."""
        found = self._base.execute("SELECT value FROM marks WHERE name = ?", (name,)).fetchone()
        return None if found is None else str(found[0])

    def set_mark(self, name: str, value: str) -> None:
        """Set a mark."""
        self._base.execute("INSERT OR REPLACE INTO marks VALUES (?, ?)", (name, value))

    def drop_mark(self, name: str) -> None:
        """Take a mark away."""
        self._base.execute("DELETE FROM marks WHERE name = ?", (name,))

    # --- What was heard

    def hear(self, event: str, *, sender: str, message_key: str, at: datetime) -> None:
        """Remember who wrote a message, and its key."""
        row = (event, sender, message_key, at.timestamp())
        self._base.execute("INSERT OR IGNORE INTO heard VALUES (?, ?, ?, ?)", row)

    def heard(self, event: str) -> tuple[str, str] | None:
        """Who wrote a message, and its key."""
        found = self._base.execute("SELECT sender, message_key FROM heard WHERE event = ?", (event,)).fetchone()
        return None if found is None else (str(found[0]), str(found[1]))

    def park(self, parked: Parked) -> None:
        """Keep a message that cannot be read until its key comes."""
        row = (parked.event, parked.room, parked.sender, json.dumps(parked.source), parked.at.timestamp())
        with self._together():
            self._base.execute(
                "INSERT OR IGNORE INTO parked (event, room, sender, source, at) VALUES (?, ?, ?, ?, ?)", row
            )
            self._base.execute(
                "DELETE FROM parked WHERE event NOT IN (SELECT event FROM parked ORDER BY at DESC LIMIT ?)",
                (MOST_PARKED,),
            )

    def parked(self, *, untold_before: datetime | None = None) -> Sequence[Parked]:
        """Messages that wait for their key, oldest first; only those untold and from before an instant, if one is told."""
        if untold_before is None:
            found = self._base.execute("SELECT event, room, sender, source, at FROM parked ORDER BY at, rowid")
        else:
            found = self._base.execute(
                "SELECT event, room, sender, source, at FROM parked WHERE NOT told AND at <= ? ORDER BY at, rowid",
                (untold_before.timestamp(),),
            )
        return [
            Parked(
                event=event, room=room, sender=sender, source=json.loads(source), at=datetime.fromtimestamp(at, tz=UTC)
            )
            for event, room, sender, source, at in found.fetchall()
        ]

    def told(self, events: Sequence[str]) -> None:
        """Note that the lifter was told of messages that cannot be read."""
        self._base.executemany("UPDATE parked SET told = 1 WHERE event = ?", [(each,) for each in events])

    def unpark(self, event: str) -> None:
        """A message was read after all, or is no more."""
        self._base.execute("DELETE FROM parked WHERE event = ?", (event,))

    # --- Where to answer

    def answer_in(self, person: str, *, room: str, thread: str) -> None:
        """Take this as the room, and the thread in it, where a person is answered."""
        self._base.execute("INSERT OR REPLACE INTO rooms VALUES (?, ?, ?)", (person, room, thread))

    def room_of(self, person: str) -> tuple[str, str] | None:
        """The room and the thread where a person is answered."""
        found = self._base.execute("SELECT room, thread FROM rooms WHERE person = ?", (person,)).fetchone()
        return None if found is None else (str(found[0]), str(found[1]))

    # --- What was sent

    def ask(self, event: str, question: Question, *, at: datetime) -> None:
        """Remember which question an event asks."""
        row = (event, question.person, question.id, question.options, at.timestamp())
        self._base.execute("INSERT OR REPLACE INTO asked VALUES (?, ?, ?, ?, ?)", row)

    def asked(self, event: str) -> Question | None:
        """The question that an event asks."""
        found = self._base.execute("SELECT person, question, options FROM asked WHERE event = ?", (event,)).fetchone()
        return None if found is None else Question(*found)

    def first_try(self, txn: str, *, room: str, device: str, at: datetime) -> tuple[str, datetime] | None:
        """Note that a message is about to be sent; returned: the device and instant of its first try, if there was one."""
        found = self._base.execute("SELECT device, at FROM tries WHERE txn = ?", (txn,)).fetchone()
        self._base.execute("INSERT OR IGNORE INTO tries VALUES (?, ?, ?, ?)", (txn, room, device, at.timestamp()))
        return None if found is None else (str(found[0]), datetime.fromtimestamp(found[1], tz=UTC))

    def has_sent(self, *, room: str, device: str) -> bool:
        """Whether a device has ever sent something to a room."""
        query = "SELECT 1 FROM tries WHERE room = ? AND device = ? LIMIT 1"
        return self._base.execute(query, (room, device)).fetchone() is not None

    def forget_before(self, now: datetime) -> None:
        """Let go of what nobody will ask for any more."""
        before, parked = (now - REMEMBERED).timestamp(), (now - PARKED).timestamp()
        with self._together():
            for table in ("heard", "asked", "tries"):
                self._base.execute(f"DELETE FROM {table} WHERE at < ?", (before,))  # noqa: S608 - names from above
            self._base.execute("DELETE FROM parked WHERE at < ?", (parked,))

    @contextmanager
    def _together(self) -> Iterator[None]:
        self._base.execute("BEGIN IMMEDIATE")
        try:
            yield
        except BaseException:
            self._base.execute("ROLLBACK")
            raise
        self._base.execute("COMMIT")

    def _file(self, name: str) -> Json:
        try:
            told: Json = json.loads((self.folder / name).read_text(encoding="utf-8"))
        except (FileNotFoundError, ValueError):
            return None
        return object_in(told) or None

    def _write(self, name: str, text: str) -> None:
        # Whole or not at all: a login cut in two would be a device lost.
        new = self.folder / f"{name}.new"
        opened = os.open(new, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
        with os.fdopen(opened, "w", encoding="utf-8") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        new.replace(self.folder / name)


def key_file(credentials: Credentials) -> str:
    """Name of the file with a device's keys."""
    return f"{credentials.device}.db"
