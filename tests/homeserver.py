"""A throw-away Matrix homeserver on loopback: a real one, from an environment of its own, with its files in one folder."""

import base64
import hashlib
import hmac
import json
import os
import secrets
import shutil
import signal
import socket
import subprocess
import tempfile
import urllib.request
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from itertools import count
from pathlib import Path

from bot.connectors.matrix.json_values import Json, text_in

ENVIRONMENT = Path(__file__).parent.parent / ".venv-homeserver"
"""Where `deploy/homeserver.sh` keeps it."""

NAME = "example.org"
"""Its name in the ids of its users."""

PASSWORD = "a long enough pass phrase"  # noqa: S105 - of users who live as long as a test

START_TRIES = 5
"""A port that was free may be taken before the server has it; then another is tried. [tries]"""

START_S = 60.0
"""Longest start. [s] It takes about one on a quiet machine."""

NO_LIMIT = {"per_second": 100_000, "burst_count": 100_000}

LIMITS = (
    "rc_admin_redaction",
    "rc_joins_per_room",
    "rc_key_requests",
    "rc_media_create",
    "rc_message",
    "rc_registration",
    "rc_room_creation",
)
"""Limits of rate that are lifted."""


def program() -> Path | None:
    """The Python of the homeserver's environment; None where that was not built."""
    python = ENVIRONMENT / "bin" / "python"
    return python if python.exists() and (ENVIRONMENT / "built-for").exists() else None


class Homeserver:
    """A running homeserver.

    Args:
        folder: Its files; empty.
        messages_a_second: Messages a second that a user may send; None for no limit. [1/s]
        burst: How many may go at once before that limit holds. [messages]

    """

    def __init__(self, folder: Path, *, messages_a_second: float | None = None, burst: int = 1) -> None:
        self._folder = folder
        self._limit: Mapping[str, float] = (
            NO_LIMIT if messages_a_second is None else {"per_second": messages_a_second, "burst_count": burst}
        )
        self._secret = secrets.token_hex(16)
        self._numbers = count(1)
        self._server: subprocess.Popen[bytes] | None = None
        self.port = 0
        seed = base64.b64encode(secrets.token_bytes(32)).decode().rstrip("=")
        (folder / "signing.key").write_text(f"ed25519 a_test {seed}\n", encoding="ascii")
        self.start()

    @property
    def url(self) -> str:
        """Where it is."""
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        """Start it; again on its port, if it had one.

        Raises:
            RuntimeError: It does not start.

        """
        tries = START_TRIES if self.port == 0 else 1
        for _ in range(tries):
            self.port = self.port or _free_port()
            if self._started():
                return
            self.kill()
            if tries > 1:
                self.port = 0
        log = self._folder / "log"
        raise RuntimeError(f"the homeserver does not start:\n{log.read_text(encoding='utf-8', errors='replace')}")

    def stop(self) -> None:
        """Stop it in good order."""
        self._end(signal.SIGTERM)

    def kill(self) -> None:
        """Kill it."""
        self._end(signal.SIGKILL)

    def new_user(self, name: str) -> str:
        """Register a user of a new name that begins like this; returned: the user's id.

        Source:
            The homeserver's page "Register users with shared secret", from memory.

        """
        user = f"{name}{next(self._numbers)}"
        path = f"{self.url}/_synapse/admin/v1/register"
        nonce = text_in(_called(path), "nonce")
        told = "\0".join([nonce, user, PASSWORD, "notadmin"]).encode()
        mac = hmac.new(self._secret.encode(), told, hashlib.sha1).hexdigest()
        made = _called(path, {"nonce": nonce, "username": user, "password": PASSWORD, "admin": False, "mac": mac})
        return text_in(made, "user_id")

    def _started(self) -> bool:
        settings = self._folder / "homeserver.yaml"
        # JSON is YAML too.
        settings.write_text(json.dumps(self._settings()), encoding="utf-8")
        python = program()
        if python is None:
            raise RuntimeError("the homeserver was not built: sh deploy/homeserver.sh")
        ready = self._folder / "ready"
        ready.unlink(missing_ok=True)
        with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as heard, (self._folder / "log").open("ab") as log:
            heard.bind(str(ready))
            heard.settimeout(0.5)
            self._server = subprocess.Popen(
                [python, "-m", "synapse.app.homeserver", "-c", settings],
                stdout=log,
                stderr=log,
                cwd=self._folder,
                env={**os.environ, "NOTIFY_SOCKET": str(ready)},
            )
            for _ in range(int(START_S / 0.5)):
                try:
                    if b"READY=1" in heard.recv(4096):
                        return True
                except TimeoutError:
                    if self._server.poll() is not None:
                        return False
        return False

    def _end(self, how: signal.Signals) -> None:
        if self._server is not None:
            self._server.send_signal(how)
            self._server.wait(timeout=60)
            self._server = None

    def _settings(self) -> Json:
        return {
            "server_name": NAME,
            "report_stats": False,
            "pid_file": str(self._folder / "pid"),
            "database": {"name": "sqlite3", "args": {"database": str(self._folder / "homeserver.db")}},
            "listeners": [
                {
                    "port": self.port,
                    "bind_addresses": ["127.0.0.1"],
                    "type": "http",
                    "resources": [{"names": ["client", "media"]}],
                }
            ],
            "registration_shared_secret": self._secret,
            "signing_key_path": str(self._folder / "signing.key"),
            "macaroon_secret_key": self._secret,
            "form_secret": self._secret,
            "media_store_path": str(self._folder / "media"),
            # Nobody outside is asked for anything.
            "trusted_key_servers": [],
            "federation_domain_whitelist": [],
            "url_preview_enabled": False,
            "presence": {"enabled": False},
            # The least that the algorithm takes: passwords here guard nothing.
            "bcrypt_rounds": 4,
            # Else a sync that is asked again gives a stored answer.
            "caches": {"sync_response_cache_duration": 0},
            "rc_login": dict.fromkeys(("address", "account", "failed_attempts"), NO_LIMIT),
            "rc_joins": dict.fromkeys(("local", "remote"), NO_LIMIT),
            "rc_invites": dict.fromkeys(("per_room", "per_user", "per_issuer"), NO_LIMIT),
            **{each: self._limit if each == "rc_message" else NO_LIMIT for each in LIMITS},
        }


@contextmanager
def running_homeserver(*, messages_a_second: float | None = None, burst: int = 1) -> Iterator[Homeserver]:
    """A homeserver that is stopped and deleted at the end.

    Raises:
        RuntimeError: It was not built, or does not start.

    """
    folder = Path(tempfile.mkdtemp(prefix="rackside-matrix-"))
    try:
        server = Homeserver(folder, messages_a_second=messages_a_second, burst=burst)
        try:
            yield server
        finally:
            server.kill()
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _called(url: str, told: Json = None) -> Json:
    body = None if told is None else json.dumps(told).encode()
    request = urllib.request.Request(url, data=body, headers={"Content-Type": "application/json"})  # noqa: S310 - ours
    with urllib.request.urlopen(request, timeout=30) as answer:  # noqa: S310 - the homeserver above
        made: Json = json.load(answer)
        return made


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port
