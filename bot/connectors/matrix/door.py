"""The door: who may talk to the bot, and when a room with more people in it speaks to it."""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from bot.connectors.matrix.json_values import Json, list_in, text_in


@dataclass(frozen=True, slots=True)
class Door:
    """Who may talk to the bot; nobody where nobody is named.

    Args:
        users: Full ids of people.
        servers: Names of homeservers, for everybody on them.

    """

    users: frozenset[str] = frozenset()
    servers: frozenset[str] = frozenset()

    def lets_in(self, person: str) -> bool:
        """Whether a person may talk to the bot.

        >>> door = door_for(["@tove:example.org", "example.com"])
        >>> door.lets_in("@tove:example.org"), door.lets_in("@ida:example.com"), door.lets_in("@x:evil.example.com")
        (True, True, False)

        """
        return person in self.users or (person.startswith("@") and person.partition(":")[2] in self.servers)


def door_for(names: Iterable[str]) -> Door:
    """The door for names of people (`@tove:example.org`) and of homeservers (`example.org`).

    Raises:
        ValueError: A name is neither.

    """
    told = [name.strip() for name in names if name.strip()]
    for name in told:
        if name.startswith("@") != (":" in name and name.startswith("@")) or " " in name or "*" in name:
            raise ValueError(f"{name!r} is neither a person like @tove:example.org nor a homeserver like example.org")
    users = frozenset(name for name in told if name.startswith("@"))
    return Door(users, frozenset(told) - users)


def addressed(content: Json, *, user: str) -> str | None:
    """What a message says to the bot in a room of several people, without the bot's name; None if it is not spoken to.

    >>> addressed({"body": "rackside: bench 80x5"}, user="@rackside:example.org")
    'bench 80x5'
    >>> addressed({"body": "bench went well"}, user="@rackside:example.org") is None
    True

    """
    body = text_in(content, "body").strip()
    name = user.removeprefix("@").partition(":")[0]
    called = re.match(rf"(?:{re.escape(user)}|@?{re.escape(name)})(?:[:,]|\s|$)\s*", body, re.IGNORECASE)
    if called is not None:
        return body[called.end() :]
    mentions = content.get("m.mentions") if isinstance(content, dict) else None
    return body if user in list_in(mentions, "user_ids") else None
