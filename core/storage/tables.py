"""Tables, with every constraint and index by name."""

import sqlalchemy as sa

from core.domain.prescriptions import DayState
from core.domain.sets import Counted
from core.domain.units import Unit
from core.storage.check_in_tables import advice, check_ins
from core.storage.columns import Choice, Day, Instant, Words, number
from core.storage.due_tables import due, reminders
from core.storage.link_tables import link_codes, link_tries
from core.storage.mail_tables import messages, outbox, pauses
from core.storage.schema import flag, metadata, of_lifter, one_of, partial_index, row_id

__all__ = [  # the rest is defined here
    "advice",
    "check_ins",
    "due",
    "link_codes",
    "link_tries",
    "messages",
    "metadata",
    "outbox",
    "pauses",
    "reminders",
]

HEAD = "0010"
"""Newest revision of the migrations, kept here so that a start without migrating need not load Alembic."""

# Numbers of deleted rows are not given out again (sqlite_autoincrement): sets name inbox rows by number after those
# rows are gone, and a forgotten lifter's number must not become somebody else's.

lifters = sa.Table(
    "lifters",
    metadata,
    row_id(),
    sa.Column("name", Words(), nullable=False),
    sa.Column("created_at", Instant(), nullable=False),
    sa.Column("version", sa.Integer(), nullable=False),
    sa.Column("unit", Choice(Unit), nullable=False),
    flag("unit_told"),
    sa.Column("bar_amount", sa.Double(), nullable=False),
    sa.Column("bar_unit", Choice(Unit), nullable=False),
    sa.Column("zone", Words(), nullable=False),
    sa.Column("day_begins_hour", sa.Integer(), nullable=False),
    sa.Column("habits", Words(), nullable=False),
    sa.Column("body_mass_kg", sa.Double()),
    flag("body_mass_off"),
    flag("introduced"),
    sa.Column("consent_given", sa.Boolean()),
    sa.Column("consent_at", Instant()),
    sa.Column("consent_version", Words()),
    sa.Column("stopped_at", Instant()),
    # The process that recalls what it read of them; only PostgreSQL's do, and its triggers strike it out.
    sa.Column("recalled_by", number()),
    one_of("unit", Unit),
    one_of("bar_unit", Unit),
    sa.CheckConstraint("day_begins_hour BETWEEN 0 AND 23", name="day_begins_hour"),
    sa.CheckConstraint(
        "(consent_given IS NULL) = (consent_at IS NULL) AND (consent_given IS NULL) = (consent_version IS NULL)",
        name="consent",
    ),
    sa.Index("ix_lifters_name", "name"),
    sqlite_autoincrement=True,
)

addresses = sa.Table(
    "addresses",
    metadata,
    sa.Column("connector", Words(), nullable=False),
    sa.Column("chat", Words(), nullable=False),
    of_lifter(),
    sa.Column("written_at", Instant()),
    sa.Column("unreachable_at", Instant()),
    # Empty for the chat that the log began in.
    sa.Column("linked_at", Instant()),
    sa.PrimaryKeyConstraint("connector", "chat"),
    sa.Index("ix_addresses_lifter_id", "lifter_id"),
)

sessions = sa.Table(
    "sessions",
    metadata,
    row_id(),
    of_lifter(),
    sa.Column("day", Day(), nullable=False),
    sa.Column("opened_at", Instant(), nullable=False),
    sa.Column("last_set_at", Instant(), nullable=False),
    sa.Column("closed_at", Instant()),
    sa.Column("exercise", Words()),
    sa.Column("effort", sa.Double()),
    # Out of the log with all its sets, which may come back.
    flag("removed"),
    sa.CheckConstraint("last_set_at >= opened_at", name="order"),
    sa.Index("ix_sessions_last_set_at", "lifter_id", "last_set_at"),
    sa.Index("ix_sessions_opened_at", "lifter_id", "opened_at"),
    sa.Index("ix_sessions_day", "lifter_id", "day", "opened_at"),
    sqlite_autoincrement=True,
)

sets = sa.Table(
    "sets",
    metadata,
    row_id(),
    of_lifter(),
    sa.Column("session_id", number(), sa.ForeignKey("sessions.id", ondelete="CASCADE"), nullable=False),
    sa.Column("day", Day(), nullable=False),
    sa.Column("at", Instant(), nullable=False),
    sa.Column("root_key", Words(), nullable=False),
    sa.Column("place", sa.Integer(), nullable=False),
    sa.Column("exercise", Words(), nullable=False),
    sa.Column("load", sa.Double()),
    sa.Column("unit", Choice(Unit), nullable=False),
    sa.Column("load_kg", sa.Double(), nullable=False),
    sa.Column("moved_kg", sa.Double()),
    sa.Column("reps", sa.Integer()),
    sa.Column("rir", sa.Double()),
    sa.Column("rpe", sa.Double()),
    flag("at_least"),
    flag("failed"),
    flag("warmup"),
    flag("bodyweight"),
    flag("bar"),
    flag("per_side"),
    flag("load_per_side"),
    sa.Column("seconds", sa.Double()),
    flag("helped"),
    flag("measured"),
    flag("weak"),
    sa.Column("parts", Words()),
    sa.Column("counted", Choice(Counted), nullable=False),
    sa.Column("implied_left", sa.Double()),
    # Inbox rows by number alone: their rows are dropped long before the sets are.
    sa.Column("added_by", number(), nullable=False),
    sa.Column("taken_back_by", number()),
    one_of("unit", Unit),
    one_of("counted", Counted),
    sa.Index("ix_sets_session_id", "session_id"),
    sa.Index("ix_sets_root_key", "lifter_id", "root_key"),
    partial_index("ix_sets_in_log_exercise", "lifter_id", "exercise", "at", where="taken_back_by IS NULL"),
    partial_index("ix_sets_in_log_day", "lifter_id", "day", where="taken_back_by IS NULL"),
    partial_index("ix_sets_in_log_added_by", "lifter_id", "added_by", where="taken_back_by IS NULL"),
    partial_index("ix_sets_taken_back_by", "lifter_id", "taken_back_by", where="taken_back_by IS NOT NULL"),
    sqlite_autoincrement=True,
)

own_exercises = sa.Table(
    "own_exercises",
    metadata,
    of_lifter(),
    sa.Column("name", Words(), nullable=False),
    sa.Column("exercise", Words(), nullable=False),
    sa.PrimaryKeyConstraint("lifter_id", "name"),
)

estimates = sa.Table(
    "estimates",
    metadata,
    of_lifter(),
    sa.Column("family", Words(), nullable=False),
    sa.Column("state", Words(), nullable=False),
    sa.PrimaryKeyConstraint("lifter_id", "family"),
)

checkpoints = sa.Table(
    "checkpoints",
    metadata,
    of_lifter(),
    sa.Column("family", Words(), nullable=False),
    sa.Column("session_id", number(), sa.ForeignKey("sessions.id", ondelete="CASCADE"), nullable=False),
    sa.Column("at", Instant(), nullable=False),
    sa.Column("state", Words(), nullable=False),
    sa.PrimaryKeyConstraint("lifter_id", "family", "session_id"),
    sa.Index("ix_checkpoints_at", "lifter_id", "family", "at"),
    sa.Index("ix_checkpoints_session_id", "session_id"),
)

session_estimates = sa.Table(
    "session_estimates",
    metadata,
    of_lifter(),
    sa.Column("exercise", Words(), nullable=False),
    sa.Column("session_id", number(), sa.ForeignKey("sessions.id", ondelete="CASCADE"), nullable=False),
    sa.Column("family", Words(), nullable=False),
    sa.Column("at", Instant(), nullable=False),
    sa.Column("estimate_kg", sa.Double(), nullable=False),
    sa.Column("low_kg", sa.Double()),
    sa.Column("high_kg", sa.Double()),
    sa.PrimaryKeyConstraint("lifter_id", "exercise", "session_id"),
    sa.Index("ix_session_estimates_at", "lifter_id", "exercise", "at"),
    sa.Index("ix_session_estimates_family", "lifter_id", "family", "at"),
    sa.Index("ix_session_estimates_session_id", "session_id"),
)

records = sa.Table(
    "records",
    metadata,
    of_lifter(),
    sa.Column("exercise", Words(), nullable=False),
    sa.Column("held", Words(), nullable=False),
    sa.PrimaryKeyConstraint("lifter_id", "exercise"),
)

questions = sa.Table(
    "questions",
    metadata,
    sa.Column("id", Words(), nullable=False),
    of_lifter(),
    sa.Column("doubt", Words(), nullable=False),
    sa.Column("sends", Words(), nullable=False),
    sa.Column("labels", Words(), nullable=False),
    sa.Column("habits", Words(), nullable=False),
    sa.Column("message_key", Words(), nullable=False),
    sa.Column("sent_at", Instant(), nullable=False),
    sa.Column("asked_at", Instant(), nullable=False),
    sa.Column("expires_at", Instant(), nullable=False),
    sa.Column("chosen", sa.Integer()),
    sa.PrimaryKeyConstraint("id"),
    sa.Index("ix_questions_lifter_id", "lifter_id", "asked_at"),
    sa.Index("ix_questions_asked_at", "asked_at"),
)

setups = sa.Table(
    "setups",
    metadata,
    of_lifter(),
    sa.Column("setup", Words(), nullable=False),
    sa.PrimaryKeyConstraint("lifter_id"),
)

plans = sa.Table(
    "plans",
    metadata,
    row_id(),
    of_lifter(),
    sa.Column("starts", Day(), nullable=False),
    sa.Column("made_at", Instant(), nullable=False),
    sa.Column("block", Words(), nullable=False),
    sa.Column("wishes", Words(), nullable=False),
    flag("own"),
    sa.Column("ended_on", Day()),
    sa.Column("relieved", Words()),
    # One plan holds at a time.
    sa.Index(
        "uq_plans_lifter_id",
        "lifter_id",
        unique=True,
        sqlite_where=sa.text("ended_on IS NULL"),
        postgresql_where=sa.text("ended_on IS NULL"),
    ),
    sa.Index("ix_plans_lifter_id", "lifter_id", "made_at"),
    sqlite_autoincrement=True,
)

planned_days = sa.Table(
    "planned_days",
    metadata,
    sa.Column("plan_id", number(), sa.ForeignKey("plans.id", ondelete="CASCADE"), nullable=False),
    sa.Column("week", sa.Integer(), nullable=False),
    sa.Column("place", sa.Integer(), nullable=False),
    sa.Column("day", Day(), nullable=False),
    sa.Column("state", Choice(DayState), nullable=False),
    sa.Column("session", Words(), nullable=False),
    sa.Column("prescription", Words()),
    # By number alone: a session whose sets are all taken back may go and come again.
    sa.Column("session_id", number()),
    sa.Column("adjusted", Words(), nullable=False),
    one_of("state", DayState),
    sa.PrimaryKeyConstraint("plan_id", "week", "place"),
    sa.Index("ix_planned_days_day", "plan_id", "day"),
)
