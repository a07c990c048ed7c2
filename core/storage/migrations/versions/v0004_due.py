"""Due: what comes by the clock, and what lifters settled about it.

Revision 0004. The release before it goes on working: it knows nothing of these tables.
"""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None

NUMBER = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
INSTANT = sa.BigInteger()
TEXT = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")


def upgrade() -> None:
    """Make the tables of the clock."""
    op.create_table(
        "due",
        sa.Column("id", NUMBER, sa.Identity(always=False), nullable=False),
        sa.Column("lifter_id", NUMBER),
        sa.Column("kind", TEXT, nullable=False),
        sa.Column("occasion", TEXT, nullable=False),
        sa.Column("at", INSTANT, nullable=False),
        sa.Column("wish", TEXT),
        sa.Column("zone", TEXT),
        sa.Column("data", TEXT, nullable=False),
        sa.Column("state", TEXT, nullable=False),
        sa.Column("settled_at", INSTANT),
        sa.CheckConstraint(
            "kind IN ('session', 'rest', 'check_in', 'check_in_again', 'session_open', 'return', 'housekeeping')",
            name=op.f("ck_due_kind"),
        ),
        sa.CheckConstraint("state IN ('waiting', 'sent', 'dropped')", name=op.f("ck_due_state")),
        sa.ForeignKeyConstraint(["lifter_id"], ["lifters.id"], name=op.f("fk_due_lifter_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_due")),
        sa.UniqueConstraint("lifter_id", "kind", "occasion", name=op.f("uq_due_lifter_id_kind_occasion")),
        sqlite_autoincrement=True,
    )
    for name, columns, where in (
        ("ix_due_waiting", ["at", "id"], "state = 'waiting'"),
        ("ix_due_waiting_kind", ["kind", "at", "id"], "state = 'waiting'"),
        ("ix_due_waiting_lifter", ["lifter_id", "at"], "state = 'waiting'"),
        ("ix_due_settled_at", ["settled_at"], "settled_at IS NOT NULL"),
    ):
        op.create_index(name, "due", columns, sqlite_where=sa.text(where), postgresql_where=sa.text(where))
    op.create_index(
        "uq_due_house",
        "due",
        ["kind", "occasion"],
        unique=True,
        sqlite_where=sa.text("lifter_id IS NULL"),
        postgresql_where=sa.text("lifter_id IS NULL"),
    )
    op.create_table(
        "reminders",
        sa.Column("lifter_id", NUMBER, nullable=False),
        sa.Column("quiet_begins", TEXT),
        sa.Column("quiet_ends", TEXT),
        sa.Column("morning", TEXT),
        sa.Column("rest_s", sa.Integer()),
        sa.Column("unanswered", sa.Integer(), nullable=False),
        sa.Column("last_morning", INSTANT),
        sa.CheckConstraint("(quiet_begins IS NULL) = (quiet_ends IS NULL)", name=op.f("ck_reminders_quiet")),
        sa.ForeignKeyConstraint(["lifter_id"], ["lifters.id"], name=op.f("fk_reminders_lifter_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("lifter_id", name=op.f("pk_reminders")),
    )
