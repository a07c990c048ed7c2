"""Answers: what a homeserver says to a request: news, a refusal, or nothing."""

import json
from collections.abc import Sequence
from dataclasses import dataclass

from aiohttp import ClientResponse
from nio.responses import ErrorResponse, Response

from bot.connectors.matrix.json_values import Json, number_in, object_in, text_in


class Refused(Exception):  # noqa: N818 - it names what the homeserver did
    """The homeserver refused a request.

    Args:
        code: Its error code.
        status: The HTTP status; 0 where it is not known.
        wait_s: Pause that it asks for. [s]
        told: All that it said; not for the log.

    """

    def __init__(self, code: str, *, status: int = 0, wait_s: float = 0.0, told: Json = None) -> None:
        super().__init__(f"the homeserver says {code} ({status})")
        self.code = code
        self.status = status
        self.wait_s = wait_s
        self.told = told

    @property
    def is_pause(self) -> bool:
        """Whether it only asks for a pause."""
        return self.status == 429 or self.code == "M_LIMIT_EXCEEDED"

    @property
    def is_logged_out(self) -> bool:
        """Whether the access token is valid no more."""
        return self.code in {"M_UNKNOWN_TOKEN", "M_MISSING_TOKEN"}


class Away(Exception):  # noqa: N818 - it names where the homeserver is
    """The homeserver cannot be reached now, or answers no sense."""


class KeysLost(Exception):  # noqa: N818 - it names what is the case
    """The homeserver knows keys of this device that are not the ones that are here."""


@dataclass(frozen=True, slots=True)
class RoomNews:
    """What is new in a room.

    Args:
        room: Its id.
        events: Oldest first; decrypted where they could be.
        before: Token to page backwards from, where events are missing before these.

    """

    room: str
    events: Sequence[Json]
    before: str | None


@dataclass(frozen=True, slots=True)
class Invite:
    """An invitation to a room, and who invites."""

    room: str
    sender: str


@dataclass(frozen=True, slots=True, kw_only=True)
class News:
    """What a sync brought.

    Args:
        token: To go on from.
        rooms: What is new in rooms.
        invites: Invitations.
        left: Rooms that the bot is in no more.
        keys: Keys of messages came.

    """

    token: str
    rooms: Sequence[RoomNews]
    invites: Sequence[Invite]
    left: Sequence[str]
    keys: bool


async def json_of(answer: ClientResponse) -> Json:
    """What an answer holds; None where that is no JSON."""
    try:
        told: Json = json.loads(await answer.read())
    except ValueError:
        return None
    return told


def refusal_of(told: Json, answer: ClientResponse) -> Exception:
    """What an answer with an error stands for."""
    code = text_in(told, "errcode")
    if not code and answer.status >= 500:
        return Away(f"HTTP {answer.status}")
    wait_s = number_in(told, "retry_after_ms") / 1000 or _seconds(answer.headers.get("Retry-After", ""))
    return Refused(code or f"HTTP {answer.status}", status=answer.status, wait_s=wait_s, told=told)


def _seconds(told: str) -> float:
    return float(told) if told.isascii() and told.isdigit() else 0.0


def check(answer: Response | ErrorResponse) -> None:
    """Raise what an answer of the library's stands for, if that is an error.

    Raises:
        Refused: The homeserver refused the request.
        Away: Its answer makes no sense.

    """
    if isinstance(answer, ErrorResponse):
        status: int = getattr(answer.transport_response, "status", 0)
        if status >= 500 or (status < 400 and answer.status_code is None):
            raise Away(f"HTTP {status}")
        code = answer.status_code or f"HTTP {status}"
        raise Refused(code, status=status, wait_s=(answer.retry_after_ms or 0) / 1000)


def source_of(event: object) -> Json:
    """The JSON that an event of the library was made from."""
    told = object_in(getattr(event, "source", None))
    if "content" not in told:
        # The library takes it out of what tells of members.
        told = {**told, "content": object_in(getattr(event, "content", None))}
    return told


def is_our_invite(event: Json, user: str) -> bool:
    """Whether an event invites a user."""
    return (
        text_in(event, "type") == "m.room.member"
        and text_in(event, "state_key") == user
        and text_in(event, "content", "membership") == "invite"
    )
