"""Loading leaves the collector as it was, and what is loaded out of its rounds."""

import gc

import pytest

from bot.loading import loading


def test_the_collector_rests_while_modules_load_and_works_again_after() -> None:
    before = gc.get_freeze_count()
    try:
        with loading():
            assert not gc.isenabled()
            loaded = [[number] for number in range(1_000)]

        assert gc.isenabled()
        assert gc.get_freeze_count() - before >= len(loaded)
    finally:
        gc.unfreeze()


def test_a_module_that_is_missing_leaves_the_collector_at_work() -> None:
    try:
        with pytest.raises(ImportError), loading():
            raise ImportError("no module of that name")

        assert gc.isenabled()
    finally:
        gc.unfreeze()
