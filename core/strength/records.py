"""Records: the heaviest load that was made for so many repetitions or more."""

import json
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from core.domain.sets import LoggedSet
from core.domain.units import Unit


@dataclass(frozen=True, slots=True)
class Record:
    """One record.

    Args:
        reps: Repetitions made with it. [repetitions]
        load_kg: The load, without body mass. [kg]
        amount: The load as it was typed.
        unit: The unit it was typed in.

    """

    reps: int
    load_kg: float
    amount: float
    unit: Unit

    def beats(self, other: "Record") -> bool:
        """Whether this one makes the other one worthless: no lighter, no fewer repetitions, and not the same."""
        return (
            self.load_kg >= other.load_kg
            and self.reps >= other.reps
            and (self.load_kg, self.reps) != (other.load_kg, other.reps)
        )


@dataclass(frozen=True, slots=True)
class RecordTable:
    """The records of one exercise: each has more repetitions and less load than the one before."""

    records: tuple[Record, ...] = ()

    def text(self) -> str:
        """One line of JSON that `table_from` reads back."""
        return json.dumps([[r.reps, r.load_kg, r.amount, r.unit.value] for r in self.records], separators=(",", ":"))

    def heaviest_for(self, reps: int) -> Record | None:
        """The heaviest load made for this many repetitions or more."""
        return next((record for record in self.records if record.reps >= reps), None)


@lru_cache(maxsize=1024)
def table_from(text: str | None) -> RecordTable:
    """The table that `RecordTable.text` wrote; an empty one for None."""
    if text is None:
        return RecordTable()
    return RecordTable(
        tuple([Record(int(reps), float(kg), float(amount), Unit(unit)) for reps, kg, amount, unit in json.loads(text)])
    )


def candidate(each: LoggedSet) -> Record | None:
    """The record that a set may be; None for warm-ups, holds, sets with help and sets without a repetition."""
    if each.warmup or each.helped or each.seconds is not None or not each.reps:
        return None
    return Record(each.reps, each.load_kg, each.load or 0.0, each.unit)


def with_set(table: RecordTable, each: LoggedSet) -> tuple[RecordTable, Record | None]:
    """The table after a set, and the record worth telling that it broke.

    A first one is silent: it is told only where there was a record for as many repetitions or more, or one that it
    makes worthless.
    """
    new = candidate(each)
    return (table, None) if new is None else _with(table, new)


def _with(table: RecordTable, new: Record) -> tuple[RecordTable, Record | None]:
    if any(old.load_kg >= new.load_kg and old.reps >= new.reps for old in table.records):
        return table, None
    told = any(old.reps >= new.reps or new.beats(old) for old in table.records)
    kept = [old for old in table.records if not new.beats(old)]
    kept.append(new)
    kept.sort(key=lambda record: record.reps)
    return RecordTable(tuple(kept)), new if told else None


def table_of(made: Iterable[Record]) -> RecordTable:
    """The table that what was made, in order of position, leaves."""
    table = RecordTable()
    for each in made:
        table, _ = _with(table, each)
    return table
