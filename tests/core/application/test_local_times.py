# ruff: noqa: DTZ001 - wall times stand beside their zone
"""Local times: daily messages over every change of the clocks, in zones of both hemispheres, once a date and on time."""

from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from functools import partial
from zoneinfo import ZoneInfo

import pytest

from core.application.due import Calling, Callings, arrange, run_until
from core.application.ports import Store, UnitOfWork
from core.application.turn import Turn
from core.domain.reminders import Due, Kind, Reminders, instant_of
from core.domain.replies import Acknowledged, Reply
from core.domain.replies import Done as Small
from core.storage.unit_of_work import open_store
from tests.core.application.chats import Chat
from tests.core.application.test_due import every_day, with_turn

ZONES = (
    "Europe/Oslo",
    "Europe/London",
    "America/New_York",
    "America/Los_Angeles",
    "America/St_Johns",  # half an hour off the hour
    "America/Santiago",  # southern, changes at midnight
    "Australia/Sydney",  # southern
    "Australia/Lord_Howe",  # changes by half an hour
    "Pacific/Auckland",  # southern, far from UTC
    "Africa/Cairo",  # changes at midnight
    "Asia/Beirut",  # changes at midnight
    "Africa/Casablanca",  # by the moon, twice a year the other way round
)

YEARS = (2027, 2028)

MINUTE = timedelta(minutes=1)

DAY = timedelta(days=1)


def offset(zone: str, at: datetime) -> timedelta:
    """What local clocks are ahead of UTC at an instant."""
    ahead = at.astimezone(ZoneInfo(zone)).utcoffset()
    assert ahead is not None
    return ahead


def changes(zone: str, year: int) -> list[datetime]:
    """Instants at which the clocks change: by halving, from offsets alone."""
    found = []
    day = datetime(year, 1, 1, tzinfo=UTC)
    while day.year == year:
        if offset(zone, day) != offset(zone, day + DAY):
            low, high = day, day + DAY
            while high - low > MINUTE:
                middle = low + (high - low) / 2
                middle -= timedelta(seconds=middle.second, microseconds=middle.microsecond)
                if middle <= low:
                    break
                if offset(zone, middle) == offset(zone, low):
                    low = middle
                else:
                    high = middle
            found.append(high)
        day += DAY
    return found


def by_counting(zone: str, wish: datetime) -> datetime:
    """The instant of a wall time as RFC 5545, section 3.3.5, has it, found by looking at every minute around it.

    The first instant at which the wall shows that time; if it never does, that of the wall time with the offset from
    before the change.
    """
    at = wish.replace(tzinfo=UTC) - timedelta(hours=15)
    end = at + timedelta(hours=30)
    while at < end:
        if at.astimezone(ZoneInfo(zone)).replace(tzinfo=None) == wish:
            return at
        at += MINUTE
    before = wish.replace(tzinfo=UTC) - timedelta(days=1)
    return wish.replace(tzinfo=UTC) - offset(zone, before)


def test_there_are_gaps_and_overlaps_to_look_at() -> None:
    for zone in ZONES:
        for year in YEARS:
            assert len(changes(zone, year)) >= 2, (zone, year)


def good_morning(turn: Turn, row: Due) -> list[Reply]:
    del turn
    return [Acknowledged(Small.HABIT, row.occasion)]


def at_time(at: time, _settled: Reminders) -> time:
    return at


def daily(at: time) -> Callings:
    """Something to say every day at a time."""
    return {Kind.RETURN: Calling(good_morning, every_day, partial(at_time, at))}


def cases() -> list[tuple[str, datetime, time]]:
    """Each zone, each change, and times in the hour that it takes out or doubles, and at half past midnight."""
    found = []
    for zone in ZONES:
        for year in YEARS:
            for change in changes(zone, year):
                before = (change - MINUTE).astimezone(ZoneInfo(zone))
                after = change.astimezone(ZoneInfo(zone))
                ahead = offset(zone, change) - offset(zone, change - MINUTE)
                # The wall time in the middle of what is left out, or of what comes twice.
                inside = before.replace(tzinfo=None) + MINUTE + ahead / 2 if ahead > timedelta() else None
                inside = inside or after.replace(tzinfo=None) - ahead / 2
                found += [(zone, change, inside.time()), (zone, change, time(0, 30))]
    return found


@pytest.fixture(scope="module")
def store() -> Iterator[Store]:
    opened = open_store("sqlite://")
    yield opened
    opened.close()


@pytest.mark.parametrize("zone", ZONES)
def test_a_daily_message_comes_once_a_date_at_the_instant_that_rfc_5545_says(zone: str, store: Store) -> None:
    for number, (_, change, at) in enumerate([case for case in cases() if case[0] == zone]):
        begins = change - 3 * DAY
        chat = Chat(store, name=f"{zone} {number}", now=begins)
        chat.say(f"zone {zone}")

        def settle(turn: Turn, callings: Callings) -> None:
            turn.work.reminders.save(turn.lifter.id, Reminders(quiet=None))
            arrange(turn, callings)

        with_turn(chat, partial(settle, callings=daily(at)))
        lifter = chat.lifter
        assert lifter is not None
        assert lifter.zone == zone
        came: list[tuple[str, datetime]] = []
        while True:
            coming = store.submit(partial(next_of, lifter.id)).result()
            if coming is None or coming > change + 3 * DAY:
                break
            came += store.submit(partial(fire, coming, daily(at), lifter.id)).result()

        dates = [date.fromisoformat(occasion) for occasion, _ in came]
        assert dates == [dates[0] + DAY * place for place in range(len(dates))], (zone, at)
        assert len(dates) in {5, 6, 7}, (zone, at)
        assert [instant for _, instant in came] == [by_counting(zone, datetime.combine(day, at)) for day in dates]


def next_of(lifter_id: int, work: UnitOfWork) -> datetime | None:
    return work.due.next_at(lifter_id)


def fire(at: datetime, callings: Callings, lifter_id: int, work: UnitOfWork) -> list[tuple[str, datetime]]:
    _, fired = run_until(work, at, callings=callings, kinds=[Kind.RETURN], limit=9, token=str, lifter_id=lifter_id)
    return [(each.due.occasion, at) for each in fired]


@pytest.mark.parametrize(
    ("wish", "zone", "instant"),
    [
        # The standard's own two cases, RFC 5545 section 3.3.5: New York, 11 March and 4 November 2007.
        (datetime(2007, 3, 11, 2, 30), "America/New_York", datetime(2007, 3, 11, 7, 30, tzinfo=UTC)),
        (datetime(2007, 11, 4, 1, 30), "America/New_York", datetime(2007, 11, 4, 5, 30, tzinfo=UTC)),
    ],
)
def test_a_time_that_is_missing_or_doubled_is_the_one_that_the_standard_names(
    wish: datetime, zone: str, instant: datetime
) -> None:
    assert instant_of(wish, zone) == instant


def test_a_date_that_a_zone_left_out_comes_with_the_offset_from_before() -> None:
    # Samoa went from 29 to 31 December 2011: the 30th at noon is noon with the offset of the 29th, -10 h in summer.
    assert instant_of(datetime(2011, 12, 30, 12), "Pacific/Apia") == datetime(2011, 12, 30, 22, tzinfo=UTC)
