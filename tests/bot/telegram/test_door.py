"""The door: who may talk, how much, and what groups, strangers and the log get to see."""

from datetime import UTC, datetime
from pathlib import Path

import pytest

from bot.connectors.telegram.door import Rules
from bot.connectors.telegram.opening import NotOpenedError, bot_of, rules_of, source_of
from bot.settings import Settings, TelegramSettings
from tests.bot.telegram.meeting import meeting
from tests.telegram_api.server import BotApi

INVITED = Rules(invitations=frozenset({"cellar-2027"}), contact="nora@example.org")

STRANGER = "this bot is not open to everybody: ask nora@example.org for an invitation. Nothing of this message was kept"

TOKEN = "110201543:AAHdqTcvCH1vGWJxfSeofSAs0K5PALDsaw_"  # noqa: S105
"""The example of the platform's documentation, section "Authorizing your bot" (from memory); no bot has it."""


async def test_a_stranger_is_told_once_and_nothing_of_theirs_is_kept() -> None:
    api = BotApi()
    stranger = api.person()
    async with meeting(api, rules=INVITED) as met:
        stranger.says("bench 80x5")
        stranger.says("hello?")
        await met.answered(stranger)
        await api.until(lambda: not api.updates.waiting)

        assert stranger.texts() == [STRANGER]
        assert met.received == []


async def test_a_stranger_with_a_warning_sign_is_told_what_to_do_all_the_same() -> None:
    api = BotApi()
    stranger = api.person()
    async with meeting(api, rules=INVITED) as met:
        stranger.says("I have chest pain")
        await met.answered(stranger, times=2)

        assert any("local emergency number" in each for each in stranger.texts())
        assert met.received == []


async def test_an_invitation_lets_in_also_what_follows_at_once_and_for_good() -> None:
    api = BotApi()
    tove = api.person()
    tove.starts("cellar-2027")
    tove.says("bench 80x5")
    async with meeting(api, rules=INVITED) as met:
        await met.quiet(tove)

        assert len(met.sets(tove)) == 1


@pytest.mark.parametrize("payload", ["cellar-2026", "Cellar-2027", "cellar-2027x", "x", "DROP-TABLE", "a" * 64])
async def test_a_wrong_invitation_lets_nobody_in(payload: str) -> None:
    api = BotApi()
    stranger = api.person()
    async with meeting(api, rules=INVITED) as met:
        stranger.starts(payload)
        [told] = await met.answered(stranger)

        assert told.startswith("that invitation is not valid (any more).")
        assert met.received == []


@pytest.mark.parametrize("payload", ["a" * 65, "<b>&'\"; rm -rf", "cellar-2027 and more", "\N{PILE OF POO}" * 40])
async def test_a_payload_that_no_address_can_carry_is_no_invitation(payload: str) -> None:
    api = BotApi()
    stranger = api.person()
    async with meeting(api, rules=INVITED) as met:
        stranger.says(f"/start {payload}")
        await met.answered(stranger)

        assert met.received == []


async def test_those_on_the_list_need_no_invitation_and_others_do() -> None:
    api = BotApi()
    tove, stranger = api.person(1001), api.person(1002)
    async with meeting(api, rules=Rules(allowed=frozenset({"1001"}), contact="nora@example.org")) as met:
        stranger.says("bench 80x5")
        tove.says("bench 80x5")
        await met.quiet(tove)
        await met.answered(stranger)

        assert len(met.sets(tove)) == 1
        assert stranger.texts() == [STRANGER]


async def test_a_lifter_who_is_known_stays_known_to_a_door_that_remembers_nobody(tmp_path: Path) -> None:
    api = BotApi()
    tove = api.person()
    url = f"sqlite:///{tmp_path}/rackside.db"
    async with meeting(api, rules=INVITED, url=url) as met:
        tove.starts("cellar-2027")
        await met.quiet(tove)
    async with meeting(api, rules=INVITED, url=url) as met:
        tove.says("bench 80x5")
        await api.until(lambda: any("80 kg × 5" in each for each in tove.texts()))

        assert len(met.sets(tove)) == 1


async def test_more_than_is_taken_in_a_minute_is_told_and_counts_by_when_it_was_sent() -> None:
    api = BotApi()
    tove = api.person()
    now = datetime.now(UTC).timestamp()
    async with meeting(api, rules=Rules(is_open=True, a_minute=3)) as met:
        # a backlog of an hour comes at once and is no flood
        for number in range(8):
            tove.says(f"bench {60 + number}x5", at_s=now - 3600 + number * 60)
        for number in range(5):
            tove.says(f"bench {90 + number}x1", at_s=now)
        await api.until(lambda: any("more than 3 messages" in each for each in tove.texts()))
        await api.until(lambda: len(met.sets(tove)) >= 11)

        assert [each.load_kg for each in met.sets(tove)] == [60, 61, 62, 63, 64, 65, 66, 67, 90, 91, 92]
        assert len([each for each in tove.texts() if "more than 3 messages" in each]) == 1


async def test_in_a_group_only_what_is_addressed_is_taken_and_answered_in_the_own_chat() -> None:
    api = BotApi(privacy_mode=False)
    group, tove = api.group(), api.person()
    async with meeting(api) as met:
        tove.says("bench 80x5")
        await met.answered(tove)
        group.says("bench 100x5", by=tove)
        group.says(f"@{api.username} bench 82.5x5", by=tove)
        group.says("/week", by=tove)
        await met.quiet(tove)

        assert [each.load_kg for each in met.sets(tove)] == [80.0, 82.5]
        assert group.texts() == ["answered in our own chat: a group sees nobody's log"]
        assert any("82.5 kg" in each for each in tove.texts())


async def test_a_stranger_in_a_group_is_told_there_to_open_a_chat_first() -> None:
    api = BotApi(privacy_mode=False)
    group, stranger = api.group(), api.person(1002, reach="not started")
    async with meeting(api, rules=INVITED) as met:
        group.says(f"@{api.username} bench 80x5", by=stranger)
        await met.answered(group)

        assert group.texts() == ["open a chat with me first: a group sees nobody's log"]
        assert met.received == []


# --- What is set


@pytest.fixture(autouse=True)
def _nothing_set(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("TOKEN", "TOKEN_FILE", "API", "WEBHOOK", "SECRET", "WHO", "ALLOWED", "INVITATIONS", "A_MINUTE"):
        monkeypatch.delenv(f"RACKSIDE_TELEGRAM_{name}", raising=False)
    for name in ("CONTACT", "PRIVACY", "OPERATOR"):
        monkeypatch.delenv(f"RACKSIDE_{name}", raising=False)


def test_open_to_everybody_needs_a_contact_and_a_word_on_privacy(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("RACKSIDE_TELEGRAM_WHO", "open")
    monkeypatch.setenv("RACKSIDE_CONTACT", "nora@example.org")

    with pytest.raises(NotOpenedError, match="RACKSIDE_PRIVACY"):
        rules_of(TelegramSettings(), Settings())

    monkeypatch.setenv("RACKSIDE_PRIVACY", "kept on a server in Oslo")
    assert rules_of(TelegramSettings(), Settings()).is_open


def test_private_needs_somebody_who_may_talk(monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(NotOpenedError, match="RACKSIDE_TELEGRAM_ALLOWED"):
        rules_of(TelegramSettings(), Settings())

    monkeypatch.setenv("RACKSIDE_TELEGRAM_ALLOWED", "1001, 1002")
    assert rules_of(TelegramSettings(), Settings()).allowed == {"1001", "1002"}


@pytest.mark.parametrize("word", ["short", "spaces in it", "a" * 65])
def test_an_invitation_that_could_be_guessed_or_not_carried_is_refused(
    word: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("RACKSIDE_TELEGRAM_INVITATIONS", word)

    with pytest.raises(ValueError, match="invitation"):
        TelegramSettings()


def test_a_webhook_needs_a_secret_of_the_right_letters(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("RACKSIDE_TELEGRAM_WEBHOOK", "https://rackside.example/pushed")
    with pytest.raises(ValueError, match="RACKSIDE_TELEGRAM_SECRET"):
        TelegramSettings()

    monkeypatch.setenv("RACKSIDE_TELEGRAM_SECRET", "not all/owed")
    with pytest.raises(NotOpenedError, match="RACKSIDE_TELEGRAM_SECRET"):
        source_of(TelegramSettings())


def test_the_token_may_lie_in_a_file(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    file = tmp_path / "token"
    monkeypatch.setenv("RACKSIDE_TELEGRAM_TOKEN_FILE", str(file))
    with pytest.raises(NotOpenedError, match="can't be read"):
        bot_of(TelegramSettings())

    file.write_text(f"{TOKEN}\n", encoding="utf-8")
    assert bot_of(TelegramSettings()).token == TOKEN


@pytest.mark.parametrize("token", ["", "nonsense", TOKEN[:20], f"{TOKEN} and more"])
def test_what_is_no_token_is_told_without_repeating_it(token: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("RACKSIDE_TELEGRAM_TOKEN", token)

    with pytest.raises(NotOpenedError) as told:
        bot_of(TelegramSettings())

    assert not token or token not in str(told.value)
