"""Updates: one of Telegram's updates, as it was given, to what happened."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from hashlib import blake2b
from typing import TypeAlias

from telegram import CallbackQuery, ChatMemberUpdated, Message, Update
from telegram.constants import ChatMemberStatus, ChatType

from bot.messages import Arrived, Edited, NoText, ReachChanged
from core.domain.profile import Address

CONNECTOR = "telegram"
"""Name of this connector in addresses."""

KINDS = ("message", "edited_message", "callback_query", "my_chat_member")
"""Kinds of updates that are asked for."""

MOST_PAYLOAD = 64
"""Longest payload of `/start`. [characters] Source: the platform's page on bot features, "Deep linking"."""

Json: TypeAlias = "bool | int | float | str | list[Json] | dict[str, Json] | None"
Raw: TypeAlias = Mapping[str, Json]


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """Somebody wrote, changed what they wrote, or sent what has no text.

    Args:
        event: What happened, at the address of the one who wrote; never at a group's.
        chat: The chat it was said in.
        group: That chat is a group, and the bot was addressed there.
        payload: What came with `/start`, where something did.

    """

    event: Arrived | Edited | NoText
    chat: int
    group: bool = False
    payload: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pressed:
    """Somebody pressed a button.

    Args:
        query: Id of the callback query, which is answered once.
        address: Whose press it is.
        question: The question of the button; empty where its data says none.
        option: The option of the button.
        chat: The chat of the message with the button.
        message: The message's number.
        html: The message's text, as it was sent.
        labels: What each of its buttons reads, by option.

    """

    query: str
    address: Address
    question: str
    option: int
    chat: int
    message: int
    html: str
    labels: Mapping[int, str]


@dataclass(frozen=True, slots=True)
class PassedOver:
    """Nothing that this bot has to do with; `kind` holds no word of it."""

    kind: str


@dataclass(frozen=True, slots=True)
class Broken:
    """An update that cannot be read: why, in no word of it, and what to tell whoever sent it, where that is known."""

    why: str
    event: NoText | None


Happening = Said | Pressed | ReachChanged | PassedOver | Broken


def happening(raw: Raw, *, bot_id: int, username: str, now: datetime) -> Happening:
    """What an update says happened; never raises, for an update that cannot be read would come for ever.

    Args:
        raw: The update as it was given.
        bot_id: The bot's number: keys of two bots on one database never meet.
        username: The bot's name, by which groups address it.
        now: The clock; for what Telegram gives no time to.

    """
    try:
        update = Update.de_json(dict(raw), None)
        if (message := update.message or update.edited_message) is not None:
            return _said(message, edited=update.message is None, bot_id=bot_id, username=username)
        if update.callback_query is not None:
            return _pressed(update.callback_query)
        if update.my_chat_member is not None:
            return _reach(update.my_chat_member, f"{bot_id}:u{update.update_id}")
    except Exception as fault:
        # Whatever went wrong: its text could hold what was written, so only its kind goes on.
        return Broken(type(fault).__name__, _sender_of(raw, bot_id=bot_id, now=now))
    return PassedOver(next((str(key) for key in raw if key != "update_id"), "nothing"))


def data_of(question: str, option: int) -> str:
    """What a button carries: short, unguessable, and bound to the question; the question is bound to its lifter."""
    return f"{question}:{option}"


def _said(message: Message, *, edited: bool, bot_id: int, username: str) -> Said | PassedOver:
    sender = message.from_user
    if sender is None or sender.is_bot:
        return PassedOver("a message of nobody")
    private = message.chat.type == ChatType.PRIVATE
    text = message.text if message.text is not None else message.caption
    if not private and not _is_addressed(message, text or "", bot_id=bot_id, username=username):
        return PassedOver("talk of a group")
    if text is None and (edited or message.effective_attachment is None):
        return PassedOver("a message that says nothing")
    address = Address(CONNECTOR, str(sender.id))
    # The message's own number makes the key, for numbers of updates begin anew after a quiet week.
    place = f"{message.message_id:010d}"
    key = f"{bot_id}:{place}" if private else f"{bot_id}:g{abs(message.chat.id)}:{place}"
    # Messages are numbered anew in every chat.
    event_key = f"{bot_id}:{message.chat.id}:{place}"
    if text is None:
        lone = NoText(address=address, event_key=f"{event_key}:m", sent_at=_utc(message.date), message_key=key)
        return Said(event=lone, chat=message.chat.id, group=not private)
    words, payload = _words(text, username)
    if edited:
        changed_at = message.edit_date or message.date
        mark = blake2b(text.encode(errors="replace"), digest_size=6).hexdigest()
        event = Edited(
            address=address,
            event_key=f"{event_key}:e{int(changed_at.timestamp())}{mark}",
            sent_at=_utc(changed_at),
            message_key=key,
            text=words,
        )
        return Said(event=event, chat=message.chat.id, group=not private)
    arrived = Arrived(
        address=address, event_key=f"{event_key}:m", sent_at=_utc(message.date), text=words, message_key=key
    )
    return Said(event=arrived, chat=message.chat.id, group=not private, payload=payload)


_COMMAND = re.compile(r"/([A-Za-z0-9_]{1,32})(?:@(\w+))?(?=\s|$)")


def _words(text: str, username: str) -> tuple[str, str]:
    """A text without what only Telegram needs, and the payload of `/start`."""
    text = re.sub(rf"^@{re.escape(username)}\b[\s,:]*", "", text, flags=re.IGNORECASE)
    found = _COMMAND.match(text)
    if found is None:
        return text, ""
    command = found[1].lower()
    rest = text[found.end() :]
    if command == "start":
        return "start", rest.strip()[: MOST_PAYLOAD + 1]
    return command.replace("_", " ") + rest, ""


def _is_addressed(message: Message, text: str, *, bot_id: int, username: str) -> bool:
    told = message.reply_to_message
    if told is not None and told.from_user is not None and told.from_user.id == bot_id:
        return True
    if re.match(rf"@{re.escape(username)}\b", text, flags=re.IGNORECASE):
        return True
    found = _COMMAND.match(text)
    return found is not None and (found[2] is None or found[2].lower() == username.lower())


def _pressed(query: CallbackQuery) -> Pressed | PassedOver:
    message = query.message
    if message is None:
        return PassedOver("a button of nowhere")
    question, option = _question_of(query.data or "")
    labels: dict[int, str] = {}
    html = ""
    if isinstance(message, Message):
        html = message.text_html if message.text is not None else ""
        rows = () if message.reply_markup is None else message.reply_markup.inline_keyboard
        for button in (each for row in rows for each in row):
            of, place = _question_of(button.callback_data if isinstance(button.callback_data, str) else "")
            if of == question:
                labels[place] = button.text
    return Pressed(
        query=query.id,
        address=Address(CONNECTOR, str(query.from_user.id)),
        question=question,
        option=option,
        chat=message.chat.id,
        message=message.message_id,
        html=html,
        labels=labels,
    )


_DATA = re.compile(r"([A-Za-z0-9_-]{1,60}):(\d{1,2})")


def _question_of(data: str) -> tuple[str, int]:
    found = _DATA.fullmatch(data)
    return ("", 0) if found is None else (found[1], int(found[2]))


def _reach(change: ChatMemberUpdated, key: str) -> ReachChanged | PassedOver:
    if change.chat.type != ChatType.PRIVATE:
        return PassedOver("a place in a group")
    return ReachChanged(
        address=Address(CONNECTOR, str(change.chat.id)),
        event_key=key,
        sent_at=_utc(change.date),
        reachable=change.new_chat_member.status not in {ChatMemberStatus.BANNED, ChatMemberStatus.LEFT},
    )


def _sender_of(raw: Raw, *, bot_id: int, now: datetime) -> NoText | None:
    """Who sent a message that cannot be read, as far as that much of it can."""
    for kind in ("message", "edited_message"):
        message = raw.get(kind)
        if not isinstance(message, dict):
            continue
        chat, number = message.get("chat"), message.get("message_id")
        if isinstance(chat, dict) and isinstance(number, int) and chat.get("type") == ChatType.PRIVATE:
            who = chat.get("id")
            if isinstance(who, int):
                key = f"{bot_id}:{number:010d}"
                return NoText(
                    address=Address(CONNECTOR, str(who)),
                    event_key=f"{bot_id}:{who}:{number:010d}:broken {kind}",
                    sent_at=now,
                    message_key=key,
                )
    return None


def _utc(at: datetime) -> datetime:
    return at.astimezone(UTC)
