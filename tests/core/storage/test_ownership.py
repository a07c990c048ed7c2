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
from tests.postgres_cluster import Cluster

OWNER = """
import sys
from core.storage.ownership import claim_owner
with claim_owner(sys.argv[1]):
    print("owned", flush=True)
    sys.stdin.read()
"""


def test_a_second_owner_is_refused_until_the_first_is_done(shared: str) -> None:
    with claim_owner(shared) as first:
        held = first.holds()
        with pytest.raises(AlreadyOwned, match="another process serves"), claim_owner(shared):
            pass

    with claim_owner(shared) as again:
        assert again.holds()
    assert held


def test_another_process_holds_it_until_it_is_killed(shared: str) -> None:
    with subprocess.Popen(
        [sys.executable, "-c", OWNER, shared], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as owner:
        assert owner.stdout is not None
        owner.stdout.readline()

        with pytest.raises(AlreadyOwned), claim_owner(shared):
            pass
        owner.send_signal(signal.SIGKILL)
        owner.wait()
        if shared.startswith("postgresql"):
            _wait_until_gone(shared)

    with claim_owner(shared) as claim:
        assert claim.holds()


def test_each_role_has_its_own_owner(shared: str) -> None:
    with claim_owner(shared, role="telegram") as one, claim_owner(shared, role="matrix") as other:
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
def test_an_owner_whose_connection_is_cut_knows_that_it_owns_nothing(cluster: Cluster) -> None:
    with claim_owner(cluster.database) as claim:
        held = claim.holds()
        with psycopg.connect(cluster.database, autocommit=True) as other:
            other.execute("SELECT pg_terminate_backend(pid) FROM pg_locks WHERE locktype = 'advisory'")

        assert not claim.holds()
    assert held


def _wait_until_gone(url: str) -> None:
    # The server notices the end of a client by itself, soon after; asking for the lock waits for just that.
    with psycopg.connect(url, autocommit=True) as other:
        [(key,)] = other.execute(
            "SELECT (classid::bigint << 32) | objid::bigint FROM pg_locks WHERE locktype = 'advisory' "
            "UNION ALL SELECT 0 LIMIT 1"
        ).fetchall()
        if key:
            other.execute("SELECT pg_advisory_lock(%s)", [key])
            other.execute("SELECT pg_advisory_unlock(%s)", [key])
