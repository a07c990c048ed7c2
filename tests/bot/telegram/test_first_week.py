"""A lifter's first weeks on Telegram, from the invitation to advice that is taken, as they and the double see it."""

from datetime import UTC, datetime, timedelta

from bot.connectors.telegram.door import Rules
from core.domain.profile import Address
from tests.bot.telegram.meeting import Meeting, meeting
from tests.telegram_api.chats import Chat, Seen
from tests.telegram_api.server import BotApi

MONDAY = datetime(2027, 1, 4, 18, 5, tzinfo=UTC)

WAIT_S = 20
"""Longest wait for a message. [s]"""


def set_clock(met: Meeting, at: datetime) -> None:
    """Let the platform's clock show a time; it runs on from there, and Rackside follows it."""
    met.api.ahead_s = 0.0
    met.api.ahead_s = at.timestamp() - met.api.now()
    if met.waking is not None:
        met.waking.wake()


async def heard(met: Meeting, tove: Chat, has: str, *, after: int) -> Seen:
    """The first message of the bot, after so many, that has these words; others may come with it."""

    def found() -> Seen | None:
        return next((each for each in tove.of_bot()[after:] if has in each.text), None)

    try:
        await met.api.until(lambda: found() is not None, within_s=WAIT_S)
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


async def comes(met: Meeting, tove: Chat, at: datetime, has: str) -> Seen:
    """Let it be a time, and wait for what the bot says by itself."""
    before = len(tove.of_bot())
    set_clock(met, at)
    return await heard(met, tove, has, after=before)


async def answers(met: Meeting, tove: Chat, asked: Seen, label: str, has: str) -> Seen:
    """Tap a button of a message, and wait for what comes of it."""
    before = len(tove.of_bot())
    tove.taps(label, on=asked)
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

    await met.api.until(done, within_s=WAIT_S)


async def set_up(met: Meeting, tove: Chat) -> None:
    """From the invitation to a plan, tap by tap."""
    tove.starts("cellar-2027")
    await met.answered(tove, times=2)
    told, asked = tove.of_bot()
    assert told.text.startswith("this bot is run by Nora")
    assert asked.labels == ["yes, keep it", "no"]
    before = len(tove.of_bot())
    tove.taps("yes, keep it")
    await met.api.until(lambda: bool(tove.of_bot()[before:]) and bool(tove.of_bot()[-1].labels))
    for label in SET_UP:
        number = tove.of_bot()[-1].number
        tove.taps(label)
        await asked_next(met, tove, number)
    await met.api.until(lambda: any("your plan" in each for each in tove.texts()))
    assert all(not each.labels for each in tove.of_bot())


async def checked_in(met: Meeting, tove: Chat, first: Seen) -> Seen:
    """The check-in by taps from its first question; what it comes to."""
    asked = first
    for has in ("how did you sleep?", "how do your muscles feel", "how calm", "mood?", "does anything hurt?"):
        asked = await answers(met, tove, asked, "4", has)
    return await answers(met, tove, asked, "nothing hurts", "check-in, week of")


async def trains(met: Meeting, tove: Chat, at: datetime) -> None:
    """A whole session by taps: each set as planned, or with two left where its load is still to be found."""
    # The morning first: its question takes the place of one that is open about the same session.
    await comes(met, tove, at.replace(hour=7, minute=0, second=5), "day, about")
    set_clock(met, at)
    asked = await says(met, tove, "today", "day, about")
    for _ in range(60):
        before = len(tove.of_bot())
        tove.taps("did it" if "did it" in asked.labels else "2 left", on=asked)
        await answered(met, tove, before)
        if (coming := sets_asked(tove, before)) is None:
            # Nothing more, or not yet: what is asked last has been answered when this has.
            await met.quiet(tove)
            coming = sets_asked(tove, before)
        if coming is None:
            break
        asked = coming
    await says(met, tove, "done", "session of")


async def answered(met: Meeting, tove: Chat, before: int) -> None:
    """Wait for one more message of the bot."""
    await met.api.until(lambda: len(tove.of_bot()) > before, within_s=WAIT_S)


def sets_asked(tove: Chat, before: int) -> Seen | None:
    """The message that asks how the next set went, of those after so many."""
    return next((each for each in tove.of_bot()[before:] if {"did it", "2 left"} & set(each.labels)), None)


async def test_from_the_invitation_over_the_first_week_to_advice_that_is_taken() -> None:
    api = BotApi()
    tove = api.person(reach="not started")
    rules = Rules(invitations=frozenset({"cellar-2027"}))

    def clock() -> datetime:
        return datetime.fromtimestamp(api.now(), UTC)

    api.ahead_s = MONDAY.timestamp() - api.now()
    async with meeting(api, rules=rules, clock=clock, speaks_first=True) as met:
        # --- Monday: who runs this, the word on health data, the set-up, the first sets, a rest.
        await set_up(met, tove)
        await says(met, tove, "bw 81.5 kg", "body mass 81.5 kg")
        await says(met, tove, "rest 2:00", "when 2:00 of rest are over")
        before = len(tove.of_bot())
        tove.says("bench 80x5 rir2")
        await heard(met, tove, "bench press 80 kg × 5, 2 left", after=before)
        rest = await comes(met, tove, clock() + timedelta(minutes=2), "rest over, 2:00")
        assert not rest.silent  # it is waited for
        before = len(tove.of_bot())
        wrong = tove.says("82.5x5")
        await heard(met, tove, "bench press 82.5 kg × 5", after=before)
        before = len(tove.of_bot())
        tove.edits(wrong, "82.5x4")
        await heard(met, tove, "now: bench press 82.5 kg × 4", after=before)
        await says(met, tove, "rest off", "no word on rests")
        await says(met, tove, "done 7", "session of Mon 4 Jan closed")

        # --- Wednesday: the morning's session, a slip of the thumb, a question by buttons, a voice message.
        morning = await comes(met, tove, MONDAY.replace(hour=7, minute=0, second=5) + timedelta(days=2), "Wed 6 Jan")
        assert morning.silent
        set_clock(met, MONDAY + timedelta(days=2))
        slip = await says(met, tove, "bench 80gk x 5", "try: ")
        assert "<pre>" in slip.html
        remedy = slip.text.rpartition("try: ")[2]
        await says(met, tove, remedy, "bench press 80 kg × 5")
        doubt = await says(met, tove, "bench 80x5 @5", "what does 5 say?")
        await answers(met, tove, doubt, doubt.labels[0], "bench press 80 kg × 5")
        await api.until(lambda: bool((now := tove.find(doubt.number)) and now.edits))
        shown = tove.find(doubt.number)
        assert shown is not None
        assert shown.text == f"{doubt.text}\n→ {doubt.labels[0]}"
        before = len(tove.of_bot())
        tove.shows("voice")
        await heard(met, tove, "voice, pictures and video can't be read here", after=before)
        await says(met, tove, "/done", "session of Wed 6 Jan closed")

        # --- Friday: the same again, one too many taken back, and the look back.
        await comes(met, tove, MONDAY.replace(hour=7, minute=0, second=5) + timedelta(days=4), "Fri 8 Jan")
        set_clock(met, MONDAY + timedelta(days=4))
        await says(met, tove, "bench 82.5x5 1 left", "bench press 82.5 kg × 5, 1 left")
        await says(met, tove, "same", "bench press 82.5 kg × 5")
        await says(met, tove, "/undo", "taken back: bench press 82.5 kg × 5")
        await says(met, tove, "done", "session of Fri 8 Jan closed")
        await says(met, tove, "/week", "chest")
        await says(met, tove, "/max bench", "bench press")
        history = await says(met, tove, "/history bench", "bench press, the last")
        assert [day in history.text for day in ("Mon 4 Jan", "Wed 6 Jan", "Fri 8 Jan")] == [True] * 3

        # --- Sunday: the check-in by taps; a first one has nothing to stand beside.
        sunday = MONDAY.replace(hour=18, minute=0, second=5) + timedelta(days=6)
        told = await checked_in(met, tove, await comes(met, tove, sunday, "how was your energy"))
        assert "energy 4, sleep 4, muscles 4, calm 4, mood 4" in told.text

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

        # --- Two more weeks as planned, by taps: then there is something to advise, and it is taken.
        for week in (1, 2):
            for day in (0, 2, 4):
                await trains(met, tove, MONDAY + timedelta(weeks=week, days=day))
            asked = await comes(met, tove, sunday + timedelta(weeks=week), "how was your energy")
            told = await checked_in(met, tove, asked)
            assert "as usual" in told.text
        advice = await heard(met, tove, "hard sets a week from", after=0)
        await answers(met, tove, advice, "yes", "hard sets a week from Mon 25 Jan")
        assert all(len(each.text.splitlines()) <= 8 for each in tove.of_bot())
