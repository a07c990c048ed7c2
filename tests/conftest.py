"""Fixtures: stores on every engine that is there, and a header that says which ones a run had."""

import asyncio
import inspect
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

from core.application.ports import Store
from core.storage.unit_of_work import open_store
from core.storage.upgrades import migrate
from tests import postgres_cluster
from tests.checked_store import checked_postgres_store, checked_store
from tests.postgres_cluster import Cluster

# How long an example takes says how busy the machine is: no test hangs on it.
settings.register_profile("untimed", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("untimed")

LONGEST_WAIT_S = 240
"""After this a test that waits for something to come is one that waits in vain, and is told by its name. [s]"""

NO_SERVER = "no PostgreSQL server programs found"


def pytest_report_header() -> str:
    """Say which engines the tests run on."""
    if postgres_cluster.programs() is None:
        return f"SQLite only: {NO_SERVER}"
    return f"stores: SQLite, PostgreSQL {postgres_cluster.version()}"


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Skip what needs a server where there is none."""
    if postgres_cluster.programs() is not None:
        return
    for item in items:
        if item.get_closest_marker("postgres") is not None:
            item.add_marker(pytest.mark.skip(reason=NO_SERVER))


@pytest.hookimpl(tryfirst=True)
def pytest_pyfunc_call(pyfuncitem: pytest.Function) -> bool | None:
    """Run a test that is a coroutine, in a loop of its own."""
    if not inspect.iscoroutinefunction(pyfuncitem.obj):
        return None
    wanted = inspect.signature(pyfuncitem.obj).parameters

    async def bounded() -> None:
        async with asyncio.timeout(LONGEST_WAIT_S):
            await pyfuncitem.obj(**{name: pyfuncitem.funcargs[name] for name in wanted})

    asyncio.run(bounded())
    return True


@pytest.fixture(scope="session")
def cluster() -> Iterator[Cluster]:
    """A PostgreSQL cluster; one for each process that runs tests, started by the first test that asks."""
    with postgres_cluster.running_cluster() as running:
        yield running


@pytest.fixture(scope="session")
def empty_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A SQLite database with all tables and no rows, to be copied."""
    path = tmp_path_factory.mktemp("store") / "empty.db"
    migrate(f"sqlite:///{path}")
    return path


@pytest.fixture(params=["memory", "disk", pytest.param("postgres", marks=pytest.mark.postgres)])
def database(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """URL of a database with all tables and no rows: SQLite in memory, SQLite on disk, PostgreSQL."""
    yield from _new_database(request, tmp_path)


@pytest.fixture(params=["disk", pytest.param("postgres", marks=pytest.mark.postgres)])
def shared(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """URL of a database that other connections and processes reach, with all tables and no rows."""
    yield from _new_database(request, tmp_path)


@pytest.fixture
def store(database: str) -> Iterator[Store]:
    """An open store, once on each engine; but for SQLite on disk, what it recalls is looked up in the rows, too."""
    if database.startswith("postgresql"):
        opened: Store = checked_postgres_store(database)
    else:
        opened = checked_store() if database == "sqlite://" else open_store(database)
    yield opened
    opened.close()


def _new_database(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    if request.param == "memory":
        yield "sqlite://"
    elif request.param == "disk":
        empty: Path = request.getfixturevalue("empty_file")
        yield f"sqlite:///{shutil.copy(empty, tmp_path / 'rackside.db')}"
    else:
        running: Cluster = request.getfixturevalue("cluster")
        yield running.database
        running.empty(running.database)
