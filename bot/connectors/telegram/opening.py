"""Opening: the connector as the settings ask for it, or what keeps it from starting and how to mend it."""

import re
from dataclasses import replace

from telegram import Bot

from bot.connectors.telegram.carrier import Carrier
from bot.connectors.telegram.connector import LIMITS, Source, Telegram
from bot.connectors.telegram.door import Door, Rules
from bot.connectors.telegram.polling import Poller
from bot.connectors.telegram.webhook import Webhook
from bot.delivery.connector import Limits
from bot.dispatch import Dispatch
from bot.logs import hide
from bot.settings import Settings, TelegramSettings

SCHEDULED_SHARE = 25 / 30
"""Share of the rate that scheduled messages may take; the rest is kept for live answers."""

_TOKEN = re.compile(r"\d{1,20}:[A-Za-z0-9_-]{20,80}")

_SECRET = re.compile(r"[A-Za-z0-9_-]{1,256}")


class NotOpenedError(Exception):
    """A setting keeps the connector from starting; the text says which, and what to do. It holds no secret."""


def bot_of(settings: TelegramSettings) -> Bot:
    """The library's way to call the platform; the token is kept out of all logs from here on.

    Raises:
        NotOpenedError: there is no token, or it is none.

    """
    try:
        token = settings.token_told()
    except (OSError, UnicodeDecodeError) as wrong:
        raise NotOpenedError(f"the token's file can't be read: {type(wrong).__name__}") from None
    if not token:
        raise NotOpenedError("no token: set RACKSIDE_TELEGRAM_TOKEN, or RACKSIDE_TELEGRAM_TOKEN_FILE to a file with it")
    hide(token)
    hide(settings.secret.get_secret_value())
    if not _TOKEN.fullmatch(token):
        raise NotOpenedError("the token has not the form of one: digits, a colon, letters; copy it once more")
    return Bot(
        token,
        base_url=f"{settings.api.rstrip('/')}/bot",
        request=Carrier(connections=16, read_timeout_s=10.0),
        get_updates_request=Carrier(connections=1),
    )


def rules_of(settings: TelegramSettings, house: Settings) -> Rules:
    """Who may talk.

    Raises:
        NotOpenedError: everybody may, and nobody could say who runs it; or nobody may.

    """
    is_open = settings.who == "open"
    if is_open and not (house.contact and house.privacy):
        raise NotOpenedError(
            "a bot that is open to everybody tells who runs it and what becomes of their data: "
            "set RACKSIDE_CONTACT and RACKSIDE_PRIVACY"
        )
    if not is_open and not settings.allowed_numbers() and not settings.invitation_words():
        raise NotOpenedError(
            "nobody could talk to it: set RACKSIDE_TELEGRAM_ALLOWED to your number there, or RACKSIDE_TELEGRAM_INVITATIONS "
            "to a word, which you write as `/start WORD`"
        )
    return Rules(
        is_open=is_open,
        allowed=settings.allowed_numbers(),
        invitations=settings.invitation_words(),
        a_minute=settings.a_minute,
        contact=house.contact,
    )


def source_of(settings: TelegramSettings) -> Poller | Webhook:
    """Where updates come from.

    Raises:
        NotOpenedError: the webhook's secret is none.

    """
    if not settings.webhook:
        return Poller(Carrier(connections=1))
    secret = settings.secret.get_secret_value()
    if not _SECRET.fullmatch(secret):
        raise NotOpenedError("RACKSIDE_TELEGRAM_SECRET has 1 to 256 of A-Z a-z 0-9 _ -")
    return Webhook(url=settings.webhook, secret=secret)


def limits_of(settings: TelegramSettings) -> Limits:
    """What the platform takes, or a server of one's own."""
    share = SCHEDULED_SHARE * settings.rate
    return replace(LIMITS, a_second=settings.rate, scheduled_a_second=share, chat_a_second=settings.chat_rate)


def opened(dispatch: Dispatch, *, settings: TelegramSettings, house: Settings, source: Source) -> Telegram:
    """The connector as the settings ask for it.

    Raises:
        NotOpenedError: a setting keeps it from starting.

    """
    return Telegram(
        bot_of(settings),
        source,
        dispatch=dispatch,
        door=Door(rules_of(settings, house)),
        limits=limits_of(settings),
    )
