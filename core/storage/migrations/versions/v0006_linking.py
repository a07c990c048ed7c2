"""Linking: codes by which one chat joins another, and since when each chat shares a log.

Revision 0006, after 0005. There is no way back but the copy that is made before it.
"""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None

# Written out here rather than taken from the program: a revision stays what it was when the program goes on.
NUMBER = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
INSTANT = sa.BigInteger()
TEXT = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")
TAKER = (
    "(taker_id IS NULL) = (taker_connector IS NULL) AND (taker_id IS NULL) = (taker_chat IS NULL) "
    "AND (taker_id IS NULL) = (taken_at IS NULL)"
)


def upgrade() -> None:
    """Make the tables of codes and of tries at them."""
    # Without a value for the rows there are: their chats are the ones that their logs began in.
    op.add_column("addresses", sa.Column("linked_at", INSTANT))
    op.create_table(
        "link_codes",
        sa.Column("code", TEXT, nullable=False),
        sa.Column("lifter_id", NUMBER, nullable=False),
        sa.Column("connector", TEXT, nullable=False),
        sa.Column("chat", TEXT, nullable=False),
        sa.Column("given_at", INSTANT, nullable=False),
        sa.Column("taker_id", NUMBER),
        sa.Column("taker_connector", TEXT),
        sa.Column("taker_chat", TEXT),
        sa.Column("taken_at", INSTANT),
        sa.Column("shares", sa.Boolean(), nullable=False),
        sa.Column("ended", sa.Boolean(), nullable=False),
        sa.CheckConstraint(TAKER, name=op.f("ck_link_codes_taker")),
        sa.ForeignKeyConstraint(
            ["lifter_id"], ["lifters.id"], name=op.f("fk_link_codes_lifter_id"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["taker_id"], ["lifters.id"], name=op.f("fk_link_codes_taker_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("code", name=op.f("pk_link_codes")),
    )
    op.create_index("ix_link_codes_lifter_id", "link_codes", ["lifter_id", "given_at"])
    op.create_index("ix_link_codes_taker_id", "link_codes", ["taker_id"])
    op.create_index("ix_link_codes_given_at", "link_codes", ["given_at"])
    op.create_table(
        "link_tries",
        sa.Column("id", NUMBER, sa.Identity(), nullable=False),
        sa.Column("chat_digest", TEXT, nullable=False),
        sa.Column("tried_at", INSTANT, nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_link_tries")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_link_tries_chat_digest", "link_tries", ["chat_digest", "tried_at"])
    op.create_index("ix_link_tries_tried_at", "link_tries", ["tried_at"])
