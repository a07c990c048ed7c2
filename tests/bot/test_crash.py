"""Crashes: killed anywhere on the way of a message, every acknowledged set is there, and none twice."""

import json
import signal
from collections import Counter
from multiprocessing import get_context
from pathlib import Path

import pytest

from core.storage.unit_of_work import open_store
from tests.bot.crash_victim import ADDRESS, MESSAGES, load_of, text_messages, text_of

POINTS = ("received", "before commit", "after commit", "before sending", "after sending")

KILLS_A_POINT = 2

MOST_BETWEEN = 26
"""Passes of a point between two kills. [passes] Ten kills of some twenty messages each: 200 messages in all."""


PROCESSES = get_context("forkserver")
"""Starts victims from a process that has everything imported: twenty starts cost the time of one."""

PROCESSES.set_forkserver_preload(["tests.bot.crash_victim"])


def run(url: str, first: int, *, way: str, point: str, pass_number: int, said: Path) -> tuple[int | None, set[str]]:
    """Exit code, and the messages that were acknowledged."""
    process = PROCESSES.Process(
        target=text_messages,
        args=(url, first),
        kwargs={"way": way, "point": point, "pass_number": pass_number, "said": said},
    )
    process.start()
    process.join(timeout=60)
    told = said.read_text(encoding="utf-8") if said.exists() else ""
    said.unlink(missing_ok=True)
    return process.exitcode, {json.loads(line)["in"] for line in told.splitlines()}


def stored(url: str) -> Counter[float]:
    """How often each load is in the log."""
    store = open_store(url)
    with store.read() as work:
        lifter = work.lifters.at_address(ADDRESS)
        sets = [] if lifter is None else work.sets.of_exercises(lifter.id, ["bench press"])
        found = Counter(each.load_kg for each in sets)
    store.close()
    return found


@pytest.mark.parametrize("way", ["at once", "in two steps"])
def test_a_process_killed_anywhere_loses_no_acknowledged_set_and_stores_none_twice(way: str, tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path}/rackside.db"
    said_in = tmp_path / "said"
    acknowledged: set[str] = set()
    killed = 0

    for kill in range(KILLS_A_POINT * len(POINTS)):
        point = POINTS[kill % len(POINTS)]
        # A message passes the commit points twice or thrice; odd and even numbers end at each of them.
        passes = MOST_BETWEEN + kill if "commit" in point else MOST_BETWEEN // 2 + kill % 3
        code, said = run(url, len(acknowledged), way=way, point=point, pass_number=passes, said=said_in)
        killed += code == -signal.SIGKILL
        acknowledged |= said
        found = stored(url)

        assert acknowledged == {text_of(number) for number in range(len(acknowledged))}
        assert all(found[load_of(number)] == 1 for number in range(len(acknowledged)))
        assert set(found.values()) == {1}
        # One message may be in the log before its answer has left.
        assert len(found) - len(acknowledged) in {0, 1}

    code, said = run(url, len(acknowledged), way=way, point="", pass_number=0, said=said_in)
    acknowledged |= said

    assert killed == KILLS_A_POINT * len(POINTS)
    assert code == 0
    assert len(acknowledged) == MESSAGES
    assert stored(url) == Counter({load_of(number): 1 for number in range(MESSAGES)})
