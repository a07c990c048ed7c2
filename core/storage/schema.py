"""Schema: one set of tables, names for every constraint, and columns that many tables have."""

from enum import StrEnum
from typing import TypeVar

import sqlalchemy as sa

from core.storage.columns import Choice, number

NAMES = {
    "pk": "pk_%(table_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
}

metadata = sa.MetaData(naming_convention=NAMES)

Member = TypeVar("Member", bound=StrEnum)


def one_of(column: str, members: type[Member]) -> sa.CheckConstraint:
    """A column holds a member of this enumeration, and nothing else."""
    kept = ", ".join(f"'{value}'" for value in Choice(members).kept)
    return sa.CheckConstraint(f"{column} IN ({kept})", name=column)


def row_id() -> sa.Column[int]:
    """The number that a row is known by."""
    return sa.Column("id", number(), sa.Identity(), primary_key=True)


def of_lifter() -> sa.Column[int]:
    """Whose row it is; it goes with them."""
    return sa.Column("lifter_id", number(), sa.ForeignKey("lifters.id", ondelete="CASCADE"), nullable=False)


def flag(name: str) -> sa.Column[bool]:
    """Yes or no, never neither."""
    return sa.Column(name, sa.Boolean(), nullable=False)


def partial_index(name: str, *columns: str, where: str) -> sa.Index:
    """An index of some of the rows only."""
    return sa.Index(name, *columns, sqlite_where=sa.text(where), postgresql_where=sa.text(where))
