"""Callings: what each kind of due message says. A kind that is missing here says nothing yet."""

from core.application import mornings, rests
from core.application.due import Calling, Callings
from core.domain.reminders import Kind

CALLINGS: Callings = {
    Kind.SESSION: Calling(mornings.say, mornings.next_day),
    Kind.REST: Calling(rests.rest_over),
    Kind.SESSION_OPEN: Calling(rests.left_open),
}
