"""Idle: a warning may be due to whoever has not written for long.

Revision 0007, after 0006. The release before it goes on working: it puts no such row down.
"""

from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None

KIND_IS_KNOWN = (
    "kind IN ('session', 'rest', 'check_in', 'check_in_again', 'session_open', 'return', 'idle', 'housekeeping')"
)


def upgrade() -> None:
    """Let rows of the clock be of one kind more."""
    with op.batch_alter_table("due", table_kwargs={"sqlite_autoincrement": True}) as due:
        due.drop_constraint(op.f("ck_due_kind"), type_="check")
        due.create_check_constraint(op.f("ck_due_kind"), KIND_IS_KNOWN)
