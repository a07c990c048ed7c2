"""Matrix: a message to its answer, beside a bare echo bot of the library's on the same homeserver, in the same run."""

import asyncio
import shutil
import tempfile
from collections.abc import AsyncIterator, Sequence
from contextlib import asynccontextmanager, suppress
from pathlib import Path
from time import perf_counter

from nio.client.async_client import AsyncClient, AsyncClientConfig
from nio.events import InviteMemberEvent, RoomMessageText
from nio.rooms import MatrixRoom

from core.storage.upgrades import migrate
from tests.bot.connectors.matrix.lifter import Lifter, lifter
from tests.bot.connectors.matrix.running import bot_on
from tests.homeserver import PASSWORD, Homeserver, program, running_homeserver

MESSAGES = 60

UNMEASURED = 5
"""Messages before the measuring: keys are shared, and pages of the disk are warm."""


def main() -> None:
    """Print the latency from a message to its answer, plain and encrypted, and its ratio to the echo bot's. [ms]"""
    if program() is None:
        print("not measured: the Matrix homeserver was not built (sh deploy/homeserver.sh)")
        return
    with running_homeserver() as server:
        for encrypted in (False, True):
            folder = Path(tempfile.mkdtemp(prefix="rackside-bench-"))
            try:
                migrate(f"sqlite:///{folder / 'rackside.db'}")
                asyncio.run(_measure(server, folder, encrypted=encrypted))
            finally:
                shutil.rmtree(folder, ignore_errors=True)


async def _measure(server: Homeserver, folder: Path, *, encrypted: bool) -> None:
    tove, ours, echo = (server.new_user(name) for name in ("tove", "rackside", "echo"))
    async with lifter(server, tove) as phone:
        async with bot_on(server, folder, user=ours):
            bot_ms = await _latencies(phone, ours, encrypted=encrypted)
        async with _echo(server, echo, folder):
            echo_ms = await _latencies(phone, echo, encrypted=encrypted)
    kind = "encrypted" if encrypted else "plain"
    for name, share in (("p50", 0.5), ("p99", 0.99)):
        bot, bare = _quantile(bot_ms, share), _quantile(echo_ms, share)
        print(f"{kind} {name}: {bot:.0f} ms, echo bot {bare:.0f} ms, ratio {bot / bare:.2f} (aim: at most 1.5)")


async def _latencies(phone: Lifter, bot: str, *, encrypted: bool) -> Sequence[float]:
    room = await phone.meet(bot, encrypted=encrypted)
    found: list[float] = []
    for number in range(UNMEASURED + MESSAGES):
        answered = len(phone.answers(bot)) + 1
        began = perf_counter()
        await phone.say(room, f"bench {100 - number * 0.25:g}x5")
        await phone.until_answered(bot, answered)
        if number >= UNMEASURED:
            found.append((perf_counter() - began) * 1000)
        elif number == 0:
            # The welcome comes behind the first answer.
            await phone.look(wait_s=1.0)
    return found


def _quantile(values: Sequence[float], share: float) -> float:
    return sorted(values)[min(len(values) - 1, int(len(values) * share))]


@asynccontextmanager
async def _echo(server: Homeserver, user: str, folder: Path) -> AsyncIterator[None]:
    """The library's own loop, with an answer in its callback: the least that a bot can do."""
    (folder / "echo").mkdir(exist_ok=True)
    client = AsyncClient(
        server.url, user, store_path=str(folder / "echo"), config=AsyncClientConfig(encryption_enabled=True)
    )
    await client.login(PASSWORD)

    async def answer(room: MatrixRoom, event: RoomMessageText) -> None:
        if event.sender != user:
            content = {"msgtype": "m.notice", "body": event.body}
            await client.room_send(room.room_id, "m.room.message", content, ignore_unverified_devices=True)

    async def enter(room: MatrixRoom, _event: InviteMemberEvent) -> None:
        await client.join(room.room_id)

    client.add_event_callback(answer, RoomMessageText)  # type: ignore[arg-type]  # declared narrower than it is
    client.add_event_callback(enter, InviteMemberEvent)  # type: ignore[arg-type]  # declared narrower than it is
    running = asyncio.create_task(client.sync_forever(timeout=30_000))
    try:
        yield
    finally:
        running.cancel()
        with suppress(asyncio.CancelledError):
            await running
        await client.close()  # type: ignore[no-untyped-call]  # the library's own
