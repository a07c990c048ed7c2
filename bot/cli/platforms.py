"""Platforms: the connectors that the settings ask for, or the word that keeps the program from serving."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from pydantic import ValidationError

from bot.cli.options import Stopped
from bot.delivery.connector import Connector
from bot.dispatch import Dispatch
from bot.settings import MatrixSettings, Settings, TelegramSettings

if TYPE_CHECKING:
    from bot.connectors.telegram.webhook import Webhook
    from bot.health import Server


@dataclass(frozen=True, slots=True)
class Platforms:
    """What is served.

    Args:
        connectors: Each has one owner.
        webhook: Takes pushes, where a platform pushes.

    """

    connectors: tuple[Connector, ...]
    webhook: "Webhook | None" = None


def platforms(dispatch: Dispatch, house: Settings) -> Platforms:
    """The connectors that the settings ask for.

    Raises:
        Stopped: a setting is wrong.

    """
    telegram, webhook = _telegram(dispatch, house)
    return Platforms((*telegram, *_matrix(dispatch)), webhook)


def _telegram(dispatch: Dispatch, house: Settings) -> "tuple[tuple[Connector, ...], Webhook | None]":
    try:
        settings = TelegramSettings()
    except ValidationError as wrong:
        raise _not_a_setting("telegram", wrong) from None
    if not settings.token.get_secret_value() and settings.token_file is None:
        return (), None
    try:
        from bot.connectors.telegram.opening import NotOpenedError, opened, source_of
        from bot.connectors.telegram.webhook import Webhook
    except ImportError as missing:
        raise Stopped("telegram: its library is missing: install the `telegram` extra") from missing
    try:
        source = source_of(settings)
        telegram = opened(dispatch, settings=settings, house=house, source=source)
    except NotOpenedError as wrong:
        raise Stopped(f"telegram: {wrong}") from wrong
    webhook = source if isinstance(source, Webhook) else None
    if webhook is not None and not house.listen:
        raise Stopped("telegram: a webhook needs a server: set RACKSIDE_LISTEN to host:port")
    return (telegram,), webhook


def _matrix(dispatch: Dispatch) -> tuple[Connector, ...]:
    try:
        settings = MatrixSettings()
    except ValidationError as wrong:
        raise _not_a_setting("matrix", wrong) from None
    if not settings.homeserver:
        return ()
    try:
        from bot.connectors.matrix.opening import NotOpenedError, matrix_from
    except ImportError as missing:
        raise Stopped("matrix: its library is missing: install the `matrix` extra") from missing
    try:
        return (matrix_from(settings, clock=dispatch.clock),)
    except NotOpenedError as wrong:
        raise Stopped(f"matrix: {wrong}") from wrong


def _not_a_setting(platform: str, wrong: ValidationError) -> Stopped:
    first = wrong.errors(include_input=False, include_url=False, include_context=False)[0]
    return Stopped(f"{platform}: a setting is wrong: {first['msg']}; `rackside doctor` tells more")


def server_of(dispatch: Dispatch, served: Platforms, listen: str) -> "Server | None":
    """The server for health and pushes; None where none is asked for."""
    if not listen:
        return None
    try:
        from bot.health import Server
    except ImportError as missing:
        raise Stopped("a server needs aiohttp: install the `telegram` extra") from missing
    names = [each.name for each in served.connectors]
    return Server(dispatch.store, clock=dispatch.clock, connectors=names, webhook=served.webhook)
