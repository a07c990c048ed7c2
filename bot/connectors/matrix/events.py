"""Events: what happened in a room, as the homeserver told it, to what a lifter did."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from urllib.parse import quote

from bot.connectors.matrix.answers import Refused
from bot.connectors.matrix.client import Client
from bot.connectors.matrix.door import Door, addressed
from bot.connectors.matrix.formatting import option_of
from bot.connectors.matrix.json_values import Json, number_in, object_in, text_in
from bot.connectors.matrix.state import Parked, State
from bot.messages import Arrived, Deleted, Edited, Event, NoText, Tapped
from core.domain.profile import Address

CONNECTOR = "matrix"
"""Name of this connector in addresses."""

WITHOUT_TEXT = frozenset({"m.audio", "m.file", "m.image", "m.video"})
"""Kinds of messages that hold nothing to read."""

LATEST_MS = 4_102_444_800_000
"""A time past this is made up. [ms] The year 2100."""


@dataclass(frozen=True, slots=True)
class Said:
    """What a lifter did.

    Args:
        event: What.
        room: Where.
        shared: There are more people in that room than the lifter and the bot.

    """

    event: Event
    room: str
    shared: bool = False


@dataclass(frozen=True, slots=True)
class Unreadable:
    """A message of somebody who may talk to the bot, whose key is not here."""

    parked: Parked


Happening = Said | Unreadable


class Hearing:
    """Makes happenings of events.

    Args:
        client: The bot's device.
        state: Where it is remembered who wrote what.
        door: Who may talk to the bot.
        clock: The time; aware.

    """

    def __init__(self, client: Client, state: State, door: Door, clock: Callable[[], datetime]) -> None:
        self._client = client
        self._state = state
        self._door = door
        self._clock = clock

    def is_shared(self, room: str) -> bool:
        """Whether there are more people in a room than a lifter and the bot."""
        known = self._client.rooms.get(room)
        return known is None or len(known.users) > 2

    async def happening(self, source: Json, *, room: str) -> Happening | None:
        """What an event says happened; None for what is nothing to the bot.

        Raises:
            Away: The homeserver had to be asked, and could not be.

        """
        sender = text_in(source, "sender")
        if sender == self._client.user_id or not self._door.lets_in(sender):
            return None
        match text_in(source, "type"):
            case "m.room.message":
                return await self._message(source, sender=sender, room=room)
            case "m.room.encrypted":
                return Unreadable(
                    Parked(event=text_in(source, "event_id"), room=room, sender=sender, source=source, at=self._clock())
                )
            case "m.reaction":
                return self._reaction(source, sender=sender, room=room)
            case "m.room.redaction":
                return await self._redaction(source, sender=sender, room=room)
            case _:
                return None

    async def _message(self, source: Json, *, sender: str, room: str) -> Said | None:
        content = object_in(source, "content")
        relation = object_in(content, "m.relates_to")
        if text_in(relation, "rel_type") == "m.replace":
            return await self._edit(source, sender=sender, room=room)
        if text_in(content, "msgtype") in WITHOUT_TEXT and not self.is_shared(room):
            return self._without_text(source, sender=sender, room=room)
        if text_in(content, "msgtype") != "m.text":
            return None
        text = _without_quote(text_in(content, "body"), relation)
        shared = self.is_shared(room)
        if shared:
            called = addressed({**content, "body": text}, user=self._client.user_id)
            if called is None:
                return None
            text = called
        if not text.strip():
            return None
        event_id, key, at = text_in(source, "event_id"), message_key(source), self._at(source)
        self._state.hear(event_id, sender=sender, message_key=key, at=at)
        if not shared:
            thread = text_in(relation, "event_id") if text_in(relation, "rel_type") == "m.thread" else ""
            self._state.answer_in(sender, room=room, thread=thread)
        event = Arrived(address=Address(CONNECTOR, sender), event_key=event_id, sent_at=at, text=text, message_key=key)
        return Said(event, room, shared)

    def _without_text(self, source: Json, *, sender: str, room: str) -> Said:
        self._state.answer_in(sender, room=room, thread="")
        event = NoText(
            address=Address(CONNECTOR, sender),
            event_key=text_in(source, "event_id"),
            sent_at=self._at(source),
            message_key=message_key(source),
        )
        return Said(event, room)

    async def _edit(self, source: Json, *, sender: str, room: str) -> Said | None:
        content = object_in(source, "content")
        changed = object_in(content, "m.new_content")
        original = text_in(content, "m.relates_to", "event_id")
        shared = self.is_shared(room)
        # The homeserver takes edits of other people's messages, too.
        key = await self._key_of(original, author=sender, room=room, must_be_heard=shared)
        if key is None or text_in(changed, "msgtype") != "m.text":
            return None
        text = text_in(changed, "body")
        if shared:
            text = addressed(changed, user=self._client.user_id) or text
        event = Edited(
            address=Address(CONNECTOR, sender),
            event_key=text_in(source, "event_id"),
            sent_at=self._at(source),
            message_key=key,
            text=text,
        )
        return Said(event, room, shared)

    def _reaction(self, source: Json, *, sender: str, room: str) -> Said | None:
        relation = object_in(source, "content", "m.relates_to")
        question = self._state.asked(text_in(relation, "event_id"))
        option = option_of(text_in(relation, "key"))
        if question is None or question.person != sender or option is None or option >= question.options:
            return None
        event = Tapped(
            address=Address(CONNECTOR, sender),
            event_key=text_in(source, "event_id"),
            sent_at=self._at(source),
            question=question.id,
            option=option,
        )
        return Said(event, room, self.is_shared(room))

    async def _redaction(self, source: Json, *, sender: str, room: str) -> Said | None:
        original = text_in(source, "redacts") or text_in(source, "content", "redacts")
        self._state.unpark(original)
        key = await self._key_of(original, author=sender, room=room, must_be_heard=self.is_shared(room))
        if key is None:
            return None
        event = Deleted(
            address=Address(CONNECTOR, sender),
            event_key=text_in(source, "event_id"),
            sent_at=self._at(source),
            message_key=key,
        )
        return Said(event, room, self.is_shared(room))

    async def _key_of(self, event: str, *, author: str, room: str, must_be_heard: bool) -> str | None:
        """Key of a message by its author; None if somebody else wrote it, or nobody knows."""
        heard = self._state.heard(event)
        if heard is None and must_be_heard:
            return None
        if heard is None:
            try:
                told = await self._client.call("GET", f"/v3/rooms/{quote(room)}/event/{quote(event)}")
            except Refused:
                return None
            heard = (text_in(told, "sender"), message_key(told))
        return heard[1] if heard[0] == author else None

    def _at(self, source: Json) -> datetime:
        told_ms = number_in(source, "origin_server_ts")
        return datetime.fromtimestamp(told_ms / 1000, tz=UTC) if 0 < told_ms < LATEST_MS else self._clock()


def message_key(source: Json) -> str:
    """Key of a message; keys of one chat sort in the order of writing, as far as homeservers tell the time."""
    at_ms = min(max(0, number_in(source, "origin_server_ts")), LATEST_MS)
    return f"{at_ms:013d}{text_in(source, 'event_id')}"


def _without_quote(body: str, relation: Json) -> str:
    """A text without the quote that older clients put before an answer."""
    if not object_in(relation, "m.in_reply_to") or not body.startswith("> "):
        return body
    lines = body.split("\n")
    while lines and lines[0].startswith(">"):
        lines = lines[1:]
    return "\n".join(lines).strip("\n")
