"""Health: a small server that tells how the program is, and takes what a platform pushes."""

import asyncio
import json
from collections.abc import Sequence
from datetime import datetime

from aiohttp import web

from bot.connectors.telegram.webhook import MOST_BYTES, SECRET_HEADER, Webhook
from bot.dispatch import Clock
from bot.logs import logger
from core.application.ports import Store, StoreUnavailable

LOOKED_WITHIN_S = 5.0
"""A store that tells nothing in this time is not there. [s]"""

CLOSED_WITHIN_S = 5.0
"""What is under way when the server closes has this long. [s]"""


class Server:
    """Listens for `/healthz`, and for pushes where there is a webhook.

    Args:
        store: Where everything is kept.
        clock: The time; aware.
        connectors: Names of the connectors served.
        webhook: Takes pushes.

    """

    def __init__(
        self, store: Store, *, clock: Clock, connectors: Sequence[str] = (), webhook: Webhook | None = None
    ) -> None:
        self._store = store
        self._clock = clock
        self._connectors = tuple(connectors)
        self._webhook = webhook
        self._runner: web.AppRunner | None = None

    async def start(self, host: str, port: int) -> int:
        """Listen; the port, which 0 leaves to the system.

        Raises:
            OSError: somebody else listens there, or nobody may.

        """
        application = web.Application(client_max_size=MOST_BYTES)
        application.router.add_get("/healthz", self._healthz)
        if self._webhook is not None:
            application.router.add_post(self._webhook.path, self._pushed)
        self._runner = web.AppRunner(application, access_log=None, shutdown_timeout=CLOSED_WITHIN_S)
        await self._runner.setup()
        await web.TCPSite(self._runner, host, port).start()
        found: int = self._runner.addresses[0][1]
        return found

    async def stop(self) -> None:
        """Listen no more; what is under way is finished."""
        if self._runner is not None:
            await self._runner.cleanup()
            self._runner = None

    async def _healthz(self, _request: web.Request) -> web.Response:
        """Whether the store can be read, and how long the oldest message waits to be handled, or to be sent. [s]"""
        try:
            async with asyncio.timeout(LOOKED_WITHIN_S):
                ages = await asyncio.to_thread(self._ages)
        except (StoreUnavailable, TimeoutError, OSError):
            return _told({"store": False}, status=503)
        return _told({"store": True, **ages}, status=200)

    def _ages(self) -> dict[str, float | None]:
        now = self._clock()
        with self._store.read() as work:
            inbox = [row.received_at for row in work.inbox.waiting(limit=1)]
            outbox = [row.created_at for name in self._connectors for row in work.outbox.waiting(name, limit=1)]
        return {"inbox_age_s": _age(inbox, now), "outbox_age_s": _age(outbox, now)}

    async def _pushed(self, request: web.Request) -> web.Response:
        webhook = self._webhook
        if webhook is None or not webhook.lets_in(request.headers.get(SECRET_HEADER)):
            return web.Response(status=403)
        try:
            body = await request.read()
        except web.HTTPRequestEntityTooLarge:
            # Refused it would come again for ever.
            logger.error("telegram: a push of more than %d bytes is passed over", MOST_BYTES)
            return web.Response(status=200)
        answered = await webhook.pushed(body)
        headers = {} if answered.wait_s is None else {"Retry-After": str(answered.wait_s)}
        return web.Response(status=answered.status, headers=headers)


def _age(instants: Sequence[datetime], now: datetime) -> float | None:
    return round(max(0.0, (now - min(instants)).total_seconds()), 1) if instants else None


def _told(told: dict[str, bool | float | None], *, status: int) -> web.Response:
    return web.Response(text=json.dumps(told) + "\n", status=status, content_type="application/json")
