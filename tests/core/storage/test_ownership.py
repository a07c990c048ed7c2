"""Ownership: a second owner is refused, and the end of the first frees it."""

import signal
import subprocess
import sys
from pathlib import Path

import psycopg
import pytest

from core.storage.ownership import AlreadyOwned, claim_owner
from core.storage.unit_of_work import open_store
from tests.core.storage.rows import done, new_lifter

OWNER = """
import sys
from core.storage.ownership import claim_owner
with claim_owner(sys.argv[1]):
    print("owned", flush=True)
    sys.stdin.read()
"""


def test_a_second_owner_is_refused_until_the_first_is_done(database: str) -> None:
    if database == "sqlite://":
        pytest.skip("nobody else can reach a database in memory")
    with claim_owner(database) as first:
        held = first.holds()
        with pytest.raises(AlreadyOwned, match="another process serves"), claim_owner(database):
            pass

    with claim_owner(database) as again:
        assert again.holds()
    assert held


def test_another_process_holds_it_until_it_is_killed(database: str) -> None:
    if database == "sqlite://":
        pytest.skip("nobody else can reach a database in memory")
    with subprocess.Popen(
        [sys.executable, "-c", OWNER, database], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as owner:
        assert owner.stdout is not None
        owner.stdout.readline()

        with pytest.raises(AlreadyOwned), claim_owner(database):
            pass
        owner.send_signal(signal.SIGKILL)
        owner.wait()
        if database.startswith("postgresql"):
            _wait_until_gone(database)

    with claim_owner(database) as claim:
        assert claim.holds()


def test_each_role_has_its_own_owner(database: str) -> None:
    with claim_owner(database, role="telegram") as one, claim_owner(database, role="matrix") as other:
        assert one.holds()
        assert other.holds()


def test_an_owned_database_is_open_to_others(tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path}/rackside.db"

    with claim_owner(url):
        store = open_store(url)
        lifter = new_lifter(store)
        found = done(store, lambda work: work.lifters.find("Tove"))
        store.close()

    assert list(found) == [lifter]


@pytest.mark.postgres
def test_an_owner_whose_connection_is_cut_knows_that_it_owns_nothing(database: str) -> None:
    if not database.startswith("postgresql"):
        pytest.skip("a file's lock is not lost")
    with claim_owner(database) as claim:
        with psycopg.connect(database, autocommit=True) as other:
            other.execute("SELECT pg_terminate_backend(pid) FROM pg_locks WHERE locktype = 'advisory'")

        assert not claim.holds()


def _wait_until_gone(url: str) -> None:
    # The server notices the end of a client by itself, soon after; asking for the lock waits for just that.
    with psycopg.connect(url, autocommit=True) as other:
        [(key,)] = other.execute(
            "SELECT (classid::bigint << 32) | objid::bigint FROM pg_locks WHERE locktype = 'advisory' "
            "UNION ALL SELECT 0 LIMIT 1"
        ).fetchall()
        if key:
            other.execute("SELECT pg_advisory_lock(%s)", [key])
