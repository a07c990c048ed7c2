"""Loading keeps the collector out while it lasts, and what is loaded out of its rounds; these tests put it back."""

import gc
from collections.abc import Iterator

import pytest

from bot.loading import loading


@pytest.fixture(autouse=True)
def collector() -> Iterator[None]:
    """The collector of this process as it was, once a test is over."""
    thresholds = gc.get_threshold()
    yield
    gc.unfreeze()
    gc.set_threshold(*thresholds)


def test_the_collector_rests_while_modules_load_and_works_again_after() -> None:
    before = gc.get_freeze_count()

    with loading():
        assert not gc.isenabled()
        loaded = [[number] for number in range(1_000)]

    assert gc.isenabled()
    assert gc.get_freeze_count() - before >= len(loaded)


def test_a_module_that_is_missing_leaves_the_collector_at_work() -> None:
    with pytest.raises(ImportError), loading():
        raise ImportError("no module of that name")

    assert gc.isenabled()
