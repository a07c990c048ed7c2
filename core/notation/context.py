"""Context: all that reading one text may depend on, beside the text."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from core.domain.setups import SetupStep
from core.domain.units import Unit
from core.notation.words import Names

NO_HABITS: Mapping[str, str] = {}


@dataclass(frozen=True, slots=True, kw_only=True)
class Context:
    """All that reading may depend on; no clock.

    Args:
        names: Exercises that this lifter can name.
        habits: What answers taught about how this lifter writes.
        unit: The unit this lifter told or chose; None if they never did.
        bar_kg: Weight of the lifter's bar. [kg]
        exercise: What a set without a name belongs to; None if nothing is known.
        planned_load: A planned load stands, so that `8 @ 2` has a load.
        asked: The question of setting up that waits for an answer; a text that answers it needs no verb.

    """

    names: Names
    habits: Mapping[str, str] = field(default_factory=lambda: NO_HABITS)
    unit: Unit | None = None
    bar_kg: float = 20.0
    exercise: str | None = None
    planned_load: bool = False
    asked: SetupStep | None = None
