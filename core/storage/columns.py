"""Column types: what a value of the domain is in a row, the same on both engines."""

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from enum import StrEnum
from typing import Generic, TypeVar

import sqlalchemy as sa
from sqlalchemy.engine import Dialect
from sqlalchemy.types import TypeDecorator, TypeEngine
from typing_extensions import override

MICROSECOND = timedelta(microseconds=1)

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)

UNREADABLE = "\N{REPLACEMENT CHARACTER}"
"""Stands for what no database keeps: NUL, and halves of a surrogate pair."""

Member = TypeVar("Member", bound=StrEnum)


def number() -> TypeEngine[int]:
    """Type of the numbers that rows are known by: 64 bits, and on SQLite the row's own number."""
    return sa.BigInteger().with_variant(sa.Integer(), "sqlite")


class Instant(TypeDecorator[datetime]):
    """An aware datetime as microseconds since 1970 in UTC. [us]

    A number rather than `timestamptz`: the same value, order and index on both engines, exact, and neither the
    server's nor the session's time zone has a say in what is read back.
    """

    impl = sa.BigInteger
    cache_ok = True

    @override
    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> int | None:
        # A naive datetime is refused by the subtraction itself.
        return None if value is None else (value - EPOCH) // MICROSECOND

    @override
    def process_result_value(self, value: int | None, dialect: Dialect) -> datetime | None:
        return None if value is None else EPOCH + timedelta(microseconds=value)


class Words(TypeDecorator[str]):
    """Text of any origin, ordered by code point on both engines.

    PostgreSQL refuses NUL and both engines refuse lone surrogates; each is replaced, since a message must be
    received whatever it holds.
    """

    impl = sa.Text
    cache_ok = True

    @override
    def load_dialect_impl(self, dialect: Dialect) -> TypeEngine[str]:
        return sa.Text(collation="C") if dialect.name == "postgresql" else sa.Text()

    @override
    def process_bind_param(self, value: str | None, dialect: Dialect) -> str | None:
        return None if value is None else storable(value)


class Choice(TypeDecorator[Member], Generic[Member]):
    """A member of an enumeration, kept under its name in lower case.

    Names change less often than values, which some answers show.
    """

    impl = sa.Text
    cache_ok = True

    def __init__(self, members: type[Member]) -> None:
        super().__init__()
        self.members = members
        self._kept = {member: member.name.lower() for member in members}
        self._member = {kept: member for member, kept in self._kept.items()}

    @property
    def kept(self) -> Iterable[str]:
        """What rows can hold."""
        return self._kept.values()

    @override
    def load_dialect_impl(self, dialect: Dialect) -> TypeEngine[str]:
        return sa.Text(collation="C") if dialect.name == "postgresql" else sa.Text()

    @override
    def process_bind_param(self, value: Member | None, dialect: Dialect) -> str | None:
        return None if value is None else self._kept[value]

    @override
    def process_result_value(self, value: str | None, dialect: Dialect) -> Member | None:
        return None if value is None else self._member[value]


def storable(text: str) -> str:
    r"""Text that both engines keep.

    >>> storable("80x5 \x00\ud800")
    '80x5 ��'

    """
    if "\0" in text:
        text = text.replace("\0", UNREADABLE)
    if not text.isascii():
        try:
            text.encode()
        except UnicodeEncodeError:
            text = text.encode("utf-16", "surrogatepass").decode("utf-16", "replace")
    return text
