"""What goes wrong with keys, homeservers and events is bounded, loses nothing, and is told to whom it concerns."""

import asyncio
import shutil
from contextlib import suppress
from datetime import timedelta
from functools import partial
from pathlib import Path

import pytest
import vodozemac
from nio.responses import LogoutResponse

from bot.connectors.matrix.connector import LIMITS
from bot.connectors.matrix.json_values import Json, object_in, text_in
from bot.connectors.matrix.login import CannotLogIn
from bot.connectors.matrix.signing import canonical
from bot.connectors.matrix.state import State, StateTaken
from bot.delivery.connector import Delivered, RetryAfter
from bot.messages import OutgoingMessage
from core.domain.profile import Address
from core.storage.unit_of_work import open_store
from tests.bot.connectors.matrix.lifter import Lifter, lifter
from tests.bot.connectors.matrix.running import Bot, bot_on, told
from tests.bot.connectors.matrix.test_talking import greeted
from tests.bot.connectors.matrix.way import way_to
from tests.homeserver import Homeserver

UNREADABLE = "a message of yours came encrypted and can't be read here: send it again"


AGAIN = 4
"""How often something is said that is not answered."""

AGAIN_AFTER_S = 10.0
"""When it is said again. [s]"""


def device_of(folder: Path) -> str:
    """The bot's device, as its state folder has it."""
    state = State(folder / "matrix")
    credentials = state.credentials()
    state.close()
    assert credentials is not None
    return credentials.device


def test_a_new_device_of_a_lifter_reads_the_answer_to_its_first_message(server: Homeserver, folder: Path) -> None:
    async def talk() -> None:
        user, tove = server.new_user("rackside"), server.new_user("tove")
        async with bot_on(server, folder, user=user), lifter(server, tove) as phone:
            room = await greeted(phone, user, encrypted=True)

            async with lifter(server, tove) as tablet:
                await tablet.say(room, "bench 79x5")
                await tablet.until(lambda: any("79 kg" in each.text for each in tablet.heard if each.sender == user))
                await phone.until_answered(user, 3)

            assert phone.answers(user)[2].text.startswith("bench press 79 kg × 5")

    asyncio.run(talk())


def test_after_a_start_with_nothing_new_the_bot_can_write_first(server: Homeserver, folder: Path) -> None:
    async def talk() -> None:
        user, tove = server.new_user("rackside"), server.new_user("tove")
        async with lifter(server, tove) as phone:
            async with bot_on(server, folder, user=user):
                await greeted(phone, user, encrypted=True)
            async with bot_on(server, folder, user=user) as bot:
                await told(bot, tove, "today: bench press", key="due")
                await told(bot, tove, "today: bench press", key="due")
                # As long as a message gets, of letters that grow most on their way.
                long = "×" * (LIMITS.size // 2)
                await told(bot, tove, long, key="long")
                answers = await phone.until_answered(user, 4)

            assert [each.text for each in answers[2:]] == ["today: bench press", long]

    asyncio.run(talk())


def test_a_key_that_is_not_shared_or_not_in_time_is_neither_silent_nor_for_ever(
    server: Homeserver, folder: Path
) -> None:
    async def talk() -> None:
        user, tove = server.new_user("rackside"), server.new_user("tove")
        async with (
            way_to(server.url) as way,
            bot_on(server, folder, user=user, url=way.url) as bot,
            lifter(server, tove) as phone,
        ):
            room = await greeted(phone, user, encrypted=True)

            # when the key of an answer gets through to nobody at first
            await phone.look()
            async with lifter(server, tove) as tablet:
                way.refuse("PUT .*/sendToDevice/", 500, times=2)
                await tablet.say(room, "bench 79x5")
                await tablet.until(lambda: any("79 kg" in each.text for each in tablet.heard if each.sender == user))
                await phone.until_answered(user, 3)

                # and when a sending is given up in the middle of sharing a key
                async with lifter(server, tove) as watch:
                    await tablet.say(room, "bench 78x5")
                    await phone.until_answered(user, 4)
                    async with lifter(server, tove) as spare:
                        await spare.look()
                        way.hold("POST .*/keys/claim")
                        sending = asyncio.create_task(told(bot, tove, "today: squat", key="due"))
                        await asyncio.wait([sending], timeout=1)
                        sending.cancel()
                        await asyncio.wait([sending])
                        way.hold(None)
                        await told(bot, tove, "today: squat", key="due")
                        for device in (phone, tablet, watch, spare):
                            await device.until(partial(has_said, device, user, "today: squat"))

            assert said(phone, user, "bench press 79 kg × 5 · set 2") == 1

    asyncio.run(talk())


def said(device: Lifter, user: str, line: str) -> int:
    """How often a device reads a message that begins with a line."""
    return sum(each.text.splitlines()[:1] == [line] for each in device.answers(user))


def has_said(device: Lifter, user: str, line: str) -> bool:
    """Whether a device reads just one message that begins with a line."""
    return said(device, user, line) == 1


def test_a_message_whose_key_comes_late_is_told_of_once_and_then_counts(server: Homeserver, folder: Path) -> None:
    async def talk() -> None:
        user, tove = server.new_user("rackside"), server.new_user("tove")
        grace = timedelta(seconds=1)
        async with way_to(server.url) as way, lifter(server, tove) as phone:
            async with bot_on(server, folder, user=user, url=way.url, grace=grace):
                room = await greeted(phone, user, encrypted=True)
                way.keeps_keys = True
                phone.invalidate_outbound_session(room)
                await phone.say(room, "bench 79x5")
                await phone.until_answered(user, 3)
            # when it is started again, and then the key comes
            async with bot_on(server, folder, user=user, url=way.url, grace=grace):
                way.give_keys()
                phone.invalidate_outbound_session(room)
                await phone.say(room, "bench 78x5")
                answers = await phone.until_answered(user, 5)

            assert answers[2].text == UNREADABLE
            assert sorted(each.text.partition(" ·")[0] for each in answers[3:]) == [
                "bench press 78 kg × 5",
                "bench press 79 kg × 5",
            ]

    asyncio.run(talk())


def test_events_that_are_made_to_break_a_reader_are_passed_over(server: Homeserver, folder: Path) -> None:
    payloads = [
        "no json",
        "[" * 5_000,
        '{"type": "m.room.message"}',
        '{"type": "m.room.message", "content": []}',
        '{"type": "m.room.message", "content": {"msgtype": "m.text", "body": 5}}',
        '{"type": "m.room.message", "content": {"msgtype": "m.text", "body": "x", "m.relates_to": 7}}',
        '{"type": 5, "content": {}}',
        '{"type": "m.room.message", "content": {"m.relates_to": {"rel_type": "m.replace", "event_id": []}}}',
        '{"type": "m.room.redaction", "content": {"redacts": {"a": 1}}, "redacts": []}',
        '{"type": "m.room.member", "state_key": 5, "content": {"membership": null}}',
    ]
    bare: list[tuple[str, Json]] = [
        ("m.room.encrypted", {"algorithm": "m.megolm.v1.aes-sha2", "ciphertext": "%%%"}),
        ("m.room.encrypted", {"algorithm": 5}),
        ("m.room.encrypted", {}),
        ("m.room.message", {"msgtype": "m.text", "body": "\u0000", "m.new_content": [], "formatted_body": 5}),
        ("m.reaction", {}),
    ]

    async def talk() -> None:
        user, tove = server.new_user("rackside"), server.new_user("tove")
        async with bot_on(server, folder, user=user), lifter(server, tove) as phone:
            room = await greeted(phone, user, encrypted=True)
            for payload in payloads:
                await put_encrypted(phone, room, payload)
            for kind, content in bare:
                await put(phone, room, kind, content)

            await phone.say(room, "bench 79x5")
            await phone.until(lambda: said(phone, user, "bench press 79 kg × 5 · set 2") == 1)

    asyncio.run(talk())


async def put_encrypted(phone: Lifter, room: str, payload: str) -> None:
    """Send a payload as an encrypted event whose key the bot has."""
    assert phone.olm is not None
    session = phone.olm.outbound_group_sessions[room]
    await put(
        phone,
        room,
        "m.room.encrypted",
        {
            "algorithm": "m.megolm.v1.aes-sha2",
            "sender_key": phone.olm.account.identity_keys["curve25519"],
            "ciphertext": session.encrypt(payload),  # type: ignore[no-untyped-call]  # the library's own
            "session_id": session.id,
            "device_id": phone.device_id,
        },
    )


async def put(phone: Lifter, room: str, kind: str, content: Json) -> None:
    """Send an event just as it is."""
    known = phone.rooms[room]
    known.encrypted = False
    try:
        await phone.tell(room, object_in(content), kind=kind)
    finally:
        known.encrypted = True


@pytest.mark.parametrize("what", ["lost", "brought back"])
def test_keys_that_are_lost_or_old_make_a_new_device_that_everybody_can_talk_to(
    server: Homeserver, folder: Path, what: str
) -> None:
    async def talk() -> None:
        user, tove = server.new_user("rackside"), server.new_user("tove")
        async with lifter(server, tove) as phone:
            async with bot_on(server, folder, user=user):
                room = await greeted(phone, user, encrypted=True)
            before = device_of(folder)
            if what == "lost":
                for file in (folder / "matrix" / "crypto").iterdir():
                    file.unlink()
            else:
                shutil.copytree(folder / "matrix", folder / "copy")
                async with bot_on(server, folder, user=user):
                    await phone.say(room, "bench 79.5x5")
                    await phone.until_answered(user, 3)
                shutil.rmtree(folder / "matrix")
                (folder / "copy").rename(folder / "matrix")

            async with bot_on(server, folder, user=user):
                # Whoever writes before the new device is known, and can be written to, can't be read by it.
                await phone.until(lambda: knows_another_device(phone, user, before))
                await said_until_answered(phone, room, user, "bench 79x5", has="79 kg × 5")

            assert device_of(folder) != before

    asyncio.run(talk())


async def said_until_answered(phone: Lifter, room: str, user: str, text: str, *, has: str) -> None:
    """Say something until it is answered, as people do, each time under new keys.

    Raises:
        TimeoutError: It was never answered.

    """

    def answered() -> bool:
        return any(has in each.text for each in phone.answers(user))

    for _ in range(AGAIN):
        phone.invalidate_outbound_session(room)
        await phone.say(room, text)
        with suppress(TimeoutError):
            return await phone.until(answered, patience_s=AGAIN_AFTER_S)
    raise TimeoutError(f"{has!r} was not answered")


def knows_another_device(phone: Lifter, user: str, before: str) -> bool:
    """Whether a lifter's client knows a device of the bot that is another one."""
    return any(device.id != before for device in phone.device_store.active_user_devices(user))


def test_the_device_is_signed_by_its_owner_and_its_files_are_its_owners(server: Homeserver, folder: Path) -> None:
    async def talk() -> Json:
        user, tove = server.new_user("rackside"), server.new_user("tove")
        async with lifter(server, tove) as phone:
            async with bot_on(server, folder, user=user):
                await greeted(phone, user, encrypted=True)
            async with bot_on(server, folder, user=user):
                await phone.say(next(iter(phone.rooms)), "week")
                await phone.until_answered(user, 3)
            answer = await phone.send(
                "POST",
                "/_matrix/client/v3/keys/query",
                f'{{"device_keys": {{"{user}": []}}}}',
                {"Authorization": f"Bearer {phone.access_token}"},
            )
            known: Json = await answer.json()
            return {"user": user, **object_in(known)}

    known = asyncio.run(talk())
    user = text_in(known, "user")
    [(_, device)] = object_in(known, "device_keys", user).items()
    [(master_id, master)] = object_in(known, "master_keys", user, "keys").items()
    [(own_id, own)] = object_in(known, "self_signing_keys", user, "keys").items()

    # The library checks what our own signing made.
    check(str(master), text_in(known, "self_signing_keys", user, "signatures", user, master_id), known, user)
    verify(str(own), text_in(device, "signatures", user, own_id), device)
    modes = {path.name: path.stat().st_mode & 0o777 for path in (folder / "matrix").iterdir()}
    assert (folder / "matrix").stat().st_mode & 0o777 == 0o700
    assert {modes[name] for name in ("credentials.json", "signing.json", "connector.db")} == {0o600}
    assert modes["crypto"] == 0o700


def check(public: str, signature: str, known: Json, user: str) -> None:
    verify(public, signature, object_in(known, "self_signing_keys", user))


def verify(public: str, signature: str, signed: Json) -> None:
    """Check an Ed25519 signature of an object with another library than the one that made it."""
    bare = {name: value for name, value in object_in(signed).items() if name not in {"signatures", "unsigned"}}
    key = vodozemac.Ed25519PublicKey.from_base64(public)
    key.verify_signature(canonical(bare), vodozemac.Ed25519Signature.from_base64(signature))


def test_a_bot_that_was_logged_out_stops_and_says_what_to_do(server: Homeserver, folder: Path) -> None:
    async def talk() -> None:
        user = server.new_user("rackside")
        store = open_store(f"sqlite:///{folder / 'rackside.db'}")
        state = State(folder / "matrix")
        stopped = asyncio.create_task(Bot(server.url, user, store, state).run())
        async with lifter(server, user) as operator:
            await operator.until(lambda: state.mark("since") is not None)
            gone = await operator.logout(all_devices=True)
            assert isinstance(gone, LogoutResponse)
            with pytest.raises(ExceptionGroup) as raised:
                await asyncio.wait_for(stopped, timeout=60)
        store.close()

        refused, _ = raised.value.split(CannotLogIn)
        assert refused is not None
        assert "start again with the account's password" in str(refused.exceptions[0])

    asyncio.run(talk())


def test_a_homeserver_that_goes_away_and_comes_back_loses_nothing(server: Homeserver, folder: Path) -> None:
    async def talk() -> None:
        user, tove = server.new_user("rackside"), server.new_user("tove")
        async with (
            way_to(server.url) as way,
            bot_on(server, folder, user=user, url=way.url) as bot,
            lifter(server, tove) as phone,
        ):
            room = await greeted(phone, user, encrypted=False)
            await way.close()
            await phone.say(room, "bench 79x5")
            outcome = await bot.connector.send(
                Address("matrix", tove), OutgoingMessage(text="today: squat"), key="due", silent=True
            )
            await phone.say(room, "bench 78x5")
            way.refuse("GET .*/sync", 502, times=2)
            way.refuse("GET .*/sync", 429, errcode="M_LIMIT_EXCEEDED", error="too fast", retry_after_ms=100)
            await way.open()
            answers = await phone.until_answered(user, 4)

            assert not isinstance(outcome, Delivered)
            assert [each.text.splitlines()[0] for each in answers[2:]] == [
                "bench press 79 kg × 5 · set 2",
                "bench press 78 kg × 5 · set 3",
            ]

    asyncio.run(talk())


def test_a_homeserver_that_wants_pauses_gets_them_and_each_answer_once(server: Homeserver, folder: Path) -> None:
    async def talk() -> None:
        user, tove = server.new_user("rackside"), server.new_user("tove")
        async with (
            way_to(server.url) as way,
            bot_on(server, folder, user=user, url=way.url) as bot,
            lifter(server, tove) as phone,
        ):
            room = await greeted(phone, user, encrypted=False)
            # As the homeserver itself words it.
            way.refuse("PUT .*/send/", 429, times=2, errcode="M_LIMIT_EXCEEDED", error="slow", retry_after_ms=1500)
            outcome = await bot.connector.send(
                Address("matrix", tove), OutgoingMessage(text="today: squat"), key="due", silent=True
            )
            for number in range(3):
                await phone.say(room, f"bench {79 - number}x5")
            answers = await phone.until_answered(user, 5)

            assert outcome == RetryAfter(1.5, whole=True)
            assert [each.text.splitlines()[0] for each in answers[2:]] == [
                f"bench press {79 - number} kg × 5 · set {number + 2}" for number in range(3)
            ]

    asyncio.run(talk())


def test_a_second_process_on_one_state_folder_is_refused(tmp_path: Path) -> None:
    first = State(tmp_path / "matrix")

    with pytest.raises(StateTaken, match="another process uses"):
        State(tmp_path / "matrix")
    first.close()

    State(tmp_path / "matrix").close()
