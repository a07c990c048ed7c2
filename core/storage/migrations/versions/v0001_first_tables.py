"""The first tables: lifters, their log, and what comes in and goes out.

Revision 0001. There is no way back but the copy that is made before it.
"""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

# Written out here rather than taken from the program: a revision stays what it was when the program goes on.
NUMBER = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
INSTANT = sa.BigInteger()
TEXT = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")


def upgrade() -> None:
    """Make the first tables."""
    op.create_table(
        "lifters",
        sa.Column("id", NUMBER, sa.Identity(always=False), nullable=False),
        sa.Column("name", TEXT, nullable=False),
        sa.Column("created_at", INSTANT, nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("unit", TEXT, nullable=False),
        sa.Column("unit_told", sa.Boolean(), nullable=False),
        sa.Column("bar_amount", sa.Double(), nullable=False),
        sa.Column("bar_unit", TEXT, nullable=False),
        sa.Column("zone", TEXT, nullable=False),
        sa.Column("day_begins_hour", sa.Integer(), nullable=False),
        sa.Column("habits", TEXT, nullable=False),
        sa.Column("body_mass_kg", sa.Double()),
        sa.Column("body_mass_off", sa.Boolean(), nullable=False),
        sa.Column("introduced", sa.Boolean(), nullable=False),
        sa.Column("consent_given", sa.Boolean()),
        sa.Column("consent_at", INSTANT),
        sa.Column("consent_version", TEXT),
        sa.Column("stopped_at", INSTANT),
        sa.CheckConstraint("bar_unit IN ('kg', 'lb')", name=op.f("ck_lifters_bar_unit")),
        sa.CheckConstraint("unit IN ('kg', 'lb')", name=op.f("ck_lifters_unit")),
        sa.CheckConstraint(
            "(consent_given IS NULL) = (consent_at IS NULL) AND (consent_given IS NULL) = (consent_version IS NULL)",
            name=op.f("ck_lifters_consent"),
        ),
        sa.CheckConstraint("day_begins_hour BETWEEN 0 AND 23", name=op.f("ck_lifters_day_begins_hour")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_lifters")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_lifters_name", "lifters", ["name"])
    op.create_table(
        "messages",
        sa.Column("id", NUMBER, sa.Identity(always=False), nullable=False),
        sa.Column("connector", TEXT, nullable=False),
        sa.Column("chat", TEXT, nullable=False),
        sa.Column("event_key", TEXT, nullable=False),
        sa.Column("kind", TEXT, nullable=False),
        sa.Column("message_key", TEXT, nullable=False),
        sa.Column("text", TEXT),
        sa.Column("question", TEXT),
        sa.Column("sent_at", INSTANT, nullable=False),
        sa.Column("received_at", INSTANT, nullable=False),
        sa.Column("state", TEXT, nullable=False),
        sa.Column("reference", TEXT),
        sa.Column("handled_at", INSTANT),
        sa.Column("lifter_id", NUMBER),
        sa.CheckConstraint("(state = 'waiting') = (handled_at IS NULL)", name=op.f("ck_messages_handled_at")),
        sa.CheckConstraint(
            "kind IN ('arrived', 'edited', 'deleted', 'tapped', 'reach_changed')", name=op.f("ck_messages_kind")
        ),
        sa.CheckConstraint("state IN ('waiting', 'handled', 'set_aside')", name=op.f("ck_messages_state")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_messages")),
        sa.UniqueConstraint("connector", "event_key", name=op.f("uq_messages_connector_event_key")),
        sqlite_autoincrement=True,
    )
    op.create_index(
        "ix_messages_handled_at",
        "messages",
        ["handled_at"],
        sqlite_where=sa.text("handled_at IS NOT NULL"),
        postgresql_where=sa.text("handled_at IS NOT NULL"),
    )
    op.create_index(
        "ix_messages_lifter_id",
        "messages",
        ["lifter_id"],
        sqlite_where=sa.text("lifter_id IS NOT NULL"),
        postgresql_where=sa.text("lifter_id IS NOT NULL"),
    )
    op.create_index("ix_messages_message_key", "messages", ["connector", "chat", "message_key"])
    op.create_index(
        "ix_messages_waiting",
        "messages",
        ["connector", "chat", "id"],
        sqlite_where=sa.text("state = 'waiting'"),
        postgresql_where=sa.text("state = 'waiting'"),
    )
    op.create_index(
        "ix_messages_waiting_id",
        "messages",
        ["id"],
        sqlite_where=sa.text("state = 'waiting'"),
        postgresql_where=sa.text("state = 'waiting'"),
    )
    op.create_table(
        "outbox",
        sa.Column("id", NUMBER, sa.Identity(always=False), nullable=False),
        sa.Column("connector", TEXT, nullable=False),
        sa.Column("chat", TEXT, nullable=False),
        sa.Column("message_id", NUMBER),
        sa.Column("lifter_id", NUMBER),
        sa.Column("text", TEXT, nullable=False),
        sa.Column("choices", TEXT),
        sa.Column("question", TEXT),
        sa.Column("data", TEXT, nullable=False),
        sa.Column("scheduled", sa.Boolean(), nullable=False),
        sa.Column("created_at", INSTANT, nullable=False),
        sa.Column("expires_at", INSTANT),
        sa.Column("state", TEXT, nullable=False),
        sa.Column("attempts", sa.Integer(), nullable=False),
        sa.Column("sent_at", INSTANT),
        sa.CheckConstraint("state IN ('waiting', 'sent', 'refused', 'expired')", name=op.f("ck_outbox_state")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_outbox")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_outbox_created_at", "outbox", ["created_at"])
    op.create_index("ix_outbox_lifter_id", "outbox", ["lifter_id"])
    op.create_index("ix_outbox_message_id", "outbox", ["message_id"])
    op.create_index(
        "ix_outbox_waiting",
        "outbox",
        ["connector", "scheduled", "id"],
        sqlite_where=sa.text("state = 'waiting'"),
        postgresql_where=sa.text("state = 'waiting'"),
    )
    op.create_table(
        "addresses",
        sa.Column("connector", TEXT, nullable=False),
        sa.Column("chat", TEXT, nullable=False),
        sa.Column("lifter_id", NUMBER, nullable=False),
        sa.ForeignKeyConstraint(["lifter_id"], ["lifters.id"], name=op.f("fk_addresses_lifter_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("connector", "chat", name=op.f("pk_addresses")),
    )
    op.create_index("ix_addresses_lifter_id", "addresses", ["lifter_id"])
    op.create_table(
        "estimates",
        sa.Column("lifter_id", NUMBER, nullable=False),
        sa.Column("family", TEXT, nullable=False),
        sa.Column("state", TEXT, nullable=False),
        sa.ForeignKeyConstraint(["lifter_id"], ["lifters.id"], name=op.f("fk_estimates_lifter_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("lifter_id", "family", name=op.f("pk_estimates")),
    )
    op.create_table(
        "own_exercises",
        sa.Column("lifter_id", NUMBER, nullable=False),
        sa.Column("name", TEXT, nullable=False),
        sa.Column("exercise", TEXT, nullable=False),
        sa.ForeignKeyConstraint(
            ["lifter_id"], ["lifters.id"], name=op.f("fk_own_exercises_lifter_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("lifter_id", "name", name=op.f("pk_own_exercises")),
    )
    op.create_table(
        "questions",
        sa.Column("id", TEXT, nullable=False),
        sa.Column("lifter_id", NUMBER, nullable=False),
        sa.Column("doubt", TEXT, nullable=False),
        sa.Column("sends", TEXT, nullable=False),
        sa.Column("labels", TEXT, nullable=False),
        sa.Column("habits", TEXT, nullable=False),
        sa.Column("message_key", TEXT, nullable=False),
        sa.Column("sent_at", INSTANT, nullable=False),
        sa.Column("asked_at", INSTANT, nullable=False),
        sa.Column("expires_at", INSTANT, nullable=False),
        sa.Column("chosen", sa.Integer()),
        sa.ForeignKeyConstraint(["lifter_id"], ["lifters.id"], name=op.f("fk_questions_lifter_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_questions")),
    )
    op.create_index("ix_questions_asked_at", "questions", ["asked_at"])
    op.create_index("ix_questions_lifter_id", "questions", ["lifter_id", "asked_at"])
    op.create_table(
        "records",
        sa.Column("lifter_id", NUMBER, nullable=False),
        sa.Column("exercise", TEXT, nullable=False),
        sa.Column("held", TEXT, nullable=False),
        sa.ForeignKeyConstraint(["lifter_id"], ["lifters.id"], name=op.f("fk_records_lifter_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("lifter_id", "exercise", name=op.f("pk_records")),
    )
    op.create_table(
        "sessions",
        sa.Column("id", NUMBER, sa.Identity(always=False), nullable=False),
        sa.Column("lifter_id", NUMBER, nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("opened_at", INSTANT, nullable=False),
        sa.Column("last_set_at", INSTANT, nullable=False),
        sa.Column("closed_at", INSTANT),
        sa.Column("exercise", TEXT),
        sa.Column("effort", sa.Double()),
        sa.Column("removed", sa.Boolean(), nullable=False),
        sa.CheckConstraint("last_set_at >= opened_at", name=op.f("ck_sessions_order")),
        sa.ForeignKeyConstraint(["lifter_id"], ["lifters.id"], name=op.f("fk_sessions_lifter_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sessions")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_sessions_day", "sessions", ["lifter_id", "day", "opened_at"])
    op.create_index("ix_sessions_last_set_at", "sessions", ["lifter_id", "last_set_at"])
    op.create_index("ix_sessions_opened_at", "sessions", ["lifter_id", "opened_at"])
    op.create_table(
        "checkpoints",
        sa.Column("lifter_id", NUMBER, nullable=False),
        sa.Column("family", TEXT, nullable=False),
        sa.Column("session_id", NUMBER, nullable=False),
        sa.Column("at", INSTANT, nullable=False),
        sa.Column("state", TEXT, nullable=False),
        sa.ForeignKeyConstraint(
            ["lifter_id"], ["lifters.id"], name=op.f("fk_checkpoints_lifter_id"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["session_id"], ["sessions.id"], name=op.f("fk_checkpoints_session_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("lifter_id", "family", "session_id", name=op.f("pk_checkpoints")),
    )
    op.create_index("ix_checkpoints_at", "checkpoints", ["lifter_id", "family", "at"])
    op.create_index("ix_checkpoints_session_id", "checkpoints", ["session_id"])
    op.create_table(
        "session_estimates",
        sa.Column("lifter_id", NUMBER, nullable=False),
        sa.Column("exercise", TEXT, nullable=False),
        sa.Column("session_id", NUMBER, nullable=False),
        sa.Column("family", TEXT, nullable=False),
        sa.Column("at", INSTANT, nullable=False),
        sa.Column("estimate_kg", sa.Double(), nullable=False),
        sa.Column("low_kg", sa.Double()),
        sa.Column("high_kg", sa.Double()),
        sa.ForeignKeyConstraint(
            ["lifter_id"], ["lifters.id"], name=op.f("fk_session_estimates_lifter_id"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["session_id"], ["sessions.id"], name=op.f("fk_session_estimates_session_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("lifter_id", "exercise", "session_id", name=op.f("pk_session_estimates")),
    )
    op.create_index("ix_session_estimates_at", "session_estimates", ["lifter_id", "exercise", "at"])
    op.create_index("ix_session_estimates_family", "session_estimates", ["lifter_id", "family", "at"])
    op.create_index("ix_session_estimates_session_id", "session_estimates", ["session_id"])
    op.create_table(
        "sets",
        sa.Column("id", NUMBER, sa.Identity(always=False), nullable=False),
        sa.Column("lifter_id", NUMBER, nullable=False),
        sa.Column("session_id", NUMBER, nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("at", INSTANT, nullable=False),
        sa.Column("root_key", TEXT, nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("exercise", TEXT, nullable=False),
        sa.Column("load", sa.Double()),
        sa.Column("unit", TEXT, nullable=False),
        sa.Column("load_kg", sa.Double(), nullable=False),
        sa.Column("moved_kg", sa.Double()),
        sa.Column("reps", sa.Integer()),
        sa.Column("rir", sa.Double()),
        sa.Column("rpe", sa.Double()),
        sa.Column("at_least", sa.Boolean(), nullable=False),
        sa.Column("failed", sa.Boolean(), nullable=False),
        sa.Column("warmup", sa.Boolean(), nullable=False),
        sa.Column("bodyweight", sa.Boolean(), nullable=False),
        sa.Column("bar", sa.Boolean(), nullable=False),
        sa.Column("per_side", sa.Boolean(), nullable=False),
        sa.Column("load_per_side", sa.Boolean(), nullable=False),
        sa.Column("seconds", sa.Double()),
        sa.Column("helped", sa.Boolean(), nullable=False),
        sa.Column("measured", sa.Boolean(), nullable=False),
        sa.Column("weak", sa.Boolean(), nullable=False),
        sa.Column("parts", TEXT),
        sa.Column("counted", TEXT, nullable=False),
        sa.Column("implied_left", sa.Double()),
        sa.Column("added_by", NUMBER, nullable=False),
        sa.Column("taken_back_by", NUMBER),
        sa.CheckConstraint(
            "counted IN ('hard', 'warm_up', 'ramp', 'too_easy', 'too_light', 'too_many', "
            "'strength', 'power', 'timed', 'nothing_done')",
            name=op.f("ck_sets_counted"),
        ),
        sa.CheckConstraint("unit IN ('kg', 'lb')", name=op.f("ck_sets_unit")),
        sa.ForeignKeyConstraint(["lifter_id"], ["lifters.id"], name=op.f("fk_sets_lifter_id"), ondelete="CASCADE"),
        sa.ForeignKeyConstraint(["session_id"], ["sessions.id"], name=op.f("fk_sets_session_id"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sets")),
        sqlite_autoincrement=True,
    )
    op.create_index(
        "ix_sets_in_log_added_by",
        "sets",
        ["lifter_id", "added_by"],
        sqlite_where=sa.text("taken_back_by IS NULL"),
        postgresql_where=sa.text("taken_back_by IS NULL"),
    )
    op.create_index(
        "ix_sets_in_log_day",
        "sets",
        ["lifter_id", "day"],
        sqlite_where=sa.text("taken_back_by IS NULL"),
        postgresql_where=sa.text("taken_back_by IS NULL"),
    )
    op.create_index(
        "ix_sets_in_log_exercise",
        "sets",
        ["lifter_id", "exercise", "at"],
        sqlite_where=sa.text("taken_back_by IS NULL"),
        postgresql_where=sa.text("taken_back_by IS NULL"),
    )
    op.create_index("ix_sets_root_key", "sets", ["lifter_id", "root_key"])
    op.create_index("ix_sets_session_id", "sets", ["session_id"])
    op.create_index(
        "ix_sets_taken_back_by",
        "sets",
        ["lifter_id", "taken_back_by"],
        sqlite_where=sa.text("taken_back_by IS NOT NULL"),
        postgresql_where=sa.text("taken_back_by IS NOT NULL"),
    )
