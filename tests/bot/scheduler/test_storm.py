"""Storms: processes on one PostgreSQL are killed at random; nothing is lost, order holds, repeats are bounded."""

import random
import signal
import time
from itertools import islice
from multiprocessing import get_context
from multiprocessing.context import ForkServerProcess
from pathlib import Path

import pytest

from bot.delivery.connector import Limits
from tests.bot.scheduler.post_office import PostOffice, serve

CHATS = 6

KILLS = 8

A_KILL = 12
"""Messages that come between two kills. [messages]"""

MESSAGES = KILLS * A_KILL

LONGEST_S = 90.0

PROCESSES = get_context("forkserver")
"""Starts victims from a process that has everything imported."""

PROCESSES.set_forkserver_preload(["tests.bot.scheduler.post_office"])


def load_of(number: int) -> str:
    """A load that no other message has; it only falls, for a lighter one is never asked about. [kg]"""
    return f"{110 - number * 0.5:g}"


def started(url: str, office: PostOffice) -> ForkServerProcess:
    victim = PROCESSES.Process(target=serve, args=(url, office.folder), kwargs={"limits": office.limits}, daemon=True)
    victim.start()
    return victim


def answered(office: PostOffice) -> int:
    return sum(len({text for _, text in calls if "kg" in text}) for calls in office.sent().values())


@pytest.mark.postgres
@pytest.mark.parametrize("shared", ["postgres"], indirect=True)
@pytest.mark.parametrize(("processes", "has_keys"), [(2, False), (4, True)])
def test_processes_killed_at_random_lose_nothing_and_keep_the_order(
    processes: int, has_keys: bool, shared: str, tmp_path: Path
) -> None:
    office = PostOffice(tmp_path, limits=Limits(size=4096, has_keys=has_keys))
    chats = [f"lifter {number}" for number in range(CHATS)]
    (tmp_path / "in").touch()
    luck = random.Random(processes)  # noqa: S311 - luck, not a secret
    victims = [started(shared, office) for _ in range(processes)]
    numbers = iter(range(MESSAGES))
    try:
        for _ in range(KILLS):
            for number in islice(numbers, A_KILL):
                office.post(chats[number % CHATS], f"bench {load_of(number)}x5")
            # Somewhere between the first of them received and the last one answered, or after.
            time.sleep(luck.uniform(0.0, 0.35))
            place = luck.randrange(processes)
            victims[place].kill()
            victims[place].join()
            assert victims[place].exitcode == -signal.SIGKILL
            victims[place] = started(shared, office)
        ends_at = time.monotonic() + LONGEST_S
        while answered(office) < MESSAGES and time.monotonic() < ends_at:
            time.sleep(0.1)
        # What is repeated after the last kill has the time of a tick to come.
        time.sleep(1.5)
    finally:
        for victim in victims:
            victim.kill()
            victim.join()

    for place, chat in enumerate(chats):
        calls = office.sent()[chat]
        told = [text for _, text in calls if "kg" in text]
        first = list(dict.fromkeys(told))
        assert [text.split()[2] for text in first] == [load_of(number) for number in range(place, MESSAGES, CHATS)]
        # With keys the platform shows each key once; without them a kill may repeat one message of a chat.
        by_key = list(dict(calls).values()) if has_keys else told
        repeats = len([text for text in by_key if "kg" in text]) - len(first)
        assert repeats <= (0 if has_keys else KILLS)
