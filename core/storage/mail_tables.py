"""Tables of what comes in and what goes out."""

import sqlalchemy as sa

from core.application.rows import MessageKind, MessageState, OutboxState
from core.storage.columns import Choice, Instant, Words, number
from core.storage.schema import flag, metadata, one_of, partial_index, row_id

messages = sa.Table(
    "messages",
    metadata,
    row_id(),
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
    one_of("kind", MessageKind),
    one_of("state", MessageState),
    sa.CheckConstraint("(state = 'waiting') = (handled_at IS NULL)", name="handled_at"),
    sa.UniqueConstraint("connector", "event_key"),
    sa.Index("ix_messages_message_key", "message_key", "connector", "chat"),
    partial_index("ix_messages_lifter_id", "lifter_id", where="lifter_id IS NOT NULL"),
    partial_index("ix_messages_handled_at", "handled_at", where="handled_at IS NOT NULL"),
    # The oldest of one address, and the oldest of all.
    partial_index("ix_messages_waiting", "connector", "chat", "id", where="state = 'waiting'"),
    partial_index("ix_messages_waiting_id", "id", where="state = 'waiting'"),
    sqlite_autoincrement=True,
)

outbox = sa.Table(
    "outbox",
    metadata,
    row_id(),
    sa.Column("connector", Words(), nullable=False),
    sa.Column("chat", Words(), nullable=False),
    sa.Column("message_id", number()),
    # No foreign key: the goodbye to a forgotten lifter is nobody's, and goes when it is sent.
    sa.Column("lifter_id", number()),
    sa.Column("text", Words(), nullable=False),
    sa.Column("choices", Words()),
    sa.Column("question", Words()),
    sa.Column("data", Words(), nullable=False),
    flag("scheduled"),
    sa.Column("created_at", Instant(), nullable=False),
    sa.Column("expires_at", Instant()),
    sa.Column("state", Choice(OutboxState), nullable=False),
    sa.Column("attempts", sa.Integer(), nullable=False),
    sa.Column("sent_at", Instant()),
    sa.Column("parts_sent", sa.Integer(), nullable=False, server_default="0"),
    sa.Column("platform_key", Words()),
    # The values that a picture is drawn from.
    sa.Column("chart", Words()),
    one_of("state", OutboxState),
    sa.Index("ix_outbox_message_id", "message_id"),
    sa.Index("ix_outbox_lifter_id", "lifter_id"),
    sa.Index("ix_outbox_created_at", "created_at"),
    partial_index("ix_outbox_waiting", "connector", "scheduled", "id", where="state = 'waiting'"),
    partial_index("ix_outbox_waiting_chat", "connector", "chat", "scheduled", "id", where="state = 'waiting'"),
    sqlite_autoincrement=True,
)

# Until when a platform wants nothing sent; an empty chat stands for all of them.
pauses = sa.Table(
    "pauses",
    metadata,
    sa.Column("connector", Words(), nullable=False),
    sa.Column("chat", Words(), nullable=False),
    sa.Column("until", Instant(), nullable=False),
    sa.PrimaryKeyConstraint("connector", "chat"),
    sa.Index("ix_pauses_until", "until"),
)
