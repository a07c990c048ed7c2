"""Pictures: uploaded, encrypted where the room is, and sent as an image with its text line beside it."""

import asyncio
from collections.abc import Mapping

from aiohttp import ClientError, ClientResponse
from nio.crypto.attachments import encrypt_attachment

from bot.connectors.matrix.answers import Away, json_of, refusal_of
from bot.connectors.matrix.client import Client
from bot.connectors.matrix.json_values import Json, object_in, text_in
from bot.messages import Picture

UPLOAD_S = 60.0
"""Longest wait for an upload. [s]"""

PNG = b"\x89PNG\r\n\x1a\n"
"""How a PNG file begins. Source: PNG specification, section 5.2."""


async def with_picture(client: Client, room: str, picture: Picture, made: Mapping[str, Json]) -> dict[str, Json]:
    """Upload a picture; what to send for it, beside the text that is to be sent.

    Args:
        client: The bot's device.
        room: Where it will go: into an encrypted room nothing of it goes in the clear.
        picture: The picture.
        made: The content of its text, which says the same.

    Raises:
        Refused, Away: as `Client.call` does.

    """
    wide, high = size_of(picture.content)
    info: Json = {"mimetype": picture.media_type, "size": len(picture.content), "w": wide, "h": high}
    shown: dict[str, Json] = {**made, "msgtype": "m.image", "filename": picture.name, "info": info}
    if not client.is_encrypted(room):
        return {**shown, "url": await _uploaded(client, picture.content, picture.media_type)}
    sealed, keys = encrypt_attachment(picture.content)
    url = await _uploaded(client, sealed, "application/octet-stream")
    return {**shown, "file": {**object_in(keys), "url": url}}


def size_of(picture: bytes) -> tuple[int, int]:
    """Width and height of a PNG, as clients make room for it; 0 and 0 of what is none. [pixels]

    Source:
        PNG specification, sections 5.3 and 11.2.1: the first chunk has them, each as four bytes.

    """
    if not picture.startswith(PNG) or len(picture) < 24:
        return 0, 0
    return int.from_bytes(picture[16:20]), int.from_bytes(picture[20:24])


async def _uploaded(client: Client, data: bytes, kind: str) -> str:
    headers = {"Content-Type": kind, "Authorization": f"Bearer {client.access_token}"}
    try:
        async with asyncio.timeout(UPLOAD_S):
            answer: ClientResponse = await client.send("POST", "/_matrix/media/v3/upload", data, headers)
            async with answer:
                told = await json_of(answer)
    except (ClientError, TimeoutError, OSError) as lost:
        raise Away(type(lost).__name__) from lost
    if answer.status >= 400:
        raise refusal_of(told, answer)
    return text_in(told, "content_uri")
