"""Tables of check-ins, and of the advice given after them."""

import sqlalchemy as sa

from core.domain.advice import AdviceAnswer
from core.storage.columns import Choice, Day, Instant, Words
from core.storage.schema import metadata, of_lifter, one_of

check_ins = sa.Table(
    "check_ins",
    metadata,
    of_lifter(),
    sa.Column("week", Day(), nullable=False),
    sa.Column("check_in", Words(), nullable=False),
    sa.PrimaryKeyConstraint("lifter_id", "week"),
)

advice = sa.Table(
    "advice",
    metadata,
    of_lifter(),
    sa.Column("week", Day(), nullable=False),
    sa.Column("muscle", Words(), nullable=False),
    sa.Column("place", sa.Integer(), nullable=False),
    sa.Column("given_at", Instant(), nullable=False),
    sa.Column("advice", Words(), nullable=False),
    sa.Column("from_sets", sa.Integer(), nullable=False),
    sa.Column("answer", Choice(AdviceAnswer), nullable=False),
    sa.Column("to_sets", sa.Integer()),
    one_of("answer", AdviceAnswer),
    sa.PrimaryKeyConstraint("lifter_id", "week", "muscle"),
)
