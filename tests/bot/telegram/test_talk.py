"""Talk on Telegram: what a lifter writes, changes and presses there, and what they see of the answers."""

from datetime import UTC, datetime, timedelta

import pytest

from tests.bot.telegram.meeting import meeting
from tests.telegram_api.server import BotApi


async def test_a_set_is_logged_and_read_back() -> None:
    api = BotApi()
    tove = api.person()
    async with meeting(api) as met:
        tove.says("bench 80x5 rir2")

        [answer, *_] = await met.answered(tove)

        assert answer.splitlines()[0] == "bench press 80 kg × 5, 2 left"
        assert [(each.load_kg, each.reps, each.rir) for each in met.sets(tove)] == [(80.0, 5, 2.0)]


async def test_what_was_written_while_the_bot_was_down_is_taken_in_order() -> None:
    api = BotApi()
    tove = api.person()
    for load in (60, 70, 80):
        tove.says(f"bench {load}x5")
    async with meeting(api) as met:
        await met.quiet(tove)

        assert [each.load_kg for each in met.sets(tove)] == [60.0, 70.0, 80.0]


async def test_an_edit_replaces_the_set_and_one_before_it_was_handled_counts_once() -> None:
    api = BotApi()
    tove = api.person()
    said = tove.says("bench 80x5")
    tove.edits(said, "bench 82.5x5")
    async with meeting(api) as met:
        await met.quiet(tove)
        first = [each.load_kg for each in met.sets(tove)]
        tove.edits(said, "bench 85x5")
        await met.quiet(tove)

        assert first == [82.5]
        assert [each.load_kg for each in met.sets(tove)] == [85.0]


async def test_a_slash_is_a_command_and_its_words_may_follow() -> None:
    api = BotApi()
    tove = api.person()
    async with meeting(api) as met:
        tove.says("/max bench")
        tove.says("/forget_me")
        await met.quiet(tove)

        texts = tove.texts()
        assert "no estimate for bench press yet: log a work set of it" in texts
        assert "erase everything of yours for good?" in texts


async def test_start_tells_who_runs_this_and_asks_its_question_by_buttons() -> None:
    api = BotApi()
    tove = api.person(reach="not started")
    async with meeting(api) as met:
        tove.starts()
        await met.answered(tove, times=2)

        asked = tove.of_bot()[-1]
        assert "this bot is run by Nora (nora@example.org)" in tove.texts()[0]
        assert asked.labels == ["yes, keep it", "no"]


async def test_the_buttons_give_way_to_the_choice_taken() -> None:
    api = BotApi()
    tove = api.person()
    async with meeting(api) as met:
        tove.starts()
        await met.answered(tove, times=2)
        asked = tove.of_bot()[-1]

        query = tove.taps("yes, keep it")
        await api.until(lambda: bool((now := tove.find(asked.number)) and now.edits))

        now = tove.find(asked.number)
        assert now is not None
        assert now.text == f"{asked.text}\n→ yes, keep it"
        assert now.labels == []
        assert api.answered[query] == ""


async def test_a_second_press_changes_nothing_and_says_what_was_chosen() -> None:
    api = BotApi()
    tove = api.person()
    async with meeting(api) as met:
        tove.starts()
        await met.answered(tove, times=2)
        asked = tove.of_bot()[-1]
        tove.taps("yes, keep it")
        # The word on health data is told, and setting up goes on with its next question.
        await met.answered(tove, times=4)

        tove.taps("no", on=asked, stale=True)
        await api.until(lambda: bool(tove.toasts))

        assert tove.toasts == ["answered already: consent on"]
        assert len(tove.of_bot()) == 4


async def test_two_presses_at_once_are_one_choice() -> None:
    api = BotApi()
    tove = api.person()
    async with meeting(api) as met:
        tove.starts()
        await met.answered(tove, times=2)
        tove.taps("yes, keep it")
        tove.taps("yes, keep it")
        await met.quiet(tove)

        given = [
            each for each in tove.texts() if each == "health data may be kept; `consent off` erases it".replace("`", "")
        ]
        assert len(given) == 1


async def test_a_press_by_somebody_else_does_nothing_and_says_so() -> None:
    api = BotApi()
    tove, mate = api.person(), api.person(1002, "Mate")
    async with meeting(api) as met:
        tove.starts()
        await met.answered(tove, times=2)
        mate.says("help")
        await met.answered(mate)

        tove.taps("yes, keep it", by=mate)
        await api.until(lambda: bool(mate.toasts))

        assert mate.toasts == ["that question is somebody else's"]
        assert tove.of_bot()[-1].labels == ["yes, keep it", "no"]


async def test_a_press_on_an_old_question_says_that_it_is_too_old() -> None:
    api = BotApi()
    tove = api.person()
    late = timedelta()
    async with meeting(api, clock=lambda: datetime.now(UTC) + late) as met:
        tove.starts()
        await met.answered(tove, times=2)
        # Setting up can be gone on with for thirty days.
        late = timedelta(days=31)

        tove.taps("no")
        await api.until(lambda: bool(tove.toasts))

        assert tove.toasts == ["that question is too old: text it again"]


async def test_a_button_that_no_question_stands_behind_says_so() -> None:
    api = BotApi()
    tove = api.person()
    async with meeting(api) as met:
        tove.starts()
        await met.answered(tove, times=2)
        asked = tove.of_bot()[-1]
        for data in ("nonsense", "AAAAAAAAAAAA:0", f"{asked.keyboard[0][0][1][:-1]}77"):
            forged = type(asked)(asked.number, by_bot=True, text=asked.text, keyboard=[[("forged", data)]])
            tove.taps("forged", on=forged, stale=True)
        await api.until(lambda: len(tove.toasts) == 3)

        assert set(tove.toasts) == {
            "that question was taken back, something has changed since: answer the last one, or text it"
        }


@pytest.mark.parametrize("what", ["voice", "photo", "video", "video_note", "sticker", "document"])
async def test_what_has_no_text_gets_one_kind_line(what: str) -> None:
    api = BotApi()
    tove = api.person()
    async with meeting(api) as met:
        tove.says("bench 80x5")
        await met.answered(tove, times=2)
        tove.shows(what)
        texts = await met.answered(tove, times=3)

        assert texts[-1] == "voice, pictures and video can't be read here: type it\ntry: bench 80x5"
        assert len(met.sets(tove)) == 1


async def test_the_caption_of_a_picture_is_read_as_its_text() -> None:
    api = BotApi()
    tove = api.person()
    async with meeting(api) as met:
        tove.shows("photo", caption="bench 80x5")
        await met.quiet(tove)

        assert [each.load_kg for each in met.sets(tove)] == [80.0]


async def test_hostile_text_comes_back_escaped_with_its_carets_in_one_width() -> None:
    api = BotApi()
    tove = api.person()
    async with meeting(api) as met:
        tove.says("bench <b>80</b>gk & x5")
        await met.answered(tove)

        first = tove.of_bot()[0]
        assert "<b>80</b>" in first.text
        assert "<pre>" in first.html
        assert "&lt;b&gt;" in first.html
        assert "&amp;" in first.html


async def test_the_menu_holds_what_help_tells() -> None:
    api = BotApi()
    async with meeting(api):
        await api.until(lambda: bool(api.menu))

        assert {"start", "help", "settings", "privacy"} <= {name for name, _ in api.menu}
