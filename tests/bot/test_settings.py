"""Settings: what the environment says, and what is said of a setting that cannot be."""

from pathlib import Path

import pytest

from bot.settings import MatrixSettings, Secret, Settings, TelegramSettings, WrongSettingError


def test_what_is_not_set_is_as_documented(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("DB", "OPERATOR", "CONTACT", "PRIVACY", "TEXT_DAYS", "BACKUP_DAYS", "LISTEN"):
        monkeypatch.delenv(f"RACKSIDE_{name}", raising=False)

    settings = Settings()

    # Raw texts are erased after 30 days unless set: the rules for other people's data.
    assert (settings.db, settings.text_days, settings.listen) == ("", 30, "")


def test_what_is_set_is_taken_when_the_settings_are_made(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("RACKSIDE_TEXT_DAYS", "7")
    monkeypatch.setenv("RACKSIDE_LISTEN", "127.0.0.1:8080")
    monkeypatch.setenv("RACKSIDE_TELEGRAM_RATE", "0.5")
    monkeypatch.setenv("RACKSIDE_MATRIX_STATE", str(tmp_path))

    assert (Settings().text_days, Settings().listen) == (7, "127.0.0.1:8080")
    assert TelegramSettings().rate == 0.5
    assert MatrixSettings().state_folder() == tmp_path


def test_what_is_set_to_nothing_is_not_set(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("RACKSIDE_TEXT_DAYS", "")
    monkeypatch.setenv("RACKSIDE_TELEGRAM_TOKEN_FILE", "")

    assert Settings().text_days == 30
    assert TelegramSettings().token_file is None


@pytest.mark.parametrize(
    ("name", "value"),
    [
        *(("TEXT_DAYS", value) for value in ("0", "366", "-1", "seven", "1e3", "9" * 40)),
        ("BACKUP_DAYS", "1000"),
        *(("LISTEN", value) for value in ("8080", "a b:80", "here:port", "host:1\n")),
        ("OPERATOR", "x" * 201),
    ],
)
def test_error_a_setting_that_cannot_be_is_named_and_not_repeated(
    name: str, value: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(f"RACKSIDE_{name}", value)

    with pytest.raises(WrongSettingError, match=f"^RACKSIDE_{name} ") as told:
        Settings()

    assert len(value) < 3 or value not in str(told.value)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        *(("RATE", value) for value in ("0", "-1", "nan", "inf", "fast")),
        ("WHO", "everybody"),
        ("API", "ftp://example.org"),
        ("ALLOWED", "tove"),
        ("A_MINUTE", "0"),
    ],
)
def test_error_a_setting_of_a_platform_that_cannot_be_is_named(
    name: str, value: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(f"RACKSIDE_TELEGRAM_{name}", value)

    with pytest.raises(WrongSettingError, match=f"^RACKSIDE_TELEGRAM_{name} "):
        TelegramSettings()


def test_a_secret_is_printed_by_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("RACKSIDE_MATRIX_PASSWORD", "correct horse")

    settings = MatrixSettings()

    assert settings.password_told() == "correct horse"
    assert "horse" not in f"{settings!r} {settings.password} {settings.password!r}"
    assert str(Secret()) == ""
