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


async def heard(met: Meeting, tove: Chat, has: str, *, after: int) -> Seen:
    """The first message of the bot, after so many, that has these words; others may come with it."""

    def found() -> Seen | None:
        return next((each for each in tove.of_bot()[after:] if has in each.text), None)

    try:
        await met.api.until(lambda: found() is not None, within_s=10)
    except TimeoutError:
        raise AssertionError(f"nobody said {has!r}, but {[each.text for each in tove.of_bot()[after:]]}") from None
    seen = found()
    assert seen is not None
    return seen


async def says(met: Meeting, tove: Chat, text: str, has: str) -> Seen:
    """Write, and wait for the answer that has these words."""
    before = len(tove.of_bot())
    tove.says(text)
    return await heard(met, tove, has, after=before)


SET_UP = (
    "a full gym, kg",
    "none of it",
    "safety arms",
    "Mon Wed Fri",
    "60 min",
    "chest",
    "don't know",
    "about 8",
    "7:00",
)
"""A tap for each question of the set-up, in order."""


async def asked_next(met: Meeting, tove: Chat, number: int) -> None:
    """Wait until a question has given way to the choice taken, and something came after it."""

    def done() -> bool:
        now = tove.find(number)
        return now is not None and not now.labels and tove.of_bot()[-1].number > number

    await met.api.until(done)


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
        # --- The set-up, tap by tap: what is trained with, screening, safety, days, minutes, what matters, what is known.
        before = len(tove.of_bot())
        tove.taps("yes, keep it")
        await api.until(lambda: bool(tove.of_bot()[before:]) and bool(tove.of_bot()[-1].labels))
        for label in SET_UP:
            number = tove.of_bot()[-1].number
            tove.taps(label)
            await asked_next(met, tove, number)
        await api.until(lambda: any("your plan" in each for each in tove.texts()))
        assert all(not each.labels for each in tove.of_bot())

        await says(met, tove, "bw 81.5 kg", "body mass 81.5 kg")
        await says(met, tove, "bench 80x5 rir2", "bench press 80 kg × 5, 2 left")
        before = len(tove.of_bot())
        wrong = tove.says("82.5x5")
        await heard(met, tove, "bench press 82.5 kg × 5", after=before)
        before = len(tove.of_bot())
        tove.edits(wrong, "82.5x4")
        await heard(met, tove, "now: bench press 82.5 kg × 4", after=before)
        await says(met, tove, "done 7", "session of Mon 4 Jan closed, effort 7 of 10")

        # --- Wednesday: a slip of the thumb, the line to copy, a question by buttons, a voice message.
        set_clock(api, MONDAY + timedelta(days=2))
        slip = await says(met, tove, "bench 80gk x 5", "try: ")
        assert "<pre>" in slip.html
        remedy = slip.text.rpartition("try: ")[2]
        await says(met, tove, remedy, "bench press 80 kg × 5")
        doubt = await says(met, tove, "bench 80x5 @5", "what does 5 say?")
        before = len(tove.of_bot())
        tove.taps(doubt.labels[0])
        await heard(met, tove, "bench press 80 kg × 5", after=before)
        await api.until(lambda: bool((now := tove.find(doubt.number)) and now.edits))
        shown = tove.find(doubt.number)
        assert shown is not None
        assert shown.text == f"{doubt.text}\n→ {doubt.labels[0]}"
        before = len(tove.of_bot())
        tove.shows("voice")
        await heard(met, tove, "voice, pictures and video can't be read here", after=before)
        await says(met, tove, "/done", "session of Wed 6 Jan closed")

        # --- Friday: the same again, one too many taken back, and the look back.
        set_clock(api, MONDAY + timedelta(days=4))
        await says(met, tove, "bench 82.5x5 1 left", "bench press 82.5 kg × 5, 1 left")
        await says(met, tove, "same", "bench press 82.5 kg × 5")
        await says(met, tove, "/undo", "taken back: bench press 82.5 kg × 5")
        await says(met, tove, "done", "session of Fri 8 Jan closed")
        await says(met, tove, "/week", "chest")
        await says(met, tove, "/max bench", "bench press")
        history = await says(met, tove, "/history bench", "bench press, the last")
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
