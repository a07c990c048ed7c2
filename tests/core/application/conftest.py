"""Fixtures: chats on a store in memory."""

from collections.abc import Iterator

import pytest

from core.storage.unit_of_work import open_store
from tests.core.application.chats import Chat


@pytest.fixture
def chat() -> Iterator[Chat]:
    opened = open_store("sqlite://")
    yield Chat(opened)
    opened.close()
