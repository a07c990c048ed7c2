"""Clock commands: what a lifter can settle about messages that come by themselves."""

from dataclasses import dataclass
from datetime import time

from core.domain.reminders import Quiet


@dataclass(frozen=True, slots=True)
class UseRest:
    """Say when a rest of this length after a set is over; None for no such word. [s]"""

    rest_s: int | None


@dataclass(frozen=True, slots=True)
class UseQuiet:
    """Send nothing by itself in these hours; None for no such hours."""

    quiet: Quiet | None


@dataclass(frozen=True, slots=True)
class UseMorning:
    """Send the day's session at this local time; None for not at all."""

    at: time | None


@dataclass(frozen=True, slots=True)
class ShowReminders:
    """Tell what comes next by itself."""


@dataclass(frozen=True, slots=True)
class SkipRest:
    """Say nothing when the rest that runs is over; those after it are told again."""


ClockCommand = UseRest | UseQuiet | UseMorning | ShowReminders | SkipRest
