"""Tables of codes by which one chat joins another."""

import sqlalchemy as sa

from core.storage.columns import Instant, Words, number
from core.storage.schema import flag, metadata, of_lifter, row_id

link_codes = sa.Table(
    "link_codes",
    metadata,
    sa.Column("code", Words(), nullable=False),
    of_lifter(),
    sa.Column("connector", Words(), nullable=False),
    sa.Column("chat", Words(), nullable=False),
    sa.Column("given_at", Instant(), nullable=False),
    sa.Column("taker_id", number(), sa.ForeignKey("lifters.id", ondelete="CASCADE")),
    sa.Column("taker_connector", Words()),
    sa.Column("taker_chat", Words()),
    sa.Column("taken_at", Instant()),
    flag("shares"),
    flag("ended"),
    sa.PrimaryKeyConstraint("code"),
    sa.CheckConstraint(
        "(taker_id IS NULL) = (taker_connector IS NULL) AND (taker_id IS NULL) = (taker_chat IS NULL) "
        "AND (taker_id IS NULL) = (taken_at IS NULL)",
        name="taker",
    ),
    sa.Index("ix_link_codes_lifter_id", "lifter_id", "given_at"),
    sa.Index("ix_link_codes_taker_id", "taker_id"),
    sa.Index("ix_link_codes_given_at", "given_at"),
)

# Of the chat only what tells it from others is kept: whoever tries codes may be no lifter, or forgotten meanwhile.
link_tries = sa.Table(
    "link_tries",
    metadata,
    row_id(),
    sa.Column("chat_digest", Words(), nullable=False),
    sa.Column("tried_at", Instant(), nullable=False),
    sa.Index("ix_link_tries_chat_digest", "chat_digest", "tried_at"),
    sa.Index("ix_link_tries_tried_at", "tried_at"),
    sqlite_autoincrement=True,
)
