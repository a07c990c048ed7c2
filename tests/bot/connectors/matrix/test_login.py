"""The login: once by a password or a token, kept from then on, and what the doctor finds of it."""

import asyncio
from collections.abc import Sequence
from pathlib import Path

import pytest
from pydantic import SecretStr

from bot.connectors.matrix.client import Client
from bot.connectors.matrix.login import Account, CannotLogIn, logged_in
from bot.connectors.matrix.opening import Finding, findings
from bot.connectors.matrix.signing import is_signed
from bot.connectors.matrix.state import Credentials, State
from bot.settings import MatrixSettings
from tests.bot.connectors.matrix.lifter import Lifter, lifter
from tests.bot.connectors.matrix.running import bot_on
from tests.bot.connectors.matrix.test_talking import greeted
from tests.bot.connectors.matrix.way import way_to
from tests.homeserver import NAME, PASSWORD, Homeserver


async def new_token(server: Homeserver, user: str) -> tuple[str, str]:
    """An access token of a device that has no keys yet, and that device."""
    bare = Client(Credentials(homeserver=server.url, user=user, device="", token=""), crypto=None)
    made = await bare.call(
        "POST",
        "/v3/login",
        {"type": "m.login.password", "identifier": {"type": "m.id.user", "user": user}, "password": PASSWORD},
    )
    await bare.end()
    assert isinstance(made, dict)
    return str(made["access_token"]), str(made["device_id"])


def test_a_token_is_enough_and_after_the_first_login_no_secret_is_needed(server: Homeserver, folder: Path) -> None:
    async def talk() -> None:
        user, tove = server.new_user("rackside"), server.new_user("tove")
        token, device = await new_token(server, user)
        by_token = Account(homeserver=server.url, token=token)
        by_nothing = Account(homeserver=server.url)
        async with lifter(server, tove) as phone:
            async with bot_on(server, folder, user=user, account=by_token):
                room = await greeted(phone, user, encrypted=True)
            async with bot_on(server, folder, user=user, account=by_nothing):
                await phone.say(room, "bench 79x5")
                await phone.until_answered(user, 3)

        state = State(folder / "matrix")
        credentials = state.credentials()
        assert credentials is not None
        client = Client(credentials, crypto=state.crypto)
        signed = await is_signed(client)
        await client.end()
        state.close()
        assert credentials.device == device
        assert signed

    asyncio.run(talk())


@pytest.mark.parametrize(
    ("what", "said"),
    [
        ("a wrong password", "takes neither this user nor this password"),
        ("a wrong token", "logged the bot's Matrix device out"),
        ("a token of a client with keys", "set RACKSIDE_MATRIX_PASSWORD and start again"),
        ("nothing", "set RACKSIDE_MATRIX_PASSWORD or RACKSIDE_MATRIX_TOKEN"),
    ],
)
def test_a_login_that_cannot_be_says_what_to_do_and_holds_no_secret(
    server: Homeserver, folder: Path, what: str, said: str
) -> None:
    async def try_it() -> str:
        user = server.new_user("rackside")
        secret = ""
        state = State(folder / "matrix")
        async with lifter(server, user) as client:
            match what:
                case "a wrong password":
                    account = Account(homeserver=server.url, user=user, password=(secret := "not the pass phrase"))
                case "a wrong token":
                    account = Account(homeserver=server.url, token=(secret := "syt_of_nobody"))
                case "a token of a client with keys":
                    account = Account(homeserver=server.url, token=(secret := client.access_token))
                case _:
                    account = Account(homeserver=server.url, user=user)
            with pytest.raises(CannotLogIn) as raised:
                await logged_in(account, state)
        state.close()
        assert not secret or secret not in str(raised.value)
        return str(raised.value)

    assert said in asyncio.run(try_it())


def settings_of(
    server: str, folder: Path, *, user: str, password: str = PASSWORD, allowed: str = NAME
) -> MatrixSettings:
    return MatrixSettings(
        homeserver=server,
        user=user,
        password=SecretStr(password),
        allowed=allowed,
        state=folder / "matrix",
    )


def remedies(found: Sequence[Finding]) -> list[str]:
    return [each.remedy for each in found if each.remedy]


def test_the_doctor_finds_that_all_is_well_and_each_thing_that_is_not(server: Homeserver, folder: Path) -> None:
    async def examine() -> None:
        user, tove = server.new_user("rackside"), server.new_user("tove")
        settings = settings_of(server.url, folder, user=user)
        [nobody] = await findings(settings_of(server.url, folder, user=user, allowed=""))
        _, without = await findings(settings_of(server.url, folder, user=user, password=""))
        before = await findings(settings)
        async with lifter(server, tove) as phone, bot_on(server, folder, user=user):
            await phone.meet(user, encrypted=False)
            running = await findings(settings)
        well = await findings(settings)

        assert "RACKSIDE_MATRIX_ALLOWED" in nobody.remedy
        assert "RACKSIDE_MATRIX_PASSWORD" in without.remedy
        assert remedies(before) == remedies(running) == remedies(well) == []
        assert "a running bot uses the state folder" in running[-1].what
        assert [each.what for each in well[-3:]] == [
            f"matrix: {user} is logged in",
            "matrix: the keys here are the device's",
            "matrix: the device is signed by its owner",
        ]

        (folder / "matrix").chmod(0o755)
        open_to_all = await findings(settings)
        away = await findings(settings_of("http://127.0.0.1:9", folder, user=user))
        await log_out_all(server, user)
        gone = await findings(settings)
        for file in (folder / "matrix" / "crypto").iterdir():
            file.unlink()
        keyless = await findings(settings)

        assert any(each.startswith("chmod 700") for each in remedies(open_to_all))
        assert "reachable from here?" in away[-1].remedy
        assert "remove" in gone[-1].remedy
        assert "it makes a new device" in keyless[-1].remedy

    asyncio.run(examine())


async def log_out_all(server: Homeserver, user: str) -> None:
    """End all devices of a user."""
    device = Lifter(server, user)
    await device.begin()
    await device.logout(all_devices=True)
    await device.end()


def test_the_doctor_finds_a_device_that_could_not_be_signed_and_the_next_start_signs_it(
    server: Homeserver, folder: Path
) -> None:
    async def examine() -> None:
        user, tove = server.new_user("rackside"), server.new_user("tove")
        async with way_to(server.url) as way, lifter(server, tove) as phone:
            way.refuse("POST .*/keys/device_signing/upload", 401, session="s", flows=[], times=2)
            async with bot_on(server, folder, user=user, url=way.url):
                room = await greeted(phone, user, encrypted=True)
            unsigned = await findings(settings_of(server.url, folder, user=user))
            async with bot_on(server, folder, user=user, url=way.url):
                await phone.say(room, "week")
                await phone.until_answered(user, 3)
            signed = await findings(settings_of(server.url, folder, user=user))

        assert "it signs the device" in unsigned[-1].remedy
        assert signed[-1] == Finding("matrix: the device is signed by its owner")

    asyncio.run(examine())
