"""Asides: read receipts, typing and offered reactions: done beside the conversation, and never waited for."""

import asyncio
from collections.abc import Coroutine
from urllib.parse import quote

from bot.connectors.matrix.answers import Away, Refused
from bot.connectors.matrix.client import Client
from bot.connectors.matrix.formatting import sign_of
from bot.connectors.matrix.json_values import Json
from bot.logs import logger

TYPING_AFTER_S = 0.5
"""An answer that takes longer shows that somebody is typing. [s]"""

TYPING_S = 10.0
"""How long typing is shown at most. [s]"""

MOST_OFFERED = 4
"""Options that are offered as reactions to tap; each is a message that counts against the homeserver's rate."""


class Asides:
    """What is done beside the conversation; when it fails, nothing is lost.

    Args:
        client: The bot's device.

    """

    def __init__(self, client: Client) -> None:
        self._client = client
        self._tasks: set[asyncio.Task[None]] = set()
        self._answering: dict[str, asyncio.Task[None]] = {}
        self._shown: set[str] = set()

    def read(self, room: str, event: str) -> None:
        """Say that an event, and all before it, was read."""
        self._begin(self._ask("POST", f"/v3/rooms/{quote(room)}/receipt/m.read/{quote(event)}", {}))

    def expect_answer(self, room: str) -> None:
        """Show typing if no answer goes to a room soon."""
        if room not in self._answering:
            self._answering[room] = self._begin(self._type(room))

    def answered(self, room: str) -> None:
        """An answer went to a room."""
        waiting = self._answering.pop(room, None)
        if waiting is not None:
            waiting.cancel()
        if room in self._shown:
            self._shown.discard(room)
            self._begin(self._ask("PUT", self._typing_path(room), {"typing": False}))

    def offer(self, room: str, event: str, options: int) -> None:
        """Put reactions to tap under a question, where they are few."""
        if options <= MOST_OFFERED:
            self._begin(self._offer(room, event, options))

    async def close(self) -> None:
        """End what is under way."""
        tasks = list(self._tasks)
        for task in tasks:
            task.cancel()
        await asyncio.gather(*tasks, return_exceptions=True)

    async def _type(self, room: str) -> None:
        await asyncio.sleep(TYPING_AFTER_S)
        self._shown.add(room)
        await self._ask("PUT", self._typing_path(room), {"typing": True, "timeout": int(TYPING_S * 1000)})

    async def _offer(self, room: str, event: str, options: int) -> None:
        for option in range(options):
            relation = {"rel_type": "m.annotation", "event_id": event, "key": sign_of(option)}
            # The same transaction for the same reaction: after a crash it is not offered twice.
            txn = f"offer{option}{event.strip('$')}"
            path = f"/v3/rooms/{quote(room)}/send/m.reaction/{quote(txn)}"
            if not await self._ask("PUT", path, {"m.relates_to": relation}):
                return

    async def _ask(self, method: str, path: str, body: Json) -> bool:
        try:
            await self._client.call(method, path, body)
        except Refused as refusal:
            return refusal.code == "M_DUPLICATE_ANNOTATION"
        except Away as away:
            logger.info("an aside was left: %s", away)
            return False
        return True

    def _typing_path(self, room: str) -> str:
        return f"/v3/rooms/{quote(room)}/typing/{quote(self._client.user_id)}"

    def _begin(self, doing: Coroutine[object, object, object]) -> asyncio.Task[None]:
        async def done() -> None:
            await doing

        task = asyncio.create_task(done())
        self._tasks.add(task)
        task.add_done_callback(self._tasks.discard)
        return task
