"""Storms: killed again and again, by polling and by webhook, nothing is lost, nothing counts twice, order is kept."""

import asyncio
import os
import random
import signal
from collections import Counter
from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from multiprocessing import get_context
from multiprocessing.context import ForkServerProcess
from pathlib import Path

import pytest

from core.domain.profile import Address
from core.storage.unit_of_work import open_store
from tests.bot.telegram.meeting import free_port
from tests.bot.telegram.victim import serve
from tests.postgres_cluster import Cluster
from tests.telegram_api.chats import Chat
from tests.telegram_api.server import BotApi, Drop, Garble, Refuse

KILLS = int(os.environ.get("STORM_KILLS", "30"))

MESSAGES = int(os.environ.get("STORM_MESSAGES", "240"))

CHATS = 6

LONGEST_LIFE_S = 0.35
"""A victim lives for so long at most after its first call. [s]"""

PROCESSES = get_context("forkserver")
"""Starts victims from a process that has everything imported: thirty starts cost the time of one."""

PROCESSES.set_forkserver_preload(
    [
        "tests.bot.telegram.victim",
        "bot.cli.serve",
        "bot.connectors.telegram.opening",
        "bot.health",
        "bot.scheduler.service",
        "core.storage.postgres_store",
    ]
)


def load_of(number: int) -> float:
    """A load that no other message of its chat has; it only falls, for a lighter one is never asked about. [kg]"""
    return 200 - number * 0.25


def answers_of(chat: Chat) -> list[tuple[int, float]]:
    """Place and load of each answer to a set, as the lifter sees them."""
    found: list[tuple[int, float]] = []
    for place, seen in enumerate(chat.messages):
        if seen.by_bot and seen.text.startswith("bench press "):
            found.append((place, float(seen.text.removeprefix("bench press ").partition(" ")[0])))
    return found


@dataclass(slots=True)
class Storm:
    """The double, its people, and the process that is killed."""

    api: BotApi
    settings: Mapping[str, str]
    luck: random.Random
    people: list[Chat]
    said: int = 0
    kills: int = 0
    # How many messages stood in each chat at each kill.
    marks: list[list[int]] = field(default_factory=list)

    def say(self, number: int) -> None:
        """So many more messages are written, now here, now there."""
        for _ in range(min(number, MESSAGES - self.said)):
            chat = self.people[self.said % len(self.people)]
            chat.says(f"bench {load_of(self.said // len(self.people)):g} kg x5")
            self.said += 1

    async def strike(self) -> None:
        """A process lives for a while, and is killed."""
        process = self.start()
        calls = len(self.api.calls)
        try:
            await self.api.until(lambda: len(self.api.calls) > calls, within_s=60)
            self.say(MESSAGES // KILLS + 1)
            if self.luck.random() < 0.5:
                # In the middle of a call to send, which was accepted and not yet marked.
                calls = len(self.api.called("sendMessage"))
                more = self.luck.randint(1, 5)
                with_patience = asyncio.wait_for(
                    self.api.until(lambda: len(self.api.called("sendMessage")) >= calls + more), LONGEST_LIFE_S
                )
                with suppress(TimeoutError):
                    await with_patience
            else:
                await asyncio.sleep(self.luck.random() * LONGEST_LIFE_S)
        finally:
            assert process.pid is not None
            os.kill(process.pid, signal.SIGKILL)
            await asyncio.to_thread(process.join)
        self.kills += process.exitcode == -signal.SIGKILL
        self.marks.append([len(chat.messages) for chat in self.people])

    def start(self) -> ForkServerProcess:
        process = PROCESSES.Process(target=serve, args=(dict(self.settings),), daemon=True)
        process.start()
        return process


@pytest.fixture(params=["disk", "postgres"])
def url(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """URL of a database with all tables and no rows."""
    if request.param == "disk":
        yield f"sqlite:///{tmp_path}/rackside.db"
    else:
        cluster: Cluster = request.getfixturevalue("cluster")
        own = cluster.own_database
        yield own
        cluster.drop(own)


@pytest.mark.parametrize(
    ("way", "url"),
    [("polling", "disk"), ("webhook", "disk"), pytest.param("polling", "postgres", marks=pytest.mark.postgres)],
    indirect=["url"],
)
async def test_killed_again_and_again_nothing_is_lost_and_nothing_counts_twice(way: str, url: str) -> None:
    api = BotApi()
    await api.start()
    storm = Storm(
        api,
        settings_for(api, way, url),
        random.Random(20270104),  # noqa: S311 - nobody is to guess wrong
        [api.person(1001 + number) for number in range(CHATS)],
    )
    for kill in range(KILLS):
        if kill % 5 == 2:
            api.fail("getUpdates", Drop(accepted=True), Garble())
            api.fail("sendMessage", Drop(accepted=False), Refuse(500, "Internal Server Error"))
        await storm.strike()
    storm.say(MESSAGES)
    process = storm.start()
    written = [[load_of(number) for number in range(len(range(place, MESSAGES, CHATS)))] for place in range(CHATS)]
    try:
        await api.until(
            lambda: all(
                {load for _, load in answers_of(chat)} >= set(loads)
                for chat, loads in zip(storm.people, written, strict=True)
            ),
            within_s=180,
        )
    finally:
        process.kill()
        await asyncio.to_thread(process.join)
        await api.stop()

    assert storm.kills == KILLS
    for place, (chat, in_order) in enumerate(zip(storm.people, written, strict=True)):
        assert logged(storm.settings["RACKSIDE_DB"], chat) == in_order
        assert first_seen(answers_of(chat)) == in_order
        assert all(most <= 1 for most in repeats(chat, [mark[place] for mark in storm.marks]).values())


def settings_for(api: BotApi, way: str, url: str) -> dict[str, str]:
    settings = {
        "RACKSIDE_DB": url,
        "RACKSIDE_CONTACT": "nora@example.org",
        "RACKSIDE_PRIVACY": "kept in a test",
        "RACKSIDE_TELEGRAM_TOKEN": api.token,
        "RACKSIDE_TELEGRAM_API": api.base_url.removesuffix("/bot"),
        "RACKSIDE_TELEGRAM_WHO": "open",
        "RACKSIDE_TELEGRAM_A_MINUTE": "100000",
        "RACKSIDE_TELEGRAM_RATE": "10000",
        "RACKSIDE_TELEGRAM_CHAT_RATE": "10000",
    }
    if way == "webhook":
        port = free_port()
        settings["RACKSIDE_LISTEN"] = f"127.0.0.1:{port}"
        settings["RACKSIDE_TELEGRAM_WEBHOOK"] = f"http://127.0.0.1:{port}/pushed"
        settings["RACKSIDE_TELEGRAM_SECRET"] = "s3cret"  # noqa: S105 - of the tests
    return settings


def logged(url: str, chat: Chat) -> list[float]:
    """Loads in a person's log, in order."""
    store = open_store(url)
    with store.read() as work:
        lifter = work.lifters.at_address(Address("telegram", str(chat.number)))
        found = [] if lifter is None else [s.load_kg for s in work.sets.of_exercises(lifter.id, ["bench press"])]
    store.close()
    return found


def first_seen(answers: list[tuple[int, float]]) -> list[float]:
    """Loads in the order in which they were first answered."""
    return list(dict.fromkeys(load for _, load in answers))


def repeats(chat: Chat, marks: list[int]) -> Counter[int]:
    """Answers that had been seen before, by the number of kills before them."""
    told: set[float] = set()
    counted: Counter[int] = Counter()
    for place, load in answers_of(chat):
        if load in told:
            counted[sum(place >= mark for mark in marks)] += 1
        told.add(load)
    return counted
