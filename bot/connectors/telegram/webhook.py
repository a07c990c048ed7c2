"""The webhook: updates that Telegram pushes, answered once they are committed."""

import asyncio
import json
from collections.abc import Awaitable, Callable, Sequence
from dataclasses import dataclass
from hmac import compare_digest
from http import HTTPStatus
from urllib.parse import urlsplit

from telegram import Bot

from bot.connectors.telegram.updates import KINDS, Json, Raw
from bot.logs import logger
from core.application.ports import StoreUnavailable

MOST_BYTES = 1024 * 1024
"""Longest update that is read. [bytes] A text has 4,096 characters at most, and what hangs on it is a fraction of this."""

WAIT_AGAIN_S = 2
"""How soon an update may come again that could not be committed. [s]"""

AT_ONCE = 8
"""Pushes at a time; one of a chat at most, so that its order is kept."""

SECRET_HEADER = "X-Telegram-Bot-Api-Secret-Token"  # noqa: S105 - the header's name

Take = Callable[[Sequence[Raw]], Awaitable[None]]


@dataclass(frozen=True, slots=True)
class Answered:
    """What a push is answered: a status, and how long to wait before it comes again. [s]"""

    status: HTTPStatus
    wait_s: int | None = None


class Webhook:
    """Takes pushes in; a server hands them over.

    Args:
        url: Address that they are pushed to, as the platform sees it.
        secret: What each of them carries, as it is agreed on with the platform.

    """

    def __init__(self, *, url: str, secret: str) -> None:
        self.url = url
        self._secret = secret
        self._take: Take | None = None

    @property
    def path(self) -> str:
        """The path of the address, where a server of ours hands them over."""
        return urlsplit(self.url).path or "/"

    async def prepare(self, bot: Bot) -> None:
        """Have updates pushed; what came while nobody took them is kept."""
        await bot.set_webhook(
            self.url,
            secret_token=self._secret,
            allowed_updates=KINDS,
            max_connections=AT_ONCE,
            drop_pending_updates=False,
        )

    async def close(self) -> None:
        """There is nothing to let go of."""

    async def run(self, take: Take) -> None:
        """Take updates in until cancelled."""
        self._take = take
        try:
            await asyncio.Event().wait()
        finally:
            self._take = None

    def lets_in(self, secret: str | None) -> bool:
        """Whether a push carries the secret; looked at before anything of it is read."""
        return compare_digest((secret or "").encode(errors="replace"), self._secret.encode())

    async def pushed(self, body: bytes) -> Answered:
        """Take a push in: 200 only once it is committed, and for what can never be read.

        A refusal of what it holds would only bring it back, before everything else of that chat.
        """
        if self._take is None:
            return Answered(HTTPStatus.SERVICE_UNAVAILABLE, WAIT_AGAIN_S)
        try:
            given: Json = json.loads(body)
        except (ValueError, RecursionError):
            logger.warning("telegram: a push that is no JSON, %d bytes", len(body))
            return Answered(HTTPStatus.OK)
        if not isinstance(given, dict):
            logger.warning("telegram: a push that is no update, %d bytes", len(body))
            return Answered(HTTPStatus.OK)
        try:
            await self._take([given])
        except StoreUnavailable as refusal:
            logger.warning("telegram: a push could not be kept, it comes again: %s", refusal)
            return Answered(HTTPStatus.SERVICE_UNAVAILABLE, WAIT_AGAIN_S)
        return Answered(HTTPStatus.OK)
