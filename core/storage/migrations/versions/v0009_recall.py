"""Recall: a lifter's row says which process recalls what it read of them, and whoever else writes strikes that out.

Revision 0009, after 0008. The release before it goes on working: it holds nobody, so whatever it changes strikes out.

On PostgreSQL triggers strike out, so that it is done for a release that knows nothing of it and for an operator's own
statements, too. `rackside.held` names the lifters that a transaction has locked and whose rows it may change.
"""

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None

NUMBER = sa.BigInteger().with_variant(sa.Integer(), "sqlite")

NOT_HELD = "position(',' || {} || ',' in coalesce(current_setting('rackside.held', true), '')) = 0"

WATCHED = {
    "due": "kind, occasion, state, lifter_id",
    "estimates": "",
    "own_exercises": "",
    "plans": "",
    "records": "",
    "reminders": "",
    "sessions": "",
    "sets": "",
    "setups": "",
}
"""Tables of lifters' rows that are recalled; of one only some columns are."""

# Without a look at what stands in the row: who is at work on it may be about to put something there, and is waited for.
FUNCTIONS = """
CREATE FUNCTION rackside_strike_out() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE
    struck text := format('UPDATE %I.lifters SET recalled_by = NULL', TG_TABLE_SCHEMA);
BEGIN
    IF TG_OP = 'TRUNCATE' THEN
        EXECUTE struck;
        RETURN NULL;
    END IF;
    IF TG_OP <> 'INSERT' THEN
        EXECUTE struck || ' WHERE id = $1' USING OLD.lifter_id;
    END IF;
    IF TG_OP <> 'DELETE' THEN
        EXECUTE struck || ' WHERE id = $1' USING NEW.lifter_id;
    END IF;
    RETURN NULL;
END
$$;

CREATE FUNCTION rackside_strike_out_by_plan() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE
    struck text := format(
        'UPDATE %1$I.lifters SET recalled_by = NULL FROM %1$I.plans WHERE plans.id = $1 AND lifters.id = plans.lifter_id'
        ' AND position(concat('','', lifters.id, '','') in coalesce(current_setting(''rackside.held'', true), '''')) = 0',
        TG_TABLE_SCHEMA
    );
BEGIN
    IF TG_OP <> 'INSERT' THEN
        EXECUTE struck USING OLD.plan_id;
    END IF;
    IF TG_OP <> 'DELETE' THEN
        EXECUTE struck USING NEW.plan_id;
    END IF;
    RETURN NULL;
END
$$;
"""


def upgrade() -> None:
    """Add who recalls a lifter, and what strikes them out."""
    op.add_column("lifters", sa.Column("recalled_by", NUMBER))
    if op.get_bind().dialect.name != "postgresql":
        return
    op.execute(sa.text(FUNCTIONS.replace(":=", "\\:=")))
    for table, columns in WATCHED.items():
        changed = f"UPDATE OF {columns}" if columns else "UPDATE"
        _watch(table, "put", f"INSERT OR {changed}", when=NOT_HELD.format("NEW.lifter_id"))
        _watch(table, "gone", "UPDATE OF lifter_id OR DELETE", when=NOT_HELD.format("OLD.lifter_id"))
    # Days of a plan name no lifter.
    _watch("planned_days", "changed", "INSERT OR UPDATE OR DELETE", function="rackside_strike_out_by_plan")
    for table in (*WATCHED, "planned_days"):
        op.execute(
            f"CREATE TRIGGER rackside_emptied AFTER TRUNCATE ON {table}"
            " FOR EACH STATEMENT EXECUTE FUNCTION rackside_strike_out()"
        )


def _watch(table: str, name: str, events: str, *, when: str = "true", function: str = "rackside_strike_out") -> None:
    op.execute(
        f"CREATE TRIGGER rackside_{name} AFTER {events} ON {table}"
        f" FOR EACH ROW WHEN ({when}) EXECUTE FUNCTION {function}()"
    )
