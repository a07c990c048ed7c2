"""Message keys: a message is looked for by its own key first, which few others have, and by its chat where that is told.

Revision 0010, after 0009. The release before it goes on working.

Where no chat is told every message of the connector was looked through. And as long as the server knew nothing of the
table, it took that index for as good as the one by event key.
"""

from alembic import op

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the index anew."""
    op.drop_index("ix_messages_message_key", "messages")
    op.create_index("ix_messages_message_key", "messages", ["message_key", "connector", "chat"])
