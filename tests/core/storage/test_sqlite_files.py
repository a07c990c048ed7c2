"""Copies of a SQLite file: whole, alone, their owner's, and made while others write."""

import sqlite3
import stat
from contextlib import closing
from pathlib import Path

import pytest

from core.storage.sqlite_files import backup
from core.storage.unit_of_work import open_store
from tests.core.storage.rows import bench, done, new_lifter, new_session, stored


def test_a_copy_holds_what_was_committed_and_opens_as_a_store(tmp_path: Path) -> None:
    url, target = f"sqlite:///{tmp_path}/rackside.db", tmp_path / "copy.db"
    store = open_store(url)
    lifter = new_lifter(store)
    [one] = stored(store, lifter, bench(new_session(store, lifter)))

    # The writer's changes are still in its log, and it goes on writing.
    backup(url, target)
    stored(store, lifter, bench(new_session(store, lifter), key="later"))
    store.close()

    copied = open_store(f"sqlite:///{target}")
    assert list(done(copied, lambda work: work.sets.of_exercises(lifter.id, ["bench press"]))) == [one]
    copied.close()


def test_a_copy_is_one_file_of_its_owners_alone(tmp_path: Path) -> None:
    url, target = f"sqlite:///{tmp_path}/rackside.db", tmp_path / "copies" / "copy.db"
    open_store(url).close()

    backup(url, target)

    assert [each.name for each in target.parent.iterdir()] == ["copy.db"]
    assert stat.S_IMODE(target.stat().st_mode) == 0o600
    assert stat.S_IMODE(target.parent.stat().st_mode) == 0o700
    with closing(sqlite3.connect(target)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)


def test_a_copy_replaces_an_older_one_and_what_a_broken_one_left(tmp_path: Path) -> None:
    url, target = f"sqlite:///{tmp_path}/rackside.db", tmp_path / "copy.db"
    store = open_store(url)
    backup(url, target)
    new_lifter(store)
    (tmp_path / "copy.db.part").write_text("half a copy")

    backup(url, target)
    store.close()

    with closing(sqlite3.connect(target)) as connection:
        assert connection.execute("SELECT count(*) FROM lifters").fetchone() == (1,)
    assert not (tmp_path / "copy.db.part").exists()


def test_what_is_not_there_is_not_made_by_copying_it(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError, match="no database"):
        backup(f"sqlite:///{tmp_path}/none.db", tmp_path / "copy.db")

    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("url", ["sqlite://", "postgresql://localhost/rackside"])
def test_only_a_file_is_copied(tmp_path: Path, url: str) -> None:
    with pytest.raises(ValueError, match="SQLite database in a file"):
        backup(url, tmp_path / "copy.db")
