"""Settings: what an operator sets through the environment, checked at the start."""

import os
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeVar

from platformdirs import user_data_path
from typing_extensions import override

Read = TypeVar("Read")


class WrongSettingError(ValueError):
    """A setting is not one that it can be; what was told is not repeated, for it may be a secret.

    Args:
        name: The variable.
        remedy: What it can be.

    """

    def __init__(self, name: str, remedy: str) -> None:
        super().__init__(f"{name} {remedy}")
        self.name = name
        self.remedy = remedy


@dataclass(frozen=True, slots=True)
class Secret:
    """A word that nothing prints."""

    value: str = field(default="", repr=False)

    @override
    def __str__(self) -> str:
        """No more than whether there is one."""
        return "**********" if self.value else ""


def told(name: str, read: Callable[[str], Read], default: Read) -> Read:
    """A setting: what an environment variable says when the settings are made, the default where it says nothing.

    Args:
        name: The variable, without what all of them begin with.
        read: Makes a value of its text.
        default: The value without it.

    Raises:
        WrongSettingError: When the settings are made: `read` raised a ValueError, which says what it can be.

    """

    def read_now() -> Read:
        text = os.environ.get(f"{PREFIX}{name}", "")
        if not text:
            return default
        try:
            return read(text)
        except ValueError as wrong:
            raise WrongSettingError(f"{PREFIX}{name}", str(wrong)) from None

    return field(default_factory=read_now)


PREFIX = "RACKSIDE_"


def up_to(most: int) -> Callable[[str], str]:
    """Reads a text of so many characters at most."""

    def read(text: str) -> str:
        if len(text) > most:
            raise ValueError(f"has {most} characters at most")
        return text

    return read


def like(pattern: str, *, what: str) -> Callable[[str], str]:
    """Reads a text that follows a pattern."""

    def read(text: str) -> str:
        if re.fullmatch(pattern, text) is None:
            raise ValueError(f"is {what}")
        return text

    return read


def whole(least: int, most: int | None = None) -> Callable[[str], int]:
    """Reads a whole number within bounds."""

    def read(text: str) -> int:
        what = f"is a whole number from {least}" + ("" if most is None else f" to {most}")
        if not re.fullmatch(r"\d{1,9}", text.strip(), re.ASCII):
            raise ValueError(what)
        number = int(text)
        if number < least or (most is not None and number > most):
            raise ValueError(what)
        return number

    return read


def above_nothing(text: str) -> float:
    """Reads a number above 0."""
    try:
        number = float(text)
    except ValueError:
        number = 0.0
    if not 0.0 < number < float("inf"):
        raise ValueError("is a number above 0")
    return number


ADDRESS = r"https?://[^\s]+"


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """Everything that can be set; each from an environment variable `RACKSIDE_...`.

    Args:
        db: URL of the store; SQLite in the user's data folder if none is told.
        operator: Who runs this bot, as lifters read it.
        contact: How to reach them.
        privacy: What lifters read beside that on their data: a line or two of the operator's own.
        text_days: Days after which raw texts are erased. [days]
        backup_days: Days that a nightly copy of a SQLite database is kept; 0 for no copies. [days]
        listen: Where the server for health and webhooks listens, as host:port; nowhere if empty.

    """

    db: str = told("DB", str, "")
    operator: str = told("OPERATOR", up_to(200), "")
    contact: str = told("CONTACT", up_to(200), "")
    privacy: str = told("PRIVACY", up_to(600), "")
    text_days: int = told("TEXT_DAYS", whole(1, 365), 30)
    backup_days: int = told("BACKUP_DAYS", whole(0, 365), 14)
    listen: str = told("LISTEN", like(r"[^\s:]+:\d{1,5}", what="host:port"), "")


@dataclass(frozen=True, slots=True, kw_only=True)
class TelegramSettings:
    """What is set for Telegram; each from an environment variable `RACKSIDE_TELEGRAM_...`. No token, no Telegram.

    Args:
        token: The bot's token.
        token_file: A file that holds it, in place of it.
        api: Where the Bot API is; another address is a server of one's own.
        webhook: Address that updates are pushed to; they are asked for if it is empty.
        secret: What each push carries; needed with a webhook.
        who: Who may talk: those allowed and invited, or everybody.
        allowed: Numbers of those who may talk without an invitation, with commas between.
        invitations: Words of which one comes with a first `/start`, with commas between.
        a_minute: Messages of one lifter that are taken in a minute.
        rate: Messages a second that are sent at most; a server of one's own may take more than Telegram's. [1/s]
        chat_rate: Messages a second that are sent to one chat at most. [1/s]

    """

    token: Secret = told("TELEGRAM_TOKEN", Secret, Secret())
    token_file: Path | None = told("TELEGRAM_TOKEN_FILE", Path, None)
    api: str = told("TELEGRAM_API", like(ADDRESS, what="an address, https://..."), "https://api.telegram.org")
    webhook: str = told("TELEGRAM_WEBHOOK", like(ADDRESS, what="an address, https://..."), "")
    secret: Secret = told("TELEGRAM_SECRET", Secret, Secret())
    who: str = told("TELEGRAM_WHO", like("private|open", what="private or open"), "private")
    allowed: str = told("TELEGRAM_ALLOWED", like(r"[\d,\s]*", what="numbers with commas between"), "")
    invitations: str = told(
        "TELEGRAM_INVITATIONS", like(r"[A-Za-z0-9_,\s-]*", what="words of A-Z a-z 0-9 _ - with commas between"), ""
    )
    a_minute: int = told("TELEGRAM_A_MINUTE", whole(1), 60)
    rate: float = told("TELEGRAM_RATE", above_nothing, 30.0)
    chat_rate: float = told("TELEGRAM_CHAT_RATE", above_nothing, 1.0)

    def __post_init__(self) -> None:
        if self.webhook and not self.secret.value:
            raise WrongSettingError(
                f"{PREFIX}TELEGRAM_SECRET",
                "is needed by a webhook: set RACKSIDE_TELEGRAM_SECRET to 1 to 256 of A-Z a-z 0-9 _ -",
            )
        if any(not SHORTEST_INVITATION <= len(each) <= LONGEST_INVITATION for each in self.invitation_words()):
            raise WrongSettingError(
                f"{PREFIX}TELEGRAM_INVITATIONS",
                f"names invitations, each of {SHORTEST_INVITATION} to {LONGEST_INVITATION} of A-Z a-z 0-9 _ -",
            )

    def token_told(self) -> str:
        """The token, from the variable or the file; empty if there is none.

        Raises:
            OSError: the file cannot be read.

        """
        token = self.token.value.strip()
        if token or self.token_file is None:
            return token
        return self.token_file.read_text(encoding="utf-8").strip()

    def allowed_numbers(self) -> frozenset[str]:
        """Numbers of those who may talk without an invitation."""
        return frozenset(self.allowed.replace(",", " ").split())

    def invitation_words(self) -> frozenset[str]:
        """Words of invitations."""
        return frozenset(self.invitations.replace(",", " ").split())


SHORTEST_INVITATION, LONGEST_INVITATION = 8, 64
"""Lengths of an invitation's word. [characters] Shorter ones can be guessed; the platform carries no longer ones."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MatrixSettings:
    """What the Matrix front end is told; each from an environment variable `RACKSIDE_MATRIX_...`.

    Args:
        homeserver: Address of the homeserver; without one Matrix is not served.
        user: The bot's account, `@rackside:example.org`.
        password: Its password, for the first login and for a new device where keys are lost.
        password_file: A file with the password.
        token: An access token, in place of a password, for the first login.
        token_file: A file with the token.
        state: Folder for the login and its keys, for its owner alone; copy it whole and only while the bot is stopped.
        allowed: Who may talk to it: people (`@tove:example.org`) and homeservers (`example.org`), with commas between.

    """

    homeserver: str = told("MATRIX_HOMESERVER", like(ADDRESS, what="an address, https://..."), "")
    user: str = told("MATRIX_USER", up_to(255), "")
    password: Secret = told("MATRIX_PASSWORD", Secret, Secret())
    password_file: Path | None = told("MATRIX_PASSWORD_FILE", Path, None)
    token: Secret = told("MATRIX_TOKEN", Secret, Secret())
    token_file: Path | None = told("MATRIX_TOKEN_FILE", Path, None)
    state: Path | None = told("MATRIX_STATE", Path, None)
    allowed: str = told("MATRIX_ALLOWED", str, "")

    def password_told(self) -> str:
        """The password, from its file if one is named.

        Raises:
            OSError: The file cannot be read.

        """
        return _secret(self.password, self.password_file)

    def token_told(self) -> str:
        """The access token, from its file if one is named.

        Raises:
            OSError: The file cannot be read.

        """
        return _secret(self.token, self.token_file)

    def allowed_names(self) -> Sequence[str]:
        """People and homeservers who may talk to it."""
        return self.allowed.replace(",", " ").split()

    def state_folder(self) -> Path:
        """The folder for the login and its keys."""
        return self.state or data_folder() / "matrix"


def _secret(word: Secret, file: Path | None) -> str:
    return word.value if file is None else file.read_text(encoding="utf-8").strip()


def data_folder() -> Path:
    """The folder in which a terminal keeps the store and what was typed."""
    return user_data_path("rackside", appauthor=False)


def default_db() -> str:
    """URL of the store in the user's data folder."""
    return f"sqlite:///{data_folder() / 'rackside.db'}"
