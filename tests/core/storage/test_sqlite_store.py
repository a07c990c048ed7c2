"""The store on SQLite: one writer, shared commits, refusals of the engine, and the files on the disk."""

import sqlite3
import stat
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path
from threading import Event

import pytest

from core.application.ports import StoreBusy, StoreFull, UnitOfWork
from core.storage.locations import InMemory, OnDisk
from core.storage.sqlite_files import connect
from core.storage.sqlite_store import MOST_TOGETHER, SqliteStore
from core.storage.unit_of_work import open_store
from tests.core.storage.rows import NOW, TOVE, answer, arrived, done, new_lifter

WAIT_S = 60


class Watched:
    """A store with what it does noted down, and a gate that holds its writer."""

    def __init__(self, location: InMemory | OnDisk, *, pauses_s: tuple[float, ...] = ()) -> None:
        self.points: list[str] = []
        self.paused_s: list[float] = []
        self.before_pause: Callable[[], None] = lambda: None
        self.connection = connect(location, writes=True)
        self.store = SqliteStore(
            location,
            observer=self.points.append,
            pauses_s=pauses_s,
            pause=self._pause,
            connection=self.connection,
        )
        self._go = Event()

    @property
    def commits(self) -> int:
        """Commits so far."""
        return self.points.count("after commit")

    def hold(self) -> None:
        """Keep the writer busy, so that works pile up behind."""
        held = Event()

        def wait(_work: UnitOfWork) -> None:
            held.set()
            self._go.wait(WAIT_S)

        self.store.submit(wait)
        held.wait(WAIT_S)

    def let_go(self) -> None:
        """Let the writer go on."""
        self._go.set()

    def _pause(self, length_s: float) -> None:
        self.paused_s.append(length_s)
        self.before_pause()


@pytest.fixture
def watched() -> Iterator[Watched]:
    """A watched store in memory."""
    watched = Watched(InMemory())
    yield watched
    watched.let_go()
    watched.store.close()


# Order and commits


def test_live_work_goes_before_due_work_and_each_in_its_order(watched: Watched) -> None:
    ran: list[str] = []
    watched.hold()
    kinds = [("due 1", False), ("live 1", True), ("due 2", False), ("live 2", True)]
    works = [watched.store.submit(_note(ran, name), live=live) for name, live in kinds]

    watched.let_go()
    for each in works:
        each.result(WAIT_S)

    assert ran == ["live 1", "live 2", "due 1", "due 2"]


def test_works_that_wait_share_a_commit_of_bounded_size(tmp_path: Path) -> None:
    # The group is bounded by time as well, so that only its largest size can be told beforehand.
    watched = Watched(OnDisk(tmp_path / "rackside.db"))
    watched.hold()
    works = [watched.store.submit(_receive(str(number))) for number in range(3 * MOST_TOGETHER)]
    before = watched.commits

    watched.let_go()
    for each in works:
        each.result(WAIT_S)
    watched.store.close()

    assert before == 0
    assert 3 <= watched.commits < len(works)


def test_a_work_that_raises_takes_nothing_from_those_it_shares_a_commit_with(watched: Watched) -> None:
    def fails(work: UnitOfWork) -> None:
        work.inbox.receive([arrived("lost")])
        raise LookupError("a fault")

    watched.hold()
    first = watched.store.submit(_receive("first"))
    fault = watched.store.submit(fails)
    last = watched.store.submit(_receive("last"))

    watched.let_go()

    assert isinstance(fault.exception(WAIT_S), LookupError)
    assert (first.result(WAIT_S), last.result(WAIT_S)) == (1, 1)
    with watched.store.read() as work:
        kept = [key for key in ("first", "lost", "last") if work.inbox.by_key("terminal", key)]
    assert kept == ["first", "last"]


def test_no_answer_comes_before_the_commit_that_it_is_in(tmp_path: Path) -> None:
    path = tmp_path / "rackside.db"
    seen: list[int] = []
    store = open_store(f"sqlite:///{path}")
    with closing(sqlite3.connect(path, check_same_thread=False)) as other:

        def look(_answer: object) -> None:
            # Called by the writer as soon as the answer is there; another connection sees only what is committed.
            seen.append(other.execute("SELECT count(*) FROM messages").fetchone()[0])

        store.submit(_receive("e1")).add_done_callback(look)
        store.close()

    assert seen == [1]


# Refusals


def test_a_database_locked_for_a_while_is_waited_for(tmp_path: Path) -> None:
    path = tmp_path / "rackside.db"
    watched = Watched(OnDisk(path), pauses_s=(0.1, 0.2))
    watched.store.submit(_hurry(watched)).result(WAIT_S)
    with closing(connect(OnDisk(path), writes=True)) as other:
        other.execute("BEGIN IMMEDIATE")
        watched.before_pause = lambda: _roll_back(other)

        received = watched.store.submit(_receive("e1")).result(WAIT_S)

    watched.store.close()
    assert received == 1
    assert watched.paused_s == [0.1]


def test_a_database_locked_for_good_is_told_as_busy_and_the_work_can_be_handed_in_again(tmp_path: Path) -> None:
    path = tmp_path / "rackside.db"
    watched = Watched(OnDisk(path), pauses_s=(0.1, 0.2))
    watched.store.submit(_hurry(watched)).result(WAIT_S)
    with closing(connect(OnDisk(path), writes=True)) as other:
        other.execute("BEGIN IMMEDIATE")

        first = watched.store.submit(_receive("e1")).exception(WAIT_S)
        after_first = list(watched.paused_s)
        second = watched.store.submit(_receive("e1")).exception(WAIT_S)
        other.execute("ROLLBACK")
        third = watched.store.submit(_receive("e1")).result(WAIT_S)

    watched.store.close()
    assert isinstance(first, StoreBusy)
    assert isinstance(second, StoreBusy)
    assert third == 1
    assert after_first == [0.1, 0.2]
    # While everything is refused each work is tried, but only the first is waited with.
    assert watched.paused_s == after_first


def test_a_full_disk_is_told_as_full_and_spoils_no_small_work(tmp_path: Path) -> None:
    watched = Watched(OnDisk(tmp_path / "rackside.db"), pauses_s=(0.1,))
    pages = watched.store.submit(_most_pages(watched)).result(WAIT_S)
    watched.hold()
    small = watched.store.submit(_receive("small"))
    large = watched.store.submit(_receive("large", text="x" * 4096 * 40))
    last = watched.store.submit(_receive("last"))

    watched.let_go()

    assert pages > 0
    assert isinstance(large.exception(WAIT_S), StoreFull)
    assert (small.result(WAIT_S), last.result(WAIT_S)) == (1, 1)
    with watched.store.read() as work:
        kept = [key for key in ("small", "large", "last") if work.inbox.by_key("terminal", key)]
    watched.store.close()
    assert kept == ["small", "last"]
    assert watched.paused_s == [0.1]


def test_a_refusal_that_a_work_hides_is_a_refusal_all_the_same(tmp_path: Path) -> None:
    watched = Watched(OnDisk(tmp_path / "rackside.db"))
    watched.store.submit(_most_pages(watched)).result(WAIT_S)

    def hides(work: UnitOfWork) -> str:
        work.inbox.receive([arrived("before")])
        try:
            work.inbox.receive([arrived("large", text="x" * 4096 * 40)])
        except sqlite3.Error:
            return "done"
        return "there was room"

    # SQLite may undo the statement alone or everything; either way nothing half done is told as done.
    told = watched.store.submit(hides)
    error = told.exception(WAIT_S)

    with watched.store.read() as work:
        kept = work.inbox.by_key("terminal", "before") is not None
    watched.store.close()
    assert (error is None and told.result() == "done" and kept) or (isinstance(error, StoreFull) and not kept)


# Readers and other processes


def test_a_second_process_may_write_beside_the_first(tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path}/rackside.db"
    first, second = open_store(url), open_store(url)

    new_lifter(first)
    lifter = done(second, lambda work: work.lifters.at_address(TOVE))
    [row] = done(second, lambda work: work.outbox.add([answer()], lifter_id=lifter.id if lifter else None))
    waiting = done(first, lambda work: work.outbox.waiting("terminal", limit=9))
    first.close()
    second.close()

    assert lifter is not None
    assert list(waiting) == [row]


def test_a_reader_does_not_hold_up_the_writer_nor_the_writer_the_reader(tmp_path: Path) -> None:
    store = open_store(f"sqlite:///{tmp_path}/rackside.db")

    with store.read() as first:
        assert first.lifters.at_address(TOVE) is None
        new_lifter(store)
        with store.read() as second:
            assert second.lifters.at_address(TOVE) is not None
        assert first.lifters.at_address(TOVE) is None

    store.close()


def test_what_was_erased_leaves_the_log_once_the_last_reader_is_gone(tmp_path: Path) -> None:
    path = tmp_path / "rackside.db"
    store = open_store(f"sqlite:///{path}")
    done(store, _receive("e1", text="zqx"))
    log = path.with_name("rackside.db-wal")

    with store.read() as work:
        assert work.inbox.by_key("terminal", "e1") is not None
        done(store, lambda work: work.inbox.erase_text("terminal", "m-e1"))
        held = b"zqx" in log.read_bytes()
    done(store, _receive("e2"))
    after = b"zqx" in log.read_bytes() or b"zqx" in path.read_bytes()
    store.close()

    assert held
    assert not after


# The files


def test_a_new_database_and_its_folder_are_their_owners_alone(tmp_path: Path) -> None:
    path = tmp_path / "data" / "rackside" / "rackside.db"

    store = open_store(f"sqlite:///{path}")
    new_lifter(store)
    files = {each.name: stat.S_IMODE(each.stat().st_mode) for each in path.parent.iterdir()}
    folders = [stat.S_IMODE(each.stat().st_mode) for each in (path.parent, path.parent.parent)]
    store.close()

    assert files == {"rackside.db": 0o600, "rackside.db-wal": 0o600, "rackside.db-shm": 0o600}
    assert folders == [0o700, 0o700]


def test_a_folder_that_was_there_keeps_its_mode(tmp_path: Path) -> None:
    folder = tmp_path / "shared"
    folder.mkdir(mode=0o755)

    open_store(f"sqlite:///{folder}/rackside.db").close()

    assert stat.S_IMODE(folder.stat().st_mode) == 0o755


@pytest.mark.parametrize(
    ("pragma", "value"),
    [("journal_mode", "wal"), ("synchronous", 2), ("foreign_keys", 1), ("secure_delete", 1)],
)
def test_the_writer_keeps_what_it_acknowledges(tmp_path: Path, pragma: str, value: str | int) -> None:
    # The numbers are SQLite's own (PRAGMA synchronous: 2 is FULL).
    with closing(connect(OnDisk(tmp_path / "rackside.db"), writes=True)) as connection:
        assert connection.execute(f"PRAGMA {pragma}").fetchone() == (value,)


def test_a_stores_databases_in_memory_are_its_own() -> None:
    first, second = open_store("sqlite://"), open_store("sqlite://")

    new_lifter(first)
    found = done(second, lambda work: work.lifters.find("Tove"))
    first.close()
    second.close()

    assert list(found) == []


def _note(ran: list[str], name: str) -> Callable[[UnitOfWork], None]:
    return lambda _work: ran.append(name)


def _receive(key: str, *, text: str = "bench 80x5") -> Callable[[UnitOfWork], int]:
    return lambda work: len(work.inbox.receive([arrived(key, text=text, at=NOW)]))


def _hurry(watched: Watched) -> Callable[[UnitOfWork], None]:
    """Wait no time inside the engine: the pauses are what is tested."""

    def hurry(_work: UnitOfWork) -> None:
        watched.connection.execute("PRAGMA busy_timeout = 0")

    return hurry


def _most_pages(watched: Watched) -> Callable[[UnitOfWork], int]:
    """Let the file grow by a few pages only, as on a disk that is nearly full."""

    def limit(_work: UnitOfWork) -> int:
        [(pages,)] = watched.connection.execute("PRAGMA page_count").fetchall()
        watched.connection.execute(f"PRAGMA max_page_count = {pages + 6}")
        return int(pages)

    return limit


def _roll_back(connection: sqlite3.Connection) -> None:
    if connection.in_transaction:
        connection.execute("ROLLBACK")
