"""Client: the library's client, with its faults bounded and its answers looked at."""

import asyncio
import json
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TypeAlias
from urllib.parse import quote

from aiohttp import ClientConnectionError, ClientError, ClientResponse
from nio.client.async_client import AsyncClient, AsyncClientConfig
from nio.events import BadEvent, Event, ForwardedRoomKeyEvent, MegolmEvent, RoomKeyEvent, ToDeviceEvent, UnknownBadEvent
from nio.exceptions import EncryptionError, LocalProtocolError
from nio.responses import SyncResponse
from nio.rooms import MatrixRoom
from typing_extensions import override

from bot.connectors.matrix.answers import (
    Away,
    Invite,
    KeysLost,
    News,
    Refused,
    RoomNews,
    check,
    is_our_invite,
    json_of,
    refusal_of,
    source_of,
)
from bot.connectors.matrix.json_values import Json, object_in, text_in
from bot.connectors.matrix.state import Credentials, key_file
from bot.logs import hide, logger

AnyEvent: TypeAlias = Event | BadEvent | UnknownBadEvent

REQUEST_S = 30.0
"""Longest wait for an answer that should come at once. [s]"""

FULL_S = 300.0
"""Longest wait for the first answer after a start, which tells every room. [s]"""

TIMELINE = 50
"""Events of a room in one answer; what is missed is paged for. [events]"""

FILTER: Mapping[str, Json] = {
    "presence": {"types": []},
    "account_data": {"types": []},
    "room": {"timeline": {"limit": TIMELINE}, "ephemeral": {"types": []}, "account_data": {"types": []}},
}
"""What is asked of a sync: rooms, messages and keys, nothing else."""


MARK = "org.rackside.key"
"""Name of the mark that a message carries."""


def _unwatched(_point: str) -> None:
    return None


class Client(AsyncClient):
    """One device of the bot.

    Args:
        credentials: Who it is.
        crypto: Folder of its keys; without one it only makes requests.
        observer: Told the points that a sync passes.

    """

    def __init__(
        self, credentials: Credentials, *, crypto: Path | None, observer: Callable[[str], None] = _unwatched
    ) -> None:
        super().__init__(
            credentials.homeserver,
            credentials.user,
            device_id=credentials.device,
            store_path="" if crypto is None else str(crypto),
            config=AsyncClientConfig(
                encryption_enabled=crypto is not None,
                store_name=key_file(credentials),
                # It would be stored before what it stands for is handled.
                store_sync_tokens=False,
                # Else it would try for ever.
                max_limit_exceeded=0,
                max_timeouts=0,
                request_timeout=REQUEST_S,
            ),
        )
        hide(credentials.token)
        self.credentials = credentials
        self._observer = observer
        self._sharing: dict[str, asyncio.Lock] = {}
        if crypto is None:
            self.access_token = credentials.token
        elif credentials.token:
            self.restore_login(credentials.user, credentials.device, credentials.token)

    # --- Requests

    async def call(self, method: str, path: str, body: Json = None, *, wait_s: float = REQUEST_S) -> Json:
        """Make a request of the client-server API; `path` begins behind `/_matrix/client`.

        Raises:
            Refused: The homeserver refused it.
            Away: The homeserver cannot be reached.

        """
        headers = {"Content-Type": "application/json"}
        if self.access_token:
            headers["Authorization"] = f"Bearer {self.access_token}"
        data = None if body is None else json.dumps(body)
        try:
            async with asyncio.timeout(wait_s):
                answer: ClientResponse = await self.send(method, f"/_matrix/client{path}", data, headers)
                async with answer:
                    told: Json = await json_of(answer)
        except (ClientError, TimeoutError, OSError) as lost:
            raise Away(type(lost).__name__) from lost
        if answer.status >= 400:
            raise refusal_of(told, answer)
        return told

    async def news(self, since: str | None, *, full: bool, wait_s: float) -> News:
        """What happened since a token; keys that came with it are kept before this returns.

        Raises:
            Refused, Away: as `call` does.

        """
        try:
            async with asyncio.timeout(FULL_S if full else wait_s + REQUEST_S):
                answer = await self.sync(int(wait_s * 1000), FILTER, since, full_state=full or None)
        except Exception as fault:
            # Whatever an event made the library do: asked again, it passes the same events over.
            raise Away(type(fault).__name__) from fault
        check(answer)
        if not isinstance(answer, SyncResponse):
            raise Away("no answer to a sync")
        for room in answer.rooms.leave:
            self.rooms.pop(room, None)
        return News(
            token=answer.next_batch,
            rooms=[
                RoomNews(
                    room,
                    [source_of(event) for event in told.timeline.events],
                    told.timeline.prev_batch if told.timeline.limited else None,
                )
                for room, told in answer.rooms.join.items()
            ],
            invites=[
                Invite(room, text_in(source_of(event), "sender"))
                for room, told in answer.rooms.invite.items()
                for event in told.invite_state
                if is_our_invite(source_of(event), self.user_id)
            ],
            left=list(answer.rooms.leave),
            keys=any(isinstance(event, RoomKeyEvent | ForwardedRoomKeyEvent) for event in answer.to_device_events),
        )

    # --- Keys

    async def settle_keys(self) -> None:
        """Do what the last sync left to do: publish keys, learn other devices' keys, mend broken sessions.

        Raises:
            KeysLost: The homeserver has other keys of this device.
            Refused, Away: as `call` does.

        """
        try:
            if self.should_upload_keys:
                try:
                    check(await self.keys_upload())
                except Refused as refusal:
                    if refusal.status == 400:
                        raise KeysLost(refusal.code) from refusal
                    raise
            if self.should_query_keys:
                check(await self.keys_query())
            if self.should_claim_keys:
                check(await self.keys_claim(self.get_users_for_key_claiming()))
            for answer in await self.send_to_device_messages():
                check(answer)
        except (Refused, Away, KeysLost):
            raise
        except Exception as fault:
            raise Away(type(fault).__name__) from fault

    def readable(self, source: Json, *, room: str) -> Json:
        """An event decrypted, where it is encrypted and its key is here; else as it is."""
        if text_in(source, "type") != "m.room.encrypted" or self.olm is None:
            return source
        try:
            event = Event.parse_event(dict(object_in(source)))
            if not isinstance(event, MegolmEvent):
                return source
            event.room_id = room
            return source_of(self.decrypt_event(event))
        except EncryptionError:
            return source
        except Exception as fault:
            # What a member made up may break the library in any way.
            logger.warning("an encrypted event cannot be read: %s", type(fault).__name__)
            return source

    async def ask_for_key(self, source: Json, *, room: str) -> None:
        """Ask the sender's device for the key of a message; once a session."""
        try:
            event = Event.parse_event(dict(object_in(source)))
            if isinstance(event, MegolmEvent):
                event.room_id = room
                await self.request_room_key(event)
        except Exception as fault:
            logger.info("a key cannot be asked for: %s", type(fault).__name__)

    def is_encrypted(self, room: str) -> bool:
        """Whether a room is encrypted."""
        known = self.rooms.get(room)
        return known is not None and bool(known.encrypted)

    async def put(self, room: str, content: Mapping[str, Json], *, txn: str, mark: str) -> str:
        """Send a message; returned: its event id. The same `txn` again sends nothing twice.

        Args:
            room: Where to.
            content: What.
            txn: The transaction.
            mark: Goes with it unencrypted, so that it can be found again by a device without its keys.

        Raises:
            Refused, Away: as `call` does.

        """
        kind, told = "m.room.message", content
        if room not in self.rooms:
            # Nobody knows whether it is encrypted.
            raise Refused("M_NOT_FOUND", status=404)
        if self.is_encrypted(room):
            # One at a time, or one would go out under a key that another is still sharing.
            async with self._sharing.setdefault(room, asyncio.Lock()):
                await self._share_key(room)
                try:
                    kind, encrypted = self.encrypt(room, "m.room.message", dict(content))
                except EncryptionError as lost:
                    raise Away(type(lost).__name__) from lost
            told = dict(encrypted)
        sent = await self.call("PUT", f"/v3/rooms/{quote(room)}/send/{kind}/{quote(txn)}", {**told, MARK: mark})
        return text_in(sent, "event_id")

    async def _share_key(self, room: str) -> None:
        """See to it that every device in a room has the key of what is sent next."""
        if self.olm is None:
            raise Refused("no keys")
        known = self.rooms[room]
        try:
            if not known.members_synced:
                check(await self.joined_members(room))
            if self.should_query_keys:
                check(await self.keys_query())
            if not self.olm.should_share_group_session(room):
                return
            if missing := self.get_missing_sessions(room):
                check(await self.keys_claim(missing))
            await self.share_group_session(room, ignore_unverified_devices=True)
            self._check_shared(known)
        except (ClientError, TimeoutError, OSError, LocalProtocolError, EncryptionError) as lost:
            self._unshare(room)
            raise Away(type(lost).__name__) from lost
        except BaseException:
            # Cancelled too: what is half shared counts as not shared.
            self._unshare(room)
            raise

    def _check_shared(self, room: MatrixRoom) -> None:
        """Raise if a device that could have got the key did not: the library does not say so."""
        if self.olm is None:
            return
        session = self.olm.outbound_group_sessions[room.room_id]
        for user in room.users:
            for device in self.device_store.active_user_devices(user):
                has_it = (user, device.id) in session.users_shared_with or (user, device.id) in session.users_ignored
                if not has_it and self.olm.session_store.get(device.curve25519) is not None:
                    raise Away("a key was not shared")

    def _unshare(self, room: str) -> None:
        waiting = self.sharing_session.pop(room, None)
        if waiting is not None:
            waiting.set()
        if self.olm is not None:
            self.olm.outbound_group_sessions.pop(room, None)

    @override
    async def send(
        self,
        method: str,
        path: str,
        data: object = None,
        headers: dict[str, str] | None = None,
        trace_context: object = None,
        timeout: float | None = None,
    ) -> ClientResponse:
        """Make a request; the library takes any answer that is no JSON for a good one, and so for a key shared."""
        answer: ClientResponse = await super().send(method, path, data, headers, trace_context, timeout)
        if answer.status >= 500 or (answer.status >= 400 and answer.content_type != "application/json"):
            answer.release()
            raise ClientConnectionError(f"HTTP {answer.status}")
        return answer

    # --- The library's own steps, guarded: one event of a stranger's making must not end a sync

    @override
    async def _handle_to_device(self, response: SyncResponse) -> None:
        self._observer("before keys")
        await super()._handle_to_device(response)
        self._observer("after keys")

    @override
    def _handle_decrypt_to_device(self, to_device_event: ToDeviceEvent) -> ToDeviceEvent | None:
        try:
            return super()._handle_decrypt_to_device(to_device_event)
        except Exception as fault:
            logger.warning("a message between devices cannot be read: %s", type(fault).__name__)
            return None

    @override
    def _handle_timeline_event(
        self, event: AnyEvent, room_id: str, room: MatrixRoom, encrypted_rooms: set[str]
    ) -> AnyEvent | None:
        try:
            return super()._handle_timeline_event(event, room_id, room, encrypted_rooms)
        except Exception as fault:
            logger.warning("an event cannot be read: %s", type(fault).__name__)
            return None

    async def end(self) -> None:
        """Let go of connections and files."""
        await self.close()  # type: ignore[no-untyped-call]  # the library's own
