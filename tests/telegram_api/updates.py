"""Updates that wait for the bot: confirmed by the next offset when it polls, by a 2xx answer when they are pushed.

Source: section "Getting updates" and its "getUpdates", "setWebhook", "getWebhookInfo".
"""

import asyncio
import contextlib
import json
from collections import defaultdict, deque
from collections.abc import Callable
from dataclasses import dataclass, field
from urllib.parse import urlsplit

import aiohttp

from tests.telegram_api.limits import SECRET, Json, Refusal, bad

MOST_AT_ONCE = 100
"""Section "getUpdates": limit is "1-100"."""

KEPT_S = 24 * 3600.0
"""Section "Getting updates": "they will not be kept longer than 24 hours". [s]"""

PORTS = frozenset({443, 80, 88, 8443})
"""Section "setWebhook": "Ports currently supported for webhooks"."""

OTHER_POLLER = Refusal(
    409, "Conflict: terminated by other getUpdates request; make sure that only one bot instance is running"
)
PUSHED = Refusal(
    409, "Conflict: can't use getUpdates method while webhook is active; use deleteWebhook to delete the webhook first"
)


@dataclass(frozen=True, slots=True)
class Waiting:
    """An update, the chat it came from, and when. Between updates of one chat order is kept, between chats not."""

    number: int
    chat: str
    at_s: float
    body: dict[str, Json]


@dataclass(slots=True)
class Webhook:
    """Where updates are pushed to."""

    url: str
    secret: str | None
    most_at_once: int
    last_error: str | None = None


@dataclass(slots=True)
class Updates:
    """The queue of one bot.

    Args:
        now: The server's clock. [s]
        local: It runs as a server of one's own, which may push to plain HTTP at any port (section "Using a Local Bot
            API Server").
        changed: Told when an update was taken by a webhook.
        first: Number of the first update.
        retry_s: First wait before an update is pushed again; doubled up to `longest_retry_s`. The real one waits from
            nothing to a minute or two. [s]

    """

    now: Callable[[], float]
    local: bool
    changed: Callable[[], None]
    first: int = 700_000_001
    retry_s: float = 0.02
    longest_retry_s: float = 0.2
    waiting: deque[Waiting] = field(default_factory=deque)
    webhook: Webhook | None = None
    pushes: list[int] = field(default_factory=list)
    allowed: list[str] | None = None
    confirmed: int = 0
    _last: int = 0
    _news: asyncio.Event = field(default_factory=asyncio.Event)
    _poll: asyncio.Event | None = None
    _pusher: asyncio.Task[None] | None = None

    def add(self, kind: str, chat: str, content: Json) -> int:
        """A new update; its number."""
        if self.allowed is not None and kind not in self.allowed:
            return 0
        self._last = max(self._last, self.first - 1) + 1
        self.waiting.append(Waiting(self._last, chat, self.now(), {"update_id": self._last, kind: content}))
        self._news.set()
        return self._last

    def jump(self, number: int) -> None:
        """Go on from another number, as after a week without updates.

        "If there are no new updates for at least a week, then identifier of the next update will be chosen randomly
        instead of sequentially."
        """
        self._last = 0
        self.first = number

    async def poll(self, *, offset: int, limit: int, timeout_s: float) -> list[Json]:
        """Answer a call of getUpdates."""
        if self.webhook is not None:
            raise PUSHED
        if self._poll is not None:
            self._poll.set()
        ended = self._poll = asyncio.Event()
        try:
            self._confirm(offset)
            if not self.waiting and timeout_s > 0:
                self._news.clear()
                await _first_of(self._news, ended, timeout_s)
            if ended.is_set():
                raise OTHER_POLLER
            if self.webhook is not None:
                raise PUSHED
            return [dict(each.body) for each in self._kept()[: max(1, min(limit, MOST_AT_ONCE))]]
        finally:
            if self._poll is ended:
                self._poll = None

    def _confirm(self, offset: int) -> None:
        # "An update is considered confirmed as soon as getUpdates is called with an offset higher than its update_id".
        # Negative: "starting from -offset update from the end of the updates queue. All previous updates are forgotten".
        kept = list(self.waiting)
        if offset > 0:
            # After a jump downwards the numbers no longer rise along the queue, so each is compared by its place.
            place = next((n for n, each in enumerate(kept) if each.number == offset - 1), None)
            gone = place + 1 if place is not None else sum(each.number < offset for each in kept)
            self.confirmed += gone
            kept = kept[gone:]
        elif offset < 0:
            kept = kept[offset:]
        self.waiting = deque(kept)

    def _kept(self) -> list[Waiting]:
        while self.waiting and self.now() - self.waiting[0].at_s > KEPT_S:
            self.waiting.popleft()
        return list(self.waiting)

    def push_to(self, url: str, *, secret: str | None, most_at_once: int) -> None:
        """Answer a call of setWebhook; an empty address takes the webhook away."""
        if secret is not None and not SECRET.fullmatch(secret):
            raise bad("secret token contains unallowed characters")
        self.stop()
        if not url:
            self.webhook = None
            return
        parts = urlsplit(url)
        if not self.local and parts.scheme != "https":
            raise bad("bad webhook: An HTTPS URL must be provided for webhook")
        if not self.local and parts.port not in PORTS:
            raise bad("bad webhook: Webhook can be set up only on ports 80, 88, 443 or 8443")
        self.webhook = Webhook(url, secret, max(1, min(most_at_once, 100)))
        self._news.set()
        self._pusher = asyncio.get_running_loop().create_task(self._push(self.webhook))

    def stop(self) -> None:
        """Push no more."""
        if self._pusher is not None:
            self._pusher.cancel()
            self._pusher = None

    async def _push(self, webhook: Webhook) -> None:
        # One update of a chat in flight, so that its order is kept; found by experiment, not documented.
        headers = {} if webhook.secret is None else {"X-Telegram-Bot-Api-Secret-Token": webhook.secret}
        chats: dict[str, asyncio.Task[None]] = {}
        room = asyncio.Semaphore(webhook.most_at_once)
        async with aiohttp.ClientSession(headers=headers) as session:
            try:
                while True:
                    self._news.clear()
                    queues: defaultdict[str, list[Waiting]] = defaultdict(list)
                    for each in self._kept():
                        queues[each.chat].append(each)
                    for chat, queue in queues.items():
                        if chat not in chats or chats[chat].done():
                            chats[chat] = asyncio.create_task(self._push_chat(session, webhook, room, queue))
                    await self._news.wait()
            finally:
                for task in chats.values():
                    task.cancel()

    async def _push_chat(
        self, session: aiohttp.ClientSession, webhook: Webhook, room: asyncio.Semaphore, queue: list[Waiting]
    ) -> None:
        for each in queue:
            wait_s = self.retry_s
            while True:
                async with room:
                    self.pushes.append(each.number)
                    asked_s = await self._pushed(session, webhook, each)
                if asked_s is None:
                    break
                # "In case of an unsuccessful request (a request with response HTTP status code different from 2XY), we
                # will repeat the request and give up after a reasonable amount of attempts."
                await asyncio.sleep(asked_s or wait_s)
                wait_s = min(2 * wait_s, self.longest_retry_s)
            with contextlib.suppress(ValueError):
                self.waiting.remove(each)
                self.confirmed += 1
            self.changed()
        self._news.set()

    async def _pushed(self, session: aiohttp.ClientSession, webhook: Webhook, each: Waiting) -> float | None:
        """None where it was taken, else the wait that was asked for. [s]"""
        try:
            async with session.post(
                webhook.url,
                data=json.dumps(each.body),
                headers={"Content-Type": "application/json"},
                timeout=aiohttp.ClientTimeout(total=10),
            ) as answer:
                if 200 <= answer.status < 300:
                    return None
                webhook.last_error = f"Wrong response from the webhook: {answer.status} {answer.reason}"
                return min(float(answer.headers.get("Retry-After", 0)), self.longest_retry_s)
        except (aiohttp.ClientError, TimeoutError, OSError) as wrong:
            webhook.last_error = type(wrong).__name__
            return 0.0


async def _first_of(one: asyncio.Event, other: asyncio.Event, timeout_s: float) -> None:
    tasks = [asyncio.create_task(one.wait()), asyncio.create_task(other.wait())]
    try:
        await asyncio.wait(tasks, timeout=timeout_s, return_when=asyncio.FIRST_COMPLETED)
    finally:
        for task in tasks:
            task.cancel()
