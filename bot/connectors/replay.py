"""Replay: plays a conversation file through the whole way of a message."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from bot.connectors.lines import shown
from bot.connectors.script import Deletes, Edits, Expects, Says, ScriptError, SetClock, Taps, key_of, steps
from bot.delivery.firing import Firing
from bot.dispatch import Dispatch
from bot.messages import Arrived, Deleted, Edited, Event, Tapped
from bot.rows import Answer
from core.domain.profile import Address


@dataclass(slots=True)
class StandingClock:
    """A clock that stands still until it is set; the lifter's local time in a zone."""

    zone: str
    local: datetime
    asked: int = field(default=0)

    def __call__(self) -> datetime:
        """The instant, in UTC."""
        return self.local.replace(tzinfo=ZoneInfo(self.zone)).astimezone(UTC)

    def set(self, at: datetime) -> None:
        """Stand at an instant."""
        self.local = at.astimezone(ZoneInfo(self.zone)).replace(tzinfo=None)


@dataclass(frozen=True, slots=True)
class Played:
    """One step of a conversation and the answers to it, or messages that came by the clock on the way to it."""

    step: SetClock | Says | Edits | Deletes | Taps | Expects
    answers: tuple[Answer, ...] = ()
    due: bool = False


def play(
    text: str, dispatch: Dispatch, *, clock: StandingClock, name: str, connector: str = "replay"
) -> Iterator[Played]:
    """Play a conversation; each step with its answers, in order.

    Raises:
        ScriptError: A line that is no step, or a tap on a choice that nobody was given.

    """
    key = key_of(text)
    address = Address(connector, name)
    choices: dict[str, tuple[str, int]] = {}
    for step in steps(text, start=clock.local):
        event: Event
        event_key = f"{key}:{step.line:06d}"
        match step:
            case SetClock(at=at):
                yield from _came_before(at, step, dispatch, clock=clock, address=address, choices=choices)
                clock.local = at
                yield Played(step)
                continue
            case Expects():
                yield Played(step)
                continue
            case Says(number=number, text=said):
                event = Arrived(
                    address=address, event_key=event_key, sent_at=clock(), text=said, message_key=f"{key}:{number:06d}m"
                )
            case Edits(number=number, text=said):
                event = Edited(
                    address=address, event_key=event_key, sent_at=clock(), text=said, message_key=f"{key}:{number:06d}m"
                )
            case Deletes(number=number):
                event = Deleted(
                    address=address, event_key=event_key, sent_at=clock(), message_key=f"{key}:{number:06d}m"
                )
            case Taps(line=line, label=label):
                if label not in choices:
                    raise ScriptError(f"line {line}: no choice reads {label!r}")
                question, option = choices[label]
                event = Tapped(address=address, event_key=event_key, sent_at=clock(), question=question, option=option)
        answers = dispatch.take(event, name=name)
        _offer(answers, choices)
        dispatch.sent(answers)
        yield Played(step, tuple(answers))


def _came_before(
    local: datetime,
    step: SetClock,
    dispatch: Dispatch,
    *,
    clock: StandingClock,
    address: Address,
    choices: dict[str, tuple[str, int]],
) -> Iterator[Played]:
    """What comes by the clock up to a local time, at its own instants."""
    firing = Firing(dispatch)
    until = StandingClock(zone=clock.zone, local=local)()
    while True:
        coming = firing.next_for(address)
        if coming is None or coming > until:
            return
        clock.set(max(coming, clock()))
        answers = firing.fire_for(address, clock())
        _offer(answers, choices)
        dispatch.sent(answers)
        if answers:
            yield Played(step, tuple(answers), due=True)


def _offer(answers: Iterable[Answer], choices: dict[str, tuple[str, int]]) -> None:
    for answer in answers:
        if answer.message.question is not None:
            for place, choice in enumerate(answer.message.choices):
                choices[choice.label] = (answer.message.question, place)


def printed(played: Played) -> list[str]:
    """The answers of a step as a terminal shows them."""
    return [shown(answer.message) for answer in played.answers if answer.message.chart is None]
