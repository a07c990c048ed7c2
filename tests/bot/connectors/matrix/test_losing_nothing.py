"""Nothing is lost and nothing is said twice, whenever a process ends and however much was written meanwhile."""

import asyncio
import shutil
import signal
from datetime import timedelta
from pathlib import Path

from bot.connectors.matrix.client import TIMELINE
from bot.connectors.matrix.door import Door
from tests.bot.connectors.matrix.lifter import lifter
from tests.bot.connectors.matrix.running import bot_on, told
from tests.bot.connectors.matrix.served import PROCESSES
from tests.bot.connectors.matrix.test_talking import ROOMS, greeted
from tests.bot.connectors.matrix.victim import talk
from tests.bot.connectors.matrix.way import way_to
from tests.homeserver import Homeserver

POINTS = (
    "before keys",
    "after keys",
    "before receiving",
    "after receiving",
    "before token",
    "after token",
    "before commit",
    "after commit",
    "before sending to the room",
    "after sending to the room",
)


def load_of(number: int) -> float:
    """A load that no other message has; it only falls, for a lighter one is never asked about. [kg]"""
    return 79.5 - number * 0.5


async def killed_at(point: str, server: Homeserver, user: str, folder: Path) -> int | None:
    """Exit code of a bot that was to die at a point."""
    process = PROCESSES.Process(target=talk, args=(server.url, user, folder), kwargs={"point": point})
    process.start()
    await asyncio.to_thread(process.join, 60)
    if process.exitcode is None:
        process.kill()
        process.join()
        return None
    return process.exitcode


@ROOMS
def test_killed_anywhere_each_message_is_answered_once_and_in_order(
    server: Homeserver, folder: Path, *, encrypted: bool
) -> None:
    async def storm() -> None:
        user, tove = server.new_user("rackside"), server.new_user("tove")
        async with lifter(server, tove) as phone:
            async with bot_on(server, folder, user=user):
                room = await greeted(phone, user, encrypted=encrypted)

            codes = []
            for number, point in enumerate(POINTS):
                if encrypted:
                    # The key of the message comes with the message.
                    phone.invalidate_outbound_session(room)
                await phone.say(room, f"bench {load_of(number):g}x5")
                codes.append(await killed_at(point, server, user, folder))
            async with bot_on(server, folder, user=user):
                await phone.say(room, "week")
                answers = await phone.until_answered(user, 2 + len(POINTS) + 1)

            assert codes == [-signal.SIGKILL] * len(POINTS)
            said = [each.text.splitlines()[0] for each in answers[2:-1]]
            assert said == [
                f"bench press {load_of(number):g} kg × 5 · set {number + 2}" for number in range(len(POINTS))
            ]
            assert "chest" in answers[-1].text

    asyncio.run(storm())


def test_an_answer_that_went_out_under_a_lost_device_is_not_said_again_by_the_new_one(
    server: Homeserver, folder: Path
) -> None:
    async def go_on() -> None:
        user, tove = server.new_user("rackside"), server.new_user("tove")
        async with lifter(server, tove) as phone:
            async with bot_on(server, folder, user=user):
                room = await greeted(phone, user, encrypted=True)
            await phone.say(room, "bench 79x5")
            code = await killed_at("after sending to the room", server, user, folder)
            for file in (folder / "matrix" / "crypto").iterdir():
                file.unlink()

            # when a new device goes on, to which the homeserver knows no transaction
            async with bot_on(server, folder, user=user) as bot:
                await phone.until(
                    lambda: bot.store.submit(lambda work: not work.outbox.waiting("matrix", limit=9)).result()
                )
                await phone.until_answered(user, 3)
                await phone.look()

            assert code == -signal.SIGKILL
            assert [each.text.splitlines()[0] for each in phone.answers(user)[2:]] == ["bench press 79 kg × 5 · set 2"]

    asyncio.run(go_on())


def test_a_message_of_yesterday_is_looked_for_before_it_is_sent_again(server: Homeserver, folder: Path) -> None:
    async def go_on() -> None:
        user, tove = server.new_user("rackside"), server.new_user("tove")
        async with way_to(server.url) as way, lifter(server, tove) as phone:
            async with bot_on(server, folder, user=user, url=way.url) as bot:
                await greeted(phone, user, encrypted=False)
                await told(bot, tove, "today: squat", key="due")
            sent = len([each for each in way.passed if "/send/m.room.message" in each])

            # A day later the homeserver may have forgotten the transaction.
            async with bot_on(server, folder, user=user, url=way.url, later=timedelta(hours=25)) as bot:
                await told(bot, tove, "today: squat", key="due")
                await told(bot, tove, "today: bench press", key="due too")
                await phone.until_answered(user, 4)

            assert len([each for each in way.passed if "/send/m.room.message" in each]) == sent + 1
            assert [each.text for each in phone.answers(user)[2:]] == ["today: squat", "today: bench press"]

    asyncio.run(go_on())


def test_what_was_written_while_the_bot_was_down_is_answered_in_order(server: Homeserver, folder: Path) -> None:
    # More than the homeserver tells at once, and encrypted, so that what is paged for is decrypted, too.
    count = TIMELINE + 10

    async def wait_for_it() -> None:
        user, tove = server.new_user("rackside"), server.new_user("tove")
        async with lifter(server, tove) as phone:
            async with bot_on(server, folder, user=user):
                room = await greeted(phone, user, encrypted=True)
            for number in range(count):
                await phone.say(room, f"bench {79.75 - number * 0.25:g}x5")

            async with bot_on(server, folder, user=user):
                answers = await phone.until_answered(user, 2 + count, patience_s=120)

            assert [each.text.splitlines()[0] for each in answers[2:]] == [
                f"bench press {79.75 - number * 0.25:g} kg × 5 · set {number + 2}" for number in range(count)
            ]

    asyncio.run(wait_for_it())


def test_rooms_opened_while_the_bot_was_down_are_joined_and_answered_but_a_strangers(
    server: Homeserver, folder: Path
) -> None:
    async def wait_for_it() -> None:
        user, *people = (server.new_user(name) for name in ("rackside", "tove", "ida", "mallory"))
        door = Door(users=frozenset(people[:2]))
        async with (
            lifter(server, people[0]) as phone,
            lifter(server, people[1]) as other,
            lifter(server, people[2]) as stranger,
        ):
            async with bot_on(server, folder, user=user, door=door):
                await greeted(phone, user, encrypted=False)
            uninvited = await stranger.open_room(user, encrypted=False)
            await stranger.say(uninvited, "squat 200x5")
            room = await other.open_room(user, encrypted=False)
            await other.say(room, "squat 100x5")

            async with bot_on(server, folder, user=user, door=door):
                first, *_ = await other.until_answered(user, 2)
                await stranger.look()

            assert first.text.startswith("squat 100 kg × 5")
            assert not stranger.is_with(uninvited, user)
            assert stranger.answers(user) == []

    asyncio.run(wait_for_it())


def test_a_bot_that_starts_for_the_first_time_is_silent_on_what_was_said_before(
    server: Homeserver, folder: Path, empty_file: Path
) -> None:
    new = folder / "new"
    new.mkdir()
    shutil.copy(empty_file, new / "rackside.db")

    async def begin() -> None:
        user, tove = server.new_user("rackside"), server.new_user("tove")
        async with lifter(server, tove) as phone:
            async with bot_on(server, folder, user=user):
                room = await greeted(phone, user, encrypted=False)
            await phone.say(room, "bench 60x5")

            # when another installation takes the account over
            async with bot_on(server, new, user=user):
                # It enters rooms once it knows how far they are read.
                await phone.meet(user, encrypted=False)
                await phone.say(room, "squat 100x5")
                answers = await phone.until_answered(user, 4)

            assert [each.text.splitlines()[0] for each in answers[2:]] == [
                "squat 100 kg × 5",
                "new here? `start` tells who runs this and what is kept, `help` what you can text",
            ]

    asyncio.run(begin())
