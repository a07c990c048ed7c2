"""Weeks of training and check-ins, written by a lifter of a chat as they happen."""

from datetime import date, timedelta

from core.application.turn import Turn
from core.domain.replies import Reply
from core.planning.calendar import week_of
from tests.core.application.chats import Chat
from tests.core.application.plans import in_turn

LOADS_KG = {"bench press": 80, "squat": 100}
"""What this lifter loads; everything else is done with 40 kg. [kg]"""


def trained_week(
    chat: Chat, *, left: float | None = 2, sessions: int = 9, loads: float = 1.0, fitted: bool = False
) -> None:
    """Do this week's planned sessions, each on its day; the clock then stands on the week's Sunday evening.

    Args:
        chat: On a Monday evening.
        left: Repetitions told as left after every set; None tells none.
        sessions: How many of the sessions are done.
        loads: What the usual loads are multiplied by.
        fitted: Loads go down as repetitions go up, so that the sets agree on one maximum; else they stay the same.

    """
    monday = chat.now
    for day in _days(chat)[:sessions]:
        chat.now = monday + timedelta(days=(day[0] - monday.date()).days)
        for name, sets, reps in day[1]:
            load = loads * LOADS_KG.get(name, 40)
            if fitted:
                # Epley's equation at the same effort, with the usual load at five.
                load = round(load * (30 + 5 + (left or 0)) / (30 + reps + (left or 0)))
            effort = "" if left is None else f" rir{left:g}"
            chat.say(f"{name} " + ", ".join([f"{load:g}kg x{reps}{effort}"] * sets))
            chat.now += timedelta(minutes=15)
    chat.now = monday + timedelta(days=6)


def next_monday(chat: Chat) -> None:
    chat.now += timedelta(days=1)


def checked_in(chat: Chat, answers: str = "4 4 4 4 4", *, pain: str = "check-in no pain") -> list[Reply]:
    """A whole check-in in two lines; what follows the second."""
    chat.say(f"check-in {answers}")
    replies = chat.say(pain)
    return replies if pain == "check-in no pain" else chat.say("check-in")


def _days(chat: Chat) -> list[tuple[date, list[tuple[str, int, int]]]]:
    def planned(turn: Turn) -> list[tuple[date, list[tuple[str, int, int]]]]:
        plan = turn.plan
        assert plan is not None
        return [
            (day.day, [(lift.exercise, lift.sets, lift.scheme.reps) for lift in day.session.lifts])
            for day in turn.days_of_week(plan, week_of(plan, turn.today))
        ]

    return in_turn(chat, planned)
