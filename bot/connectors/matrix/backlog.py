"""Backlog: the events of a room that a sync left out, paged for until nothing is missing, and what we sent before."""

from collections.abc import Sequence
from urllib.parse import quote

from bot.connectors.matrix.answers import RoomNews
from bot.connectors.matrix.client import MARK, Client
from bot.connectors.matrix.json_values import Json, list_in, text_in

MOST_PAGES = 200
"""Pages of a hundred events that are gone back through at most, in one room."""


async def all_events(client: Client, news: RoomNews, *, since: str) -> Sequence[Json]:
    """All events of a room since a token, oldest first; in a room just joined, those since the bot was invited.

    Raises:
        Refused, Away: as `Client.call` does.

    """
    entered = _entered(news.events, client.user_id)
    events = list(news.events)
    if news.before is not None:
        earlier: list[Json] = []
        start: str | None = news.before
        for _ in range(MOST_PAGES):
            if start is None:
                break
            page, start = await _page(client, news.room, start, None if entered else since)
            earlier += page
            if not page or (entered and any(_is_ours(each, client.user_id, "invite") for each in page)):
                break
        events = [*reversed(earlier), *events]
        entered = entered or _entered(events, client.user_id)
    return _since_invited(events, client.user_id) if entered else events


async def find_sent(client: Client, room: str, mark: str) -> str | None:
    """Event id of the message of ours with a mark, where it is among a room's last ones.

    Raises:
        Refused, Away: as `Client.call` does.

    """
    told = await client.call("GET", f"/v3/rooms/{quote(room)}/messages?dir=b&limit=100")
    for each in list_in(told, "chunk"):
        if text_in(each, "sender") == client.user_id and text_in(each, "content", MARK) == mark:
            return text_in(each, "event_id")
    return None


async def _page(client: Client, room: str, start: str, end: str | None) -> tuple[Sequence[Json], str | None]:
    """Events of a room before a token, newest first, and the token to go on from; None at the end."""
    path = f"/v3/rooms/{quote(room)}/messages?dir=b&limit=100&from={quote(start)}"
    told = await client.call("GET", path if end is None else f"{path}&to={quote(end)}")
    events = [client.readable(each, room=room) for each in list_in(told, "chunk")]
    return events, text_in(told, "end") or None


def _entered(events: Sequence[Json], user: str) -> bool:
    return any(_is_ours(each, user, "join") for each in events)


def _since_invited(events: Sequence[Json], user: str) -> Sequence[Json]:
    """Events behind the last invitation of the bot; behind its joining, where there was none."""
    for membership in ("invite", "join"):
        places = [place for place, each in enumerate(events) if _is_ours(each, user, membership)]
        if places:
            return events[places[-1] + 1 :]
    return events


def _is_ours(event: Json, user: str, membership: str) -> bool:
    return (
        text_in(event, "type") == "m.room.member"
        and text_in(event, "state_key") == user
        and text_in(event, "content", "membership") == membership
    )
