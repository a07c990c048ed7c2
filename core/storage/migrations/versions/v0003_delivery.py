"""Delivery: how far a message got, where a lifter wrote last, which addresses take none, and when platforms want a pause.

Revision 0003. The release before it goes on working: what is new may be left out.
"""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None

NUMBER = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
INSTANT = sa.BigInteger()
TEXT = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")


def upgrade() -> None:
    """Add what delivery keeps."""
    op.add_column("addresses", sa.Column("written_at", INSTANT))
    op.add_column("addresses", sa.Column("unreachable_at", INSTANT))
    op.add_column("outbox", sa.Column("parts_sent", sa.Integer(), nullable=False, server_default="0"))
    op.add_column("outbox", sa.Column("platform_key", TEXT))
    op.create_index(
        "ix_outbox_waiting_chat",
        "outbox",
        ["connector", "chat", "scheduled", "id"],
        sqlite_where=sa.text("state = 'waiting'"),
        postgresql_where=sa.text("state = 'waiting'"),
    )
    op.create_table(
        "pauses",
        sa.Column("connector", TEXT, nullable=False),
        sa.Column("chat", TEXT, nullable=False),
        sa.Column("until", INSTANT, nullable=False),
        sa.PrimaryKeyConstraint("connector", "chat", name=op.f("pk_pauses")),
    )
    op.create_index("ix_pauses_until", "pauses", ["until"])
