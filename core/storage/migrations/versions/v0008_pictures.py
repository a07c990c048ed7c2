"""Pictures: the values that a picture is drawn from stand beside the message that carries it.

Revision 0008, after 0007. The release before it goes on working: what is new may be left out.
"""

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None

TEXT = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")


def upgrade() -> None:
    """Add what a picture is drawn from."""
    op.add_column("outbox", sa.Column("chart", TEXT))
