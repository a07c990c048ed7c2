"""The one store: tables, the statements on them, and units of work on SQLite and PostgreSQL."""
