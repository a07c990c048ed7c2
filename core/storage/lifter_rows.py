# ruff: noqa: FBT001 - a row's values are given by position
"""Rows of lifters: what a lifter is in their row, and a row as a lifter."""

import json
from datetime import datetime

from core.domain.profile import Consent, Lifter
from core.domain.units import Load, Unit
from core.storage.statements import Value
from core.storage.tables import lifters

COLUMNS = [column for column in lifters.c if column.name != "recalled_by"]
"""Columns that a lifter is made from."""


def row_of(lifter: Lifter) -> dict[str, Value]:
    """Values of a lifter's row."""
    consent = lifter.consent
    return {
        "name": lifter.name,
        "created_at": lifter.created_at,
        "unit": lifter.unit,
        "unit_told": lifter.unit_told,
        "bar_amount": lifter.bar.amount,
        "bar_unit": lifter.bar.unit,
        "zone": lifter.zone,
        "day_begins_hour": lifter.day_begins_hour,
        "habits": json.dumps(dict(lifter.habits)),
        "body_mass_kg": lifter.body_mass_kg,
        "body_mass_off": lifter.body_mass_off,
        "introduced": lifter.introduced,
        "consent_given": None if consent is None else consent.given,
        "consent_at": None if consent is None else consent.at,
        "consent_version": None if consent is None else consent.version,
        "stopped_at": lifter.stopped_at,
    }


def lifter_from(
    id_: int,
    name: str,
    created_at: datetime,
    version: int,
    unit: Unit,
    unit_told: bool,
    bar_amount: float,
    bar_unit: Unit,
    zone: str,
    day_begins_hour: int,
    habits: str,
    body_mass_kg: float | None,
    body_mass_off: bool,
    introduced: bool,
    consent_given: bool | None,
    consent_at: datetime | None,
    consent_version: str | None,
    stopped_at: datetime | None,
) -> Lifter:
    """A lifter from the columns of their row, in order."""
    consent = None
    if consent_given is not None and consent_at is not None and consent_version is not None:
        consent = Consent(given=consent_given, at=consent_at, version=consent_version)
    return Lifter(
        id=id_,
        name=name,
        created_at=created_at,
        version=version,
        unit=unit,
        unit_told=unit_told,
        bar=Load(bar_amount, bar_unit),
        zone=zone,
        day_begins_hour=day_begins_hour,
        habits=json.loads(habits),
        body_mass_kg=body_mass_kg,
        body_mass_off=body_mass_off,
        introduced=introduced,
        consent=consent,
        stopped_at=stopped_at,
    )


def held_from(held: str, recalled_by: int | None, *values: object) -> tuple[Lifter, int | None]:
    """A lifter who was locked, and who recalls them."""
    del held
    return lifter_from(*values), recalled_by  # type: ignore[arg-type]  # the columns of a lifter, in order
