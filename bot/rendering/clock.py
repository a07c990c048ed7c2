"""The clock in words: what comes by itself, and what was settled about it."""

from datetime import date, datetime, time
from typing import assert_never

from bot.rendering.phone import day
from core.domain.reminded import (
    ClockChanged,
    ClockSet,
    GoneQuiet,
    IdleWarned,
    Reminded,
    RemindersTold,
    RestOver,
    RestSkipped,
    SessionLeftOpen,
)
from core.domain.reminders import Kind, Quiet, Reminders

_COMING = {
    Kind.SESSION: "the day's session",
    Kind.REST: "rest over",
    Kind.CHECK_IN: "check-in",
    Kind.CHECK_IN_AGAIN: "check-in, if it is not answered",
    Kind.SESSION_OPEN: "session still open",
    Kind.RETURN: "back from the break",
    Kind.IDLE: "word that all that is kept goes",
}


def text(reply: Reminded) -> str:
    """The words of what is said by the clock or about it."""
    match reply:
        case RestOver(rest_s=rest_s):
            return f"rest over, {length(rest_s)}: next set"
        case RestSkipped(ran=ran):
            return "that rest is over; the next one is told again" if ran else "no rest is running"
        case SessionLeftOpen(day=when):
            return f"the session of {day(when)} is still open: `done` closes it, `done 7` with its effort"
        case GoneQuiet(weeks=True):
            return "no word from you for three weeks, so nothing more comes by itself until you write. Good to see you then"
        case IdleWarned(erased_on=when):
            return (
                f"you have not written for eleven months. On {day(when)} all that is kept of you is erased\n"
                "any word from you keeps it; `forget me` erases it now"
            )
        case GoneQuiet():
            return "no word from you on three mornings, so nothing more comes by itself until you write. Good to see you then"
        case ClockChanged():
            return _changed(reply)
        case RemindersTold():
            return _told(reply)
        case _:
            assert_never(reply)


def length(rest_s: int) -> str:
    """A length of time as minutes and seconds.

    >>> length(90)
    '1:30'

    """
    return f"{rest_s // 60}:{rest_s % 60:02d}"


def _changed(reply: ClockChanged) -> str:
    settled = reply.settled
    match reply.what:
        case ClockSet.REST if settled.rest_s is None:
            return "no word on rests from now on; `rest 3:00` brings it back"
        case ClockSet.REST:
            told = (
                f"after each set I tell you when {length(settled.rest_s or 0)} of rest are over; `rest off` ends that"
            )
            return f"{told}\nyour rest runs now" if reply.running else told
        case ClockSet.QUIET:
            return _quiet(settled.quiet)
        case ClockSet.MORNING if settled.morning is None:
            return "the day's session is not sent any more; `morning 7:00` brings it back"
        case ClockSet.MORNING:
            return f"the day's session comes at {_hour(settled.morning)}"
        case _:
            assert_never(reply.what)


def _quiet(quiet: Quiet | None) -> str:
    if quiet is None:
        return "no quiet hours; `quiet 22-7` sets them"
    return f"quiet from {_hour(quiet.begins)} to {_hour(quiet.ends)}; only the word on a rest comes then"


def _told(reply: RemindersTold) -> str:
    lines = [f"{_when(at, reply.today)}: {_COMING.get(kind, kind.value)}" for kind, at in reply.coming]
    return "\n".join([*(lines or ["nothing comes by itself now"]), _settled(reply.settled)])


def _settled(settled: Reminders) -> str:
    quiet = "none" if settled.quiet is None else f"{_hour(settled.quiet.begins)} to {_hour(settled.quiet.ends)}"
    rest = "off" if settled.rest_s is None else length(settled.rest_s)
    return f"quiet hours {quiet} (`quiet 22-7`), rest {rest} (`rest 3:00`), morning {_hour(settled.morning)}"


def _when(at: datetime, today: date) -> str:
    return _hour(at.time()) if at.date() == today else f"{day(at.date())} {_hour(at.time())}"


def _hour(at: time | None) -> str:
    return "off" if at is None else f"{at.hour}:{at.minute:02d}"
