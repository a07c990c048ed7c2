"""Receiving from Telegram: nothing lost and nothing twice, whatever the platform, the store or the updates do."""

import asyncio
import logging
from collections.abc import Sequence
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st
from telegram import Bot

from bot.connectors.telegram.connector import TokenRefusedError
from bot.connectors.telegram.polling import OtherPollerError, Poller
from bot.connectors.telegram.updates import Broken, Json, PassedOver, Pressed, Said, happening
from bot.delivery.connector import Receive
from bot.messages import Event, ReachChanged
from core.application.ports import StoreBusy
from tests.bot.telegram.meeting import connection, meeting
from tests.telegram_api.server import BotApi, Drop, Garble, Refuse

NOW = datetime(2027, 1, 4, 18, 0, tzinfo=UTC)


async def test_an_update_is_confirmed_only_once_it_is_committed() -> None:
    api = BotApi()
    tove = api.person()
    confirmed_at_commit: list[int] = []

    def noting(receive: Receive) -> Receive:
        async def noted(events: Sequence[Event]) -> None:
            await receive(events)
            confirmed_at_commit.append(api.updates.confirmed)

        return noted

    tove.says("bench 80x5")
    async with meeting(api, receives=noting) as met:
        await met.quiet(tove)
        await api.until(lambda: not api.updates.waiting)

    assert confirmed_at_commit[0] == 0
    assert confirmed_at_commit == sorted(confirmed_at_commit)


async def test_while_the_store_is_busy_updates_wait_and_then_come_in_order() -> None:
    api = BotApi()
    tove = api.person()
    refused = 0

    def busy(receive: Receive) -> Receive:
        async def at_first(events: Sequence[Event]) -> None:
            nonlocal refused
            if refused < 3:
                refused += 1
                raise StoreBusy("the database is locked")
            await receive(events)

        return at_first

    for load in (60, 70, 80):
        tove.says(f"bench {load}x5")
    async with meeting(api, receives=busy) as met:
        await met.quiet(tove)

        assert refused == 3
        assert [each.load_kg for each in met.sets(tove)] == [60.0, 70.0, 80.0]


async def test_a_warning_sign_is_answered_while_the_store_is_away_and_once() -> None:
    api = BotApi()
    tove = api.person()
    refused = 0

    def away(receive: Receive) -> Receive:
        async def never(events: Sequence[Event]) -> None:
            nonlocal refused
            refused += 1
            raise StoreBusy("the database is locked")

        return never

    tove.says("bench 80x5 chest pain")
    async with meeting(api, receives=away):
        await api.until(lambda: refused >= 3)

        assert len(tove.texts()) == 1
        assert "call your local emergency number" in tove.texts()[0]


async def test_a_warning_sign_does_not_wait_for_a_store_that_takes_its_time() -> None:
    api = BotApi()
    tove = api.person()
    free = asyncio.Event()

    def slow(receive: Receive) -> Receive:
        async def waited(events: Sequence[Event]) -> None:
            await free.wait()
            await receive(events)

        return waited

    tove.says("bench 80x5 chest pain")
    async with meeting(api, receives=slow) as met:
        [line] = await met.answered(tove)
        logged_before = met.sets(tove)
        free.set()
        await met.quiet(tove)

        assert "call your local emergency number" in line
        assert logged_before == []
        assert len(met.sets(tove)) == 1


async def test_a_lost_answer_of_the_platform_brings_the_updates_again_and_they_count_once() -> None:
    api = BotApi()
    tove = api.person()
    tove.says("bench 80x5")
    api.fail("getUpdates", Drop(accepted=True), Garble(), Refuse(500, "Internal Server Error"))
    async with meeting(api) as met:
        await met.quiet(tove)

        assert len(met.sets(tove)) == 1


@pytest.mark.parametrize("number", [5, 1_900_000_000])
async def test_numbers_of_updates_may_begin_anew(number: int) -> None:
    api = BotApi()
    tove = api.person()
    async with meeting(api) as met:
        tove.says("bench 80x5")
        await met.quiet(tove)
        api.updates.jump(number)
        tove.says("bench 82.5x5")
        await met.quiet(tove)

        assert [each.load_kg for each in met.sets(tove)] == [80.0, 82.5]


async def test_an_update_that_cannot_be_read_is_noted_and_those_behind_it_come(
    caplog: pytest.LogCaptureFixture,
) -> None:
    api = BotApi()
    tove = api.person()
    poison: dict[str, Json] = {
        "message_id": 7,
        "date": "not a date",
        "chat": {"id": tove.number, "type": "private"},
        "text": "secret words",
    }
    api.updates.add("message", str(tove.number), poison)
    api.updates.add("message", "nobody", {"strange": True})
    tove.says("bench 80x5")
    with caplog.at_level(logging.INFO, logger="rackside"):
        async with meeting(api) as met:
            await met.quiet(tove)
            await api.until(lambda: not api.updates.waiting)

            assert tove.texts()[0].startswith("voice, pictures and video can't be read here")
            assert [each.load_kg for each in met.sets(tove)] == [80.0]
    noted = [each for each in caplog.messages if "cannot be read" in each]
    assert len(noted) == 2
    assert "secret words" not in caplog.text


async def test_kinds_that_nobody_asked_for_are_passed_over() -> None:
    api = BotApi()
    tove = api.person()
    api.updates.add("channel_post", "a channel", {"message_id": 1, "date": 1, "chat": {"id": -1, "type": "channel"}})
    api.updates.add("a_kind_of_tomorrow", "somewhere", {"id": 1})
    tove.says("bench 80x5")
    async with meeting(api) as met:
        await met.quiet(tove)

        assert len(met.sets(tove)) == 1


async def test_the_platform_may_be_down_at_the_start() -> None:
    api = BotApi()
    tove = api.person()
    tove.says("bench 80x5")
    await api.start()
    port = api.port
    await api.stop()
    async with meeting(api, starts_api=False) as met:
        await asyncio.sleep(0)
        await api.start(port=port)
        await met.quiet(tove)

        assert len(met.sets(tove)) == 1
    await api.stop()


async def test_two_pollers_of_one_token_end_with_a_word() -> None:
    api = BotApi()
    await api.start()
    poller = Poller(connection(), poll_s=20, first_wait_s=0.001)
    async with Bot(api.token, base_url=api.base_url, request=connection(), get_updates_request=connection()) as bot:
        await poller.prepare(bot)
        api.fail("getUpdates", *[Refuse(409, "Conflict: terminated by other getUpdates request")] * 6)

        with pytest.raises(OtherPollerError):
            await poller.run(_nothing)

    await poller.close()
    await api.stop()


async def test_a_poller_that_was_killed_holds_up_its_successor_once_at_most() -> None:
    api = BotApi()
    tove = api.person()
    async with meeting(api) as met:
        api.fail("getUpdates", *[Refuse(409, "Conflict: terminated by other getUpdates request")] * 3)
        tove.says("bench 80x5")
        await met.quiet(tove)

        assert len(met.sets(tove)) == 1


async def test_a_token_taken_back_ends_the_connector() -> None:
    api = BotApi()
    async with meeting(api) as met:
        await api.until(lambda: bool(api.called("getUpdates")))

        api.token = api.token[::-1].replace(":", "") + ":another"
        api.person().says("hello")
        async with asyncio.timeout(10):
            ended = await met.ended

        assert isinstance(ended, TokenRefusedError)


async def _nothing(_updates: object) -> None:
    return None


JSONS = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3),
    max_leaves=8,
)
FIELDS = st.sampled_from(
    ["message_id", "date", "chat", "from", "text", "caption", "entities", "id", "type", "data", "message", "edit_date"]
)


@given(
    st.sampled_from(["message", "edited_message", "callback_query", "my_chat_member", "poll", "unheard_of"]),
    st.dictionaries(FIELDS, JSONS, max_size=6) | JSONS,
)
def test_no_update_whatever_it_holds_raises(kind: str, content: object) -> None:
    raw: dict[str, Json] = {"update_id": 1, kind: content}  # type: ignore[dict-item]  # any JSON at all

    found = happening(raw, bot_id=1, username="rackside_test_bot", now=NOW)

    assert isinstance(found, Said | Pressed | ReachChanged | PassedOver | Broken)


def test_an_update_without_anything_is_passed_over() -> None:
    assert happening({"update_id": 1}, bot_id=1, username="b", now=NOW) == PassedOver("nothing")
