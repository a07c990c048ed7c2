"""Rates and sizes: what goes out through delivery keeps the platform's limits, so it never has to ask for a pause."""

from datetime import UTC, datetime

from bot.connectors.telegram.connector import LIMITS
from core.application.ports import UnitOfWork
from core.application.rows import OutboxRow
from core.domain.profile import Address
from tests.bot.telegram.meeting import Meeting, meeting
from tests.telegram_api.chats import Chat
from tests.telegram_api.limits import units
from tests.telegram_api.server import BotApi, Refuse


def queue(met: Meeting, chats: list[Chat], texts: list[str], *, scheduled: bool) -> None:
    """Queue messages, each text to each chat."""
    rows = [
        OutboxRow(
            address=Address("telegram", str(chat.number)),
            message_id=None,
            text=text,
            scheduled=scheduled,
            created_at=datetime.now(UTC),
        )
        for text in texts
        for chat in chats
    ]

    def queued(work: UnitOfWork) -> None:
        work.outbox.add(rows, lifter_id=None)

    met.store.submit(queued).result()


async def test_ninety_lifters_get_their_morning_message_within_the_limits() -> None:
    api = BotApi(rates=True)
    people = [api.person(1001 + number) for number in range(90)]
    async with meeting(api, limits=LIMITS) as met:
        queue(met, people, ["today: bench"], scheduled=True)
        await api.until(lambda: all(each.of_bot() for each in people), within_s=30)

        assert [len(each.of_bot()) for each in people] == [1] * 90
        assert all(each.of_bot()[0].silent for each in people)
        # every call got through: none was told to wait
        assert len(api.called("sendMessage")) == 90


async def test_a_burst_in_one_chat_is_spread_out_before_the_platform_asks_for_it() -> None:
    api = BotApi(rates=True)
    tove = api.person()
    async with meeting(api, limits=LIMITS) as met:
        queue(met, [tove], [str(number) for number in range(6)], scheduled=False)
        await met.answered(tove, times=6)

        assert tove.texts() == ["0", "1", "2", "3", "4", "5"]
        assert len(api.called("sendMessage")) == 6


async def test_a_pause_that_is_asked_for_is_kept_and_the_order_with_it() -> None:
    api = BotApi()
    tove, mate = api.person(1), api.person(2)
    async with meeting(api) as met:
        await api.until(lambda: bool(api.menu))
        api.fail("sendMessage", Refuse(429, "Too Many Requests: retry after 1", {"retry_after": 1}))
        queue(met, [tove], ["one", "two"], scheduled=False)
        await api.until(lambda: bool(api.called("sendMessage")))
        queue(met, [mate], ["hello"], scheduled=False)
        await met.answered(mate)
        early = tove.texts()
        await met.answered(tove, times=2)

        calls = [each.at_s for each in api.called("sendMessage") if each.fields["chat_id"] == "1"]
        assert early == []
        assert tove.texts() == ["one", "two"]
        assert calls[1] - calls[0] >= 1.0


async def test_a_text_of_one_unit_too_many_becomes_two_messages_with_nothing_lost() -> None:
    api = BotApi()
    tove = api.person()
    fits, over = "🏋 a " * 819 + "b", "🏋 <&> " * 600
    assert units(fits) == 4096
    async with meeting(api) as met:
        queue(met, [tove], [fits, over + "end"], scheduled=False)
        await api.until(lambda: any(each.endswith("end") for each in tove.texts()))

        first, *rest = tove.texts()
        assert first == fits
        assert len(rest) == 2
        assert "".join(rest).replace(" ", "") == (over + "end").replace(" ", "")
