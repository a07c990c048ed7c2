"""Pictures reach the lifter byte for byte, with their text line, and encrypted where the room is."""

import asyncio
import struct
import zlib
from pathlib import Path

from nio.crypto.attachments import decrypt_attachment
from nio.responses import MemoryDownloadResponse

from bot.connectors.matrix.json_values import object_in, text_in
from bot.connectors.matrix.pictures import size_of
from bot.delivery.connector import Delivered, Failed, RetryAfter
from bot.messages import OutgoingMessage, Picture
from core.domain.profile import Address
from tests.bot.connectors.matrix.lifter import Heard, Lifter, lifter
from tests.bot.connectors.matrix.running import bot_on
from tests.bot.connectors.matrix.test_talking import ROOMS, greeted
from tests.bot.connectors.matrix.way import way_to
from tests.homeserver import Homeserver


def png(wide: int, high: int) -> bytes:
    """A black picture.

    Source:
        PNG specification, sections 5.3 and 11.2: a length, a name, the data and their checksum make a chunk.

    """

    def chunk(name: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    rows = zlib.compress((b"\0" + b"\0" * wide) * high)
    head = struct.pack(">IIBBBBB", wide, high, 8, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


async def downloaded(phone: Lifter, address: str) -> bytes:
    made = await phone.download(address)
    assert isinstance(made, MemoryDownloadResponse), made
    assert isinstance(made.body, bytes)
    return made.body


@ROOMS
def test_a_picture_comes_byte_for_byte_with_its_text_line(server: Homeserver, folder: Path, *, encrypted: bool) -> None:
    picture = png(640, 480)
    shown = OutgoingMessage(text="bench press: 98 kg, 95 to 101", picture=Picture(content=picture))

    async def talk() -> None:
        user, tove = server.new_user("rackside"), server.new_user("tove")
        async with (
            way_to(server.url) as way,
            bot_on(server, folder, user=user, url=way.url) as bot,
            lifter(server, tove) as phone,
        ):
            room = await greeted(phone, user, encrypted=encrypted)
            for _ in range(2):
                # A second time as after a crash: the row's key is the same, so it is one message.
                outcome = await bot.connector.send(Address("matrix", tove), shown, key="5.0", silent=True)
                assert isinstance(outcome, Delivered), outcome
            await phone.say(room, "week")
            image, told = (await phone.until_answered(user, 4))[2:]

            assert told.content["msgtype"] == "m.notice"
            assert image.content["msgtype"] == "m.image"
            assert image.text == "bench press: 98 kg, 95 to 101"
            assert object_in(image.content, "info") == {
                "mimetype": "image/png",
                "size": len(picture),
                "w": 640,
                "h": 480,
            }
            assert await seen(phone, image, encrypted=encrypted) == picture

    asyncio.run(talk())


async def seen(phone: Lifter, image: Heard, *, encrypted: bool) -> bytes:
    """The picture as the lifter's client shows it."""
    if not encrypted:
        return await downloaded(phone, text_in(image.content, "url"))
    assert "url" not in image.content
    file = object_in(image.content, "file")
    sealed = await downloaded(phone, text_in(file, "url"))
    assert not sealed.startswith(b"\x89PNG")
    keys = (text_in(file, "key", "k"), text_in(file, "hashes", "sha256"), text_in(file, "iv"))
    opened: bytes = decrypt_attachment(sealed, *keys)
    return opened


def test_a_chart_that_is_asked_for_comes_behind_its_words(server: Homeserver, folder: Path) -> None:
    async def talk() -> None:
        user, tove = server.new_user("rackside"), server.new_user("tove")
        async with bot_on(server, folder, user=user), lifter(server, tove) as phone:
            room = await greeted(phone, user, encrypted=True)
            await phone.say(room, "chart week")
            words, image = (await phone.until_answered(user, 4))[2:]

            assert words.content["msgtype"] == "m.notice"
            assert image.content["msgtype"] == "m.image"
            assert (await seen(phone, image, encrypted=True)).startswith(b"\x89PNG")

    asyncio.run(talk())


def test_a_picture_that_the_homeserver_does_not_take_is_tried_again(server: Homeserver, folder: Path) -> None:
    shown = OutgoingMessage(text="bench press", picture=Picture(content=png(8, 8)))

    async def talk() -> None:
        user, tove = server.new_user("rackside"), server.new_user("tove")
        async with (
            way_to(server.url) as way,
            bot_on(server, folder, user=user, url=way.url) as bot,
            lifter(server, tove) as phone,
        ):
            await greeted(phone, user, encrypted=False)
            way.refuse("POST .*/upload", 502)
            way.refuse("POST .*/upload", 429, errcode="M_LIMIT_EXCEEDED", error="slow", retry_after_ms=1500)
            outcomes = [
                await bot.connector.send(Address("matrix", tove), shown, key="5.0", silent=True) for _ in range(3)
            ]
            await phone.until_answered(user, 3)

            assert isinstance(outcomes[0], Failed)
            assert outcomes[1] == RetryAfter(1.5, whole=True)
            assert isinstance(outcomes[2], Delivered)

    asyncio.run(talk())


def test_the_size_of_a_picture_is_read_and_what_is_none_has_none() -> None:
    assert size_of(png(640, 480)) == (640, 480)
    assert size_of(b"GIF89a") == (0, 0)
