"""JSON values: what a homeserver sends, looked into without trusting its shape."""

from collections.abc import Mapping, Sequence
from typing import TypeAlias

Json: TypeAlias = "bool | int | float | str | Sequence[Json] | Mapping[str, Json] | None"

NOTHING: Mapping[str, Json] = {}
"""Stands for an object that is not there."""


def object_in(value: Json, *names: str) -> Mapping[str, Json]:
    """The object under names, one inside the other; an empty one where there is none.

    >>> object_in({"a": {"b": {"c": 1}}}, "a", "b"), object_in({"a": 1}, "a", "b")
    ({'c': 1}, {})

    """
    for name in names:
        value = value.get(name) if isinstance(value, Mapping) else None
    return value if isinstance(value, Mapping) else NOTHING


def text_in(value: Json, *names: str) -> str:
    """The text under names; an empty one where there is none.

    >>> text_in({"a": {"b": "c"}}, "a", "b"), text_in({"a": 1}, "a"), text_in([], "a")
    ('c', '', '')

    """
    found = object_in(value, *names[:-1]).get(names[-1])
    return found if isinstance(found, str) else ""


def number_in(value: Json, *names: str) -> int:
    """The whole number under names; 0 where there is none.

    >>> number_in({"a": 5}, "a"), number_in({"a": "5"}, "a"), number_in({"a": True}, "a")
    (5, 0, 0)

    """
    found = object_in(value, *names[:-1]).get(names[-1])
    return found if isinstance(found, int) and not isinstance(found, bool) else 0


def list_in(value: Json, *names: str) -> Sequence[Json]:
    """The list under names; an empty one where there is none.

    >>> list_in({"a": [1]}, "a"), list_in({"a": "bc"}, "a")
    ([1], ())

    """
    found = object_in(value, *names[:-1]).get(names[-1])
    return found if isinstance(found, Sequence) and not isinstance(found, str) else ()
