"""Killed at any point, over and over: what was acknowledged is there, and nothing is there twice."""

import signal
from collections import Counter
from itertools import cycle
from multiprocessing import get_context
from pathlib import Path

from core.application.rows import MessageState
from core.storage.unit_of_work import open_store
from tests.core.storage.crash import ADDRESSES, MESSAGES, main, messages

CUTS = [
    ("before commit", 1),
    ("received", 1),
    ("after commit", 1),
    ("received", 6),
    ("before commit", 8),
    ("after commit", 10),
]
"""Where a process ends, and at which time that it comes there; taken in turn until everything is done."""

ALONE = 8
"""How many times as often PostgreSQL commits, where messages in flight do not share a commit."""

MOST_RUNS = 60


def test_nothing_acknowledged_is_lost_and_nothing_counts_twice(shared: str, tmp_path: Path) -> None:
    acknowledgements = tmp_path / "acknowledged"
    ends: Counter[int] = Counter()
    for _, (point, times) in zip(range(MOST_RUNS), cycle(CUTS), strict=False):
        alone = ALONE if times > 1 and shared.startswith("postgresql") else 1
        ended = _run(shared, acknowledgements, point, times * alone)
        ends[ended] += 1
        _check(shared, acknowledgements, f"{point}, {times}")
        if ended == 0:
            break

    assert set(ends) == {0, -signal.SIGKILL}
    assert ends[-signal.SIGKILL] >= len(CUTS)
    _check_all(shared)


def _run(url: str, acknowledgements: Path, point: str, times: int) -> int:
    # A server that has loaded the program already forks each process; loading takes far longer than what is tested.
    processes = get_context("forkserver")
    processes.set_forkserver_preload([main.__module__])
    process = processes.Process(target=main, args=(url, acknowledgements, point, times))
    process.start()
    process.join()
    ended = process.exitcode
    process.close()
    assert ended is not None
    return ended


def _check(url: str, acknowledgements: Path, after: str) -> None:
    """After each end: everything acknowledged is there, and no set is there twice."""
    told = acknowledgements.read_text().splitlines() if acknowledgements.exists() else []
    store = open_store(url)
    with store.read() as work:
        for line in told:
            kind, key = line.split()
            row = work.inbox.by_key("terminal", key)
            assert row is not None, (after, line)
            if kind == "handled":
                assert row.state is MessageState.HANDLED, (after, line)
                assert len(work.outbox.answers_to(row.id)) == 1, (after, line)
        roots = Counter(
            each.root_key
            for address in ADDRESSES
            if (lifter := work.lifters.at_address(address)) is not None
            for each in work.sets.of_exercises(lifter.id, ["bench press"])
        )
    store.close()
    handled = {line.split()[1].replace("e", "m") for line in told if line.startswith("handled")}
    assert handled <= set(roots), after
    assert set(roots.values()) <= {1}, after


def _check_all(url: str) -> None:
    store = open_store(url)
    with store.read() as work:
        rows = [work.inbox.by_key("terminal", row.event_key) for row in messages()]
        answers = [len(work.outbox.answers_to(row.id)) for row in rows if row is not None]
        sets = [
            each.root_key
            for address in ADDRESSES
            if (lifter := work.lifters.at_address(address)) is not None
            for each in work.sets.of_exercises(lifter.id, ["bench press"])
        ]
        waiting = work.inbox.waiting(limit=9)
    store.close()
    assert answers == [1] * MESSAGES
    assert sorted(sets) == sorted(row.message_key for row in messages())
    assert list(waiting) == []
