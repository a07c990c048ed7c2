"""The carrier: what goes wrong on the way is one of the library's errors, and tells nobody the token."""

import socket
import traceback

import pytest
from telegram import Bot
from telegram.error import InvalidToken, NetworkError, TimedOut

from bot.connectors.telegram.carrier import Carrier
from tests.telegram_api.server import BotApi, Drop, Hang


def bot_at(base_url: str, token: str, *, read_timeout_s: float = 5.0) -> Bot:
    carriers = [Carrier(connections=2, read_timeout_s=read_timeout_s) for _ in range(2)]
    return Bot(token, base_url=base_url, request=carriers[0], get_updates_request=carriers[1])


def nobody_listens() -> str:
    """A port of loopback at which nobody answers."""
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        return f"http://127.0.0.1:{taken.getsockname()[1]}/bot"


async def test_where_nobody_answers_the_token_stays_untold() -> None:
    token = BotApi().token
    bot = bot_at(nobody_listens(), token)

    with pytest.raises(NetworkError) as broken:
        await bot.initialize()
    await bot.shutdown()

    told = "".join(traceback.format_exception(broken.value))
    assert token not in told
    assert not isinstance(broken.value, (TimedOut, InvalidToken))


@pytest.mark.parametrize(
    ("fault", "error"), [(Hang(), TimedOut), (Drop(accepted=True), NetworkError)], ids=["silent", "broken off"]
)
async def test_an_answer_that_does_not_come_is_an_error_and_the_next_call_goes_on(
    fault: Hang | Drop, error: type[NetworkError]
) -> None:
    api = BotApi()
    await api.start()
    bot = bot_at(api.base_url, api.token, read_timeout_s=0.3)
    await bot.initialize()
    person = api.person()
    api.fail("sendMessage", fault)

    try:
        with pytest.raises(error) as met:
            await bot.send_message(person.number, "1")
        sent = await bot.send_message(person.number, "2")
    finally:
        await bot.shutdown()
        await api.stop()

    assert type(met.value) is error
    assert sent.text == "2"
    assert api.token not in "".join(traceback.format_exception(met.value))


async def test_a_call_before_it_is_open_says_so() -> None:
    with pytest.raises(RuntimeError, match="not open"):
        await Carrier(connections=1).do_request("http://127.0.0.1/bot", "POST")
