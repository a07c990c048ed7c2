"""Chats of the double: what people do there, and what they see of the bot.

Source: sections "Update", "Message", "CallbackQuery", "ChatMemberUpdated"; page "Bot Features", "Privacy mode".
"""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Literal

from tests.telegram_api.limits import PAYLOAD, Json, Keyboard

if TYPE_CHECKING:
    from tests.telegram_api.server import BotApi

Reach = Literal["open", "not started", "blocked", "deactivated", "kicked"]


@dataclass(frozen=True, slots=True)
class Seen:
    """A message in a chat, as people see it now.

    Args:
        number: Number of the message in its chat.
        by_bot: The bot sent it.
        text: Its text or caption.
        html: As the bot gave it.
        keyboard: Buttons under it.
        silent: It came without a sound.
        picture: Size of the picture it carries. [bytes]
        at_s: When it was sent. [s]
        edits: How often it was changed.

    """

    number: int
    by_bot: bool
    text: str
    html: str = ""
    keyboard: Keyboard = field(default_factory=list)
    silent: bool = False
    picture: int = 0
    at_s: float = 0.0
    edits: int = 0

    @property
    def labels(self) -> list[str]:
        """What its buttons read."""
        return [label for row in self.keyboard for label, _ in row]


@dataclass(slots=True)
class Chat:
    """One chat: of a person with the bot (its number is the person's), or a group (a negative number).

    Whoever is `told` hears of each message of the bot as it appears.
    """

    api: "BotApi"
    number: int
    kind: Literal["private", "group", "supergroup"] = "private"
    name: str = "Tove"
    reach: Reach = "open"
    messages: list[Seen] = field(default_factory=list)
    toasts: list[str] = field(default_factory=list)
    typing: int = 0
    moved_to: int | None = None
    told: Callable[[Seen], None] | None = None

    def of_bot(self) -> list[Seen]:
        """What the bot said, in order."""
        return [each for each in self.messages if each.by_bot]

    def texts(self) -> list[str]:
        """What the bot said, as text."""
        return [each.text for each in self.of_bot()]

    def says(self, text: str, *, by: "Chat | None" = None, at_s: float | None = None) -> Seen:
        """Somebody writes; in a group the bot hears only what is meant for it, where privacy mode is on."""
        return self._put({"text": text}, text, by=by, at_s=at_s)

    def shows(self, what: str, *, caption: str | None = None) -> Seen:
        """Somebody sends a thing that is no text: "voice", "photo", "video", "sticker"..."""
        file: dict[str, Json] = {"file_id": "f", "file_unique_id": "u", "file_size": 9}
        contents: dict[str, dict[str, Json]] = {
            "voice": {"voice": {**file, "duration": 3}},
            "photo": {"photo": [{**file, "width": 9, "height": 9}]},
            "video": {"video": {**file, "width": 9, "height": 9, "duration": 3}},
            "video_note": {"video_note": {**file, "length": 9, "duration": 3}},
            "sticker": {
                "sticker": {
                    **file,
                    "type": "regular",
                    "width": 9,
                    "height": 9,
                    "is_animated": False,
                    "is_video": False,
                }
            },
            "document": {"document": file},
        }
        told: dict[str, Json] = {} if caption is None else {"caption": caption}
        return self._put(contents[what] | told, caption or "")

    def replies(self, text: str, to: Seen, *, by: "Chat | None" = None) -> Seen:
        """Somebody answers a message."""
        told = self.message(to.number, to.text, by=None if to.by_bot else by, by_bot=to.by_bot)
        return self._put({"text": text, "reply_to_message": told}, text, by=by)

    def starts(self, payload: str = "") -> Seen:
        """Somebody opens the bot by its address and presses its button; the payload of the address comes along."""
        if payload and not PAYLOAD.fullmatch(payload):
            payload = ""  # The app gives no start parameter that breaks the rule.
        if self.reach == "not started":
            self.reach = "open"
        return self.says(f"/start {payload}".strip())

    def edits(self, seen: Seen, text: str, *, at_s: float | None = None) -> None:
        """Somebody changes a message of theirs: a new update, the same message."""
        self._replace(replace(seen, text=text, edits=seen.edits + 1))
        now = int(self.api.now() if at_s is None else at_s)
        body = self.message(seen.number, text) | {"text": text, "edit_date": now, "date": int(seen.at_s)}
        self._add("edited_message", body | {"entities": _entities(text)})

    def taps(self, label: str, *, by: "Chat | None" = None, on: Seen | None = None, stale: bool = False) -> str:
        """Somebody presses a button of the newest message that has it; the id of the callback query.

        Raises:
            LookupError: no message has such a button (any more); with `stale`, `on` is pressed as it was.

        """
        found = [on] if on is not None and stale else [m for m in self.messages if on is None or m.number == on.number]
        for seen in reversed(found):
            for row in seen.keyboard:
                for shown, data in row:
                    if shown == label:
                        return self._tap(seen, data, by or self)
        raise LookupError(f"no button reads {label!r}: {[each.labels for each in found]}")

    def _tap(self, seen: Seen, data: str, by: "Chat") -> str:
        query = self.api.new_query(by)
        markup: Json = {
            "inline_keyboard": [[{"text": text, "callback_data": d} for text, d in row] for row in seen.keyboard]
        }
        body: dict[str, Json] = {
            "id": query,
            "from": by.person(),
            "chat_instance": "1",
            "data": data,
            "message": self.message(seen.number, seen.text, by_bot=True) | {"text": seen.text, "reply_markup": markup},
        }
        # Callback queries are not ordered against messages: found by experiment, so the double keeps their own order.
        self.api.updates.add("callback_query", f"taps of {by.number}", body)
        return query

    def blocks(self) -> None:
        """The person blocks the bot."""
        self.reach = "blocked"
        self._member("kicked")

    def unblocks(self) -> None:
        """The person lets the bot in again."""
        self.reach = "open"
        self._member("member")

    def _member(self, status: str) -> None:
        # ChatMemberBanned has until_date, "0 if banned forever".
        new: dict[str, Json] = {"status": status, "user": self.api.bot()}
        old: dict[str, Json] = {"status": "member" if status == "kicked" else "kicked", "user": self.api.bot()}
        for member in (new, old):
            if member["status"] == "kicked":
                member["until_date"] = 0
        body: dict[str, Json] = {
            "chat": self.described(),
            "from": self.person(),
            "date": int(self.api.now()),
            "old_chat_member": old,
            "new_chat_member": new,
        }
        self._add("my_chat_member", body)

    def person(self) -> dict[str, Json]:
        """Section "User"."""
        return {"id": abs(self.number), "is_bot": False, "first_name": self.name, "language_code": "en"}

    def described(self) -> dict[str, Json]:
        """Section "Chat"."""
        told: dict[str, Json] = {"id": self.number, "type": self.kind}
        return told | ({"first_name": self.name} if self.kind == "private" else {"title": self.name})

    def message(self, number: int, text: str, *, by: "Chat | None" = None, by_bot: bool = False) -> dict[str, Json]:
        """Section "Message"."""
        sender = self.api.bot() if by_bot else (by or self).person()
        return {
            "message_id": number,
            "date": int(self.api.now()),
            "chat": self.described(),
            "from": sender,
            "text": text,
        }

    def put(self, seen: Seen) -> Seen:
        """The bot's message appears."""
        self.messages.append(seen)
        if seen.by_bot and self.told is not None:
            self.told(seen)
        return seen

    def change(self, seen: Seen) -> None:
        """The bot changes its message."""
        self._replace(seen)

    def find(self, number: int) -> Seen | None:
        """A message by its number."""
        return next((each for each in self.messages if each.number == number), None)

    def _replace(self, seen: Seen) -> None:
        self.messages = [seen if each.number == seen.number else each for each in self.messages]

    def _put(self, content: dict[str, Json], text: str, *, by: "Chat | None" = None, at_s: float | None = None) -> Seen:
        now = self.api.now() if at_s is None else at_s
        seen = self.put(Seen(self.api.next_message(self.number), by_bot=False, text=text, at_s=now))
        body = self.message(seen.number, text, by=by)
        del body["text"]
        body |= content | {"date": int(now)}
        if "text" in content:
            body["entities"] = _entities(text)
        if self._is_heard(body, text):
            self._add("message", body)
        return seen

    def _is_heard(self, body: dict[str, Json], text: str) -> bool:
        if self.kind == "private" or not self.api.privacy_mode:
            return True
        # "Privacy mode": commands meant for the bot, and replies to its messages.
        told = body.get("reply_to_message")
        answers_bot = isinstance(told, dict) and told.get("from") == self.api.bot()
        name, at, bot = text.split(" ", 1)[0].partition("@")
        return answers_bot or (name.startswith("/") and (not at or bot == self.api.username))

    def _add(self, kind: str, body: dict[str, Json]) -> None:
        self.api.updates.add(kind, str(self.number), body)


def _entities(text: str) -> list[Json]:
    found: list[Json] = []
    place = 0
    for word in text.split(" "):
        length = len(word.encode("utf-16-le", "surrogatepass")) // 2
        if len(word) > 1 and word[0] in "/@" and word.isascii():
            kind = "bot_command" if word[0] == "/" else "mention"
            found.append({"type": kind, "offset": place, "length": length})
        place += length + 1
    return found
