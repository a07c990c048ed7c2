"""Reading: what happens in rooms, handed in before it counts as read; nothing is lost, whenever a process ends."""

import asyncio
from collections.abc import Awaitable, Callable, Sequence
from datetime import datetime, timedelta
from functools import partial
from typing import TypeVar
from urllib.parse import quote

from bot.connectors.matrix.answers import Away, Invite, News, Refused
from bot.connectors.matrix.asides import Asides
from bot.connectors.matrix.backlog import all_events
from bot.connectors.matrix.client import Client
from bot.connectors.matrix.door import Door
from bot.connectors.matrix.events import Happening, Hearing, Said, Unreadable
from bot.connectors.matrix.json_values import Json, text_in
from bot.connectors.matrix.login import logged_out
from bot.connectors.matrix.sending import Sending
from bot.connectors.matrix.state import State
from bot.delivery.connector import Receive
from bot.logs import logger
from bot.messages import Arrived, Event, NoText, Tapped
from bot.rendering.door import in_a_group, not_yet_in_a_group
from bot.rendering.lost_keys import unreadable
from core.application.ports import StoreUnavailable

SYNC_S = 25.0
"""How long one sync waits for news. [s]"""

FIRST_WAIT_S, LONGEST_WAIT_S = 0.5, 60.0
"""Waits after a failure: the first, and the longest. [s]"""

KEY_TRIES = 3
"""Tries of what is done about keys after a sync; reading goes on without, and the next sync tries again. [tries]"""

T = TypeVar("T")

SINCE = "since"
"""Mark that tells how far the rooms are read."""


class Reading:
    """Reads rooms.

    Args:
        client: The bot's device.
        state: How far it has read, and what waits for its key.
        door: Who may talk to the bot.
        clock: The time; aware.
        sending: Says what is said outside of any conversation.
        asides: Receipts and typing.
        grace: How long a message's key may take.
        observer: Told the points that a sync passes.

    """

    def __init__(
        self,
        client: Client,
        state: State,
        *,
        door: Door,
        clock: Callable[[], datetime],
        sending: Sending,
        asides: Asides,
        grace: timedelta,
        observer: Callable[[str], None],
    ) -> None:
        self._client = client
        self._state = state
        self._door = door
        self._clock = clock
        self._sending = sending
        self._asides = asides
        self._grace = grace
        self._observer = observer
        self._hearing = Hearing(client, state, door, clock)
        self._invited: dict[str, str] = {}

    async def run(self, receive: Receive) -> None:
        """Read until cancelled.

        Raises:
            CannotLogIn: The device was logged out.
            KeysLost: The homeserver has other keys of this device.

        """
        full = True
        failures = 0
        while True:
            since = self._state.mark(SINCE)
            try:
                news = await self._client.news(since, full=full, wait_s=0.0 if full else self._wait_s())
            except (Refused, Away) as refusal:
                failures += 1
                await self._rest(refusal, failures)
                continue
            failures = 0
            await self._keys()
            if since is None:
                # The very first time: what was said before there was a bot is not answered.
                self._state.set_mark(SINCE, news.token)
            else:
                await self._take(news, since, receive)
            for room in news.left:
                self._invited.pop(room, None)
            if full or news.keys:
                await self._read_parked(receive)
            if full:
                self._state.forget_before(self._clock())
                full = False
            self._sending.rooms_are_known()
            await self._accept(news.invites)
            await self._tell_unreadable()

    async def _take(self, news: News, since: str, receive: Receive) -> None:
        """Hand in what a sync brought, and only then count it as read."""
        found: list[Happening] = []
        for room in news.rooms:
            events = await self._patiently(partial(all_events, self._client, room, since=since))
            found += [each for event in events or () for each in await self._happenings(event, room.room)]
        await self._hand_in(found, receive)
        self._observer("before token")
        self._state.set_mark(SINCE, news.token)
        self._observer("after token")

    async def _happenings(self, source: Json, room: str) -> Sequence[Happening]:
        """What an event says happened, if anything; an event that cannot be understood is passed over."""
        try:
            found = await self._patiently(partial(self._hearing.happening, source, room=room))
        except Exception as fault:
            # What somebody made up may break anything; its words stay out of the log.
            logger.warning("an event is passed over, %s: %s", text_in(source, "event_id"), type(fault).__name__)
            return ()
        return () if found is None else (found,)

    async def _hand_in(self, found: Sequence[Happening], receive: Receive) -> None:
        said: list[Said] = []
        for each in found:
            if isinstance(each, Said) and each.shared and not self._sending.reaches(each.event.address.chat):
                await self._say(each.room, f"shared {each.event.event_key}", not_yet_in_a_group())
            elif isinstance(each, Said):
                said.append(each)
            if isinstance(each, Unreadable):
                self._state.park(each.parked)
                await self._client.ask_for_key(each.parked.source, room=each.parked.room)
        if not said:
            return
        self._observer("before receiving")
        await self._stored(receive, [each.event for each in said])
        self._observer("after receiving")
        for room, event in {each.room: each.event.event_key for each in said}.items():
            self._asides.read(room, event)
        for each in said:
            if each.shared:
                await self._say(each.room, f"shared {each.event.event_key}", in_a_group())
            elif isinstance(each.event, Arrived | NoText | Tapped):
                self._asides.expect_answer(each.room)

    async def _stored(self, receive: Receive, events: Sequence[Event]) -> None:
        """Have events stored, however long the store is away: asking the homeserver again would not bring them again."""
        failures = 0
        while True:
            try:
                await receive(events)
            except StoreUnavailable as refusal:
                failures += 1
                logger.warning("events wait for the store: %s", refusal)
                await asyncio.sleep(wait_s(failures))
            else:
                return

    async def _patiently(self, ask: Callable[[], Awaitable[T]]) -> T | None:
        """Ask the homeserver until it answers; None if it refuses."""
        failures = 0
        while True:
            try:
                return await ask()
            except Away as away:
                failures += 1
                await self._rest(away, failures)
            except Refused as refusal:
                if not refusal.is_pause and not refusal.is_logged_out:
                    logger.warning("something is left out: %s", refusal)
                    return None
                failures += 1
                await self._rest(refusal, failures)

    async def _rest(self, why: Refused | Away, failures: int) -> None:
        """Wait before the next try.

        Raises:
            CannotLogIn: The next try would be refused, too.

        """
        if isinstance(why, Refused) and why.is_logged_out:
            raise logged_out() from why
        asked_s = why.wait_s if isinstance(why, Refused) else 0.0
        logger.warning("the homeserver is waited for: %s", why)
        await asyncio.sleep(max(asked_s, wait_s(failures)))

    async def _keys(self) -> None:
        """Do what is to be done about keys before anything is answered."""
        for failures in range(1, KEY_TRIES + 1):
            try:
                await self._client.settle_keys()
            except (Refused, Away) as refusal:
                await self._rest(refusal, failures)
            else:
                return

    async def _read_parked(self, receive: Receive) -> None:
        """Try the messages that wait for their key."""
        for parked in self._state.parked():
            source = self._client.readable(parked.source, room=parked.room)
            if text_in(source, "type") == "m.room.encrypted":
                continue
            found = await self._happenings(source, parked.room)
            await self._hand_in([each for each in found if isinstance(each, Said)], receive)
            self._state.unpark(parked.event)

    async def _tell_unreadable(self) -> None:
        """Tell lifters once that messages of theirs cannot be read, when their keys took too long."""
        late = self._state.parked(untold_before=self._clock() - self._grace)
        by_room: dict[str, list[str]] = {}
        for each in late:
            by_room.setdefault(each.room, []).append(each.event)
        for room, events in by_room.items():
            if self._hearing.is_shared(room) or await self._say(room, f"unread {events[0]}", unreadable(len(events))):
                self._state.told(events)

    async def _say(self, room: str, key: str, text: str) -> bool:
        """Say something outside of any conversation; whether it was said, or never can be."""
        try:
            await self._sending.say(room, text, key=key)
        except (Refused, Away) as refusal:
            logger.warning("something is not said yet: %s", refusal)
            return isinstance(refusal, Refused) and not refusal.is_pause
        return True

    async def _accept(self, invites: Sequence[Invite]) -> None:
        """Join the rooms that people invite to who may talk to the bot; others hear nothing."""
        for invite in invites:
            if self._door.lets_in(invite.sender):
                self._invited[invite.room] = invite.sender
        for room in list(self._invited):
            try:
                await self._client.call("POST", f"/v3/rooms/{quote(room)}/join", {})
            except (Refused, Away) as refusal:
                logger.warning("a room is not joined: %s", refusal)
                if isinstance(refusal, Away) or refusal.is_pause:
                    continue
            del self._invited[room]

    def _wait_s(self) -> float:
        """How long the next sync may wait for news. [s]"""
        if self._invited:
            return FIRST_WAIT_S
        waiting = [each.at for each in self._state.parked(untold_before=self._clock())]
        if not waiting:
            return SYNC_S
        left = (min(waiting) + self._grace - self._clock()).total_seconds()
        return min(SYNC_S, max(FIRST_WAIT_S, left))


def wait_s(failures: int) -> float:
    """Wait after so many failures in a row. [s]

    >>> wait_s(1), wait_s(3), wait_s(1000)
    (0.5, 2.0, 60.0)

    """
    return LONGEST_WAIT_S if failures > 10 else min(LONGEST_WAIT_S, FIRST_WAIT_S * 2.0 ** (failures - 1))
