"""Sending on Telegram: every answer of the platform is understood, and every message arrives as it was meant."""

import asyncio

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.connectors.telegram.beside import TYPING_AFTER_S, TYPING_EVERY_S
from bot.connectors.telegram.connector import Telegram
from bot.connectors.telegram.formatting import as_html
from bot.connectors.telegram.keyboards import keyboard
from bot.delivery.connector import Delivered, Failed, Lost, Outcome, Rejected, RetryAfter, Unreachable
from bot.messages import Choice, OutgoingMessage, Picture
from core.domain.profile import Address
from tests.bot.telegram.meeting import meeting
from tests.telegram_api.entities import seen
from tests.telegram_api.limits import units
from tests.telegram_api.server import BotApi, Drop, Fault, Garble, Hang, Refuse

TOVE = Address("telegram", "1001")


async def sent(telegram: Telegram, text: str = "hello", *, to: Address = TOVE, silent: bool = False) -> Outcome:
    return await telegram.send(to, OutgoingMessage(text=text), key="1", silent=silent)


@pytest.mark.parametrize(
    ("fault", "outcome"),
    [
        (Refuse(429, "Too Many Requests: retry after 7", {"retry_after": 7}), RetryAfter(7.0)),
        (Refuse(403, "Forbidden: bot was blocked by the user"), Unreachable(Lost.BLOCKED)),
        (Refuse(403, "Forbidden: user is deactivated"), Unreachable(Lost.GONE)),
        (Refuse(400, "Bad Request: chat not found"), Unreachable(Lost.GONE)),
        (Refuse(400, "Bad Request: message is not modified: it is the same"), Delivered()),
        (Refuse(400, "Bad Request: message is too long"), Rejected("Message is too long")),
        (
            Refuse(400, "Bad Request: group chat was upgraded to a supergroup chat", {"migrate_to_chat_id": -100}),
            Rejected("the chat has moved"),
        ),
        (Refuse(401, "Unauthorized"), Failed("the token is refused")),
        (
            Refuse(500, "Internal Server Error"),
            Failed("the connection broke, or the server is ill; it may have arrived"),
        ),
        (Garble(), Failed("the connection broke, or the server is ill; it may have arrived")),
        (Drop(accepted=False), Failed("the connection broke, or the server is ill; it may have arrived")),
        (Drop(accepted=True), Failed("the connection broke, or the server is ill; it may have arrived")),
    ],
    ids=lambda each: f"{each}"[:48] if not isinstance(each, Outcome) else "",
)
async def test_each_answer_of_the_platform_means_one_outcome(fault: Fault, outcome: Outcome) -> None:
    api = BotApi()
    api.person()
    async with meeting(api) as met:
        await api.until(lambda: bool(api.menu))
        api.fail("sendMessage", fault)

        assert await sent(met.telegram) == outcome


async def test_an_answer_that_never_comes_is_tried_again_though_it_may_have_arrived() -> None:
    api = BotApi()
    tove = api.person()
    async with meeting(api, read_timeout_s=0.2) as met:
        await api.until(lambda: bool(api.menu))
        api.fail("sendMessage", Hang())

        assert await sent(met.telegram) == Failed("no answer in time; it may have arrived")
        assert tove.texts() == ["hello"]


async def test_while_nobody_listens_a_message_is_tried_again() -> None:
    api = BotApi()
    async with meeting(api) as met:
        await api.until(lambda: bool(api.menu))
        await api.stop()

        assert isinstance(await sent(met.telegram), Failed)


async def test_two_chats_paused_at_once_are_a_pause_of_all() -> None:
    api = BotApi()
    api.person(1), api.person(2)
    async with meeting(api) as met:
        await api.until(lambda: bool(api.menu))
        api.fail("sendMessage", *[Refuse(429, "Too Many Requests", {"retry_after": 9})] * 3)

        first = await sent(met.telegram, to=Address("telegram", "1"))
        again = await sent(met.telegram, to=Address("telegram", "1"))
        other = await sent(met.telegram, to=Address("telegram", "2"))

        assert (first, again) == (RetryAfter(9.0), RetryAfter(9.0))
        assert other == RetryAfter(9.0, whole=True)


async def test_html_that_is_refused_goes_as_plain_text() -> None:
    api = BotApi()
    tove = api.person()
    async with meeting(api) as met:
        await api.until(lambda: bool(api.menu))
        api.fail("sendMessage", Refuse(400, "Bad Request: can't parse entities: Unsupported start tag"))

        outcome = await sent(met.telegram, "`week` tells more")

        assert isinstance(outcome, Delivered)
        assert tove.texts() == ["`week` tells more"]


async def test_a_message_of_full_size_passes_whatever_stands_in_it() -> None:
    api = BotApi()
    tove = api.person()
    full = ("<&>🏋`x` " * 600)[:4000]
    async with meeting(api) as met:
        await api.until(lambda: bool(api.menu))

        outcomes = [await sent(met.telegram, full), await sent(met.telegram, "a" * 4096)]

        assert [type(each) for each in outcomes] == [Delivered, Delivered]
        assert len(tove.of_bot()) == 2


async def test_what_is_scheduled_comes_without_a_sound_and_what_is_asked_for_with_one() -> None:
    api = BotApi()
    tove = api.person()
    async with meeting(api) as met:
        await api.until(lambda: bool(api.menu))
        await sent(met.telegram, "today: bench", silent=True)
        await sent(met.telegram, "bench press 80 kg × 5")

        assert [each.silent for each in tove.of_bot()] == [True, False]


async def test_a_picture_carries_the_line_that_says_the_same() -> None:
    api = BotApi()
    tove = api.person()
    async with meeting(api) as met:
        await api.until(lambda: bool(api.menu))

        message = OutgoingMessage(text="est. 1RM 100 kg < 105", picture=Picture(content=b"\x89PNG"))
        outcome = await met.telegram.send(TOVE, message, key="1", silent=True)

        [picture] = tove.of_bot()
        assert outcome == Delivered(str(picture.number))
        assert (picture.text, picture.picture, picture.silent) == ("est. 1RM 100 kg < 105", 4, True)


async def test_typing_shows_only_when_an_answer_takes_more_than_half_a_second() -> None:
    api = BotApi()
    quick, slow = api.person(1), api.person(2)
    async with meeting(api) as met:
        begun_s = asyncio.get_running_loop().time()
        quick.says("bench 80x5")
        await met.answered(quick)
        was_quick = asyncio.get_running_loop().time() - begun_s < TYPING_AFTER_S
        met.holds.clear()
        slow.says("bench 80x5")
        await api.until(lambda: bool(slow.typing))
        met.holds.set()
        await met.answered(slow)

        assert slow.typing == 1
        # A machine that is busy with something else may take longer even over this one.
        assert quick.typing == 0 or not was_quick


async def test_where_many_wait_typing_shows_in_a_few_chats_only() -> None:
    api = BotApi()
    waiting = [api.person(number) for number in range(1, 41)]
    async with meeting(api) as met:
        met.holds.clear()
        begun_s = asyncio.get_running_loop().time()
        for person in waiting:
            person.says("bench 80x5")
        await api.until(lambda: any(person.typing for person in waiting))
        met.holds.set()
        await asyncio.gather(*[met.answered(person) for person in waiting])

        # The first, and one more in each piece of time that passed.
        most = 1 + (asyncio.get_running_loop().time() - begun_s) / TYPING_EVERY_S
        assert 1 <= sum(person.typing for person in waiting) <= most


async def test_who_blocks_the_bot_is_noted_and_who_comes_back_is_heard() -> None:
    api = BotApi()
    tove = api.person()
    async with meeting(api) as met:
        tove.says("bench 80x5")
        await met.answered(tove)
        tove.blocks()
        await api.until(lambda: not api.updates.waiting)
        tove.unblocks()
        tove.says("bench 82.5x5")
        await met.quiet(tove)

        reach = [each.reachable for each in met.received if hasattr(each, "reachable")]
        assert reach == [False, True]
        assert len(met.sets(tove)) == 2


async def test_a_chat_that_takes_its_time_holds_up_no_other() -> None:
    api = BotApi()
    slow, quick = api.person(1), api.person(2)
    async with meeting(api) as met:
        await api.until(lambda: bool(api.menu))
        api.fail("sendMessage", Hang())
        waiting = asyncio.create_task(sent(met.telegram, to=Address("telegram", "1")))
        await api.until(lambda: bool(slow.of_bot()))

        outcome = await sent(met.telegram, to=Address("telegram", "2"))

        assert isinstance(outcome, Delivered)
        assert not waiting.done()
        assert len(quick.of_bot()) == 1
        waiting.cancel()


# --- As it looks


@given(st.text(alphabet=st.sampled_from("ab`^<>&\n 🏋é'\"") | st.characters(exclude_categories=["Cs"])))
def test_any_text_is_html_that_the_platform_takes_and_shows_nothing_but_that_text(text: str) -> None:
    # the one thing taken out is a pair of backticks around what stands in one width
    shown = seen(as_html(text))

    assert shown.replace("`", "") == text.replace("`", "")
    assert units(shown) <= units(text)


@pytest.mark.parametrize(
    ("labels", "rows"),
    [
        (["0", "1", "2", "3", "4+"], [5]),
        (["yes, keep it", "no"], [2]),
        (["bench 80 kg x 5", "bench 5 kg x 80"], [1, 1]),
        (["it fades as I warm up", "it changes how I lift", "sharp, sudden or numb"], [1, 1, 1]),
        (["1", "2", "3", "4", "5", "skip"], [5, 1]),
    ],
)
def test_buttons_stand_side_by_side_where_a_thumb_tells_them_apart(labels: list[str], rows: list[int]) -> None:
    choices = tuple(Choice(label=each, send=each) for each in labels)

    made = keyboard(OutgoingMessage(text="?", choices=choices, question="abcdefghijkl"))

    assert made is not None
    assert [len(row) for row in made.inline_keyboard] == rows
    assert [each.text for row in made.inline_keyboard for each in row] == labels


def test_what_asks_nothing_has_no_buttons() -> None:
    assert keyboard(OutgoingMessage(text="done")) is None
