"""Measures Telegram by polling over the double, from update to answer, beside the library's bare echo bot in one run.

The echo bot keeps nothing; Rackside commits what it receives, reads a set, keeps it with its estimate, and marks what it has
sent. Lifters write, wait for their answer and write again, so the number of lifters is the number of messages under way. After
twenty sets they are done, as in life.
"""

import asyncio
import statistics
import tempfile
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from multiprocessing import get_context
from pathlib import Path

from telegram import Update
from telegram.ext import ApplicationBuilder, ContextTypes, MessageHandler, filters

from tests.bot.telegram.victim import serve
from tests.postgres_cluster import programs, running_cluster, version
from tests.telegram_api.chats import Chat, Seen
from tests.telegram_api.server import BotApi

MESSAGES = {1: 150, 10: 400, 1000: 2000}
"""Messages that are measured, by the number of lifters."""

TURNS = {1: 5, 10: 3, 1000: 1}
"""How often the bots are measured in turn, by the number of lifters."""

SETS = 20
"""Sets of a session; the message after them closes it. [sets]"""

AIM_P50, AIM_THROUGHPUT = 2.5, 0.25
"""What Rackside is to stay within: so many times the echo bot's median, so much of its throughput."""

PROCESSES = get_context("forkserver")
PROCESSES.set_forkserver_preload(["tests.bench.telegram"])


@dataclass(frozen=True, slots=True)
class Measured:
    """Messages a second, and times from update to answer. [1/s, s]"""

    a_second: float
    p50_s: float
    p99_s: float


class Lifter:
    """Somebody who writes, waits for the answer, and writes again."""

    def __init__(self, chat: Chat) -> None:
        self.chat = chat
        self.load_kg = 200.0
        self.written = 0
        self.awaited: tuple[str, ...] = ()
        self.answered = asyncio.Event()
        chat.told = self.told

    def told(self, seen: Seen) -> None:
        if any(each in seen.text for each in self.awaited):
            self.answered.set()

    async def write(self) -> float:
        """Write a set, or that all are done; the time until its answer. [s]"""
        self.written += 1
        if self.written % (SETS + 1) == 0:
            text, self.awaited = "done", ("session of", "done")
        else:
            # It only falls, for a lighter load is never asked about.
            self.load_kg -= 0.25
            text = f"bench {self.load_kg:g} kg x5"
            self.awaited = (text, f"bench press {self.load_kg:g} kg")
        self.answered.clear()
        begun = time.perf_counter()
        self.chat.says(text)
        await self.answered.wait()
        return time.perf_counter() - begun


async def measured(api: BotApi, *, lifters: int) -> Measured:
    """Let so many lifters write at once."""
    writers = [Lifter(api.person(1001 + number)) for number in range(lifters)]
    async with asyncio.timeout(300):
        # The first message of each makes a lifter, which is not what is measured.
        await asyncio.gather(*[each.write() for each in writers])
        rounds = MESSAGES[lifters] // lifters

        async def wrote(writer: Lifter) -> list[float]:
            return [await writer.write() for _ in range(rounds)]

        begun = time.perf_counter()
        taken = [each for times in await asyncio.gather(*[wrote(each) for each in writers]) for each in times]
        whole_s = time.perf_counter() - begun
    cuts = statistics.quantiles(taken, n=100)
    return Measured(len(taken) / whole_s, cuts[49], cuts[98])


async def run(target: Callable[[Mapping[str, str]], None], settings: Mapping[str, str], *, lifters: int) -> Measured:
    """Measure one bot, in a process of its own."""
    api = BotApi()
    await api.start()
    process = PROCESSES.Process(
        target=target,
        args=(
            dict(settings)
            | {"RACKSIDE_TELEGRAM_TOKEN": api.token, "RACKSIDE_TELEGRAM_API": api.base_url.removesuffix("/bot")},
        ),
        daemon=True,
    )
    process.start()
    try:
        return await measured(api, lifters=lifters)
    finally:
        process.kill()
        await asyncio.to_thread(process.join)
        await api.stop()


def echo(settings: Mapping[str, str]) -> None:
    """The library's own way to answer, without a store."""

    async def echoed(update: Update, _context: ContextTypes.DEFAULT_TYPE) -> None:
        if update.message is not None and update.message.text is not None:
            await update.message.reply_text(update.message.text)

    application = (
        ApplicationBuilder()
        .token(settings["RACKSIDE_TELEGRAM_TOKEN"])
        .base_url(f"{settings['RACKSIDE_TELEGRAM_API']}/bot")
        .build()
    )
    application.add_handler(MessageHandler(filters.TEXT, echoed))
    application.run_polling(timeout=20)


SETTINGS = {
    "RACKSIDE_CONTACT": "nora@example.org",
    "RACKSIDE_PRIVACY": "kept in a measurement",
    "RACKSIDE_TELEGRAM_WHO": "open",
    "RACKSIDE_TELEGRAM_A_MINUTE": "1000000",
    "RACKSIDE_TELEGRAM_RATE": "100000",
    "RACKSIDE_TELEGRAM_CHAT_RATE": "100000",
}


@contextmanager
def sqlite() -> Iterator[str]:
    """URL of a database of its own."""
    with tempfile.TemporaryDirectory() as folder:
        yield f"sqlite:///{Path(folder) / 'rackside.db'}"


def line(name: str, lifters: int, found: Measured) -> str:
    """What was measured of one bot."""
    return (
        f"{lifters:>7}  {name:<16} {found.a_second:>8.0f}/s  p50 {found.p50_s * 1e3:>7.1f} ms  "
        f"p99 {found.p99_s * 1e3:>7.1f} ms"
    )


def in_turn(name: str, stores: Callable[[], AbstractContextManager[str]], *, lifters: int) -> None:
    """Print a bot's figures beside the echo bot's, measured in turn; the ratios are the medians of all turns.

    A machine that does something else for a while meets both alike, and spoils one turn.
    """
    slower: list[float] = []
    shares: list[float] = []
    for _ in range(TURNS[lifters]):
        bare = asyncio.run(run(echo, {}, lifters=lifters))
        with stores() as url:
            found = asyncio.run(run(serve, SETTINGS | {"RACKSIDE_DB": url}, lifters=lifters))
        print(line("echo, no store", lifters, bare))
        print(line(name, lifters, found), flush=True)
        slower.append(found.p50_s / bare.p50_s)
        shares.append(found.a_second / bare.a_second)
    print(
        f"{lifters:>7}  {name:<16} p50 {statistics.median(slower):.1f} times the echo bot's (aim {AIM_P50}), "
        f"throughput {statistics.median(shares):.2f} of it (aim {AIM_THROUGHPUT})",
        flush=True,
    )


def main() -> None:
    """Print messages a second, p50 and p99, for 1, 10 and 1,000 lifters."""
    print("lifters  bot              messages   from update to answer, by polling over the double")
    for lifters in MESSAGES:
        in_turn("SQLite", sqlite, lifters=lifters)
    if programs() is None:
        print("PostgreSQL's server programs are not here: not measured")
        return
    with running_cluster(durable=True) as cluster:

        @contextmanager
        def own() -> Iterator[str]:
            # What is deleted goes on taking time until autovacuum has been there, which this cluster does without.
            url = cluster.own_database
            yield url
            cluster.drop(url)

        for lifters in MESSAGES:
            in_turn(f"PostgreSQL {version().split('.')[0]}", own, lifters=lifters)
