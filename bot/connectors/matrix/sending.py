"""Sending: each message once, under a transaction that comes from its row, in the room where its lifter is."""

import asyncio
from collections.abc import Callable, Mapping
from datetime import datetime, timedelta
from hashlib import blake2b

from bot.connectors.matrix.answers import Away, Refused
from bot.connectors.matrix.asides import Asides
from bot.connectors.matrix.backlog import find_sent
from bot.connectors.matrix.client import Client
from bot.connectors.matrix.formatting import content
from bot.connectors.matrix.json_values import Json, text_in
from bot.connectors.matrix.pictures import with_picture
from bot.connectors.matrix.state import Question, State
from bot.delivery.connector import (
    Delivered,
    Failed,
    Lost,
    Outcome,
    Rejected,
    RetryAfter,
    Unreachable,
)
from bot.messages import OutgoingMessage
from core.domain.profile import Address

SURE_FOR = timedelta(hours=20)
"""How long the homeserver is trusted to know a transaction again. It keeps them for 24 hours; from memory."""

ROOMS_S = 20.0
"""Longest wait for the rooms to be known after a start. [s]"""

LEAST_PAUSE_S = 1.0
"""Shortest pause where the homeserver asks for one and does not say how long. [s]"""

NEVER = frozenset({"M_TOO_LARGE", "M_BAD_JSON", "M_NOT_JSON"})
"""Refusals that the same message would meet again."""


class Sending:
    """Sends messages.

    Args:
        client: The bot's device.
        state: What was sent, and where people are.
        asides: Typing and offered reactions.
        clock: The time; aware.
        observer: Told the points that a sending passes.

    """

    def __init__(
        self,
        client: Client,
        state: State,
        *,
        asides: Asides,
        clock: Callable[[], datetime],
        observer: Callable[[str], None],
    ) -> None:
        self._client = client
        self._state = state
        self._asides = asides
        self._clock = clock
        self._observer = observer
        self._known = asyncio.Event()

    def rooms_are_known(self) -> None:
        """The first sync after the start is done: from now on it is known who is in which room."""
        self._known.set()

    def reaches(self, person: str) -> bool:
        """Whether there is a room of their own to answer a person in."""
        return self._place_of(person) is not None

    async def send(self, address: Address, message: OutgoingMessage, *, key: str) -> Outcome:
        """Send one message to a lifter."""
        try:
            async with asyncio.timeout(ROOMS_S):
                await self._known.wait()
        except TimeoutError:
            return Failed("the homeserver has not told the rooms yet")
        person = address.chat
        place = self._place_of(person)
        if place is None:
            return Unreachable(Lost.GONE)
        room, thread = place
        made = content(message, thread=thread)
        try:
            if message.picture is not None:
                made = await with_picture(self._client, room, message.picture, made)
            event = await self._put(room, made, key=f"{key} {person}")
        except Refused as refusal:
            return self._outcome(refusal)
        except Away as away:
            return Failed(str(away))
        self._asides.answered(room)
        if message.question is not None and message.choices:
            question = Question(person, message.question, len(message.choices))
            self._state.ask(event, question, at=self._clock())
            self._asides.offer(room, event, len(message.choices))
        return Delivered(event)

    async def say(self, room: str, text: str, *, key: str) -> None:
        """Say something in a room outside of any conversation, once for each key.

        Raises:
            Refused, Away: as `Client.call` does.

        """
        await self._put(room, content(OutgoingMessage(text=text)), key=key)

    async def _put(self, room: str, made: Mapping[str, Json], *, key: str) -> str:
        # The text is part of it: a database brought back from a copy gives numbers out again, for other messages.
        told = f"{key}\0{room}\0{text_in(made, 'body')}".encode()
        mark = blake2b(told, digest_size=16).hexdigest()
        device = self._client.credentials.device
        is_first_here = not self._state.has_sent(room=room, device=device)
        now = self._clock()
        before = self._state.first_try(mark, room=room, device=device, at=now)
        in_doubt = is_first_here if before is None else before[0] != device or now - before[1] > SURE_FOR
        if in_doubt and (sent := await find_sent(self._client, room, mark)) is not None:
            # The homeserver would not know the transaction again, but there the message is.
            return sent
        self._observer("before sending to the room")
        event = await self._client.put(room, made, txn=mark, mark=mark)
        self._observer("after sending to the room")
        return event

    def _place_of(self, person: str) -> tuple[str, str] | None:
        """Room and thread to answer a person in; None where the bot meets them in no room of their own."""
        place = self._state.room_of(person)
        if place is not None and self._is_theirs(place[0], person):
            return place
        for room in sorted(self._client.rooms):
            if self._is_theirs(room, person):
                return room, ""
        return None

    def _is_theirs(self, room: str, person: str) -> bool:
        known = self._client.rooms.get(room)
        return known is not None and set(known.users) == {person, self._client.user_id}

    def _outcome(self, refusal: Refused) -> Outcome:
        if refusal.is_pause:
            return RetryAfter(max(LEAST_PAUSE_S, refusal.wait_s), whole=True)
        if refusal.code in NEVER:
            return Rejected(refusal.code)
        return Failed(refusal.code)
