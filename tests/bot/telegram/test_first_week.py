"""A lifter's first week on Telegram, from the invitation to the week's end, as they and the double see it."""

from datetime import UTC, datetime, timedelta

from bot.connectors.telegram.door import Rules
from core.domain.profile import Address
from tests.bot.telegram.meeting import Meeting, meeting
from tests.telegram_api.chats import Chat, Seen
from tests.telegram_api.server import BotApi

MONDAY = datetime(2027, 1, 4, 18, 5, tzinfo=UTC)


def set_clock(api: BotApi, at: datetime) -> None:
    """Let the platform's clock show a time; it runs on from there, and Rackside follows it."""
    api.ahead_s = 0.0
    api.ahead_s = at.timestamp() - api.now()


async def heard(met: Meeting, tove: Chat, *, after: int) -> Seen:
    """The first answer after so many messages of the bot."""
    await met.answered(tove, times=after + 1)
    return tove.of_bot()[after]


async def says(met: Meeting, tove: Chat, text: str) -> Seen:
    """Write, and wait for the answer."""
    before = len(tove.of_bot())
    tove.says(text)
    return await heard(met, tove, after=before)


async def taps(met: Meeting, tove: Chat, label: str) -> Seen:
    """Press a button, and wait for the answer."""
    before = len(tove.of_bot())
    tove.taps(label)
    return await heard(met, tove, after=before)


async def test_a_first_week_from_the_invitation_to_the_look_back() -> None:
    api = BotApi()
    set_clock(api, MONDAY)
    tove = api.person(reach="not started")
    rules = Rules(invitations=frozenset({"cellar-2027"}))
    async with meeting(api, rules=rules, clock=lambda: datetime.fromtimestamp(api.now(), UTC)) as met:
        # --- Monday: who runs this, the word on health data, the first sets.
        tove.starts("cellar-2027")
        await met.answered(tove, times=2)
        told, asked = tove.of_bot()
        assert told.text.startswith("this bot is run by Nora")
        assert asked.labels == ["yes, keep it", "no"]
        kept = await taps(met, tove, "yes, keep it")
        assert kept.text.startswith("health data may be kept")

        assert (await says(met, tove, "bw 81.5 kg")).text.startswith("body mass 81.5 kg")
        first = await says(met, tove, "bench 80x5 rir2")
        assert first.text.splitlines()[0] == "bench press 80 kg × 5, 2 left"
        before = len(tove.of_bot())
        wrong = tove.says("82.5x5")
        await heard(met, tove, after=before)
        before = len(tove.of_bot())
        tove.edits(wrong, "82.5x4")
        corrected = await heard(met, tove, after=before)
        assert corrected.text.splitlines()[0].startswith("now: bench press 82.5 kg × 4")
        closed = await says(met, tove, "done 7")
        assert "session of Mon 4 Jan closed, effort 7 of 10" in closed.text

        # --- Wednesday: a slip of the thumb, the line to copy, a question by buttons, a voice message.
        set_clock(api, MONDAY + timedelta(days=2))
        slip = await says(met, tove, "bench 80gk x 5")
        assert "<pre>" in slip.html
        remedy = slip.text.rpartition("try: ")[2]
        assert (await says(met, tove, remedy)).text.startswith("bench press 80 kg × 5")
        doubt = await says(met, tove, "bench 80x5 @5")
        assert len(doubt.labels) >= 2
        settled = await taps(met, tove, doubt.labels[0])
        assert settled.text.startswith("bench press 80 kg × 5")
        number = doubt.number
        await api.until(lambda: bool((now := tove.find(number)) and now.edits))
        shown = tove.find(number)
        assert shown is not None
        assert shown.text == f"{doubt.text}\n→ {doubt.labels[0]}"
        before = len(tove.of_bot())
        tove.shows("voice")
        spoken = await heard(met, tove, after=before)
        assert spoken.text.startswith("voice, pictures and video can't be read here")
        assert (await says(met, tove, "/done")).text.startswith("session of Wed 6 Jan closed")

        # --- Friday: the same again, one too many taken back, and the look back.
        set_clock(api, MONDAY + timedelta(days=4))
        await says(met, tove, "bench 82.5x5 1 left")
        await says(met, tove, "same")
        undone = await says(met, tove, "/undo")
        assert undone.text.startswith("taken back: bench press 82.5 kg × 5")
        assert "session of Fri 8 Jan closed" in (await says(met, tove, "done")).text
        assert "chest" in (await says(met, tove, "/week")).text
        assert "kg" in (await says(met, tove, "/max bench")).text
        history = await says(met, tove, "/history bench")
        assert [day in history.text for day in ("Mon 4 Jan", "Wed 6 Jan", "Fri 8 Jan")] == [True] * 3

        # Hand count: Monday 80x5 and 82.5x4; Wednesday 80x5 twice; Friday 82.5x5 once, the second one was taken back.
        assert [(each.load_kg, each.reps) for each in met.sets(tove)] == [
            (80.0, 5),
            (82.5, 4),
            (80.0, 5),
            (80.0, 5),
            (82.5, 5),
        ]
        with met.store.read() as work:
            lifter = work.lifters.at_address(Address("telegram", str(tove.number)))
            assert lifter is not None
            assert lifter.consent is not None
            assert lifter.consent.given
        assert all(len(each.text.splitlines()) <= 8 for each in tove.of_bot())
