import asyncio
from datetime import UTC, datetime
from pathlib import Path
from urllib.parse import unquote

import pytest

from bot.connectors.matrix.connector import LIMITS
from bot.connectors.matrix.door import Door
from bot.connectors.matrix.formatting import sign_of
from core.application.rows import OutboxRow
from core.domain.profile import Address
from tests.bot.connectors.matrix.lifter import Lifter, lifter
from tests.bot.connectors.matrix.running import bot_on
from tests.bot.connectors.matrix.way import Way, way_to
from tests.homeserver import Homeserver

ROOMS = pytest.mark.parametrize("encrypted", [False, True], ids=["plain", "encrypted"])


async def greeted(phone: Lifter, bot: str, *, encrypted: bool) -> str:
    """A room with the bot where the first set, and the welcome behind it, are done."""
    room = await phone.meet(bot, encrypted=encrypted)
    await phone.say(room, "bench 80x5 rir2")
    await phone.until_answered(bot, 2)
    return room


@ROOMS
def test_sets_edits_deletions_and_threads_are_answered(server: Homeserver, folder: Path, *, encrypted: bool) -> None:
    async def talk() -> None:
        user, tove = server.new_user("rackside"), server.new_user("tove")
        async with bot_on(server, folder, user=user), lifter(server, tove) as phone:
            room = await phone.meet(user, encrypted=encrypted)

            said = await phone.say(room, "bench 80x5 rir2")
            first, welcome = await phone.until_answered(user, 2)
            assert first.text.startswith("bench press 80 kg × 5, 2 left")
            assert first.content["msgtype"] == "m.notice"
            assert "<code>help</code>" in str(welcome.content["formatted_body"])

            await phone.tell(
                room,
                {
                    "msgtype": "m.text",
                    "body": "* bench 82.5x5 rir2",
                    "m.new_content": {"msgtype": "m.text", "body": "bench 82.5x5 rir2"},
                    "m.relates_to": {"rel_type": "m.replace", "event_id": said},
                },
            )
            edited = (await phone.until_answered(user, 3))[2]
            assert edited.text.startswith("now: bench press 82.5 kg × 5, 2 left")

            await phone.room_redact(room, said)
            deleted = (await phone.until_answered(user, 4))[3]
            assert deleted.text.startswith("taken back: bench press 82.5 kg × 5")

            began = await phone.say(room, "warming up the shoulders", msgtype="m.emote")
            await phone.say(room, "squat 100x5", **{"m.relates_to": {"rel_type": "m.thread", "event_id": began}})
            threaded = (await phone.until_answered(user, 5))[4]
            assert threaded.text.startswith("squat 100 kg × 5")
            relation = threaded.content["m.relates_to"]
            assert isinstance(relation, dict)
            assert (relation["rel_type"], relation["event_id"]) == ("m.thread", began)

            await phone.say(room, "squat 100x4")
            outside = (await phone.until_answered(user, 6))[5]
            assert "m.relates_to" not in outside.content

    asyncio.run(talk())


@ROOMS
def test_a_question_is_answered_by_a_reaction_or_a_letter(server: Homeserver, folder: Path, *, encrypted: bool) -> None:
    async def talk() -> None:
        user, tove = server.new_user("rackside"), server.new_user("tove")
        async with bot_on(server, folder, user=user), lifter(server, tove) as phone:
            room = await greeted(phone, user, encrypted=encrypted)

            await phone.say(room, "forget me")
            asked = (await phone.until_answered(user, 3))[2]
            assert "\n  a) " in asked.text
            await phone.until(lambda: sum(each.kind == "m.reaction" for each in phone.heard) == 2)

            relation = {"rel_type": "m.annotation", "event_id": asked.event, "key": sign_of(1)}
            await phone.tell(room, {"m.relates_to": relation}, kind="m.reaction")
            assert (await phone.until_answered(user, 4))[3].text == "left as it was"

            await phone.say(room, "forget me")
            await phone.until_answered(user, 5)
            await phone.say(room, "a")
            assert "erased" in (await phone.until_answered(user, 6))[5].text

    asyncio.run(talk())


def test_a_message_is_seen_to_be_read_and_a_slow_answer_to_be_typed(server: Homeserver, folder: Path) -> None:
    async def talk() -> None:
        user, tove = server.new_user("rackside"), server.new_user("tove")
        async with (
            way_to(server.url) as way,
            bot_on(server, folder, user=user, url=way.url),
            lifter(server, tove) as phone,
        ):
            room = await greeted(phone, user, encrypted=False)
            before = told_of(way, "/typing/")
            way.hold("PUT .*/send/")
            said = await phone.say(room, "bench 79x5")
            await phone.until(lambda: told_of(way, "/typing/") == before + 1)
            way.hold(None)
            await phone.until_answered(user, 3)
            # And to be typed no more.
            await phone.until(lambda: told_of(way, "/typing/") == before + 2)

            assert told_of(way, f"/receipt/m.read/{said}") == 1

    asyncio.run(talk())


def told_of(way: Way, what: str) -> int:
    """How often the homeserver was told something."""
    return sum(what in unquote(each) for each in way.passed)


def test_an_answer_that_is_too_long_comes_in_parts_in_order_and_once(server: Homeserver, folder: Path) -> None:
    # Letters that grow most on their way, in the smallest number of messages that holds them.
    lines = [f"{number:04d} " + "×" * 60 for number in range(3 * LIMITS.size // 126)]

    async def talk() -> None:
        user, tove = server.new_user("rackside"), server.new_user("tove")
        async with bot_on(server, folder, user=user) as bot, lifter(server, tove) as phone:
            await greeted(phone, user, encrypted=True)
            row = OutboxRow(
                address=Address("matrix", tove), message_id=None, text="\n".join(lines), created_at=datetime.now(UTC)
            )
            bot.store.submit(lambda work: work.outbox.add([row], lifter_id=None)).result()
            await phone.until(lambda: any(lines[-1] in each.text for each in phone.answers(user)))
            parts = [each.text for each in phone.answers(user)[2:]]

            assert [line for part in parts for line in part.splitlines() if line in lines] == lines
            assert all(len(part.encode()) <= LIMITS.size for part in parts)
            assert len(parts) > 2

    asyncio.run(talk())


def test_what_others_write_notices_and_foreign_edits_change_nothing(server: Homeserver, folder: Path) -> None:
    async def talk() -> None:
        user, tove, ida = server.new_user("rackside"), server.new_user("tove"), server.new_user("ida")
        door = Door(users=frozenset({tove}))
        async with (
            bot_on(server, folder, user=user, door=door),
            lifter(server, tove) as phone,
            lifter(server, ida) as other,
        ):
            # given an invitation by a stranger, which stays open
            stranger = await other.open_room(user, encrypted=False)
            room = await phone.meet(user, encrypted=False)
            said = await phone.say(room, "bench 80x5 rir2")
            await phone.until_answered(user, 2)

            # when another is in the room
            await phone.room_invite(room, ida)
            await other.enter(room)
            await phone.until(lambda: phone.is_with(room, ida))
            await other.tell(
                room,
                {
                    "msgtype": "m.text",
                    "body": "* bench 180x5",
                    "m.new_content": {"msgtype": "m.text", "body": "bench 180x5"},
                    "m.relates_to": {"rel_type": "m.replace", "event_id": said},
                },
            )
            name = user.removeprefix("@").partition(":")[0]
            await other.say(room, f"{name}: bench 60x5")
            await phone.say(room, "bench felt light")
            await phone.say(room, f"{name}: bench 80x4 rir2")
            await phone.until_answered(user, 3)
            alone = await phone.meet(user, encrypted=False)
            await phone.say(room, f"{name}: bench 80x4 rir2")
            await phone.until_answered(user, 5)
            await phone.say(alone, "nothing to see", msgtype="m.notice")
            await phone.say(alone, "history bench")
            answers = await phone.until_answered(user, 6)

            # then the shared room saw nobody's log, and the direct one has what its lifter wrote
            shared = [each.text for each in answers if each.room == room]
            assert shared[2:] == [
                "open a chat with me first: a group sees nobody's log",
                "answered in our own chat: a group sees nobody's log",
            ]
            direct = [each.text for each in answers if each.room == alone]
            assert [text.splitlines()[0] for text in direct] == [
                "bench press 80 kg × 4, 2 left · set 2",
                "bench press, the last session:",
            ]
            assert "180" not in direct[1]
            await other.look()
            assert not other.is_with(stranger, user)

    asyncio.run(talk())
