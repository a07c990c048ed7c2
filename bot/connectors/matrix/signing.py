"""Signing: the bot's own device signed by keys of the bot's own, so that clients which trust only such ones talk to it."""

import json
import secrets
from base64 import b64decode, b64encode
from collections.abc import Mapping

from Crypto.PublicKey import ECC
from Crypto.Signature import eddsa

from bot.connectors.matrix.answers import Refused
from bot.connectors.matrix.client import Client
from bot.connectors.matrix.json_values import Json, object_in, text_in
from bot.connectors.matrix.state import State
from bot.logs import logger

SEED_BYTES = 32
"""Size of an Ed25519 seed. [bytes] Source: RFC 8032, section 5.1.5."""


class SigningKey:
    """An Ed25519 key.

    Args:
        seed: Its secret. [32 bytes]

    """

    def __init__(self, seed: bytes) -> None:
        self._key = ECC.construct(curve="Ed25519", seed=seed)

    @property
    def public(self) -> str:
        """The public key, in base64 without padding."""
        return _base64(self._key.public_key().export_key(format="raw"))

    @property
    def id(self) -> str:
        """Its name beside a signature."""
        return f"ed25519:{self.public}"

    def sign(self, told: Mapping[str, Json]) -> str:
        """Signature of an object without its signatures and what is outside of them, in base64 without padding."""
        bare = {name: value for name, value in told.items() if name not in {"signatures", "unsigned"}}
        return _base64(eddsa.new(self._key, "rfc8032").sign(canonical(bare)))


def canonical(told: Json) -> bytes:
    """JSON as it is signed.

    Source:
        Matrix specification, appendices, "Canonical JSON".

    >>> canonical({"b": 1, "a": "ä"}).decode()
    '{"a":"ä","b":1}'

    """
    return json.dumps(told, ensure_ascii=False, sort_keys=True, separators=(",", ":")).encode()


async def sign_device(client: Client, state: State, *, password: str = "") -> bool:
    """See to it that the bot's device is signed by the bot's own keys; whether it is.

    Args:
        client: The device; its keys are published.
        state: Where the signing keys are kept.
        password: What the homeserver may ask for before it takes signing keys in place of others.

    Raises:
        Refused, Away: as `Client.call` does.

    """
    user, device = client.credentials.user, client.credentials.device
    known = await client.call("POST", "/v3/keys/query", {"device_keys": {user: []}})
    seeds = state.seeds()
    if seeds is None:
        seeds = (secrets.token_bytes(SEED_BYTES), secrets.token_bytes(SEED_BYTES), secrets.token_bytes(SEED_BYTES))
        # Kept before they are published: keys that nobody has could never be used again.
        state.keep_seeds(seeds)
    master, own, users = map(SigningKey, seeds)
    if master.id not in object_in(known, "master_keys", user, "keys"):
        try:
            await _publish(client, master, own, users, password=password)
        except Refused as refusal:
            if refusal.status != 401:
                raise
            logger.warning("the bot's device is not signed: other signing keys are there, and no password was told")
            return False
    keys = object_in(known, "device_keys", user, device)
    if not keys:
        return False
    if own.id in object_in(keys, "signatures", user) and master.id in object_in(known, "master_keys", user, "keys"):
        return True
    signed = {name: value for name, value in keys.items() if name not in {"signatures", "unsigned"}}
    told: Json = {user: {device: {**signed, "signatures": {user: {own.id: own.sign(signed)}}}}}
    answer = await client.call("POST", "/v3/keys/signatures/upload", told)
    return not object_in(answer, "failures")


async def is_signed(client: Client) -> bool:
    """Whether the homeserver shows the bot's device as signed by its owner."""
    user, device = client.credentials.user, client.credentials.device
    known = await client.call("POST", "/v3/keys/query", {"device_keys": {user: []}})
    keys = object_in(known, "device_keys", user, device)
    for name, public in object_in(known, "self_signing_keys", user, "keys").items():
        told = text_in(keys, "signatures", user, name)
        if told and isinstance(public, str):
            return _verifies(public, told, keys)
    return False


async def _publish(client: Client, master: SigningKey, own: SigningKey, users: SigningKey, *, password: str) -> None:
    user = client.credentials.user
    keys: dict[str, Json] = {"master_key": _key(user, "master", master, by=None)}
    keys["self_signing_key"] = _key(user, "self_signing", own, by=master)
    keys["user_signing_key"] = _key(user, "user_signing", users, by=master)
    path = "/v3/keys/device_signing/upload"
    try:
        await client.call("POST", path, keys)
    except Refused as refusal:
        if refusal.status != 401 or not password:
            raise
        proof: Json = {
            "type": "m.login.password",
            "identifier": {"type": "m.id.user", "user": user},
            "password": password,
            "session": text_in(refusal.told, "session"),
        }
        await client.call("POST", path, {**keys, "auth": proof})


def _key(user: str, usage: str, key: SigningKey, *, by: SigningKey | None) -> Json:
    told: dict[str, Json] = {"user_id": user, "usage": [usage], "keys": {key.id: key.public}}
    if by is not None:
        told["signatures"] = {user: {by.id: by.sign(told)}}
    return told


def _verifies(public: str, signature: str, told: Mapping[str, Json]) -> bool:
    bare = {name: value for name, value in told.items() if name not in {"signatures", "unsigned"}}
    try:
        key = eddsa.import_public_key(_bytes(public))
        eddsa.new(key, "rfc8032").verify(canonical(bare), _bytes(signature))
    except ValueError:
        return False
    return True


def _base64(told: bytes) -> str:
    return b64encode(told).decode().rstrip("=")


def _bytes(told: str) -> bytes:
    return b64decode(told + "=" * (-len(told) % 4))
