"""Settings: what an operator sets through the environment, checked at the start."""

from collections.abc import Sequence
from pathlib import Path
from typing import Literal, Self

from platformdirs import user_data_path
from pydantic import Field, SecretStr, model_validator
from pydantic_settings import BaseSettings, SettingsConfigDict


class Settings(BaseSettings):  # type: ignore[explicit-any]  # declared so by the library's own base class
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

    model_config = SettingsConfigDict(env_prefix="RACKSIDE_", extra="ignore")

    db: str = ""
    operator: str = Field(default="", max_length=200)
    contact: str = Field(default="", max_length=200)
    privacy: str = Field(default="", max_length=600)
    text_days: int = Field(default=30, ge=1, le=365)
    backup_days: int = Field(default=14, ge=0, le=365)
    listen: str = Field(default="", pattern=r"^$|^[^\s:]+:\d{1,5}$")


class TelegramSettings(BaseSettings):  # type: ignore[explicit-any]  # declared so by the library's own base class
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

    model_config = SettingsConfigDict(env_prefix="RACKSIDE_TELEGRAM_", extra="ignore", hide_input_in_errors=True)

    token: SecretStr = SecretStr("")
    token_file: Path | None = None
    api: str = Field(default="https://api.telegram.org", pattern=r"^https?://[^\s]+$")
    webhook: str = Field(default="", pattern=r"^$|^https?://[^\s]+$")
    secret: SecretStr = SecretStr("")
    who: Literal["private", "open"] = "private"
    allowed: str = Field(default="", pattern=r"^[\d,\s]*$")
    invitations: str = Field(default="", pattern=r"^[A-Za-z0-9_,\s-]*$")
    a_minute: int = Field(default=60, ge=1)
    rate: float = Field(default=30, gt=0)
    chat_rate: float = Field(default=1, gt=0)

    @model_validator(mode="after")
    def _fits_together(self) -> Self:
        if self.webhook and not self.secret.get_secret_value():
            raise ValueError("a webhook needs a secret: set RACKSIDE_TELEGRAM_SECRET to 1 to 256 of A-Z a-z 0-9 _ -")
        if any(not SHORTEST_INVITATION <= len(each) <= LONGEST_INVITATION for each in self.invitation_words()):
            raise ValueError(f"an invitation has {SHORTEST_INVITATION} to {LONGEST_INVITATION} of A-Z a-z 0-9 _ -")
        return self

    def token_told(self) -> str:
        """The token, from the variable or the file; empty if there is none.

        Raises:
            OSError: the file cannot be read.

        """
        told = self.token.get_secret_value().strip()
        if told or self.token_file is None:
            return told
        return self.token_file.read_text(encoding="utf-8").strip()

    def allowed_numbers(self) -> frozenset[str]:
        """Numbers of those who may talk without an invitation."""
        return frozenset(self.allowed.replace(",", " ").split())

    def invitation_words(self) -> frozenset[str]:
        """Words of invitations."""
        return frozenset(self.invitations.replace(",", " ").split())


SHORTEST_INVITATION, LONGEST_INVITATION = 8, 64
"""Lengths of an invitation's word. [characters] Shorter ones can be guessed; the platform carries no longer ones."""


class MatrixSettings(BaseSettings):  # type: ignore[explicit-any]  # declared so by the library's own base class
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

    model_config = SettingsConfigDict(env_prefix="RACKSIDE_MATRIX_", extra="ignore", hide_input_in_errors=True)

    homeserver: str = Field(default="", pattern=r"^(https?://[^\s]+)?$")
    user: str = Field(default="", max_length=255)
    password: SecretStr = SecretStr("")
    password_file: Path | None = None
    token: SecretStr = SecretStr("")
    token_file: Path | None = None
    state: Path | None = None
    allowed: str = ""

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


def _secret(told: SecretStr, file: Path | None) -> str:
    return told.get_secret_value() if file is None else file.read_text(encoding="utf-8").strip()


def data_folder() -> Path:
    """The folder in which a terminal keeps the store and what was typed."""
    return user_data_path("rackside", appauthor=False)


def default_db() -> str:
    """URL of the store in the user's data folder."""
    return f"sqlite:///{data_folder() / 'rackside.db'}"
