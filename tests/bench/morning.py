"""Measures a morning: 100,000 lifters with a session due at seven, one process, a platform that takes 30 a second."""

import json
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import sqlalchemy as sa

from core.storage.upgrades import migrate
from tests.bench.mornings import CLAIMED, LIFTERS, LIVE_MESSAGES, RESTS, SEVEN
from tests.postgres_cluster import programs, running_cluster, version

NUMBERED = """{insert}
WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < {lifters}) SELECT {rows} FROM n"""
"""Makes rows of numbers; told to the database as text, since it makes them faster than any program."""

LIFTER_ROWS = (
    """INSERT INTO lifters (id, name, created_at, version, unit, unit_told, bar_amount, bar_unit, zone, day_begins_hour,
    habits, body_mass_off, introduced)""",
    "i, 'Tove', 0, 0, 'kg', true, 20, 'kg', 'UTC', 4, '{{}}', false, true",
)

ADDRESS_ROWS = (
    "INSERT INTO addresses (connector, chat, lifter_id, written_at)",
    "'bench', CAST(i AS TEXT), i, {at} - 1",
)

DUE_ROWS = (
    "INSERT INTO due (lifter_id, kind, occasion, at, wish, zone, data, state)",
    "i, 'session', '2027-01-05', {at}, '2027-01-05T07:00:00', 'UTC', '', 'waiting'",
)

AIMS = "aims: start under 1 s, memory under 200 MB, live p99 under 250 ms"


def main() -> None:
    """Measure on SQLite and, where it is found, PostgreSQL."""
    print(f"{LIFTERS:,} lifters due at 7:00, 30 messages a second of which 25 scheduled; {AIMS}")
    with tempfile.TemporaryDirectory() as folder:
        measured("SQLite", f"sqlite:///{folder}/morning.db")
    if programs() is None:
        print("PostgreSQL: no server programs found")
        return
    with running_cluster() as cluster:
        measured(f"PostgreSQL {version()}", cluster.database)


def measured(engine: str, url: str) -> None:
    """Measure on one engine, in a process of its own whose memory is its own."""
    migrate(url)
    fill(url)
    begun = time.time()
    command = [sys.executable, "-m", "tests.bench.serving", url, str(begun)]
    done = subprocess.run(command, capture_output=True, text=True, check=True, cwd=Path(__file__).parents[2])
    found: dict[str, float] = json.loads(done.stdout.splitlines()[-1])
    print(
        f"{engine}: start {found['start_s']:.2f} s ({found['busy_s']:.2f} s of processor; {found['ready_s']:.2f} s after the imports), "
        f"memory {found['memory_mb']:.0f} MB, "
        f"claim of {CLAIMED:,} rows {found['claim_ms']:.0f} ms, "
        f"live p50 {found['p50_ms']:.0f} ms, p99 {found['p99_ms']:.0f} ms of {LIVE_MESSAGES} "
        f"while {found['scheduled']:.0f} scheduled went out in {found['took_s']:.0f} s, "
        f"rests told {found['rest_s']:.2f} s late, {found['latest_rest_s']:.2f} s at most of {RESTS} (aim 0.5 s)"
    )


def fill(url: str) -> None:
    """Lifters with a row due each, written by statements of the database's own."""
    engine = sa.create_engine(url.replace("postgresql://", "postgresql+psycopg://"))
    at = int(SEVEN.timestamp() * 1_000_000)
    with engine.begin() as connection:
        for statement in (LIFTER_ROWS, ADDRESS_ROWS, DUE_ROWS):
            connection.execute(
                sa.text(NUMBERED.format(lifters=LIFTERS, insert=statement[0], rows=statement[1].format(at=at)))
            )
        connection.execute(sa.text("ANALYZE"))
    engine.dispose()


if __name__ == "__main__":
    main()
