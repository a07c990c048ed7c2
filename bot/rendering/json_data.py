"""Replies as JSON objects: the same values that the words are made from."""

import json
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from datetime import date, datetime, time, timedelta
from enum import Enum

from core.domain.replies import Reply


def as_json(reply: Reply) -> str:
    """A reply as one line of JSON: its kind, then its fields by name."""
    return json.dumps({"kind": type(reply).__name__, **as_object(reply)}, ensure_ascii=False)


def as_object(value: object) -> dict[str, object]:
    """A value with fields as a JSON object.

    Raises:
        TypeError: it has no fields.

    """
    if not is_dataclass(value) or isinstance(value, type):
        raise TypeError(f"not a value with fields: {type(value).__name__}")
    return {each.name: _plain(getattr(value, each.name)) for each in fields(value)}


def _plain(value: object) -> object:
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, datetime | date | time):
        return value.isoformat()
    if isinstance(value, timedelta):
        return value.total_seconds()
    if is_dataclass(value) and not isinstance(value, type):
        return as_object(value)
    if isinstance(value, Mapping):
        return {str(key): _plain(each) for key, each in value.items()}
    if isinstance(value, tuple | list | set | frozenset):
        return [_plain(each) for each in value]
    return value
