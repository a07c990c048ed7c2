"""Messages: the events a connector gives, and what it is given to send."""

from dataclasses import dataclass
from datetime import datetime

from core.domain.check_in_replies import Chart
from core.domain.profile import Address


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrived:
    """A message was written."""

    address: Address
    event_key: str
    sent_at: datetime
    text: str
    message_key: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NoText:
    """A message without a text arrived: a voice message, a picture, a video."""

    address: Address
    event_key: str
    sent_at: datetime
    message_key: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Edited:
    """A message was changed to another text."""

    address: Address
    event_key: str
    sent_at: datetime
    message_key: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Deleted:
    """A message was deleted."""

    address: Address
    event_key: str
    sent_at: datetime
    message_key: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Tapped:
    """An option of a question was tapped; `option` counts from 0."""

    address: Address
    event_key: str
    sent_at: datetime
    question: str
    option: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ReachChanged:
    """A lifter can be reached no more, or again."""

    address: Address
    event_key: str
    sent_at: datetime
    reachable: bool


Event = Arrived | NoText | Edited | Deleted | Tapped | ReachChanged


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One option as it is shown, and the canonical text that it stands for."""

    label: str
    send: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A picture as it is sent; the text of its message is the caption, and tells those who do not see it what it shows.

    Args:
        content: The picture.
        media_type: What it is.
        name: A file's name for it.

    """

    content: bytes
    media_type: str = "image/png"
    name: str = "chart.png"


@dataclass(frozen=True, slots=True, kw_only=True)
class OutgoingMessage:
    """One message to send.

    Args:
        text: What it says.
        choices: Options to tap.
        question: The question that they answer.
        data: The reply as a JSON object.
        chart: The values of a picture that it is to carry; the message before it says the same in words.
        picture: That picture, once it is drawn.

    """

    text: str
    choices: tuple[Choice, ...] = ()
    question: str | None = None
    data: str = "{}"
    chart: Chart | None = None
    picture: Picture | None = None
