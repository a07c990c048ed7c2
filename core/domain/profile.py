"""The lifter: who writes from where, and what was settled about how to read and answer them."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from core.domain.units import Load, Unit

DAY_BEGINS_HOUR = 4
"""Local hour at which a lifter's day begins. [h] A session past midnight belongs to the evening before."""

USUAL_BAR = Load(20.0, Unit.KG)
"""The bar unless the lifter says otherwise: IWF men's bar."""


@dataclass(frozen=True, slots=True)
class Address:
    """Where a lifter writes from: a connector and the chat on it."""

    connector: str
    chat: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Consent:
    """A yes or no to keeping health data: which text was agreed to, and when."""

    given: bool
    at: datetime
    version: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Lifter:
    """One lifter and what was settled with them.

    Args:
        id: The store's number.
        name: What the connector calls them.
        created_at: When they first wrote; aware.
        version: Rises with every change of theirs; work computed from an older one is computed again.
        unit: What a load without a unit is taken in.
        unit_told: The lifter said so, by a command, an answer or a typed unit; else it is the default.
        bar: Weight of their bar.
        zone: IANA name of their time zone.
        day_begins_hour: Local hour at which their day begins. [h]
        habits: What answers taught about how they write.
        body_mass_kg: Kept only with consent. [kg]
        body_mass_off: They asked never to be asked for it.
        introduced: They were told who runs the bot and what is kept.
        consent: Their word on health data; None while they have not answered.
        stopped_at: When a warning sign was seen that keeps training suggestions back until a clinician has looked;
            which sign it was is not kept.

    """

    id: int
    name: str
    created_at: datetime
    version: int = 0
    unit: Unit = Unit.KG
    unit_told: bool = False
    bar: Load = USUAL_BAR
    zone: str = "UTC"
    day_begins_hour: int = DAY_BEGINS_HOUR
    habits: Mapping[str, str] = field(default_factory=dict)
    body_mass_kg: float | None = None
    body_mass_off: bool = False
    introduced: bool = False
    consent: Consent | None = None
    stopped_at: datetime | None = None

    def local(self, at: datetime) -> datetime:
        """The instant on this lifter's wall clock."""
        return at.astimezone(ZoneInfo(self.zone))

    def day_of(self, at: datetime) -> date:
        """The training day that an instant falls on: it begins at `day_begins_hour`, not at midnight."""
        return (self.local(at) - timedelta(hours=self.day_begins_hour)).date()
