"""Check-ins: how weeks felt, the advice that followed, and weeks of a plan that were reduced on it.

Revision 0005, after 0004. There is no way back but the copy that is made before it.
"""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

# Written out here rather than taken from the program: a revision stays what it was when the program goes on.
NUMBER = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
INSTANT = sa.BigInteger()
TEXT = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")
ANSWERS = "'open', 'accepted', 'changed', 'declined'"


def upgrade() -> None:
    """Make the tables of check-ins and advice."""
    op.create_table(
        "check_ins",
        sa.Column("lifter_id", NUMBER, nullable=False),
        sa.Column("week", sa.Date(), nullable=False),
        sa.Column("check_in", TEXT, nullable=False),
        sa.ForeignKeyConstraint(["lifter_id"], ["lifters.id"], name=op.f("fk_check_ins_lifter_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("lifter_id", "week", name=op.f("pk_check_ins")),
    )
    op.create_table(
        "advice",
        sa.Column("lifter_id", NUMBER, nullable=False),
        sa.Column("week", sa.Date(), nullable=False),
        sa.Column("muscle", TEXT, nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("given_at", INSTANT, nullable=False),
        sa.Column("advice", TEXT, nullable=False),
        sa.Column("from_sets", sa.Integer(), nullable=False),
        sa.Column("answer", TEXT, nullable=False),
        sa.Column("to_sets", sa.Integer()),
        sa.CheckConstraint(f"answer IN ({ANSWERS})", name=op.f("ck_advice_answer")),
        sa.ForeignKeyConstraint(["lifter_id"], ["lifters.id"], name=op.f("fk_advice_lifter_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("lifter_id", "week", "muscle", name=op.f("pk_advice")),
    )
    # Without a value for the rows there are: the release before this one writes plans without it.
    op.add_column("plans", sa.Column("relieved", TEXT))
