"""The webhook, and health beside it: answered after the commit, closed to everybody without the secret."""

import json
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from io import BytesIO

import aiohttp
import pytest

from bot.connectors.telegram.webhook import MOST_BYTES, SECRET_HEADER
from bot.delivery.connector import Receive
from bot.messages import Event
from core.application.ports import StoreFull
from tests.bot.telegram.meeting import SECRET, Meeting, meeting, webhook
from tests.telegram_api.server import BotApi


async def posted(met: Meeting, body: bytes, *, secret: str | None = SECRET) -> int:
    headers = {} if secret is None else {SECRET_HEADER: secret}
    async with (
        aiohttp.ClientSession() as session,
        session.post(f"http://127.0.0.1:{met.port}/pushed", data=BytesIO(body), headers=headers) as answer,
    ):
        return answer.status


async def health(met: Meeting) -> tuple[int, dict[str, object]]:
    async with (
        aiohttp.ClientSession() as session,
        session.get(f"http://127.0.0.1:{met.port}/healthz") as answer,
    ):
        return answer.status, await answer.json()


async def test_what_is_pushed_is_taken_in_order_also_what_waited() -> None:
    api = BotApi()
    tove = api.person()
    for load in (60, 70, 80):
        tove.says(f"bench {load}x5")
    async with meeting(api, source=webhook()) as met:
        await met.quiet(tove)

        assert [each.load_kg for each in met.sets(tove)] == [60.0, 70.0, 80.0]
        assert api.called("getUpdates") == []


async def test_a_push_is_answered_200_only_once_it_is_committed_and_comes_again_until_then() -> None:
    api = BotApi()
    tove = api.person()
    refused = 0

    def full(receive: Receive) -> Receive:
        async def at_first(events: Sequence[Event]) -> None:
            nonlocal refused
            if refused < 3:
                refused += 1
                raise StoreFull("no room on the disk")
            await receive(events)

        return at_first

    tove.says("bench 80x5")
    tove.says("bench 82.5x5")
    async with meeting(api, source=webhook(), receives=full) as met:
        await met.quiet(tove)

        assert refused == 3
        assert [each.load_kg for each in met.sets(tove)] == [80.0, 82.5]
        assert api.updates.pushes == sorted(api.updates.pushes)
        assert api.updates.pushes.count(api.updates.first) >= 4
        assert [api.updates.pushes.count(api.updates.first + more) for more in (1, 2)] == [1, 1]


async def test_a_push_that_comes_twice_counts_once() -> None:
    api = BotApi()
    tove = api.person()
    async with meeting(api, source=webhook()) as met:
        await api.until(lambda: bool(api.menu))
        tove.says("bench 80x5")
        body = json.dumps(api.updates.waiting[0].body).encode()

        assert [await posted(met, body), await posted(met, body)] == [200, 200]
        await met.quiet(tove)

        assert len(met.sets(tove)) == 1


@pytest.mark.parametrize("secret", [None, "", "wrong", SECRET + "x", SECRET[:-1], "é"])
async def test_without_the_secret_nothing_is_read(secret: str | None) -> None:
    api = BotApi()
    async with meeting(api, source=webhook()) as met:
        await api.until(lambda: bool(api.menu))

        assert await posted(met, b"{}", secret=secret) == 403


@pytest.mark.parametrize(
    "body",
    [b"", b"not json", b"[1, 2]", b"{}", b'{"update_id": 1}', b"[" * 100_000, b"x" * (MOST_BYTES + 1)],
    ids=["empty", "no json", "a list", "nothing", "a number", "deep", "large"],
)
async def test_what_can_never_be_read_is_passed_over_and_never_refused(body: bytes) -> None:
    api = BotApi()
    async with meeting(api, source=webhook()) as met:
        await api.until(lambda: bool(api.menu))

        assert await posted(met, body) == 200
        assert met.received == []


async def test_health_tells_how_long_the_oldest_message_waits_and_nothing_of_anybody() -> None:
    api = BotApi()
    tove = api.person()
    later = timedelta()
    async with meeting(api, clock=lambda: datetime.now(UTC) + later) as met:
        tove.says("bench 80x5")
        await met.answered(tove, times=2)
        await met.all_marked()
        status, idle = await health(met)
        met.holds.clear()
        tove.says("bench 82.5x5")
        await api.until(lambda: not api.updates.waiting)
        later = timedelta(seconds=90)
        _, waiting = await health(met)
        met.holds.set()

        assert status == 200
        assert idle == {"store": True, "inbox_age_s": None, "outbox_age_s": None}
        age_s = waiting["inbox_age_s"]
        assert isinstance(age_s, float)
        assert 90 <= age_s < 100
