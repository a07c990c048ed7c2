"""Callings: what each kind of due message says. A kind that is missing here says nothing yet."""

from core.application import away, check_ins, idle, mornings, rests
from core.application.due import Calling, Callings
from core.domain.reminders import Kind

CALLINGS: Callings = {
    Kind.RETURN: Calling(away.return_due, away.return_day),
    Kind.SESSION: Calling(mornings.say, mornings.next_day),
    Kind.CHECK_IN: Calling(check_ins.say, check_ins.next_day, check_ins.time_of_day),
    Kind.CHECK_IN_AGAIN: Calling(check_ins.say_again, check_ins.next_day_again, check_ins.time_of_day),
    Kind.REST: Calling(rests.rest_over),
    Kind.SESSION_OPEN: Calling(rests.left_open, meant_at=rests.left_open_at),
    Kind.IDLE: Calling(idle.warned),
}
