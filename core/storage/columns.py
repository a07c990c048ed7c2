"""Column types: what a value of the domain is in a row, the same on both engines."""

from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta
from enum import StrEnum
from typing import Generic, Never, Protocol, TypeVar, runtime_checkable

import sqlalchemy as sa
from sqlalchemy.engine import Dialect
from sqlalchemy.types import TypeDecorator, TypeEngine
from typing_extensions import override

MICROSECOND = timedelta(microseconds=1)

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)

UNREADABLE = "\N{REPLACEMENT CHARACTER}"
"""Stands for what no database keeps: NUL, and halves of a surrogate pair."""

Member = TypeVar("Member", bound=StrEnum)


class Conversion(Protocol):
    """Turns a value of the program into one of the driver, or back."""

    def __call__(self, value: Never, /) -> object:
        """The value, converted."""


def number() -> TypeEngine[int]:
    """Type of the numbers that rows are known by: 64 bits, and on SQLite the row's own number."""
    return sa.BigInteger().with_variant(sa.Integer(), "sqlite")


@runtime_checkable
class Converting(Protocol):
    """A column type that hands out its conversions as plain functions.

    SQLAlchemy wraps the conversions of a type of ours twice, which takes longer than they do, and a message converts
    about a hundred values; statements that are compiled once take them from here.
    """

    @property
    def into_row(self) -> Conversion | None:
        """What turns a value of the program into one of the driver; None if nothing need be done."""

    @property
    def out_of_row(self) -> Conversion | None:
        """What turns a value of the driver into one of the program; None if nothing need be done."""


class Instant(TypeDecorator[datetime]):
    """An aware datetime as microseconds since 1970 in UTC. [us]

    A number rather than `timestamptz`: the same value, order and index on both engines, exact, and neither the
    server's nor the session's time zone has a say in what is read back.
    """

    impl = sa.BigInteger
    cache_ok = True

    @property
    def into_row(self) -> Conversion:
        """Microseconds of an instant."""
        return _microseconds

    @property
    def out_of_row(self) -> Conversion:
        """Instant of microseconds."""
        return _instant

    @override
    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> int | None:
        return _microseconds(value)

    @override
    def process_result_value(self, value: int | None, dialect: Dialect) -> datetime | None:
        return _instant(value)


class Day(TypeDecorator[date]):
    """A date: text in the order of the calendar on SQLite; on PostgreSQL a date, which its driver knows."""

    impl = sa.Date
    cache_ok = True

    @property
    def into_row(self) -> Conversion:
        """Text of a date, for SQLite."""
        return _iso

    @property
    def out_of_row(self) -> Conversion:
        """Date of a text, from SQLite."""
        return _date


class Words(TypeDecorator[str]):
    """Text of any origin, ordered by code point on both engines.

    PostgreSQL refuses NUL and both engines refuse lone surrogates; each is replaced, since a message must be
    received whatever it holds.
    """

    impl = sa.Text
    cache_ok = True

    @property
    def into_row(self) -> Conversion:
        """Text that both engines keep."""
        return _storable

    @property
    def out_of_row(self) -> None:
        """Text is text."""

    @override
    def load_dialect_impl(self, dialect: Dialect) -> TypeEngine[str]:
        return sa.Text(collation="C") if dialect.name == "postgresql" else sa.Text()

    @override
    def process_bind_param(self, value: str | None, dialect: Dialect) -> str | None:
        return _storable(value)


class Choice(TypeDecorator[Member], Generic[Member]):
    """A member of an enumeration, kept under its name in lower case.

    Names change less often than values, which some answers show.
    """

    impl = sa.Text
    cache_ok = True

    def __init__(self, members: type[Member]) -> None:
        super().__init__()
        self.members = members
        self._kept: dict[Member | None, str | None] = {member: member.name.lower() for member in members}
        self._member: dict[str | None, Member | None] = {kept: member for member, kept in self._kept.items()}
        self._kept[None] = self._member[None] = None

    @property
    def kept(self) -> Sequence[str]:
        """What rows can hold."""
        return [member.name.lower() for member in self.members]

    @property
    def into_row(self) -> Conversion:
        """Name of a member."""
        return self._kept.__getitem__

    @property
    def out_of_row(self) -> Conversion:
        """Member of a name."""
        return self._member.__getitem__

    @override
    def load_dialect_impl(self, dialect: Dialect) -> TypeEngine[str]:
        return sa.Text(collation="C") if dialect.name == "postgresql" else sa.Text()

    @override
    def process_bind_param(self, value: Member | None, dialect: Dialect) -> str | None:
        return self._kept[value]

    @override
    def process_result_value(self, value: str | None, dialect: Dialect) -> Member | None:
        return self._member[value]


def _microseconds(at: datetime | None) -> int | None:
    # A naive datetime is refused by the subtraction itself.
    return None if at is None else (at - EPOCH) // MICROSECOND


def _instant(microseconds: int | None) -> datetime | None:
    return None if microseconds is None else EPOCH + timedelta(microseconds=microseconds)


def _iso(day: date | None) -> str | None:
    return None if day is None else day.isoformat()


def _date(day: str | None) -> date | None:
    return None if day is None else date.fromisoformat(day)


def _storable(text: str | None) -> str | None:
    # Nearly all texts are plain, and a message writes some thirty of them.
    return text if text is None or (text.isascii() and "\0" not in text) else storable(text)


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
