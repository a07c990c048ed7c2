"""Limits of the Bot API on what it is sent; each raises the answer that a call beyond it gets."""

import json
import re
from collections.abc import Mapping
from typing import TypeAlias

from tests.telegram_api.entities import NotParsedError, seen

Json: TypeAlias = "bool | int | float | str | list[Json] | dict[str, Json] | None"

TEXT_MOST = 4096
"""Section "sendMessage": "1-4096 characters after entities parsing". [UTF-16 units]"""

CAPTION_MOST = 1024
"""Section "sendPhoto": "0-1024 characters after entities parsing". [UTF-16 units]"""

DATA_MOST = 64
"""Section "InlineKeyboardButton": callback_data is "1-64 bytes". [bytes]"""

TOAST_MOST = 200
"""Section "answerCallbackQuery": text is "0-200 characters". [UTF-16 units]"""

PHOTO_MOST = 10 * 1024 * 1024
"""Section "sendPhoto": "at most 10 MB in size". [bytes]"""

BUTTONS_MOST = 100
"""Buttons of one keyboard; beyond it the answer is "reply markup is too long" (from memory, not documented)."""

COMMANDS_MOST = 100
"""Section "setMyCommands": "At most 100 commands can be specified"."""

COMMAND = re.compile(r"[a-z0-9_]{1,32}")
"""Section "BotCommand": "1-32 characters. Can contain only lowercase English letters, digits and underscores"."""

DESCRIPTION_MOST = 256
"""Section "BotCommand": "1-256 characters"."""

ACTIONS = frozenset(
    "typing upload_photo record_video upload_video record_voice upload_voice upload_document choose_sticker "
    "find_location record_video_note upload_video_note".split()
)
"""Section "sendChatAction"."""

SECRET = re.compile(r"[A-Za-z0-9_-]{1,256}")
"""Section "setWebhook": secret_token is "1-256 characters. Only characters A-Z, a-z, 0-9, _ and - are allowed"."""

PAYLOAD = re.compile(r"[A-Za-z0-9_-]{1,64}")
"""Page "Bot Features", "Deep linking": the start parameter, "up to 64 base64url characters" long."""


class Refusal(Exception):  # noqa: N818 - it is an answer
    """An answer that is no success. Section "Making requests": `ok` false, `error_code`, `description`."""

    def __init__(self, code: int, description: str, parameters: Mapping[str, int] | None = None) -> None:
        super().__init__(description)
        self.code = code
        self.description = description
        self.parameters = dict(parameters or {})


def bad(description: str) -> Refusal:
    return Refusal(400, f"Bad Request: {description}")


def units(text: str) -> int:
    """Length as Telegram counts it. Section "MessageEntity": offsets and lengths are "in UTF-16 code units"."""
    return len(text.encode("utf-16-le", "surrogatepass")) // 2


def text_seen(fields: Mapping[str, str]) -> str:
    """The text of a message as people see it."""
    text = fields.get("text", "")
    shown = _parsed(text, fields.get("parse_mode"))
    if not shown:
        raise bad("message text is empty")
    if units(shown) > TEXT_MOST:
        raise bad("message is too long")
    return shown


def caption_seen(fields: Mapping[str, str]) -> str:
    """The caption of a picture as people see it."""
    shown = _parsed(fields.get("caption", ""), fields.get("parse_mode"))
    if units(shown) > CAPTION_MOST:
        raise bad("message caption is too long")
    return shown


def _parsed(text: str, mode: str | None) -> str:
    if mode is None:
        return text.strip()
    if mode != "HTML":
        raise bad(f"unsupported parse_mode {mode}; the double parses HTML")
    try:
        return seen(text).strip()
    except NotParsedError as wrong:
        raise bad(str(wrong)) from wrong


Keyboard = list[list[tuple[str, str]]]
"""Rows of buttons: what each reads, and its data (or address)."""


def keyboard(fields: Mapping[str, str]) -> Keyboard:
    """The inline keyboard of a call; none is an empty one. Section "InlineKeyboardMarkup"."""
    markup = fields.get("reply_markup")
    if markup is None:
        return []
    try:
        given: Json = json.loads(markup)
    except ValueError as wrong:
        raise bad("can't parse reply keyboard markup JSON object") from wrong
    if not isinstance(given, dict) or not isinstance(rows := given.get("inline_keyboard"), list):
        raise bad("object expected as reply markup")
    made: Keyboard = []
    for row in rows:
        if not isinstance(row, list):
            raise bad("can't parse inline keyboard: Field must be an Array of Arrays")
        made.append([_button(each) for each in row])
    if sum(len(row) for row in made) > BUTTONS_MOST:
        raise bad("reply markup is too long")
    return [row for row in made if row]


def _button(given: Json) -> tuple[str, str]:
    # "Exactly one of the fields other than text, icon_custom_emoji_id and style must be used".
    if not isinstance(given, dict):
        raise bad("can't parse inline keyboard button: Field must be of type Object")
    text, data, url = given.get("text"), given.get("callback_data"), given.get("url")
    if not isinstance(text, str) or not text.strip():
        raise bad("can't parse inline keyboard button: text must be non-empty")
    if (data is None) == (url is None):
        raise bad("can't parse inline keyboard button: exactly one of the optional fields must be used")
    if isinstance(url, str):
        return text, url
    if not isinstance(data, str) or not 1 <= len(data.encode()) <= DATA_MOST:
        raise bad("BUTTON_DATA_INVALID")
    return text, data


def commands(fields: Mapping[str, str]) -> list[tuple[str, str]]:
    """The menu of commands."""
    given: Json = json.loads(fields.get("commands", "[]"))
    if not isinstance(given, list):
        raise bad("expected an Array of BotCommand")
    if len(given) > COMMANDS_MOST:
        raise bad("BOT_COMMANDS_TOO_MUCH")
    made: list[tuple[str, str]] = []
    for each in given:
        if not isinstance(each, dict):
            raise bad("expected an Object as BotCommand")
        name, told = each.get("command"), each.get("description")
        if not isinstance(name, str) or not COMMAND.fullmatch(name.removeprefix("/")):
            raise bad("BOT_COMMAND_INVALID")
        if not isinstance(told, str) or not 1 <= units(told) <= DESCRIPTION_MOST:
            raise bad("BOT_COMMAND_DESCRIPTION_INVALID")
        made.append((name.removeprefix("/"), told))
    return made
