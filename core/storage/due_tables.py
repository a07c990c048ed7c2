"""Tables of what comes by the clock."""

import sqlalchemy as sa

from core.domain.reminders import DueState, Kind
from core.storage.columns import Choice, Instant, Words, number
from core.storage.schema import metadata, of_lifter, one_of, partial_index, row_id

due = sa.Table(
    "due",
    metadata,
    row_id(),
    # What is the house's own is nobody's.
    sa.Column("lifter_id", number(), sa.ForeignKey("lifters.id", ondelete="CASCADE")),
    sa.Column("kind", Choice(Kind), nullable=False),
    sa.Column("occasion", Words(), nullable=False),
    sa.Column("at", Instant(), nullable=False),
    sa.Column("wish", Words()),
    sa.Column("zone", Words()),
    sa.Column("data", Words(), nullable=False),
    sa.Column("state", Choice(DueState), nullable=False),
    sa.Column("settled_at", Instant()),
    one_of("kind", Kind),
    one_of("state", DueState),
    sa.UniqueConstraint("lifter_id", "kind", "occasion"),
    sa.Index(
        "uq_due_house",
        "kind",
        "occasion",
        unique=True,
        sqlite_where=sa.text("lifter_id IS NULL"),
        postgresql_where=sa.text("lifter_id IS NULL"),
    ),
    partial_index("ix_due_waiting", "at", "id", where="state = 'waiting'"),
    partial_index("ix_due_waiting_kind", "kind", "at", "id", where="state = 'waiting'"),
    partial_index("ix_due_waiting_lifter", "lifter_id", "at", where="state = 'waiting'"),
    partial_index("ix_due_settled_at", "settled_at", where="settled_at IS NOT NULL"),
    sqlite_autoincrement=True,
)

reminders = sa.Table(
    "reminders",
    metadata,
    of_lifter(),
    sa.Column("quiet_begins", Words()),
    sa.Column("quiet_ends", Words()),
    sa.Column("morning", Words()),
    sa.Column("rest_s", sa.Integer()),
    sa.Column("unanswered", sa.Integer(), nullable=False),
    sa.Column("last_morning", Instant()),
    sa.CheckConstraint("(quiet_begins IS NULL) = (quiet_ends IS NULL)", name="quiet"),
    sa.PrimaryKeyConstraint("lifter_id"),
)
