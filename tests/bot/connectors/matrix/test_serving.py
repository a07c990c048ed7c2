"""`rackside serve` with Matrix, as an operator runs it: a conversation, kills from outside, and two platforms at once."""

import asyncio
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import pytest

from tests.bot.connectors.matrix.lifter import Lifter, lifter
from tests.bot.connectors.matrix.served import Served, serving, settings_in
from tests.bot.connectors.matrix.test_talking import ROOMS
from tests.bot.connectors.matrix.way import way_to
from tests.homeserver import Homeserver
from tests.telegram_api.server import BotApi


def lines(phone: Lifter, user: str) -> list[str]:
    """First lines of what the bot said."""
    return [each.text.splitlines()[0] for each in phone.answers(user)]


@ROOMS
def test_a_lifter_invites_logs_edits_and_takes_back(server: Homeserver, folder: Path, *, encrypted: bool) -> None:
    async def talk() -> None:
        user, tove = server.new_user("rackside"), server.new_user("tove")
        async with (
            serving(settings_in(folder, user=user, url=server.url), folder / "log") as served,
            lifter(server, tove) as phone,
        ):
            room = await phone.meet(user, encrypted=encrypted)
            said = await phone.say(room, "bench 80x5 rir2")
            await phone.until_answered(user, 2)
            await phone.say(room, "bench 79x5")
            await phone.until_answered(user, 3)
            edit = {"msgtype": "m.text", "body": "bench 82.5x5 rir2"}
            relation = {"rel_type": "m.replace", "event_id": said}
            await phone.say(room, "* bench 82.5x5 rir2", **{"m.new_content": edit, "m.relates_to": relation})
            await phone.until_answered(user, 4)
            await phone.room_redact(room, said)
            await phone.until_answered(user, 5)
            code = await served.stop()

            heard = lines(phone, user)
            assert heard[0].startswith("bench press 80 kg × 5, 2 left")
            assert heard[1].startswith("new here? `start`")
            assert heard[2].startswith("bench press 79 kg × 5")
            assert heard[3].startswith("now: bench press 82.5 kg × 5")
            assert heard[4].startswith("taken back: bench press 82.5 kg × 5")
            assert code == 0
            # It says who it serves and that it stopped, and no word of anybody's.
            assert "stopped" in served.said
            assert "Traceback" not in served.said
            assert "bench" not in served.said

    asyncio.run(talk())


@dataclass(frozen=True, slots=True)
class Point:
    """A request at which the process is killed, seen from the homeserver's side."""

    path: str
    answered: bool
    news: bool = False


POINTS = (
    # News are on their way to it: nothing is received yet.
    Point("GET .*/sync", answered=True, news=True),
    # It says that it read the message: it is received.
    Point("POST .*/receipt/", answered=False),
    # It sends the answer: handled and queued.
    Point("PUT .*/send/", answered=False),
    # The answer is in the room, and it does not know.
    Point("PUT .*/send/", answered=True),
    # It asks for what comes behind the message: all of it is done.
    Point("GET .*/sync.*since", answered=False),
)


def test_killed_from_outside_each_message_is_answered_once_and_in_order(server: Homeserver, folder: Path) -> None:
    async def storm() -> None:
        user, tove = server.new_user("rackside"), server.new_user("tove")
        async with way_to(server.url) as way, lifter(server, tove) as phone:
            settings = settings_in(folder, user=user, url=way.url)
            async with serving(settings, folder / "log"):
                room = await phone.meet(user, encrypted=True)
                await phone.say(room, "bench 90x5 rir2")
                await phone.until_answered(user, 2)

            for number, point in enumerate(POINTS):
                text = f"bench {80 - number}x5"
                event = await phone.say(room, text)
                served = Served(settings, folder / "log")
                try:
                    way.strike(point.path, served.kill, answered=point.answered, holding=event if point.news else "")
                    await phone.until(lambda: not way.strikes)
                finally:
                    served.kill()
            async with serving(settings, folder / "log"):
                await phone.say(room, "week")
                await phone.until_answered(user, 2 + len(POINTS) + 1)
                await phone.look()

            assert lines(phone, user)[2:-1] == [
                f"bench press {80 - number} kg × 5 · set {number + 2}" for number in range(len(POINTS))
            ]

    asyncio.run(storm())


def test_two_platforms_are_served_at_once_and_one_lifter_has_one_log_on_both(server: Homeserver, folder: Path) -> None:
    async def talk() -> None:
        user, tove = server.new_user("rackside"), server.new_user("tove")
        api = BotApi()
        await api.start()
        chat = api.person(1001)
        settings = {
            **settings_in(folder, user=user, url=server.url),
            "RACKSIDE_TELEGRAM_TOKEN": api.token,
            "RACKSIDE_TELEGRAM_API": api.base_url.removesuffix("/bot"),
            "RACKSIDE_TELEGRAM_ALLOWED": "1001",
        }
        try:
            async with serving(settings, folder / "log") as served, lifter(server, tove) as phone:
                chat.says("bench 80x5 rir2")
                await api.until(lambda: len(chat.texts()) >= 2, within_s=60)
                chat.says("link")
                await api.until(lambda: "within 10 minutes" in chat.texts()[-1], within_s=60)
                code = chat.texts()[-1].splitlines()[1]

                room = await phone.meet(user, encrypted=True)
                await phone.say(room, code)
                await phone.until_answered(user, 1)
                await api.until(partial(has_button, chat.of_bot, "yes, that was me"), within_s=60)
                chat.taps("yes, that was me")
                await phone.until(lambda: any(each.startswith("linked:") for each in lines(phone, user)))
                answered = len(phone.answers(user))
                await phone.say(room, "82.5x5")
                await phone.until_answered(user, answered + 1)
                ended = await served.stop()

                assert lines(phone, user)[-1].startswith("bench press 82.5 kg × 5 · set 2")
                assert tove in next(each.text for each in chat.of_bot() if "typed your code" in each.text)
                assert ended == 0
                assert "Traceback" not in served.said
        finally:
            await api.stop()

    asyncio.run(talk())


def has_button(messages: object, label: str) -> bool:
    """Whether the newest message has a button."""
    assert callable(messages)
    return any(label in each.labels for each in messages())


def test_a_setting_that_is_wrong_is_said_before_anything_is_served(folder: Path) -> None:
    async def serve() -> tuple[int | None, str]:
        settings = {**settings_in(folder, user="", url="http://127.0.0.1:9"), "RACKSIDE_MATRIX_ALLOWED": ""}
        async with serving(settings, folder / "log") as served:
            return await served.ended(), served.said

    code, said = asyncio.run(serve())

    assert code == 1
    assert "matrix: whose password is it: set RACKSIDE_MATRIX_USER" in said
    assert "Traceback" not in said


@pytest.mark.parametrize("second", ["another log", "the same log"])
def test_a_second_process_for_one_bot_is_refused(server: Homeserver, folder: Path, second: str) -> None:
    async def serve() -> tuple[int | None, str]:
        user, tove = server.new_user("rackside"), server.new_user("tove")
        settings = settings_in(folder, user=user, url=server.url)
        async with serving(settings, folder / "log"), lifter(server, tove) as phone:
            room = await phone.meet(user, encrypted=False)
            more = {"RACKSIDE_DB": f"sqlite:///{folder / 'other.db'}"} if second == "another log" else {}
            async with serving({**settings, **more}, folder / "second log") as other:
                code = await other.ended()
            await phone.say(room, "bench 80x5")
            await phone.until_answered(user, 1)
            return code, other.said

    code, said = asyncio.run(serve())

    assert code == 1
    assert ("another process uses" if second == "another log" else "another process serves") in said
