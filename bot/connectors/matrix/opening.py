"""Opening: the Matrix front end as the settings ask for it, or what keeps it from starting and how to mend it."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime

from bot.connectors.matrix.answers import Away, Refused
from bot.connectors.matrix.client import Client
from bot.connectors.matrix.connector import Matrix
from bot.connectors.matrix.door import Door, door_for
from bot.connectors.matrix.json_values import text_in
from bot.connectors.matrix.login import Account, moved_to
from bot.connectors.matrix.signing import is_signed
from bot.connectors.matrix.state import State, StateTaken
from bot.logs import hide
from bot.settings import MatrixSettings


class NotOpenedError(Exception):
    """A setting keeps the connector from starting; the text says which, and what to do. It holds no secret."""


@dataclass(frozen=True, slots=True)
class Finding:
    """What a check found; with a remedy where it is wrong."""

    what: str
    remedy: str = ""


def matrix_from(settings: MatrixSettings, *, clock: Callable[[], datetime]) -> Matrix:
    """The connector that the settings ask for; its state folder is ours until it is closed.

    Raises:
        NotOpenedError: Something must be mended first.

    """
    account, door = account_from(settings), door_from(settings)
    try:
        state = State(settings.state_folder())
    except (StateTaken, OSError) as wrong:
        raise NotOpenedError(f"the Matrix state folder cannot be used: {wrong}") from wrong
    return Matrix(account, state, door=door, clock=clock)


def account_from(settings: MatrixSettings) -> Account:
    """The bot's account.

    Raises:
        NotOpenedError: A file of a secret cannot be read, or there is neither a user nor a token.

    """
    try:
        password, token = settings.password_told(), settings.token_told()
    except (OSError, UnicodeDecodeError) as wrong:
        raise NotOpenedError(f"a file with a Matrix secret can't be read: {type(wrong).__name__}") from None
    for secret in (password, token):
        hide(secret)
    if password and not settings.user:
        raise NotOpenedError("whose password is it: set RACKSIDE_MATRIX_USER")
    return Account(homeserver=settings.homeserver.rstrip("/"), user=settings.user, password=password, token=token)


def door_from(settings: MatrixSettings) -> Door:
    """Who may talk.

    Raises:
        NotOpenedError: Nobody may, or a name is none.

    """
    try:
        door = door_for(settings.allowed_names())
    except ValueError as wrong:
        raise NotOpenedError(f"RACKSIDE_MATRIX_ALLOWED: {wrong}") from wrong
    if not door.users and not door.servers:
        raise NotOpenedError("nobody could talk to it: set RACKSIDE_MATRIX_ALLOWED to your id, `@tove:example.org`")
    return door


async def findings(settings: MatrixSettings) -> Sequence[Finding]:
    """What a check of the settings, the login and the device finds; it changes nothing and makes no login."""
    try:
        account, door = account_from(settings), door_from(settings)
    except NotOpenedError as wrong:
        return [Finding("matrix: the settings", str(wrong))]
    found = [Finding(f"matrix: {len(door.users)} people and {len(door.servers)} homeservers may talk")]
    folder = settings.state_folder()
    if not folder.exists():
        if not account.password and not account.token:
            return [*found, Finding("matrix: no login yet", "set RACKSIDE_MATRIX_PASSWORD or RACKSIDE_MATRIX_TOKEN")]
        return [*found, Finding("matrix: no login yet, `rackside serve` makes one")]
    if folder.stat().st_mode & 0o077:
        found.append(Finding("matrix: others can read the state folder", f"chmod 700 {folder}"))
    try:
        state = State(folder)
    except StateTaken:
        return [*found, Finding("matrix: a running bot uses the state folder; stop it for a check of its device")]
    try:
        return [*found, *await _device(state, account)]
    finally:
        state.close()


async def _device(state: State, account: Account) -> Sequence[Finding]:
    credentials = state.credentials()
    if credentials is None:
        return [Finding("matrix: no login yet, `rackside serve` makes one")]
    if not state.has_keys(credentials):
        remedy = "start `rackside serve` with RACKSIDE_MATRIX_PASSWORD: it makes a new device"
        return [Finding("matrix: the keys of the device are gone", remedy)]
    client = Client(moved_to(credentials, account), crypto=state.crypto)
    user, device = credentials.user, credentials.device
    try:
        known = await client.call("POST", "/v3/keys/query", {"device_keys": {user: [device]}})
        here = "" if client.olm is None else str(client.olm.account.identity_keys["curve25519"])
        found = [Finding(f"matrix: {user} is logged in")]
        if text_in(known, "device_keys", user, device, "keys", f"curve25519:{device}") == here:
            found.append(Finding("matrix: the keys here are the device's"))
        else:
            remedy = "start `rackside serve` with RACKSIDE_MATRIX_PASSWORD: it makes a new device"
            found.append(Finding("matrix: the keys here are not the device's", remedy))
        if await is_signed(client):
            found.append(Finding("matrix: the device is signed by its owner"))
        else:
            remedy = "start `rackside serve` with RACKSIDE_MATRIX_PASSWORD: it signs the device"
            found.append(Finding("matrix: the device is not signed, and some clients won't talk to it", remedy))
    except Refused as refusal:
        if refusal.is_logged_out:
            remedy = f"remove {state.folder} and start `rackside serve` with RACKSIDE_MATRIX_PASSWORD"
            return [Finding("matrix: the homeserver has logged the device out", remedy)]
        return [Finding(f"matrix: {refusal}", "is RACKSIDE_MATRIX_HOMESERVER the right one?")]
    except Away as away:
        return [Finding(f"matrix: no answer ({away})", f"is {account.homeserver} reachable from here?")]
    finally:
        await client.end()
    return found
