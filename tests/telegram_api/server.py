"""The server of the double: methods of the Bot API over HTTP on loopback, with faults on demand."""

import asyncio
import json
import time
from collections import defaultdict, deque
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field, replace

from aiohttp import web

from tests.telegram_api import limits
from tests.telegram_api.chats import Chat, Reach, Seen
from tests.telegram_api.limits import Json, Refusal, bad
from tests.telegram_api.updates import Updates

QUERY_S = 150.0
"""A callback query can be answered for so long; found by experiment. [s]"""

A_SECOND, A_CHAT, BURST, A_GROUP_MINUTE = 30, 1.0, 5, 20
"""Page "Bots FAQ": "no more than one message per second" in a chat though "short bursts" pass, "about 30 messages per
second" in all, "20 messages per minute to the same group". How long a burst may be is a guess of ours."""

UNREACHED: dict[Reach, str] = {
    "not started": "Forbidden: bot can't initiate conversation with a user",
    "blocked": "Forbidden: bot was blocked by the user",
    "deactivated": "Forbidden: user is deactivated",
    "kicked": "Forbidden: bot was kicked from the group chat",
}
"""Words of the 403 answers (from memory; they are not documented)."""

Fields = dict[str, str]


@dataclass(frozen=True, slots=True)
class Refuse:
    """The next call is answered so, and nothing is done."""

    code: int
    description: str
    parameters: dict[str, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Garble:
    """The next call is answered by something that is no JSON, as a proxy in between does."""

    code: int = 502


@dataclass(frozen=True, slots=True)
class Drop:
    """The connection of the next call breaks; `accepted`: after it was done."""

    accepted: bool


@dataclass(frozen=True, slots=True)
class Hang:
    """The next call is done, and its answer never comes."""


Fault = Refuse | Garble | Drop | Hang


@dataclass(frozen=True, slots=True)
class Call:
    """A call as it came."""

    method: str
    fields: Fields
    at_s: float


class BotApi:
    """Telegram, as one bot and its people meet it.

    Args:
        token: The bot's.
        local: It takes webhooks at plain HTTP and any port; see `Updates`.
        rates: It answers 429 to what is faster than allowed.
        privacy_mode: In groups the bot hears only what is meant for it.

    """

    username = "rackside_test_bot"

    def __init__(
        self,
        token: str = "110201543:AAHdqTcvCH1vGWJxfSeofSAs0K5PALDsaw_",  # noqa: S107 - the double's own
        *,
        local: bool = True,
        rates: bool = False,
        privacy_mode: bool = True,
    ) -> None:
        self.token = token
        self.rates = rates
        self.privacy_mode = privacy_mode
        self.ahead_s = 0.0
        self._changed = asyncio.Event()
        self.updates = Updates(now=self.now, local=local, changed=self._changed.set)
        self.chats: dict[int, Chat] = {}
        self.calls: list[Call] = []
        self.menu: list[tuple[str, str]] = []
        self.answered: dict[str, str] = {}
        self.faults: defaultdict[str, deque[Fault]] = defaultdict(deque)
        self.port = 0
        self._queries: dict[str, tuple[float, Chat]] = {}
        self._numbers: defaultdict[int, int] = defaultdict(lambda: 100)
        self._sent_at: defaultdict[int, deque[float]] = defaultdict(deque)
        self._spread_at: defaultdict[int, float] = defaultdict(float)
        self._all_sent_at: deque[float] = deque()
        self._runner: web.AppRunner | None = None
        self._methods: dict[str, Callable[[Fields], Awaitable[Json]]] = {
            "getMe": self._get_me,
            "getUpdates": self._get_updates,
            "setWebhook": self._set_webhook,
            "deleteWebhook": self._delete_webhook,
            "getWebhookInfo": self._get_webhook_info,
            "sendMessage": self._send_message,
            "sendPhoto": self._send_photo,
            "sendChatAction": self._send_chat_action,
            "editMessageText": self._edit_message_text,
            "editMessageReplyMarkup": self._edit_message_reply_markup,
            "answerCallbackQuery": self._answer_callback_query,
            "setMyCommands": self._set_my_commands,
        }

    # --- For tests

    async def start(self, *, port: int = 0) -> None:
        """Listen on loopback."""
        application = web.Application(client_max_size=64 * 1024 * 1024)
        application.router.add_route("*", "/bot{token}/{method}", self._answer)
        self._runner = web.AppRunner(application, access_log=None, handler_cancellation=True, shutdown_timeout=0.1)
        await self._runner.setup()
        site = web.TCPSite(self._runner, "127.0.0.1", port)
        await site.start()
        self.port = self._runner.addresses[0][1]

    async def stop(self) -> None:
        """Listen no more."""
        self.updates.stop()
        if self._runner is not None:
            await self._runner.cleanup()
            self._runner = None

    @property
    def base_url(self) -> str:
        """What the library is given as `base_url`."""
        return f"http://127.0.0.1:{self.port}/bot"

    def now(self) -> float:
        """The server's clock. [s]"""
        return time.time() + self.ahead_s

    def person(self, number: int = 1001, name: str = "Tove", *, reach: Reach = "open") -> Chat:
        """A person, and their chat with the bot."""
        return self._chat(Chat(self, number, name=name, reach=reach))

    def group(self, number: int = -5001, name: str = "Cellar") -> Chat:
        """A group with the bot in it."""
        return self._chat(Chat(self, number, kind="group", name=name))

    def fail(self, method: str, *faults: Fault) -> None:
        """The next calls of a method meet these faults, in order."""
        self.faults[method].extend(faults)

    def called(self, method: str) -> list[Call]:
        """Calls of a method so far."""
        return [each for each in self.calls if each.method == method]

    async def until(self, holds: Callable[[], bool], *, within_s: float = 30.0) -> None:
        """Wait until something holds, looked at after each call and each push.

        Raises:
            TimeoutError: it does not in time.

        """
        async with asyncio.timeout(within_s):
            while not holds():
                self._changed.clear()
                await self._changed.wait()

    def new_query(self, by: Chat) -> str:
        """The id of a new callback query."""
        query = f"{1_000_000 + len(self._queries)}"
        self._queries[query] = (self.now(), by)
        return query

    def next_message(self, chat: int) -> int:
        """The number of a chat's next message."""
        self._numbers[chat] += 1
        return self._numbers[chat]

    def bot(self) -> dict[str, Json]:
        """Section "User", of the bot."""
        return {
            "id": int(self.token.partition(":")[0]),
            "is_bot": True,
            "first_name": "Rackside",
            "username": self.username,
        }

    # --- HTTP

    async def _answer(self, request: web.Request) -> web.StreamResponse:
        token, method = request.match_info["token"], request.match_info["method"]
        fields: Fields = dict(request.query)
        form = await request.post()
        for name, value in form.items():
            if isinstance(value, web.FileField):
                fields[name] = f"file of {len(value.file.read())} bytes"
            else:
                fields[name] = value if isinstance(value, str) else value.decode()
        if request.content_type == "application/json":
            given: dict[str, Json] = await request.json()
            fields |= {name: each if isinstance(each, str) else json.dumps(each) for name, each in given.items()}
        self.calls.append(Call(method, fields, self.now()))
        self._changed.set()
        try:
            return await self._told(token, method, fields, request)
        finally:
            self._changed.set()

    async def _told(self, token: str, method: str, fields: Fields, request: web.Request) -> web.StreamResponse:
        if ":" not in token:
            return _refused(Refusal(404, "Not Found"))
        if token != self.token:
            return _refused(Refusal(401, "Unauthorized"))
        if method not in self._methods:
            return _refused(Refusal(404, "Not Found: method not found"))
        fault = self.faults[method].popleft() if self.faults[method] else None
        match fault:
            case Refuse(code=code, description=told, parameters=parameters):
                return _refused(Refusal(code, told, parameters))
            case Garble(code=code):
                return web.Response(status=code, text="<html>Bad Gateway</html>", content_type="text/html")
            case Drop(accepted=False):
                return _broken(request)
        try:
            result = await self._methods[method](fields)
        except Refusal as refusal:
            return _refused(refusal)
        match fault:
            case Drop():
                return _broken(request)
            case Hang():
                self._changed.set()
                await asyncio.sleep(60)
        return web.json_response({"ok": True, "result": result})

    # --- Methods

    async def _get_me(self, _fields: Fields) -> Json:
        return self.bot() | {
            "can_join_groups": True,
            "can_read_all_group_messages": not self.privacy_mode,
            "supports_inline_queries": False,
        }

    async def _get_updates(self, fields: Fields) -> Json:
        if "allowed_updates" in fields:
            self.updates.allowed = json.loads(fields["allowed_updates"]) or None
        return await self.updates.poll(
            offset=int(fields.get("offset", 0)),
            limit=int(fields.get("limit", 100)),
            timeout_s=float(fields.get("timeout", 0)),
        )

    async def _set_webhook(self, fields: Fields) -> Json:
        if "allowed_updates" in fields:
            self.updates.allowed = json.loads(fields["allowed_updates"]) or None
        if fields.get("drop_pending_updates") == "true":
            self.updates.waiting.clear()
        self.updates.push_to(
            fields.get("url", ""),
            secret=fields.get("secret_token"),
            most_at_once=int(fields.get("max_connections", 40)),
        )
        return True

    async def _delete_webhook(self, fields: Fields) -> Json:
        if fields.get("drop_pending_updates") == "true":
            self.updates.waiting.clear()
        self.updates.push_to("", secret=None, most_at_once=1)
        return True

    async def _get_webhook_info(self, _fields: Fields) -> Json:
        webhook = self.updates.webhook
        told: dict[str, Json] = {
            "url": "" if webhook is None else webhook.url,
            "has_custom_certificate": False,
            "pending_update_count": len(self.updates.waiting),
        }
        if webhook is not None and webhook.last_error is not None:
            told |= {"last_error_date": int(self.now()), "last_error_message": webhook.last_error}
        return told

    async def _send_message(self, fields: Fields) -> Json:
        chat = self._reached(fields)
        text = limits.text_seen(fields)
        return self._sent(chat, fields, text)

    async def _send_photo(self, fields: Fields) -> Json:
        chat = self._reached(fields)
        text = limits.caption_seen(fields)
        picture = next((v for v in fields.values() if v.startswith("file of ")), "file of 0 bytes")
        size = int(picture.split()[2])
        if not size:
            raise bad("there is no photo in the request")
        if size > limits.PHOTO_MOST:
            raise bad("file is too big")
        return self._sent(chat, fields, text, picture=size)

    def _sent(self, chat: Chat, fields: Fields, text: str, *, picture: int = 0) -> Json:
        keyboard = limits.keyboard(fields)
        self._within_rates(chat)
        seen = chat.put(
            Seen(
                self.next_message(chat.number),
                by_bot=True,
                text=text,
                html=fields.get("text", fields.get("caption", "")),
                keyboard=keyboard,
                silent=fields.get("disable_notification") == "true",
                picture=picture,
                at_s=self.now(),
            )
        )
        return chat.message(seen.number, text, by_bot=True)

    async def _send_chat_action(self, fields: Fields) -> Json:
        chat = self._reached(fields)
        if fields.get("action") not in limits.ACTIONS:
            raise bad("wrong parameter action in request")
        chat.typing += 1
        return True

    async def _edit_message_text(self, fields: Fields) -> Json:
        chat, seen = self._own(fields)
        return self._edited(
            chat,
            replace(seen, text=limits.text_seen(fields), html=fields.get("text", ""), keyboard=limits.keyboard(fields)),
        )

    async def _edit_message_reply_markup(self, fields: Fields) -> Json:
        chat, seen = self._own(fields)
        return self._edited(chat, replace(seen, keyboard=limits.keyboard(fields)))

    def _edited(self, chat: Chat, seen: Seen) -> Json:
        if seen == chat.find(seen.number):
            raise bad(
                "message is not modified: specified new message content and reply markup are exactly the same as a "
                "current content and reply markup of the message"
            )
        chat.change(replace(seen, edits=seen.edits + 1))
        return chat.message(seen.number, seen.text, by_bot=True) | {"edit_date": int(self.now())}

    def _own(self, fields: Fields) -> tuple[Chat, Seen]:
        chat = self._reached(fields)
        seen = chat.find(int(fields.get("message_id", 0)))
        if seen is None:
            raise bad("message to edit not found")
        if not seen.by_bot:
            raise bad("message can't be edited")
        return chat, seen

    async def _answer_callback_query(self, fields: Fields) -> Json:
        query = fields.get("callback_query_id", "")
        asked_at, by = self._queries.get(query, (float("-inf"), None))
        if by is None or self.now() - asked_at > QUERY_S or query in self.answered:
            raise bad("query is too old and response timeout expired or query ID is invalid")
        text = fields.get("text", "")
        if limits.units(text) > limits.TOAST_MOST:
            raise bad("MESSAGE_TOO_LONG")
        self.answered[query] = text
        if text:
            by.toasts.append(text)
        return True

    async def _set_my_commands(self, fields: Fields) -> Json:
        self.menu = limits.commands(fields)
        return True

    # --- What they stand on

    def _chat(self, chat: Chat) -> Chat:
        return self.chats.setdefault(chat.number, chat)

    def _reached(self, fields: Fields) -> Chat:
        number = fields.get("chat_id", "")
        chat = self.chats.get(int(number)) if number.lstrip("-").isdigit() else None
        if chat is None:
            raise bad("chat not found")
        if chat.moved_to is not None:
            # Section "ResponseParameters": migrate_to_chat_id.
            raise Refusal(
                400,
                "Bad Request: group chat was upgraded to a supergroup chat",
                {"migrate_to_chat_id": chat.moved_to},
            )
        if chat.reach != "open":
            raise Refusal(403, UNREACHED[chat.reach])
        return chat

    def _within_rates(self, chat: Chat) -> None:
        now, mine, every = self.now(), self._sent_at[chat.number], self._all_sent_at
        if self.rates:
            spread_at = max(self._spread_at[chat.number], now)
            waits = [_wait(every, A_SECOND, 1.0, now), spread_at - now - (BURST - 1) / A_CHAT]
            if chat.kind != "private":
                waits.append(_wait(mine, A_GROUP_MINUTE, 60.0, now))
            if (wait := max(waits)) > 0:
                # Section "ResponseParameters": retry_after, in seconds.
                seconds = int(wait) + 1
                raise Refusal(429, f"Too Many Requests: retry after {seconds}", {"retry_after": seconds})
            # When the messages so far will have been spread out evenly.
            self._spread_at[chat.number] = spread_at + 1 / A_CHAT
        mine.append(now)
        every.append(now)


def _wait(sent_at: deque[float], most: int, over_s: float, now: float) -> float:
    if len(sent_at) < most:
        return 0.0
    return max(0.0, sent_at[-most] + over_s - now)


def _refused(refusal: Refusal) -> web.Response:
    body: dict[str, Json] = {"ok": False, "error_code": refusal.code, "description": refusal.description}
    if refusal.parameters:
        body["parameters"] = dict(refusal.parameters)
    return web.json_response(body, status=refusal.code)


def _broken(request: web.Request) -> web.Response:
    if request.transport is not None:
        request.transport.abort()
    return web.Response()
