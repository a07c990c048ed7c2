"""Storms: processes on one PostgreSQL are killed at random; nothing is lost, order holds, repeats are bounded."""

import random
import signal
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

LOOK_S, LOOKS = 0.1, 900
"""Time between two looks at what has come [s], and how many there are at most."""

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


def has_looked_back(office: PostOffice, chat: str) -> bool:
    return any(text.startswith("hard sets") for _, text in office.sent()[chat])


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
            place = luck.randrange(processes)
            # Somewhere between the first of them received and the last one answered, or after; by itself it ends never.
            victims[place].join(luck.uniform(0.0, 0.35))
            victims[place].kill()
            victims[place].join()
            assert victims[place].exitcode == -signal.SIGKILL
            victims[place] = started(shared, office)
        # In each chat the last word comes after whatever is repeated of those before it.
        for chat in chats:
            office.post(chat, "week")
        for _ in range(LOOKS):
            if answered(office) == MESSAGES and all(has_looked_back(office, chat) for chat in chats):
                break
            victims[0].join(LOOK_S)
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
