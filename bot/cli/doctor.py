"""Doctor: looks at settings, store and platforms, and says the remedy for what is wrong."""

import asyncio
from collections.abc import Callable
from typing import TYPE_CHECKING

import click
from pydantic import ValidationError

from bot.cli.options import Stopped, opened, options, program, told
from bot.logs import to_stderr, without_secrets
from bot.settings import MatrixSettings, Settings, TelegramSettings

if TYPE_CHECKING:
    from telegram import Bot


class Findings:
    """What was found, line by line."""

    def __init__(self, say: Callable[[str], None]) -> None:
        self.wrong = 0
        self.say = say

    def well(self, what: str) -> None:
        """Something is as it should be."""
        self.say(f"ok     {what}")

    def ill(self, what: str, remedy: str) -> None:
        """Something is wrong."""
        self.wrong += 1
        self.say(without_secrets(f"wrong  {what}\n       {remedy}"))


@program.command()
@click.option("--set-webhook", is_flag=True, help="Tell Telegram where to push to, as the settings say.")
@options
def doctor(context: click.Context, db: str | None, name: str | None, clock: str | None, *, set_webhook: bool) -> None:
    """Check settings, store and platforms, and say the remedy for what is wrong."""
    to_stderr()
    findings = Findings(click.echo)
    examine(findings, told(context, db, name, clock)[0], set_webhook=set_webhook)
    if findings.wrong:
        raise Stopped(f"{findings.wrong} to mend")


def examine(findings: Findings, url: str, *, set_webhook: bool) -> None:
    """Look at everything; what depends on what is wrong is left out."""
    house = _house(findings)
    if house is not None:
        _store(findings, url)
        _telegram(findings, house, set_webhook=set_webhook)
        _matrix(findings)


def _house(findings: Findings) -> Settings | None:
    try:
        house = Settings()
        TelegramSettings()
        MatrixSettings()
    except ValidationError as wrong:
        for each in wrong.errors(include_input=False, include_url=False, include_context=False):
            place = "_".join(str(part) for part in each["loc"]).upper()
            findings.ill(f"setting {place or 'of a platform'}", each["msg"])
        return None
    findings.well("settings")
    return house


def _store(findings: Findings, url: str) -> None:
    try:
        with opened(url) as (store, place), store.read():
            findings.well(f"store, {place}")
    except Stopped as wrong:
        findings.ill("store", wrong.message)


def _telegram(findings: Findings, house: Settings, *, set_webhook: bool) -> None:
    settings = TelegramSettings()
    if not settings.token.get_secret_value() and settings.token_file is None:
        findings.say("       telegram: no token, so not served")
        return
    try:
        from bot.connectors.telegram.opening import NotOpenedError, bot_of, rules_of, source_of
    except ImportError:
        findings.ill("telegram", "its library is missing: install the `telegram` extra")
        return
    try:
        rules_of(settings, house)
        source_of(settings)
        bot = bot_of(settings)
    except NotOpenedError as wrong:
        findings.ill("telegram", str(wrong))
        return
    findings.well(f"telegram: who may talk: {settings.who}")
    asyncio.run(_platform(findings, bot, settings, set_webhook=set_webhook))


async def _platform(findings: Findings, bot: "Bot", settings: TelegramSettings, *, set_webhook: bool) -> None:
    from telegram.error import InvalidToken, TelegramError

    try:
        async with bot:
            findings.well(f"telegram: @{bot.username} answers")
            if set_webhook:
                await _set_webhook(findings, bot, settings)
            await _webhook(findings, bot, settings)
    except InvalidToken:
        findings.ill(
            "telegram: the token is refused", "copy it once more from where the bot was made, or make a new one"
        )
    except TelegramError as error:
        findings.ill(f"telegram: no answer ({type(error).__name__})", f"is {settings.api} reachable from here?")


async def _set_webhook(findings: Findings, bot: "Bot", settings: TelegramSettings) -> None:
    from telegram.error import BadRequest

    from bot.connectors.telegram.opening import source_of

    if not settings.webhook:
        findings.ill("webhook: none to set", "set RACKSIDE_TELEGRAM_WEBHOOK to the address that Telegram reaches")
        return
    try:
        await source_of(settings).prepare(bot)
    except BadRequest as error:
        findings.ill("webhook: refused", error.message)


async def _webhook(findings: Findings, bot: "Bot", settings: TelegramSettings) -> None:
    info = await bot.get_webhook_info()
    if not settings.webhook:
        if info.url:
            findings.ill("webhook: one is set, the settings name none", "`rackside serve` takes it away when it starts")
        else:
            findings.well("webhook: none, updates are asked for")
        return
    if info.url != settings.webhook:
        findings.ill("webhook: another address is set, or none", "`rackside doctor --set-webhook`, or `rackside serve`")
        return
    findings.well(f"webhook: set, {info.pending_update_count} waiting")
    if info.last_error_message:
        findings.ill(
            f"webhook: Telegram's last push failed: {info.last_error_message}",
            "does the address lead to RACKSIDE_LISTEN, with TLS before it and the same RACKSIDE_TELEGRAM_SECRET?",
        )


def _matrix(findings: Findings) -> None:
    settings = MatrixSettings()
    if not settings.homeserver:
        findings.say("       matrix: no homeserver, so not served")
        return
    try:
        from bot.connectors.matrix.opening import findings as found
    except ImportError:
        findings.ill("matrix", "its library is missing: install the `matrix` extra")
        return
    for each in asyncio.run(found(settings)):
        if each.remedy:
            findings.ill(each.what, each.remedy)
        else:
            findings.well(each.what)
