"""Connector: the Matrix front end of one bot account, from its login to its end."""

import asyncio
from collections.abc import Callable
from contextlib import suppress
from datetime import datetime, timedelta

from bot.connectors.matrix.answers import Away, KeysLost
from bot.connectors.matrix.asides import Asides
from bot.connectors.matrix.client import Client
from bot.connectors.matrix.door import Door
from bot.connectors.matrix.events import CONNECTOR
from bot.connectors.matrix.login import Account, CannotLogIn, logged_in
from bot.connectors.matrix.reading import Reading, wait_s
from bot.connectors.matrix.sending import Sending
from bot.connectors.matrix.state import State
from bot.delivery.connector import Failed, Limits, Measure, Outcome, Receive
from bot.logs import logger
from bot.messages import OutgoingMessage
from core.domain.profile import Address

LIMITS = Limits(size=8_000, measure=Measure.BYTES, at_once=8, has_keys=True, pictures=True)
"""Longest text of one message: with its markup, escaped and encrypted it stays under an event's 65,536 bytes."""

GRACE = timedelta(minutes=1)
"""How long the key of a message may take before its lifter is told that it cannot be read."""

LOGIN_S = 10.0
"""Longest wait of a sending for a login that is under way. [s]"""


def _unwatched(_point: str) -> None:
    return None


class Matrix:
    """The Matrix front end of one bot account.

    Args:
        account: The bot's account.
        state: Its state folder; closed with the connector.
        door: Who may talk to it.
        clock: The time; aware.
        grace: How long the key of a message may take.
        observer: Told the points that a sync and a sending pass.

    """

    def __init__(
        self,
        account: Account,
        state: State,
        *,
        door: Door,
        clock: Callable[[], datetime],
        grace: timedelta = GRACE,
        observer: Callable[[str], None] = _unwatched,
    ) -> None:
        self._account = account
        self._state = state
        self._door = door
        self._clock = clock
        self._grace = grace
        self._observer = observer
        self._client: Client | None = None
        self._asides: Asides | None = None
        self._sending: Sending | None = None
        self._began = asyncio.Event()
        self._ended = False

    @property
    def name(self) -> str:
        """Name in addresses."""
        return CONNECTOR

    @property
    def limits(self) -> Limits:
        """What the platform takes."""
        return LIMITS

    async def run(self, receive: Receive) -> None:
        """Hand in what happens in rooms, until cancelled.

        Raises:
            CannotLogIn: The operator must do something first; its text says what.

        """
        if self._ended:
            # Whoever calls again gets no other answer from the homeserver.
            await asyncio.Event().wait()
        try:
            while True:
                await self._leave()
                await self._read(receive)
        except CannotLogIn as told:
            logger.error("Matrix is not served: %s", told)
            self._ended = True
            await self._leave()
            raise

    async def _read(self, receive: Receive) -> None:
        """Read as one device, until its keys turn out to be lost."""
        client = await self._logged_in()
        asides = Asides(client)
        sending = Sending(client, self._state, asides=asides, clock=self._clock, observer=self._observer)
        reading = Reading(
            client,
            self._state,
            door=self._door,
            clock=self._clock,
            sending=sending,
            asides=asides,
            grace=self._grace,
            observer=self._observer,
        )
        self._client, self._asides, self._sending = client, asides, sending
        self._began.set()
        try:
            await reading.run(receive)
        except KeysLost as lost:
            # The next login finds that out, too, and makes a new device.
            logger.warning("the Matrix device is given up: %s", lost)

    async def send(self, address: Address, message: OutgoingMessage, *, key: str, silent: bool) -> Outcome:
        """Send one message; every one is a notice, which makes no sound anyway."""
        del silent
        with suppress(TimeoutError):
            async with asyncio.timeout(LOGIN_S):
                await self._began.wait()
        if self._sending is None:
            return Failed("not logged in")
        return await self._sending.send(address, message, key=key)

    async def close(self) -> None:
        """Let go of connections and files; the device stays logged in, for its keys are what makes it."""
        await self._leave()
        self._state.close()

    async def _leave(self) -> None:
        self._began.clear()
        self._sending = None
        if self._asides is not None:
            await self._asides.close()
            self._asides = None
        if self._client is not None:
            await self._client.end()
            self._client = None

    async def _logged_in(self) -> Client:
        """The bot's device, however long the homeserver is away."""
        failures = 0
        while True:
            try:
                return await logged_in(self._account, self._state, observer=self._observer)
            except Away as away:
                failures += 1
                logger.warning("the homeserver is waited for: %s", away)
                await asyncio.sleep(wait_s(failures))
