# ruff: noqa: DTZ001 - wall times stand beside their zone
"""Due: what fires, when, how late, and when it falls silent."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from itertools import count

import pytest

from core.application.callings import CALLINGS
from core.application.due import Calling, Callings, Fired, arrange, fall_silent, meant_anew, put_on, rezone, run_until
from core.application.ports import Store, UnitOfWork
from core.application.rows import InboxRow, MessageKind
from core.application.turn import Turn
from core.domain.profile import Address, Lifter
from core.domain.reminded import ClockChanged, GoneQuiet, RemindersTold, RestOver, RestSkipped, SessionLeftOpen
from core.domain.reminders import Due, DueState, Kind, Quiet, Reminders
from core.domain.replies import Acknowledged, Reply
from core.domain.replies import Done as Small
from tests.core.application.chats import MONDAY, Chat, the

TOKENS = count(1)

DAY = timedelta(days=1)


def good_morning(turn: Turn, row: Due) -> list[Reply]:
    """Something to say every day; the word is the date that it is for."""
    del turn
    return [Acknowledged(Small.HABIT, row.occasion)]


def every_day(turn: Turn, after: date) -> date | None:
    del turn
    return after + DAY


def every_monday(turn: Turn, after: date) -> date | None:
    del turn
    return after + DAY * (7 - after.weekday())


DAILY: Callings = {
    **CALLINGS,
    Kind.SESSION: Calling(good_morning, every_day),
    Kind.CHECK_IN: Calling(good_morning, every_monday, lambda _settled: time(18)),
}


def fired(store: Store, at: datetime, *, callings: Callings = DAILY) -> list[Fired]:
    """Everything that is due by an instant, as a clock that wakes once would fire it."""
    found: list[Fired] = []
    while True:

        def run(work: UnitOfWork) -> tuple[int, list[Fired]]:
            taken, some = run_until(
                work, at, callings=callings, kinds=list(Kind), limit=50, token=lambda: f"t{next(TOKENS)}"
            )
            return len(taken), list(some)

        taken, some = store.submit(run).result()
        found += some
        if taken == 0:
            return found


def with_turn(chat: Chat, act: Callable[[Turn], None]) -> None:
    """Do something in a turn of the lifter's, as a command would."""

    def run(work: UnitOfWork) -> None:
        lifter = work.lifters.at_address(chat.address)
        assert lifter is not None
        row = InboxRow(
            address=chat.address,
            event_key="",
            kind=MessageKind.ARRIVED,
            message_key="",
            text=None,
            sent_at=chat.now,
            received_at=chat.now,
        )
        turn = Turn(work=work, lifter=lifter, row=row, now=chat.now, token=str)
        act(turn)
        work.lifters.save(turn.lifter)

    chat.store.submit(run).result()


def begun(store: Store, *, quiet: Quiet | None = None, zone: str = "UTC", now: datetime = MONDAY) -> Chat:
    """A lifter who has written, and gets something every morning at seven."""
    chat = Chat(store, now=now)
    chat.say("week")

    def settle(turn: Turn) -> None:
        turn.lifter = replace(turn.lifter, zone=zone)
        turn.work.reminders.save(turn.lifter.id, Reminders(quiet=quiet))
        arrange(turn, DAILY)

    with_turn(chat, settle)
    return chat


def say(chat: Chat, text: str) -> None:
    """Write a message of a lifter whose days are those of these tests, not those of a plan."""
    chat.say(text)
    with_turn(chat, lambda turn: arrange(turn, DAILY))


def kinds(found: list[Fired]) -> list[tuple[Kind, str]]:
    return [(each.due.kind, each.due.occasion) for each in found]


def waiting(chat: Chat) -> list[Due]:
    lifter = chat.lifter
    assert lifter is not None
    return list(chat.store.submit(lambda work: work.due.of_lifter(lifter.id, limit=99)).result())


# What comes day by day


def test_the_morning_comes_at_its_instant_and_not_before_and_once(store: Store) -> None:
    begun(store)
    seven = datetime(2027, 1, 5, 7, tzinfo=UTC)

    before = fired(store, seven - timedelta(microseconds=1))
    then = fired(store, seven)
    again = fired(store, seven + timedelta(hours=1))

    assert before == []
    assert kinds(then) == [(Kind.SESSION, "2027-01-05")]
    assert again == []


def test_a_wake_up_that_comes_late_is_one_message(store: Store) -> None:
    chat = begun(store)

    found = fired(store, MONDAY + timedelta(days=2))

    # Monday 18:00 to Wednesday 18:00: Tuesday's is gone, Wednesday's is late on its day.
    assert kinds(found) == [(Kind.SESSION, "2027-01-06")]
    assert [row.occasion for row in waiting(chat) if row.kind is Kind.SESSION] == ["2027-01-07"]


@pytest.mark.parametrize(
    ("down", "sessions", "check_ins"),
    [
        (timedelta(hours=1), ["2027-01-11"], []),
        # The mornings missed are gone with their days; the day's own is not due before seven.
        (timedelta(days=1), [], ["2027-01-11"]),
        (timedelta(days=10), [], []),
    ],
)
def test_after_a_downtime_what_is_late_comes_by_its_rule_and_at_most_once_a_kind(
    store: Store, down: timedelta, sessions: list[str], check_ins: list[str]
) -> None:
    # given a Monday on which the program stops half an hour before the morning; the check-in is due at 18:00 of Mondays
    chat = begun(store)
    chat.now = datetime(2027, 1, 10, 8, tzinfo=UTC)
    fired(store, chat.now)
    say(chat, "rest 3:00")
    chat.now = datetime(2027, 1, 11, 6, 30, tzinfo=UTC)
    say(chat, "bench 80x5")

    found = fired(store, chat.now + down)
    again = fired(store, chat.now + down + timedelta(seconds=1))
    next_morning = fired(store, datetime.combine((chat.now + down).date() + DAY, time(7), tzinfo=UTC))

    told = kinds(found)
    assert [kind for kind, _ in kinds(next_morning)].count(Kind.SESSION) == 1
    assert [occasion for kind, occasion in told if kind is Kind.SESSION] == sessions
    assert [occasion for kind, occasion in told if kind is Kind.CHECK_IN] == check_ins
    assert Kind.REST not in dict(told)
    assert len(dict(told)) == len(told)
    assert again == []


def test_a_check_in_comes_up_to_two_days_late(store: Store) -> None:
    begun(store)
    monday = datetime(2027, 1, 11, 18, tzinfo=UTC)

    late = fired(store, monday + timedelta(days=2) - timedelta(seconds=1))
    later = fired(store, monday + timedelta(days=9))

    assert (Kind.CHECK_IN, "2027-01-11") in kinds(late)
    assert Kind.CHECK_IN not in dict(kinds(later))


def test_a_wish_that_was_put_on_a_date_comes_once_however_often_it_is_put(store: Store) -> None:
    chat = begun(store)
    with_turn(chat, lambda turn: put_on(turn, Kind.RETURN, date(2027, 1, 5), time(9)))
    with_turn(chat, lambda turn: put_on(turn, Kind.RETURN, date(2027, 1, 6), time(9)))
    callings = {**DAILY, Kind.RETURN: Calling(good_morning)}

    found = fired(store, datetime(2027, 1, 6, 9, tzinfo=UTC), callings=callings)
    with_turn(chat, lambda turn: put_on(turn, Kind.RETURN, date(2027, 1, 6), time(10)))
    again = fired(store, datetime(2027, 1, 6, 12, tzinfo=UTC), callings=callings)

    assert [occasion for kind, occasion in kinds(found) if kind is Kind.RETURN] == ["2027-01-06"]
    assert Kind.RETURN not in dict(kinds(again))


def test_nothing_to_say_is_no_message_and_the_next_day_comes_all_the_same(store: Store) -> None:
    chat = begun(store)
    silent = {**DAILY, Kind.SESSION: Calling(lambda _turn, _row: [], every_day)}

    found = fired(store, datetime(2027, 1, 5, 7, tzinfo=UTC), callings=silent)

    assert found == []
    assert [row.occasion for row in waiting(chat) if row.kind is Kind.SESSION] == ["2027-01-06"]


# Quiet hours


def test_quiet_hours_put_off_what_is_still_of_use_then_and_drop_the_rest(store: Store) -> None:
    night = Quiet(time(6), time(9))
    chat = begun(store, quiet=night)

    at_seven = fired(store, datetime(2027, 1, 5, 7, tzinfo=UTC))
    at_nine = fired(store, datetime(2027, 1, 5, 9, tzinfo=UTC))

    assert at_seven == []
    assert kinds(at_nine) == [(Kind.SESSION, "2027-01-05")]
    assert [row.occasion for row in waiting(chat) if row.kind is Kind.SESSION] == ["2027-01-06"]


def test_a_rest_is_over_in_quiet_hours_too(store: Store) -> None:
    chat = begun(store, quiet=Quiet(time(17), time(9)))
    chat.say("rest 3:00")
    chat.say("bench 80x5")

    found = fired(store, MONDAY + timedelta(minutes=3))

    assert [each.replies for each in found] == [[RestOver(180)]]


@pytest.mark.parametrize(
    ("quiet", "local", "ends"),
    [
        (Quiet(time(22), time(7)), datetime(2027, 1, 4, 23), datetime(2027, 1, 5, 7)),
        (Quiet(time(22), time(7)), datetime(2027, 1, 4, 6, 59), datetime(2027, 1, 4, 7)),
        (Quiet(time(22), time(7)), datetime(2027, 1, 4, 7), None),
        (Quiet(time(22), time(7)), datetime(2027, 1, 4, 22), datetime(2027, 1, 5, 7)),
        (Quiet(time(1), time(5)), datetime(2027, 1, 4, 0, 59), None),
        (Quiet(time(1), time(5)), datetime(2027, 1, 4, 1), datetime(2027, 1, 4, 5)),
    ],
)
def test_quiet_hours_begin_and_end_on_the_minute(quiet: Quiet, local: datetime, ends: datetime | None) -> None:
    assert quiet.ends_after(local) == ends


# Silence


def test_after_three_unanswered_mornings_comes_one_line_and_then_nothing_until_a_word(store: Store) -> None:
    chat = begun(store)

    told = [found.replies for day in range(5, 15) for found in fired(store, datetime(2027, 1, day, 8, tzinfo=UTC))]
    chat.now = datetime(2027, 1, 15, 12, tzinfo=UTC)
    chat.say("week")
    with_turn(chat, lambda turn: arrange(turn, DAILY))
    after = fired(store, datetime(2027, 1, 16, 8, tzinfo=UTC))

    assert [type(reply) for replies in told for reply in replies] == [Acknowledged] * 3 + [GoneQuiet]
    assert kinds(after) == [(Kind.SESSION, "2027-01-16")]


def test_a_word_each_day_keeps_the_mornings_coming(store: Store) -> None:
    chat = begun(store)

    found: list[Fired] = []
    for day in range(5, 11):
        found += fired(store, datetime(2027, 1, day, 8, tzinfo=UTC))
        chat.now = datetime(2027, 1, day, 12, tzinfo=UTC)
        say(chat, "week")

    assert [occasion for kind, occasion in kinds(found) if kind is Kind.SESSION] == [
        f"2027-01-{day:02d}" for day in range(5, 11)
    ]


def test_a_lifter_whom_nothing_reaches_gets_no_more_rows_until_they_write(store: Store) -> None:
    chat = begun(store)
    store.submit(lambda work: work.lifters.unreachable(chat.address, at=chat.now)).result()

    found = fired(store, datetime(2027, 1, 5, 7, tzinfo=UTC))
    left = waiting(chat)
    chat.now = datetime(2027, 1, 8, 12, tzinfo=UTC)
    chat.say("week")
    with_turn(chat, lambda turn: arrange(turn, DAILY))

    assert found == []
    assert left == []
    assert [row.occasion for row in waiting(chat) if row.kind is Kind.SESSION] == ["2027-01-09"]


def test_what_is_due_goes_where_the_lifter_wrote_last(store: Store) -> None:
    chat = begun(store)
    lifter = chat.lifter
    assert isinstance(lifter, Lifter)

    [found] = fired(store, datetime(2027, 1, 5, 7, tzinfo=UTC))

    assert found.address == Address("test", "tove")
    assert found.lifter_id == lifter.id


def test_a_silenced_lifter_has_nothing_waiting(store: Store) -> None:
    chat = begun(store)
    lifter = chat.lifter
    assert lifter is not None

    store.submit(lambda work: fall_silent(work, lifter.id)).result()

    assert waiting(chat) == []


# Zones


def test_a_lifter_who_moves_gets_the_morning_at_the_same_wall_time_there(store: Store) -> None:
    chat = begun(store)

    def move(turn: Turn) -> None:
        turn.lifter = replace(turn.lifter, zone="America/New_York")
        rezone(turn)

    with_turn(chat, move)

    # Seven in New York is noon in UTC in winter.
    assert fired(store, datetime(2027, 1, 5, 11, 59, tzinfo=UTC)) == []
    assert kinds(fired(store, datetime(2027, 1, 5, 12, tzinfo=UTC))) == [(Kind.SESSION, "2027-01-05")]


def test_the_zone_command_moves_what_waits(store: Store) -> None:
    chat = begun(store)
    chat.say("zone America/New_York")

    [row, *_] = [each for each in waiting(chat) if each.kind is Kind.SESSION]

    assert (row.zone, row.at) == ("America/New_York", datetime(2027, 1, 5, 12, tzinfo=UTC))


def test_a_changed_time_zone_database_moves_what_waits(store: Store) -> None:
    # given a row that was put down when the zone's rules were an hour off
    chat = begun(store, zone="Europe/Oslo")
    [row, *_] = [each for each in waiting(chat) if each.kind is Kind.SESSION]
    store.submit(lambda work: work.due.move(row.id, to=row.at - timedelta(hours=1))).result()

    early = fired(store, row.at - timedelta(hours=1))
    [kept, *_] = [each for each in waiting(chat) if each.kind is Kind.SESSION]

    assert early == []
    assert kept.at == row.at


def test_the_nightly_look_moves_what_waits_too_late(store: Store) -> None:
    chat = begun(store, zone="Europe/Oslo")
    [row, *_] = [each for each in waiting(chat) if each.kind is Kind.SESSION]
    store.submit(lambda work: work.due.move(row.id, to=row.at + timedelta(hours=1))).result()

    last = store.submit(lambda work: meant_anew(work.due, 0, limit=100)).result()

    assert last is not None
    assert next(each for each in waiting(chat) if each.id == row.id).at == row.at
    assert store.submit(lambda work: meant_anew(work.due, last, limit=100)).result() is None


# The rest timer, and sessions left open


def test_a_rest_begins_with_a_set_and_a_new_set_begins_it_anew(store: Store) -> None:
    chat = begun(store)
    chat.say("rest 2:00")
    chat.say("bench 80x5")
    chat.now += timedelta(seconds=90)
    chat.say("80x5")

    at_two = fired(store, MONDAY + timedelta(seconds=120))
    later = fired(store, MONDAY + timedelta(seconds=210))

    assert at_two == []
    assert [each.replies for each in later] == [[RestOver(120)]]


def test_rest_begins_at_once_after_a_set_and_off_ends_it(store: Store) -> None:
    chat = begun(store)
    chat.say("bench 80x5")
    chat.now += timedelta(seconds=10)

    told = the(ClockChanged, chat.say("rest 3:00"))
    stopped = the(ClockChanged, chat.say("rest off"))

    assert told.running
    assert told.settled.rest_s == 180
    assert stopped.settled.rest_s is None
    assert fired(store, MONDAY + timedelta(minutes=5)) == []


def test_a_rest_that_is_skipped_is_not_told_and_the_next_one_is(store: Store) -> None:
    chat = begun(store)
    chat.say("rest 3:00")
    chat.say("bench 80x5")
    chat.now += timedelta(minutes=1)

    skipped = the(RestSkipped, chat.say("skip rest"))
    again = the(RestSkipped, chat.say("skip rest"))
    chat.say("80x5")

    assert (skipped.ran, again.ran) == (True, False)
    later = fired(store, MONDAY + timedelta(minutes=4))
    assert [each.replies for each in later] == [[RestOver(180)]]


def test_without_a_wish_no_rest_is_told(store: Store) -> None:
    chat = begun(store)
    chat.say("bench 80x5")

    assert fired(store, MONDAY + timedelta(minutes=30)) == []


def test_a_closed_session_ends_its_rest(store: Store) -> None:
    chat = begun(store)
    chat.say("rest 3:00")
    chat.say("bench 80x5")
    chat.say("done")

    assert fired(store, MONDAY + timedelta(hours=3)) == []


def test_a_session_left_open_is_asked_about_once_two_hours_after_its_last_set(store: Store) -> None:
    chat = begun(store)
    chat.say("bench 80x5")
    chat.now += timedelta(hours=1)
    chat.say("80x5")

    early = fired(store, MONDAY + timedelta(hours=2, minutes=59))
    then = fired(store, MONDAY + timedelta(hours=3))
    chat.now = MONDAY + timedelta(hours=3, minutes=1)
    chat.say("80x5")

    assert early == []
    assert [each.replies for each in then] == [[SessionLeftOpen(date(2027, 1, 4))]]
    assert fired(store, MONDAY + timedelta(hours=6)) == []


def test_reminders_tells_when_a_session_is_asked_about_by_its_last_set(store: Store) -> None:
    chat = begun(store)
    chat.say("bench 80x5")
    chat.now += timedelta(hours=1)
    chat.say("80x5")

    told = the(RemindersTold, chat.say("reminders"))

    assert [at for kind, at in told.coming if kind is Kind.SESSION_OPEN] == [
        (MONDAY + timedelta(hours=3)).replace(tzinfo=None)
    ]


def test_after_a_downtime_a_session_is_asked_about_on_the_day_of_its_last_set(store: Store) -> None:
    # given a session from before midnight on, in UTC; a day ends at four
    chat = begun(store)
    chat.now = datetime(2027, 1, 5, 1, 30, tzinfo=UTC)
    chat.say("bench 80x5")
    chat.now += timedelta(hours=1)
    chat.say("80x5")

    # when nothing runs until both instants are past, by first and by last set
    then = fired(store, datetime(2027, 1, 5, 4, 40, tzinfo=UTC))

    # then the last one counts: 4:30 is of the new day, in which it may still be asked
    assert [each.until for each in then] == [datetime(2027, 1, 6, 4, tzinfo=UTC)]


def test_what_waits_or_was_sent_is_not_put_down_again(store: Store) -> None:
    # given something that waits
    chat = begun(store)
    lifter = chat.lifter
    assert lifter is not None
    row = Due(lifter_id=lifter.id, kind=Kind.SESSION_OPEN, occasion="1", at=MONDAY)
    store.submit(lambda work: work.due.put_first(row)).result()

    # when it is put down for another time, while it waits and once it was sent
    store.submit(lambda work: work.due.put_first(replace(row, at=MONDAY + DAY))).result()
    [there] = [each for each in waiting(chat) if each.kind is Kind.SESSION_OPEN]
    store.submit(lambda work: work.due.settle(there.id, DueState.SENT, at=MONDAY)).result()
    store.submit(lambda work: work.due.put_first(replace(row, at=MONDAY + DAY))).result()

    # then it waits as it was, and then no more
    assert there.at == MONDAY
    assert [each for each in waiting(chat) if each.kind is Kind.SESSION_OPEN] == []


def test_a_set_of_yesterday_begins_no_rest(store: Store) -> None:
    chat = begun(store)
    chat.say("rest 3:00")
    chat.say("yesterday bench 80x5")

    assert fired(store, MONDAY + timedelta(minutes=4)) == []


def test_reminders_tells_what_comes_next_on_the_lifters_wall(store: Store) -> None:
    chat = begun(store, zone="Europe/Oslo")

    told = the(RemindersTold, chat.say("reminders"))

    assert told.coming == (
        (Kind.SESSION, datetime(2027, 1, 5, 7)),
        (Kind.CHECK_IN, datetime(2027, 1, 11, 18)),
    )


def test_the_morning_can_be_moved_and_ended(store: Store) -> None:
    chat = begun(store)

    told = the(ClockChanged, chat.say("morning 6:30"))
    ended = the(ClockChanged, chat.say("morning off"))

    assert told.settled.morning == time(6, 30)
    assert ended.settled.morning is None


def test_a_morning_before_the_day_begins_comes_when_it_does(store: Store) -> None:
    chat = begun(store)

    told = the(ClockChanged, chat.say("morning 2:30"))

    # A lifter's day begins at 04:00 (design, section 6): at half past two the session would be yesterday's.
    assert told.settled.morning == time(4)
