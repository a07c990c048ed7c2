"""Fixtures: a real homeserver, which a machine without its environment cannot have."""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests import homeserver
from tests.homeserver import Homeserver, running_homeserver

NOT_BUILT = "the Matrix homeserver was not built (sh deploy/homeserver.sh says why)"


@pytest.fixture(scope="session")
def server() -> Iterator[Homeserver]:
    """A homeserver without limits; one for each process that runs tests, started by the first test that asks."""
    if homeserver.program() is None:
        if os.environ.get("CI"):
            pytest.fail(NOT_BUILT)
        pytest.skip(NOT_BUILT)
    with running_homeserver() as started:
        yield started


@pytest.fixture
def folder(tmp_path: Path, empty_file: Path) -> Path:
    """A folder with an empty log."""
    (tmp_path / "rackside.db").write_bytes(empty_file.read_bytes())
    return tmp_path
