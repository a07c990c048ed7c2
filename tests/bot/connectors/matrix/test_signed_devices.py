"""A client that trusts signed devices only talks with the bot, and would not if the bot's device were not signed."""

import asyncio
import json
import os
import shutil
from pathlib import Path

import pytest

from tests.bot.connectors.matrix.running import bot_on
from tests.bot.connectors.matrix.way import way_to
from tests.homeserver import ENVIRONMENT, PASSWORD, Homeserver

SCRIPT = Path(__file__).with_name("signed_only.mjs")

MODULES = ENVIRONMENT / "client" / "node_modules"
"""Where `deploy/homeserver.sh` puts the client's library."""

ANSWER_S = 30
"""How long the client waits for an answer that is to come. [s]"""

NO_ANSWER_S = 5
"""How long it waits for one that is not. [s] The other one takes a second."""

needs_client = pytest.mark.skipif(
    shutil.which("node") is None or not MODULES.exists(),
    reason="Node 20 or its client library is missing (sh deploy/homeserver.sh fetches that where Node is found)",
)


async def first_answer(server: Homeserver, bot: str, *, wait_s: int) -> str | None:
    """What such a client reads of the bot after its first message; None if nothing."""
    running = await asyncio.create_subprocess_exec(
        *("node", str(SCRIPT), server.url, server.new_user("tove"), PASSWORD, bot, "bench 80x5 rir2", str(wait_s)),
        stdout=asyncio.subprocess.PIPE,
        stderr=asyncio.subprocess.PIPE,
        env={**os.environ, "CLIENT_MODULES": str(MODULES)},
    )
    said, wrong = await running.communicate()
    assert running.returncode == 0, wrong.decode()
    content: dict[str, str] | None = json.loads(said)
    return None if content is None else content["body"]


@needs_client
@pytest.mark.parametrize("signed", [True, False], ids=["signed", "not signed"])
def test_a_client_that_trusts_signed_devices_only(server: Homeserver, folder: Path, *, signed: bool) -> None:
    async def talk() -> str | None:
        user = server.new_user("rackside")
        async with way_to(server.url) as way:
            if not signed:
                way.refuse("POST .*/keys/device_signing/upload", 401, session="s", flows=[], times=2)
            async with bot_on(server, folder, user=user, url=way.url):
                return await first_answer(server, user, wait_s=ANSWER_S if signed else NO_ANSWER_S)

    answer = asyncio.run(talk())

    assert (answer or "").startswith("bench press 80 kg × 5, 2 left") if signed else answer is None
