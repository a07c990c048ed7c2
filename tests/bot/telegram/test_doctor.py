"""The doctor says what is wrong and how to mend it, and the token reaches no line, whatever goes wrong."""

import asyncio
import logging
import os
import sys
from collections.abc import Mapping
from io import StringIO
from pathlib import Path

import pytest
from telegram.error import InvalidToken

from bot.cli.doctor import Findings, examine
from bot.logs import Hiding, hide
from tests.bot.telegram.meeting import free_port, meeting
from tests.telegram_api.server import BotApi, Garble, Refuse


@pytest.fixture(autouse=True)
def _nothing_set(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in [each for each in os.environ if each.startswith("RACKSIDE_")]:
        monkeypatch.delenv(name)


def settings_for(api: BotApi, tmp_path: Path) -> dict[str, str]:
    """Settings with which all is well."""
    return {
        "RACKSIDE_DB": f"sqlite:///{tmp_path}/rackside.db",
        "RACKSIDE_TELEGRAM_TOKEN": api.token,
        "RACKSIDE_TELEGRAM_API": api.base_url.removesuffix("/bot"),
        "RACKSIDE_TELEGRAM_ALLOWED": "1001",
    }


async def found(
    monkeypatch: pytest.MonkeyPatch, settings: Mapping[str, str], *, set_webhook: bool = False
) -> list[str]:
    """What the doctor says."""
    for name, value in settings.items():
        monkeypatch.setenv(name, value)
    said: list[str] = []
    await asyncio.to_thread(examine, Findings(said.append), settings["RACKSIDE_DB"], set_webhook=set_webhook)
    return said


async def test_the_command_tells_line_by_line_that_all_is_well(tmp_path: Path) -> None:
    api = BotApi()
    await api.start()
    running = await asyncio.create_subprocess_exec(
        *(sys.executable, "-m", "bot", "doctor"),
        env=dict(os.environ) | settings_for(api, tmp_path),
        stdout=asyncio.subprocess.PIPE,
        stderr=asyncio.subprocess.STDOUT,
    )
    said, _ = await running.communicate()

    await api.stop()
    assert running.returncode == 0
    # What is not served is told, and is no finding.
    assert [line[:6].strip() for line in said.decode().splitlines() if "not served" not in line] == ["ok"] * 5
    assert "@rackside_test_bot answers" in said.decode()
    assert "webhook: none, updates are asked for" in said.decode()
    assert api.token.partition(":")[2] not in said.decode()


async def test_a_webhook_is_set_and_then_found_set(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    api = BotApi()
    await api.start()
    settings = settings_for(api, tmp_path) | {
        "RACKSIDE_TELEGRAM_WEBHOOK": f"http://127.0.0.1:{free_port()}/pushed",
        "RACKSIDE_TELEGRAM_SECRET": "s3cret",
    }

    before = await found(monkeypatch, settings)
    after = await found(monkeypatch, settings, set_webhook=True)

    await api.stop()
    assert any("rackside doctor --set-webhook" in line for line in before)
    assert "ok     webhook: set, 0 waiting" in after


@pytest.mark.parametrize(
    ("setting", "value", "remedy"),
    [
        ("TELEGRAM_TOKEN", "110201543:AAHdqTcvCH1vGWJxfSeofSAs0K5PALDsawX", "copy it once more"),
        ("TELEGRAM_TOKEN", "nonsense", "copy it once more"),
        ("TELEGRAM_ALLOWED", "", "set RACKSIDE_TELEGRAM_ALLOWED"),
        ("TELEGRAM_ALLOWED", "tove", "setting ALLOWED"),
        ("TELEGRAM_WHO", "open", "set RACKSIDE_CONTACT and RACKSIDE_PRIVACY"),
        ("TELEGRAM_API", "http://127.0.0.1:9", "reachable from here?"),
        ("TELEGRAM_WEBHOOK", "https://rackside.example/pushed", "set RACKSIDE_TELEGRAM_SECRET"),
        ("DB", "mysql://nowhere", "wrong  store"),
    ],
)
async def test_what_is_wrong_is_told_with_its_remedy(
    setting: str, value: str, remedy: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    api = BotApi()
    await api.start()

    said = await found(monkeypatch, settings_for(api, tmp_path) | {f"RACKSIDE_{setting}": value})

    await api.stop()
    wrong = [line for line in said if line.startswith("wrong")]
    assert len(wrong) == 1
    assert remedy in wrong[0]
    assert setting != "TELEGRAM_TOKEN" or value not in "".join(said)


async def test_no_line_of_the_log_holds_the_token_or_what_was_written() -> None:
    api = BotApi()
    tove = api.person()
    hide(api.token)
    written = StringIO()
    handler = logging.StreamHandler(written)
    handler.setFormatter(Hiding("%(levelname)s %(name)s %(message)s"))
    logging.getLogger().addHandler(handler)
    api.fail("getMe", Refuse(500, "Internal Server Error"))
    api.fail("getUpdates", Refuse(409, "Conflict: another"), Refuse(502, "Bad Gateway"), Garble())
    async with meeting(api) as met:
        tove.says("bench 80x5")
        await met.quiet(tove)
        api.fail("sendMessage", Refuse(400, f"Bad Request: {api.token}"))
        api.fail("getUpdates", Refuse(401, "Unauthorized"))
        tove.says("bench 80x5")
        await met.ended
    logging.getLogger().removeHandler(handler)

    assert "telegram cannot be reached" in written.getvalue()
    assert api.token.partition(":")[2] not in written.getvalue()
    assert "bench" not in written.getvalue()


def test_a_trace_with_the_token_in_its_words_is_written_without_it() -> None:
    api = BotApi()
    hide(api.token)

    wrong = InvalidToken(f"The token `{api.token}` was rejected by the server.")
    trace = Hiding().formatException((type(wrong), wrong, None))

    assert "The token `(hidden)` was rejected" in trace
    assert api.token.partition(":")[2] not in trace
