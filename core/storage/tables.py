"""Tables, with every constraint and index by name."""

from enum import StrEnum
from typing import TypeVar

import sqlalchemy as sa

from core.application.rows import (
    MessageKind,
    MessageState,
    OutboxState,
)
from core.domain.prescriptions import DayState
from core.domain.sets import Counted
from core.domain.units import Unit
from core.storage.columns import Choice, Day, Instant, Words, number

HEAD = "0002"
"""Newest revision of the migrations, kept here so that a start without migrating need not load Alembic."""

NAMES = {
    "pk": "pk_%(table_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
}

metadata = sa.MetaData(naming_convention=NAMES)

Member = TypeVar("Member", bound=StrEnum)


def _one_of(column: str, members: type[Member]) -> sa.CheckConstraint:
    kept = ", ".join(f"'{value}'" for value in Choice(members).kept)
    return sa.CheckConstraint(f"{column} IN ({kept})", name=column)


def _id() -> sa.Column[int]:
    return sa.Column("id", number(), sa.Identity(), primary_key=True)


def _lifter_id() -> sa.Column[int]:
    return sa.Column("lifter_id", number(), sa.ForeignKey("lifters.id", ondelete="CASCADE"), nullable=False)


def _flag(name: str) -> sa.Column[bool]:
    return sa.Column(name, sa.Boolean(), nullable=False)


def _index(name: str, *columns: str, where: str) -> sa.Index:
    """An index of some of the rows only."""
    return sa.Index(name, *columns, sqlite_where=sa.text(where), postgresql_where=sa.text(where))


# Numbers of deleted rows are not given out again (sqlite_autoincrement): sets name inbox rows by number after those
# rows are gone, and a forgotten lifter's number must not become somebody else's.

lifters = sa.Table(
    "lifters",
    metadata,
    _id(),
    sa.Column("name", Words(), nullable=False),
    sa.Column("created_at", Instant(), nullable=False),
    sa.Column("version", sa.Integer(), nullable=False),
    sa.Column("unit", Choice(Unit), nullable=False),
    _flag("unit_told"),
    sa.Column("bar_amount", sa.Double(), nullable=False),
    sa.Column("bar_unit", Choice(Unit), nullable=False),
    sa.Column("zone", Words(), nullable=False),
    sa.Column("day_begins_hour", sa.Integer(), nullable=False),
    sa.Column("habits", Words(), nullable=False),
    sa.Column("body_mass_kg", sa.Double()),
    _flag("body_mass_off"),
    _flag("introduced"),
    sa.Column("consent_given", sa.Boolean()),
    sa.Column("consent_at", Instant()),
    sa.Column("consent_version", Words()),
    sa.Column("stopped_at", Instant()),
    _one_of("unit", Unit),
    _one_of("bar_unit", Unit),
    sa.CheckConstraint("day_begins_hour BETWEEN 0 AND 23", name="day_begins_hour"),
    sa.CheckConstraint(
        "(consent_given IS NULL) = (consent_at IS NULL) AND (consent_given IS NULL) = (consent_version IS NULL)",
        name="consent",
    ),
    sa.Index("ix_lifters_name", "name"),
    sqlite_autoincrement=True,
)

addresses = sa.Table(
    "addresses",
    metadata,
    sa.Column("connector", Words(), nullable=False),
    sa.Column("chat", Words(), nullable=False),
    _lifter_id(),
    sa.PrimaryKeyConstraint("connector", "chat"),
    sa.Index("ix_addresses_lifter_id", "lifter_id"),
)

sessions = sa.Table(
    "sessions",
    metadata,
    _id(),
    _lifter_id(),
    sa.Column("day", Day(), nullable=False),
    sa.Column("opened_at", Instant(), nullable=False),
    sa.Column("last_set_at", Instant(), nullable=False),
    sa.Column("closed_at", Instant()),
    sa.Column("exercise", Words()),
    sa.Column("effort", sa.Double()),
    # Out of the log with all its sets, which may come back.
    _flag("removed"),
    sa.CheckConstraint("last_set_at >= opened_at", name="order"),
    sa.Index("ix_sessions_last_set_at", "lifter_id", "last_set_at"),
    sa.Index("ix_sessions_opened_at", "lifter_id", "opened_at"),
    sa.Index("ix_sessions_day", "lifter_id", "day", "opened_at"),
    sqlite_autoincrement=True,
)

sets = sa.Table(
    "sets",
    metadata,
    _id(),
    _lifter_id(),
    sa.Column("session_id", number(), sa.ForeignKey("sessions.id", ondelete="CASCADE"), nullable=False),
    sa.Column("day", Day(), nullable=False),
    sa.Column("at", Instant(), nullable=False),
    sa.Column("root_key", Words(), nullable=False),
    sa.Column("place", sa.Integer(), nullable=False),
    sa.Column("exercise", Words(), nullable=False),
    sa.Column("load", sa.Double()),
    sa.Column("unit", Choice(Unit), nullable=False),
    sa.Column("load_kg", sa.Double(), nullable=False),
    sa.Column("moved_kg", sa.Double()),
    sa.Column("reps", sa.Integer()),
    sa.Column("rir", sa.Double()),
    sa.Column("rpe", sa.Double()),
    _flag("at_least"),
    _flag("failed"),
    _flag("warmup"),
    _flag("bodyweight"),
    _flag("bar"),
    _flag("per_side"),
    _flag("load_per_side"),
    sa.Column("seconds", sa.Double()),
    _flag("helped"),
    _flag("measured"),
    _flag("weak"),
    sa.Column("parts", Words()),
    sa.Column("counted", Choice(Counted), nullable=False),
    sa.Column("implied_left", sa.Double()),
    # Inbox rows by number alone: their rows are dropped long before the sets are.
    sa.Column("added_by", number(), nullable=False),
    sa.Column("taken_back_by", number()),
    _one_of("unit", Unit),
    _one_of("counted", Counted),
    sa.Index("ix_sets_session_id", "session_id"),
    sa.Index("ix_sets_root_key", "lifter_id", "root_key"),
    _index("ix_sets_in_log_exercise", "lifter_id", "exercise", "at", where="taken_back_by IS NULL"),
    _index("ix_sets_in_log_day", "lifter_id", "day", where="taken_back_by IS NULL"),
    _index("ix_sets_in_log_added_by", "lifter_id", "added_by", where="taken_back_by IS NULL"),
    _index("ix_sets_taken_back_by", "lifter_id", "taken_back_by", where="taken_back_by IS NOT NULL"),
    sqlite_autoincrement=True,
)

own_exercises = sa.Table(
    "own_exercises",
    metadata,
    _lifter_id(),
    sa.Column("name", Words(), nullable=False),
    sa.Column("exercise", Words(), nullable=False),
    sa.PrimaryKeyConstraint("lifter_id", "name"),
)

estimates = sa.Table(
    "estimates",
    metadata,
    _lifter_id(),
    sa.Column("family", Words(), nullable=False),
    sa.Column("state", Words(), nullable=False),
    sa.PrimaryKeyConstraint("lifter_id", "family"),
)

checkpoints = sa.Table(
    "checkpoints",
    metadata,
    _lifter_id(),
    sa.Column("family", Words(), nullable=False),
    sa.Column("session_id", number(), sa.ForeignKey("sessions.id", ondelete="CASCADE"), nullable=False),
    sa.Column("at", Instant(), nullable=False),
    sa.Column("state", Words(), nullable=False),
    sa.PrimaryKeyConstraint("lifter_id", "family", "session_id"),
    sa.Index("ix_checkpoints_at", "lifter_id", "family", "at"),
    sa.Index("ix_checkpoints_session_id", "session_id"),
)

session_estimates = sa.Table(
    "session_estimates",
    metadata,
    _lifter_id(),
    sa.Column("exercise", Words(), nullable=False),
    sa.Column("session_id", number(), sa.ForeignKey("sessions.id", ondelete="CASCADE"), nullable=False),
    sa.Column("family", Words(), nullable=False),
    sa.Column("at", Instant(), nullable=False),
    sa.Column("estimate_kg", sa.Double(), nullable=False),
    sa.Column("low_kg", sa.Double()),
    sa.Column("high_kg", sa.Double()),
    sa.PrimaryKeyConstraint("lifter_id", "exercise", "session_id"),
    sa.Index("ix_session_estimates_at", "lifter_id", "exercise", "at"),
    sa.Index("ix_session_estimates_family", "lifter_id", "family", "at"),
    sa.Index("ix_session_estimates_session_id", "session_id"),
)

records = sa.Table(
    "records",
    metadata,
    _lifter_id(),
    sa.Column("exercise", Words(), nullable=False),
    sa.Column("held", Words(), nullable=False),
    sa.PrimaryKeyConstraint("lifter_id", "exercise"),
)

questions = sa.Table(
    "questions",
    metadata,
    sa.Column("id", Words(), nullable=False),
    _lifter_id(),
    sa.Column("doubt", Words(), nullable=False),
    sa.Column("sends", Words(), nullable=False),
    sa.Column("labels", Words(), nullable=False),
    sa.Column("habits", Words(), nullable=False),
    sa.Column("message_key", Words(), nullable=False),
    sa.Column("sent_at", Instant(), nullable=False),
    sa.Column("asked_at", Instant(), nullable=False),
    sa.Column("expires_at", Instant(), nullable=False),
    sa.Column("chosen", sa.Integer()),
    sa.PrimaryKeyConstraint("id"),
    sa.Index("ix_questions_lifter_id", "lifter_id", "asked_at"),
    sa.Index("ix_questions_asked_at", "asked_at"),
)

messages = sa.Table(
    "messages",
    metadata,
    _id(),
    sa.Column("connector", Words(), nullable=False),
    sa.Column("chat", Words(), nullable=False),
    sa.Column("event_key", Words(), nullable=False),
    sa.Column("kind", Choice(MessageKind), nullable=False),
    sa.Column("message_key", Words(), nullable=False),
    sa.Column("text", Words()),
    sa.Column("question", Words()),
    sa.Column("sent_at", Instant(), nullable=False),
    sa.Column("received_at", Instant(), nullable=False),
    sa.Column("state", Choice(MessageState), nullable=False),
    sa.Column("reference", Words()),
    sa.Column("handled_at", Instant()),
    # No foreign key: the event's key outlives a forgotten lifter by a week, without them.
    sa.Column("lifter_id", number()),
    _one_of("kind", MessageKind),
    _one_of("state", MessageState),
    sa.CheckConstraint("(state = 'waiting') = (handled_at IS NULL)", name="handled_at"),
    sa.UniqueConstraint("connector", "event_key"),
    sa.Index("ix_messages_message_key", "connector", "chat", "message_key"),
    _index("ix_messages_lifter_id", "lifter_id", where="lifter_id IS NOT NULL"),
    _index("ix_messages_handled_at", "handled_at", where="handled_at IS NOT NULL"),
    # The oldest of one address, and the oldest of all.
    _index("ix_messages_waiting", "connector", "chat", "id", where="state = 'waiting'"),
    _index("ix_messages_waiting_id", "id", where="state = 'waiting'"),
    sqlite_autoincrement=True,
)

outbox = sa.Table(
    "outbox",
    metadata,
    _id(),
    sa.Column("connector", Words(), nullable=False),
    sa.Column("chat", Words(), nullable=False),
    sa.Column("message_id", number()),
    # No foreign key: the goodbye to a forgotten lifter is nobody's, and goes when it is sent.
    sa.Column("lifter_id", number()),
    sa.Column("text", Words(), nullable=False),
    sa.Column("choices", Words()),
    sa.Column("question", Words()),
    sa.Column("data", Words(), nullable=False),
    _flag("scheduled"),
    sa.Column("created_at", Instant(), nullable=False),
    sa.Column("expires_at", Instant()),
    sa.Column("state", Choice(OutboxState), nullable=False),
    sa.Column("attempts", sa.Integer(), nullable=False),
    sa.Column("sent_at", Instant()),
    _one_of("state", OutboxState),
    sa.Index("ix_outbox_message_id", "message_id"),
    sa.Index("ix_outbox_lifter_id", "lifter_id"),
    sa.Index("ix_outbox_created_at", "created_at"),
    _index("ix_outbox_waiting", "connector", "scheduled", "id", where="state = 'waiting'"),
    sqlite_autoincrement=True,
)

setups = sa.Table(
    "setups",
    metadata,
    _lifter_id(),
    sa.Column("setup", Words(), nullable=False),
    sa.PrimaryKeyConstraint("lifter_id"),
)

plans = sa.Table(
    "plans",
    metadata,
    _id(),
    _lifter_id(),
    sa.Column("starts", Day(), nullable=False),
    sa.Column("made_at", Instant(), nullable=False),
    sa.Column("block", Words(), nullable=False),
    sa.Column("wishes", Words(), nullable=False),
    _flag("own"),
    sa.Column("ended_on", Day()),
    # One plan holds at a time.
    sa.Index(
        "uq_plans_lifter_id",
        "lifter_id",
        unique=True,
        sqlite_where=sa.text("ended_on IS NULL"),
        postgresql_where=sa.text("ended_on IS NULL"),
    ),
    sa.Index("ix_plans_lifter_id", "lifter_id", "made_at"),
    sqlite_autoincrement=True,
)

planned_days = sa.Table(
    "planned_days",
    metadata,
    sa.Column("plan_id", number(), sa.ForeignKey("plans.id", ondelete="CASCADE"), nullable=False),
    sa.Column("week", sa.Integer(), nullable=False),
    sa.Column("place", sa.Integer(), nullable=False),
    sa.Column("day", Day(), nullable=False),
    sa.Column("state", Choice(DayState), nullable=False),
    sa.Column("session", Words(), nullable=False),
    sa.Column("prescription", Words()),
    # By number alone: a session whose sets are all taken back may go and come again.
    sa.Column("session_id", number()),
    sa.Column("adjusted", Words(), nullable=False),
    _one_of("state", DayState),
    sa.PrimaryKeyConstraint("plan_id", "week", "place"),
    sa.Index("ix_planned_days_day", "plan_id", "day"),
)
