"""A lifter's client: what somebody has on their phone, on the library's own terms and none of the bot's."""

import asyncio
import secrets
from collections.abc import AsyncIterator, Callable, Mapping, Sequence
from contextlib import asynccontextmanager
from dataclasses import dataclass, field

from nio.client.async_client import AsyncClient, AsyncClientConfig
from nio.responses import JoinResponse, LoginResponse, RoomCreateResponse, RoomSendResponse, SyncResponse
from nio.store.database import SqliteMemoryStore

from bot.connectors.matrix.json_values import Json, object_in, text_in
from tests.homeserver import PASSWORD, Homeserver

PATIENCE_S = 90.0
"""Longest wait for an answer. [s] It takes a tenth of a second on a quiet machine."""


@dataclass(frozen=True, slots=True)
class Heard:
    """A message that a lifter's client got, readable or not."""

    event: str
    room: str
    sender: str
    kind: str
    content: Mapping[str, Json] = field(default_factory=dict)

    @property
    def text(self) -> str:
        """What it says."""
        return text_in(self.content, "body")


class Lifter(AsyncClient):
    """One device of a lifter.

    Args:
        server: The homeserver.
        user: Whose it is.

    """

    def __init__(self, server: Homeserver, user: str) -> None:
        super().__init__(
            server.url,
            user,
            config=AsyncClientConfig(
                encryption_enabled=True, store=SqliteMemoryStore, max_limit_exceeded=20, max_timeouts=20
            ),
        )
        self.heard: list[Heard] = []
        self._lock = asyncio.Lock()

    async def begin(self) -> None:
        """Log in as a new device, and publish its keys."""
        made = await self.login(PASSWORD)
        assert isinstance(made, LoginResponse), made
        await self.look()

    async def end(self) -> None:
        """Let go of connections and files."""
        await self.close()  # type: ignore[no-untyped-call]  # the library's own

    async def look(self, *, wait_s: float = 0.0) -> None:
        """Take what is new, and do about keys what a client does."""
        async with self._lock:
            made = await self.sync(timeout=int(wait_s * 1000), full_state=self.next_batch == "" or None)
            assert isinstance(made, SyncResponse), made
            if self.should_upload_keys:
                await self.keys_upload()
            if self.should_query_keys:
                await self.keys_query()
            if self.should_claim_keys:
                await self.keys_claim(self.get_users_for_key_claiming())
            await self.send_to_device_messages()
        for room, told in made.rooms.join.items():
            for event in told.timeline.events:
                source: Json = event.source
                self.heard.append(
                    Heard(
                        text_in(source, "event_id"),
                        room,
                        text_in(source, "sender"),
                        text_in(source, "type"),
                        object_in(source, "content"),
                    )
                )

    async def open_room(self, *others: str, encrypted: bool) -> str:
        """A new room of its own with others invited; returned: its id."""
        state: list[dict[str, object]] = []
        if encrypted:
            state = [{"type": "m.room.encryption", "content": {"algorithm": "m.megolm.v1.aes-sha2"}}]
        made = await self.room_create(invite=list(others), is_direct=len(others) == 1, initial_state=state)
        assert isinstance(made, RoomCreateResponse), made
        await self.until(lambda: made.room_id in self.rooms)
        return made.room_id

    async def meet(self, other: str, *, encrypted: bool) -> str:
        """A direct room with somebody, who has joined it."""
        room = await self.open_room(other, encrypted=encrypted)
        await self.until(lambda: self.is_with(room, other))
        return room

    def is_with(self, room: str, other: str) -> bool:
        """Whether somebody has joined a room."""
        known = self.rooms.get(room)
        return known is not None and other in known.users and other not in known.invited_users

    async def say(self, room: str, text: str, **more: Json) -> str:
        """Write something; returned: the event's id."""
        return await self.tell(room, {"msgtype": "m.text", "body": text, **more})

    async def tell(self, room: str, content: Mapping[str, Json], *, kind: str = "m.room.message") -> str:
        """Send an event; returned: its id."""
        async with self._lock:
            made = await self.room_send(
                room, kind, dict(content), tx_id=secrets.token_hex(8), ignore_unverified_devices=True
            )
        assert isinstance(made, RoomSendResponse), made
        return made.event_id

    async def enter(self, room: str) -> None:
        """Join a room."""
        made = await self.join(room)
        assert isinstance(made, JoinResponse), made
        await self.until(lambda: room in self.rooms)

    def answers(self, sender: str, *, room: str | None = None) -> Sequence[Heard]:
        """Messages of somebody, in order, each once."""
        found = {
            each.event: each
            for each in self.heard
            if each.sender == sender and each.kind == "m.room.message" and room in {None, each.room}
        }
        return list(found.values())

    async def until(self, is_so: Callable[[], bool], *, patience_s: float = PATIENCE_S) -> None:
        """Look until something is so.

        Raises:
            TimeoutError: It was not so for too long.

        """
        async with asyncio.timeout(patience_s):
            while not is_so():
                await self.look(wait_s=1.0)

    async def until_answered(
        self, sender: str, count: int, *, room: str | None = None, patience_s: float = PATIENCE_S
    ) -> Sequence[Heard]:
        """Look until there are so many messages of somebody; returned: all of them."""
        try:
            await self.until(lambda: len(self.answers(sender, room=room)) >= count, patience_s=patience_s)
        except TimeoutError:
            heard = [(each.kind, each.text or each.event) for each in self.heard if each.sender == sender]
            raise AssertionError(f"{count} answers did not come; what did: {heard}") from None
        return self.answers(sender, room=room)


@asynccontextmanager
async def lifter(server: Homeserver, user: str) -> AsyncIterator[Lifter]:
    """A new device of a lifter, logged in."""
    device = Lifter(server, user)
    try:
        await device.begin()
        yield device
    finally:
        await device.end()
