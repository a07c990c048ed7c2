"""Shape: what the numbers of one cell count, once that is settled."""

from dataclasses import dataclass, field, replace

from core.notation.pieces import Effort, Number


@dataclass(slots=True)
class Shape:
    """What the numbers of one cell count; empty or None where nothing was told.

    Args:
        loads: One, or one for each set of the same repetitions.
        reps: One, or one for each set of the same load.
        sets: How many times.
        seconds: Of a hold; one, or one for each set.
        efforts: Told after @.

    """

    loads: list[Number] = field(default_factory=list)
    reps: list[Number] = field(default_factory=list)
    sets: Number | None = None
    seconds: list[Number] = field(default_factory=list)
    efforts: list[Effort] = field(default_factory=list)

    @property
    def counted(self) -> bool:
        """Whether repetitions or seconds are told."""
        return bool(self.reps or self.seconds)


def listed(number: Number) -> list[Number]:
    """A number and those told in its place, one by one."""
    if not number.also:
        return [number]
    return [number, *(replace(number, value=value, also=()) for value in number.also)]
