"""Plans: how a lifter trains, the block they train by, and its sessions day by day.

Revision 0002, after 0001. There is no way back but the copy that is made before it.
"""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

# Written out here rather than taken from the program: a revision stays what it was when the program goes on.
NUMBER = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
INSTANT = sa.BigInteger()
TEXT = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")
STATES = "'planned', 'open', 'done', 'skipped', 'dropped'"


def upgrade() -> None:
    """Make the tables of plans."""
    op.create_table(
        "setups",
        sa.Column("lifter_id", NUMBER, nullable=False),
        sa.Column("setup", TEXT, nullable=False),
        sa.ForeignKeyConstraint(["lifter_id"], ["lifters.id"], name=op.f("fk_setups_lifter_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("lifter_id", name=op.f("pk_setups")),
    )
    op.create_table(
        "plans",
        sa.Column("id", NUMBER, sa.Identity(always=False), nullable=False),
        sa.Column("lifter_id", NUMBER, nullable=False),
        sa.Column("starts", sa.Date(), nullable=False),
        sa.Column("made_at", INSTANT, nullable=False),
        sa.Column("block", TEXT, nullable=False),
        sa.Column("wishes", TEXT, nullable=False),
        sa.Column("own", sa.Boolean(), nullable=False),
        sa.Column("ended_on", sa.Date()),
        sa.ForeignKeyConstraint(["lifter_id"], ["lifters.id"], name=op.f("fk_plans_lifter_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_plans")),
        sqlite_autoincrement=True,
    )
    op.create_index(
        "uq_plans_lifter_id",
        "plans",
        ["lifter_id"],
        unique=True,
        sqlite_where=sa.text("ended_on IS NULL"),
        postgresql_where=sa.text("ended_on IS NULL"),
    )
    op.create_index("ix_plans_lifter_id", "plans", ["lifter_id", "made_at"])
    op.create_table(
        "planned_days",
        sa.Column("plan_id", NUMBER, nullable=False),
        sa.Column("week", sa.Integer(), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("state", TEXT, nullable=False),
        sa.Column("session", TEXT, nullable=False),
        sa.Column("prescription", TEXT),
        sa.Column("session_id", NUMBER),
        sa.Column("adjusted", TEXT, nullable=False),
        sa.CheckConstraint(f"state IN ({STATES})", name=op.f("ck_planned_days_state")),
        sa.ForeignKeyConstraint(["plan_id"], ["plans.id"], name=op.f("fk_planned_days_plan_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("plan_id", "week", "place", name=op.f("pk_planned_days")),
    )
    op.create_index("ix_planned_days_day", "planned_days", ["plan_id", "day"])
