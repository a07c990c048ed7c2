"""The double of the Bot API keeps the rules that it cites, told by the library that Rackside talks through."""

import asyncio
import html
import os
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

import pytest
from aiohttp import web
from hypothesis import given
from hypothesis import strategies as st
from telegram import Bot, BotCommand, InlineKeyboardButton, InlineKeyboardMarkup
from telegram.error import (
    BadRequest,
    ChatMigrated,
    Conflict,
    Forbidden,
    InvalidToken,
    NetworkError,
    RetryAfter,
    TimedOut,
)
from telegram.request import HTTPXRequest

from tests.telegram_api.entities import NotParsedError, seen
from tests.telegram_api.limits import units
from tests.telegram_api.server import BURST, BotApi, Drop, Garble, Hang, Refuse


@asynccontextmanager
async def talking(api: BotApi, *, token: str | None = None, read_timeout: float = 5.0) -> AsyncIterator[Bot]:
    """A bot of the library that talks to a double."""
    await api.start()
    bot = Bot(
        token or api.token,
        base_url=api.base_url,
        request=HTTPXRequest(read_timeout=read_timeout),
        get_updates_request=HTTPXRequest(read_timeout=read_timeout),
    )
    try:
        async with bot:
            yield bot
    finally:
        await api.stop()


# --- Getting updates


async def test_an_update_comes_again_until_a_higher_offset_confirms_it() -> None:
    api = BotApi()
    async with talking(api) as bot:
        tove = api.person()
        tove.says("one")
        tove.says("two")

        first = await bot.get_updates()
        again = await bot.get_updates(offset=first[0].update_id)
        rest = await bot.get_updates(offset=first[0].update_id + 1)

        assert [each.update_id for each in first] == [each.update_id for each in again]
        assert [each.message.text for each in rest if each.message] == ["two"]


async def test_a_long_poll_answers_as_soon_as_there_is_something() -> None:
    api = BotApi()
    async with talking(api) as bot:
        polled = asyncio.create_task(bot.get_updates(timeout=20))
        await api.until(lambda: bool(api.called("getUpdates")))

        api.person().says("now")
        [update] = await polled

        assert update.message is not None
        assert update.message.text == "now"


async def test_a_batch_holds_as_many_as_were_asked_for_and_a_hundred_at_most() -> None:
    api = BotApi()
    async with talking(api) as bot:
        tove = api.person()
        for number in range(130):
            tove.says(str(number))

        assert len(await bot.get_updates()) == 100
        assert len(await bot.get_updates(limit=7)) == 7


async def test_a_second_poller_ends_the_first_ones_call() -> None:
    api = BotApi()
    async with talking(api) as bot, Bot(api.token, base_url=api.base_url) as other:
        first = asyncio.create_task(bot.get_updates(timeout=20))
        await api.until(lambda: bool(api.called("getUpdates")))
        second = asyncio.create_task(other.get_updates(timeout=20))

        with pytest.raises(Conflict, match="terminated by other getUpdates"):
            await first
        api.person().says("hello")

        assert len(await second) == 1


async def test_while_there_is_a_webhook_nobody_polls() -> None:
    api = BotApi()
    async with talking(api) as bot:
        await bot.set_webhook("http://127.0.0.1:9/nobody")

        with pytest.raises(Conflict, match="webhook is active"):
            await bot.get_updates()


async def test_updates_are_kept_for_a_day() -> None:
    api = BotApi()
    async with talking(api) as bot:
        api.person().says("yesterday")
        api.ahead_s = 24 * 3600 + 1

        assert await bot.get_updates() == ()


async def test_kinds_that_are_not_allowed_do_not_come() -> None:
    api = BotApi()
    async with talking(api) as bot:
        tove = api.person()
        await bot.get_updates(allowed_updates=["edited_message"])
        tove.edits(tove.says("one"), "two")

        updates = await bot.get_updates()

        assert [each.message is None and each.edited_message is not None for each in updates] == [True]


# --- The webhook


async def test_a_push_that_fails_comes_again_and_keeps_its_place_in_the_chat() -> None:
    api = BotApi()
    got: list[tuple[str, str | None]] = []

    async def take(request: web.Request) -> web.Response:
        body = await request.json()
        got.append((body["message"]["text"], request.headers.get("X-Telegram-Bot-Api-Secret-Token")))
        return web.Response(status=500 if len(got) in {1, 2} else 200)

    async with talking(api) as bot, listening(take) as url:
        await bot.set_webhook(url, secret_token="s3cret")  # noqa: S106
        tove = api.person()
        tove.says("one")
        tove.says("two")
        await api.until(lambda: not api.updates.waiting)

    assert got == [("one", "s3cret"), ("one", "s3cret"), ("one", "s3cret"), ("two", "s3cret")]


async def test_telegrams_own_servers_push_to_https_on_four_ports_only() -> None:
    api = BotApi(local=False)
    async with talking(api) as bot:
        for url in ("http://example.org/hook", "https://example.org:9000/hook"):
            with pytest.raises(BadRequest, match="Bad webhook"):
                await bot.set_webhook(url)


@asynccontextmanager
async def listening(take: object) -> AsyncIterator[str]:
    """A server with one door, and its address."""
    application = web.Application()
    assert callable(take)
    application.router.add_post("/hook", take)
    runner = web.AppRunner(application, access_log=None)
    await runner.setup()
    await web.TCPSite(runner, "127.0.0.1", 0).start()
    try:
        yield f"http://127.0.0.1:{runner.addresses[0][1]}/hook"
    finally:
        await runner.cleanup()


# --- Limits


@pytest.mark.parametrize(
    ("text", "taken"),
    [("a" * 4096, True), ("a" * 4097, False), ("🏋" * 2048, True), ("🏋" * 2048 + "a", False), (" \n ", False)],
    ids=["4096", "4097", "2048 pairs", "2048 pairs and one", "blank"],
)
async def test_a_text_is_measured_in_utf_16_units_after_its_entities(text: str, *, taken: bool) -> None:
    api = BotApi()
    async with talking(api) as bot:
        tove = api.person()
        if taken:
            await bot.send_message(tove.number, f"<b>{text}</b>", parse_mode="HTML")
        else:
            with pytest.raises(BadRequest, match=r"message is too long|Message is too long|Message text is empty"):
                await bot.send_message(tove.number, text)

        assert len(tove.of_bot()) == taken


@pytest.mark.parametrize(("data", "taken"), [("x" * 64, True), ("x" * 65, False), ("é" * 32, True), ("é" * 33, False)])
async def test_the_data_of_a_button_is_measured_in_bytes(data: str, *, taken: bool) -> None:
    api = BotApi()
    async with talking(api) as bot:
        tove = api.person()
        keyboard = InlineKeyboardMarkup([[InlineKeyboardButton("yes", callback_data=data)]])
        if taken:
            await bot.send_message(tove.number, "?", reply_markup=keyboard)
        else:
            with pytest.raises(BadRequest, match="Button_data_invalid"):
                await bot.send_message(tove.number, "?", reply_markup=keyboard)

        assert len(tove.of_bot()) == taken


@pytest.mark.parametrize(("units_", "taken"), [(1024, True), (1025, False)])
async def test_a_caption_is_shorter_than_a_text(units_: int, *, taken: bool) -> None:
    api = BotApi()
    async with talking(api) as bot:
        tove = api.person()
        picture = os.urandom(64)
        if taken:
            await bot.send_photo(tove.number, picture, caption="a" * units_)
        else:
            with pytest.raises(BadRequest, match="caption is too long"):
                await bot.send_photo(tove.number, picture, caption="a" * units_)

        assert [each.picture for each in tove.of_bot()] == ([64] if taken else [])


async def test_a_command_of_the_menu_is_small_letters_digits_and_underscores() -> None:
    api = BotApi()
    async with talking(api) as bot:
        await bot.set_my_commands([BotCommand("week", "hard sets of this week")])
        for wrong in ("Week", "hard sets", "w" * 33):
            with pytest.raises(BadRequest, match="Bot_command_invalid"):
                await bot.set_my_commands([BotCommand(wrong, "told")])

        assert api.menu == [("week", "hard sets of this week")]


# --- HTML


@pytest.mark.parametrize(
    ("html", "text"),
    [
        ("80 &lt; 82.5 &amp; more", "80 < 82.5 & more"),
        ("<b>bold <i>both</i></b> <code>80x5</code>", "bold both 80x5"),
        ('<pre><code class="language-text">a\n^</code></pre>', "a\n^"),
        ("&#215; &#xd7; &quot;", '× × "'),
    ],
)
def test_html_is_read_as_people_see_it(html: str, text: str) -> None:
    assert seen(html) == text


@pytest.mark.parametrize(
    "html",
    [
        "a < b",
        "a > b",
        "a & b",
        "&nbsp;",
        "<br>",
        "<b>",
        "</b>",
        "<b><i></b></i>",
        "<code><b>x</b></code>",
        "<b class=x>y</b>",
    ],
)
def test_html_that_is_none_is_refused(html: str) -> None:
    with pytest.raises(NotParsedError, match="can't parse entities"):
        seen(html)


@given(st.text())
def test_any_text_escaped_is_seen_as_it_was(text: str) -> None:
    assert seen(html.escape(text)) == text


def test_units_count_an_emoji_as_two() -> None:
    # section "MessageEntity" counts in UTF-16 code units; U+1F3CB lies beyond the first plane, so it takes two (computed)
    assert units("a🏋") == 3


# --- Errors and faults


async def test_who_cannot_be_reached_is_told_in_the_words_of_the_api() -> None:
    api = BotApi()
    async with talking(api) as bot:
        blocked = api.person(1, reach="blocked")
        for chat, error in (
            (blocked.number, "blocked by the user"),
            (api.person(2, reach="not started").number, "initiate"),
        ):
            with pytest.raises(Forbidden, match=error):
                await bot.send_message(chat, "hello")
        with pytest.raises(BadRequest, match="Chat not found"):
            await bot.send_message(3, "hello")
        group = api.group()
        group.moved_to = -100123
        with pytest.raises(ChatMigrated):
            await bot.send_message(group.number, "hello")


async def test_a_wrong_token_is_unauthorized_and_no_token_is_not_found() -> None:
    for token in ("110201543:wrong", "nonsense"):
        with pytest.raises(InvalidToken):
            async with talking(BotApi(), token=token):
                pass


async def test_an_edit_that_changes_nothing_says_so() -> None:
    api = BotApi()
    async with talking(api) as bot:
        tove = api.person()
        sent = await bot.send_message(tove.number, "one")
        await bot.edit_message_text("two", tove.number, sent.message_id)

        with pytest.raises(BadRequest, match="Message is not modified"):
            await bot.edit_message_text("two", tove.number, sent.message_id)

        assert tove.texts() == ["two"]


async def test_a_callback_is_answered_once_and_within_its_time() -> None:
    api = BotApi()
    async with talking(api) as bot:
        tove = api.person()
        keyboard = InlineKeyboardMarkup([[InlineKeyboardButton("yes", callback_data="y")]])
        await bot.send_message(tove.number, "?", reply_markup=keyboard)
        first, second = tove.taps("yes"), tove.taps("yes")

        await bot.answer_callback_query(first, "taken")
        with pytest.raises(BadRequest, match="Query is too old"):
            await bot.answer_callback_query(first)
        api.ahead_s = 151
        with pytest.raises(BadRequest, match="Query is too old"):
            await bot.answer_callback_query(second)

        assert tove.toasts == ["taken"]


async def test_a_burst_in_one_chat_is_paused_and_the_pause_is_told() -> None:
    api = BotApi(rates=True)
    async with talking(api) as bot:
        tove = api.person()
        for number in range(BURST):
            await bot.send_message(tove.number, str(number))

        with pytest.raises(RetryAfter):
            await bot.send_message(tove.number, "one more")

        assert len(tove.of_bot()) == BURST


async def test_a_call_can_be_taken_and_its_answer_lost() -> None:
    api = BotApi()
    async with talking(api, read_timeout=0.1) as bot:
        tove = api.person()
        api.fail(
            "sendMessage",
            Drop(accepted=False),
            Drop(accepted=True),
            Hang(),
            Garble(),
            Refuse(500, "Internal Server Error"),
        )

        for error in (NetworkError, NetworkError, TimedOut, NetworkError, NetworkError):
            with pytest.raises(error):
                await bot.send_message(tove.number, "hello")

        assert tove.texts() == ["hello", "hello"]


async def test_in_a_group_the_bot_hears_only_what_is_meant_for_it() -> None:
    api = BotApi()
    async with talking(api) as bot:
        group, tove = api.group(), api.person()
        said = await bot.send_message(group.number, "hello all")
        group.says("squat day", by=tove)
        group.says("/week", by=tove)
        group.says("/week@another_bot", by=tove)
        [of_bot] = group.of_bot()
        group.replies("bench 80x5", of_bot, by=tove)

        heard = [each.message.text for each in await bot.get_updates() if each.message]

        assert said.message_id == of_bot.number
        assert heard == ["/week", "bench 80x5"]
