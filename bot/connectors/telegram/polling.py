"""Polling: updates are asked for, committed, and confirmed by asking for the ones after them.

The library's own way of polling confirms updates before anybody has kept them, and one that it cannot parse comes for
ever and holds up all behind it. So they are asked for as they are, and read one by one.
"""

import asyncio
import json
from collections.abc import Awaitable, Callable, Sequence

from telegram import Bot
from telegram.error import Conflict, InvalidToken, NetworkError, RetryAfter, TelegramError
from telegram.request import BaseRequest

from bot.connectors.telegram.updates import KINDS, Raw
from bot.logs import logger
from core.application.ports import StoreUnavailable

POLL_S = 50
"""How long a call may wait for the next update. [s]"""

ANSWERED_WITHIN_S = POLL_S + 15.0
"""A call that has no answer by then has lost its connection. [s]"""

BATCH = 100
"""Most updates of one call; the platform gives no more."""

FIRST_WAIT_S, LONGEST_WAIT_S = 0.5, 30.0
"""Waits while the platform cannot be reached. [s]"""

CONFLICTS = 6
"""Calls in a row that another poller ended, before this one gives up.

A process that was killed has a call waiting at the server still; that one is ended by ours, never the other way round. Both
polling, each ends the other's calls, and each would get half of the updates.
"""


class OtherPollerError(Exception):
    """Another process polls with the same token, or a webhook was set: updates would go to both."""


Take = Callable[[Sequence[Raw]], Awaitable[None]]
"""Takes updates in, in order; returns once they are committed."""


class Poller:
    """Asks for updates until cancelled.

    Args:
        request: A connection to the platform that nothing else uses.
        poll_s: How long a call may wait. [s]
        first_wait_s: First wait after an error. [s]

    """

    def __init__(self, request: BaseRequest, *, poll_s: int = POLL_S, first_wait_s: float = FIRST_WAIT_S) -> None:
        self._request = request
        # It holds the token, and is never logged.
        self._url = ""
        self._poll_s = poll_s
        self._first_wait_s = first_wait_s
        self._offset = 0

    async def prepare(self, bot: Bot) -> None:
        """Have updates wait to be asked for; what came while nobody asked is kept."""
        await self._request.initialize()
        await bot.delete_webhook(drop_pending_updates=False)
        self._url = f"{bot.base_url}/getUpdates"

    async def close(self) -> None:
        """Let go of the connection."""
        await self._request.shutdown()

    async def run(self, take: Take) -> None:
        """Take updates in until cancelled.

        Raises:
            OtherPollerError: somebody else gets them.
            InvalidToken: the platform knows no such bot (any more).

        """
        wait_s = self._first_wait_s
        conflicts = 0
        while True:
            try:
                updates = await self._asked()
            except RetryAfter as pause:
                waited = pause.retry_after
                await asyncio.sleep(float(waited) if isinstance(waited, int) else waited.total_seconds())
                continue
            except Conflict as conflict:
                conflicts += 1
                if conflicts >= CONFLICTS:
                    raise OtherPollerError from conflict
                logger.warning("telegram: somebody else asks for updates with this token (%d)", conflicts)
            except InvalidToken:
                raise
            except (NetworkError, TelegramError) as error:
                logger.warning("telegram: no updates now: %s", type(error).__name__)
            else:
                conflicts = 0
                if await self._taken(updates, take):
                    wait_s = self._first_wait_s
                    continue
            await asyncio.sleep(wait_s)
            wait_s = min(2 * wait_s, LONGEST_WAIT_S)

    async def _taken(self, updates: Sequence[Raw], take: Take) -> bool:
        """Whether updates are committed; only then the next call confirms them, by an offset from this very batch."""
        if not updates:
            return True
        try:
            await take(updates)
        except StoreUnavailable as refusal:
            logger.warning("telegram: %d updates could not be kept, they come again: %s", len(updates), refusal)
            return False
        self._offset = _number(updates[-1]) + 1
        return True

    async def _asked(self) -> list[Raw]:
        kinds = json.dumps(KINDS, separators=(",", ":"))
        url = f"{self._url}?offset={self._offset}&limit={BATCH}&timeout={self._poll_s}&allowed_updates={kinds}"
        answer = await self._request.post(url, read_timeout=ANSWERED_WITHIN_S)
        found = answer if isinstance(answer, list) else []
        return [each for each in found if _number(each)]


def _number(raw: Raw) -> int:
    number = raw.get("update_id")
    return number if isinstance(number, int) else 0
