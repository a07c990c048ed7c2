"""Settings: what an operator sets through the environment, checked at the start."""

from pathlib import Path

from platformdirs import user_data_path
from pydantic import Field
from pydantic_settings import BaseSettings, SettingsConfigDict


class Settings(BaseSettings):  # type: ignore[explicit-any]  # declared so by the library's own base class
    """Everything that can be set; each from an environment variable `RACKSIDE_...`.

    Args:
        db: URL of the store; SQLite in the user's data folder if none is told.
        operator: Who runs this bot, as lifters read it.
        contact: How to reach them.
        text_days: Days after which raw texts are erased. [days]

    """

    model_config = SettingsConfigDict(env_prefix="RACKSIDE_", extra="ignore")

    db: str = ""
    operator: str = Field(default="", max_length=200)
    contact: str = Field(default="", max_length=200)
    text_days: int = Field(default=30, ge=1, le=365)


def data_folder() -> Path:
    """The folder in which a terminal keeps the store and what was typed."""
    return user_data_path("rackside", appauthor=False)


def default_db() -> str:
    """URL of the store in the user's data folder."""
    return f"sqlite:///{data_folder() / 'rackside.db'}"
