"""Crashes: killed anywhere on the way of a message, every acknowledged set is there, and none twice."""

import json
import signal
import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest

from core.storage.unit_of_work import open_store
from tests.bot.crash_victim import ADDRESS, MESSAGES, load_of, text_of

ROOT = Path(__file__).parents[2]

POINTS = ("received", "before commit", "after commit", "before sending", "after sending")

KILLS_A_POINT = 2

MOST_BETWEEN = 26
"""Passes of a point between two kills. [passes] Ten kills of some twenty messages each: 200 messages in all."""


def run(url: str, first: int, *, way: str, point: str, pass_number: int) -> tuple[int, set[str]]:
    """Exit code, and the messages that were acknowledged."""
    done = subprocess.run(
        [sys.executable, "-m", "tests.bot.crash_victim", url, str(first), way, point, str(pass_number)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert "Traceback" not in done.stderr
    return done.returncode, {json.loads(line)["in"] for line in done.stdout.splitlines()}


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
    acknowledged: set[str] = set()
    killed = 0

    for kill in range(KILLS_A_POINT * len(POINTS)):
        point = POINTS[kill % len(POINTS)]
        # A message passes the commit points twice or thrice; odd and even numbers end at each of them.
        passes = MOST_BETWEEN + kill if "commit" in point else MOST_BETWEEN // 2 + kill % 3
        code, said = run(url, len(acknowledged), way=way, point=point, pass_number=passes)
        killed += code == -signal.SIGKILL
        acknowledged |= said
        found = stored(url)

        assert acknowledged == {text_of(number) for number in range(len(acknowledged))}
        assert all(found[load_of(number)] == 1 for number in range(len(acknowledged)))
        assert set(found.values()) == {1}
        # One message may be in the log before its answer has left.
        assert len(found) - len(acknowledged) in {0, 1}

    code, said = run(url, len(acknowledged), way=way, point="", pass_number=0)
    acknowledged |= said

    assert killed == KILLS_A_POINT * len(POINTS)
    assert code == 0
    assert len(acknowledged) == MESSAGES
    assert stored(url) == Counter({load_of(number): 1 for number in range(MESSAGES)})
