"""Login: the bot's one device, kept from start to start, and a new one where its keys are lost."""

from collections.abc import Callable
from dataclasses import dataclass
from urllib.parse import quote

from bot.connectors.matrix.answers import Away, KeysLost, Refused
from bot.connectors.matrix.client import Client
from bot.connectors.matrix.json_values import Json, number_in, object_in, text_in
from bot.connectors.matrix.signing import sign_device
from bot.connectors.matrix.state import Credentials, State, key_file
from bot.logs import logger

DEVICE_NAME = "Rackside"
"""What the bot's device is called."""

STARTS = "org.rackside.starts"
"""Account data that counts the starts of each device: a folder that counts fewer was brought back from a copy."""


class CannotLogIn(Exception):  # noqa: N818 - it names what is the case
    """The bot cannot log in until the operator does something; the text says what."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Account:
    """The bot's account, as the operator told it.

    Args:
        homeserver: Address of the homeserver.
        user: Full id, or its local part.
        password: Empty where only a token is told.
        token: An access token; used where there is no password, and for the first login only.

    """

    homeserver: str
    user: str = ""
    password: str = ""
    token: str = ""


def _unwatched(_point: str) -> None:
    return None


async def logged_in(account: Account, state: State, *, observer: Callable[[str], None] = _unwatched) -> Client:
    """The bot's device, logged in, its keys published and signed.

    Raises:
        CannotLogIn: The operator must do something first.
        Away: The homeserver cannot be reached.

    """
    credentials = state.credentials()
    if credentials is None:
        credentials = await _first(account)
        state.log_in(credentials)
    client = Client(moved_to(credentials, account), crypto=state.crypto, observer=observer)
    try:
        await _begin(client, state)
    except KeysLost as lost:
        await client.end()
        client = await _anew(account, state, credentials, lost, observer=observer)
    except BaseException:
        await client.end()
        raise
    await _sign(client, state, account)
    return client


async def _begin(client: Client, state: State) -> None:
    """Check that the device is the one that the homeserver knows, and publish its keys.

    Raises:
        KeysLost: It is not, or was brought back from a copy that is older than its last start.
        CannotLogIn: It is logged out.

    """
    user, device = client.credentials.user, client.credentials.device
    try:
        known = await client.call("POST", "/v3/keys/query", {"device_keys": {user: [device]}})
        published = text_in(known, "device_keys", user, device, "keys", f"curve25519:{device}")
        here = "" if client.olm is None else str(client.olm.account.identity_keys["curve25519"])
        if published and published != here:
            raise KeysLost("the keys here are not the device's")
        path = f"/v3/user/{quote(user)}/account_data/{STARTS}"
        starts = await _starts(client, path)
        counted = int(state.mark(f"starts {device}") or 0)
        if number_in(starts, device) > counted:
            raise KeysLost("the keys here are an old copy")
        # Counted here first: killed in between, this folder counts more, which is no copy.
        state.set_mark(f"starts {device}", str(counted + 1))
        await client.call("PUT", path, {**object_in(starts), device: counted + 1})
        await client.settle_keys()
    except Refused as refusal:
        raise _told(refusal) from refusal


async def _starts(client: Client, path: str) -> Json:
    try:
        return await client.call("GET", path)
    except Refused as refusal:
        if refusal.status == 404:
            return {}
        raise


async def _anew(
    account: Account, state: State, before: Credentials, lost: KeysLost, *, observer: Callable[[str], None]
) -> Client:
    """A new device in place of one whose keys are lost; what was read so far stays read."""
    if not account.password:
        raise CannotLogIn(
            f"the keys of the bot's Matrix device are lost ({lost}), and a new device needs the account's password: "
            "set RACKSIDE_MATRIX_PASSWORD and start again"
        )
    logger.warning("the bot logs in to Matrix as a new device: %s", lost)
    credentials = await _by_password(account)
    state.log_in(credentials)
    (state.crypto / key_file(before)).unlink(missing_ok=True)
    await _log_out(before)
    client = Client(credentials, crypto=state.crypto, observer=observer)
    try:
        await _begin(client, state)
    except KeysLost as again:
        await client.end()
        raise CannotLogIn(f"a new Matrix device has no keys of its own: {again}") from again
    except BaseException:
        await client.end()
        raise
    return client


async def _sign(client: Client, state: State, account: Account) -> None:
    try:
        await sign_device(client, state, password=account.password)
    except Refused as refusal:
        logger.warning("the bot's Matrix device is not signed, and some clients may not talk to it: %s", refusal)


async def _first(account: Account) -> Credentials:
    if account.password:
        return await _by_password(account)
    if not account.token:
        raise CannotLogIn("set RACKSIDE_MATRIX_PASSWORD or RACKSIDE_MATRIX_TOKEN, for the first login to Matrix")
    bare = Client(_nobody(account, token=account.token), crypto=None)
    try:
        told = await bare.call("GET", "/v3/account/whoami")
    except Refused as refusal:
        raise _told(refusal) from refusal
    finally:
        await bare.end()
    if not text_in(told, "device_id"):
        raise CannotLogIn("this access token belongs to no Matrix device: make one by logging in, or set a password")
    return Credentials(
        homeserver=account.homeserver,
        user=text_in(told, "user_id"),
        device=text_in(told, "device_id"),
        token=account.token,
    )


async def _by_password(account: Account) -> Credentials:
    bare = Client(_nobody(account, token=""), crypto=None)
    who = {"type": "m.id.user", "user": account.user}
    told: Json = {
        "type": "m.login.password",
        "identifier": who,
        "password": account.password,
        "initial_device_display_name": DEVICE_NAME,
    }
    try:
        made = await bare.call("POST", "/v3/login", told)
    except Refused as refusal:
        if refusal.is_pause:
            raise Away("the homeserver asks for a pause before a login") from refusal
        if refusal.status == 403:
            raise CannotLogIn(
                "the homeserver takes neither this user nor this password: check RACKSIDE_MATRIX_USER and "
                "RACKSIDE_MATRIX_PASSWORD"
            ) from refusal
        raise _told(refusal) from refusal
    finally:
        await bare.end()
    return Credentials(
        homeserver=account.homeserver,
        user=text_in(made, "user_id"),
        device=text_in(made, "device_id"),
        token=text_in(made, "access_token"),
    )


async def _log_out(credentials: Credentials) -> None:
    """End a device that can be used no more, so that nobody goes on sending keys to it."""
    bare = Client(credentials, crypto=None)
    try:
        await bare.call("POST", "/v3/logout", {})
    except (Refused, Away) as refusal:
        logger.info("the lost device stays: %s", refusal)
    finally:
        await bare.end()


def _told(refusal: Refused) -> Exception:
    if refusal.is_logged_out:
        return logged_out()
    if refusal.is_pause:
        return Away(f"the homeserver asks for a pause of {refusal.wait_s:g} s")
    return CannotLogIn(f"the homeserver refuses the bot: {refusal}")


def logged_out() -> CannotLogIn:
    """What to say where the access token is valid no more."""
    return CannotLogIn(
        "the homeserver has logged the bot's Matrix device out: remove the folder RACKSIDE_MATRIX_STATE and start "
        "again with the account's password; the log of lifters is not in it"
    )


def moved_to(credentials: Credentials, account: Account) -> Credentials:
    """The same login at the address that the operator tells now; homeservers move."""
    return Credentials(
        homeserver=account.homeserver, user=credentials.user, device=credentials.device, token=credentials.token
    )


def _nobody(account: Account, *, token: str) -> Credentials:
    return Credentials(homeserver=account.homeserver, user=account.user, device="", token=token)
