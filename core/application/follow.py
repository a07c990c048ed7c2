"""What follows from a change of the log: estimates, records, and which sets count as hard."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime

from core.application.replay import Stretch, Walk, counted
from core.application.rows import (
    Checkpoint,
    SessionEstimate,
)
from core.application.standing import Position, Standing, standing_from, written
from core.application.turn import Turn
from core.domain.reviews import RecordTold
from core.domain.sets import Counted, LoggedSet
from core.domain.units import Load
from core.strength.records import Record, RecordTable, table_from, table_of, with_set
from core.workload.hard_sets import judge

_SESSIONS_FOR_A_RECORD = 2
"""Sessions of an exercise before a record of it is told: of the first one every set would be one."""


@dataclass(slots=True)
class Followed:
    """What followed from a change.

    Args:
        broken: Records that sets broke.
        sets: The added sets as they are stored now.

    """

    broken: list[RecordTold] = field(default_factory=list)
    sets: tuple[LoggedSet, ...] = ()


def log(
    turn: Turn,
    sets: Sequence[LoggedSet],
    *,
    day: date,
    before: Sequence[LoggedSet],
    changed_since: datetime | None = None,
) -> Followed:
    """Store new sets of one session, and all that follows from them.

    Args:
        turn: The turn.
        sets: New sets of one session.
        day: The day of that session.
        before: Sets that the session has already.
        changed_since: The log of their families was changed from this instant on, and is computed again with them.

    """
    followed = Followed()
    ready: dict[Position, LoggedSet] = {}
    late: set[str] = set()
    for exercise_names in _by_family(turn, sets).values():
        family = exercise_names[0]
        mine = [each for each in sets if _family(turn, each.exercise) == family]
        taken = _appended(turn, family, mine) if changed_since is None else None
        if taken is None:
            late.add(family)
            taken = mine
        ready.update({each.position: each for each in taken})
    judged: list[tuple[LoggedSet, Counted]] = []
    for name in dict.fromkeys(each.exercise for each in sets):
        there = [each for each in before if each.exercise == name]
        mine = [each for each in ready.values() if each.exercise == name]
        together = sorted([*there, *mine], key=lambda each: each.position)
        for each, verdict in zip(together, judge(together, exercise=turn.known(name)), strict=True):
            if each.counted is verdict:
                continue
            if each.id == 0:
                ready[each.position] = replace(each, counted=verdict)
            else:
                judged.append((each, verdict))
    _write_verdicts(turn, judged)
    followed.sets = tuple(
        turn.work.sets.add(
            turn.lifter.id, [ready[each.position] for each in sets], days=[day] * len(sets), change=turn.row.id
        )
    )
    since = min(each.at for each in sets)
    for family in sorted(late):
        rebuild(turn, family, since=since if changed_since is None else min(since, changed_since))
    if late:
        now = {each.id: each for each in turn.work.sets.of_session(sets[0].session_id)}
        followed.sets = tuple([now[each.id] for each in followed.sets])
    for name in dict.fromkeys(each.exercise for each in sets):
        followed.broken += _records_after(turn, name, followed.sets)
    return followed


def rebuild(turn: Turn, family: str, *, since: datetime) -> None:
    """Compute a family again from the last checkpoint before an instant: estimates, what was implied, verdicts."""
    names = _members(turn, family)
    checkpoint = turn.work.estimates.last_checkpoint(turn.lifter.id, family, until=since)
    standing = standing_from(checkpoint.state if checkpoint is not None else None)
    if standing.outdated or turn.standing(family).outdated:
        checkpoint, standing = None, standing_from(None)
    from_at = standing.through[0] if standing.through is not None else None
    sets = tuple(
        [
            each
            for each in turn.work.sets.of_exercises(turn.lifter.id, names, since=from_at)
            if standing.through is None or each.position > standing.through
        ]
    )
    exercises = {name: turn.known(name) for name in dict.fromkeys(each.exercise for each in sets)}
    replayed = turn.replays.of(Stretch(standing, sets, exercises))
    turn.work.estimates.forget_from(
        turn.lifter.id, family, checkpoint.at if checkpoint is not None else datetime.min.replace(tzinfo=UTC)
    )
    _write(turn, family, replayed.standing, replayed.checkpoints, replayed.notes)
    implied = [(each, left) for each, left in zip(sets, replayed.implied, strict=True) if left != each.implied_left]
    if implied:
        turn.work.sets.imply(turn.lifter.id, implied)
    _write_verdicts(turn, zip(sets, replayed.counted, strict=True))


def after_removal(turn: Turn, removed: Sequence[LoggedSet], *, replaced_by: Sequence[LoggedSet] = ()) -> None:
    """Compute what hangs on sets that have left the log, or come back to it.

    Estimates of the families of the sets that replace them are computed once those are there.
    """
    awaited = {_family(turn, each.exercise) for each in replaced_by}
    for family, names in _by_family(turn, removed).items():
        if family in awaited:
            continue
        rebuild(turn, family, since=min(each.at for each in removed if each.exercise in names))
    _judge_sessions(turn, removed)
    for name in dict.fromkeys(each.exercise for each in removed):
        table = table_of(turn.work.sets.made(turn.lifter.id, name))
        turn.work.records.save(turn.lifter.id, name, table.text() if table.records else None)


def without_body_mass(turn: Turn) -> None:
    """Take out of the log what the lifter's body mass was part of, and compute again what hung on it."""
    names = turn.work.sets.forget_body_mass(turn.lifter.id)
    for family in dict.fromkeys(_family(turn, name) for name in names):
        rebuild(turn, family, since=datetime.min.replace(tzinfo=UTC))


def records_of(turn: Turn, sets: Sequence[LoggedSet]) -> dict[str, RecordTable]:
    """The records, as they stand, of the exercises of some sets, where there are any to tell of."""
    names = [name for name in dict.fromkeys(each.exercise for each in sets) if _tells_records(turn, name)]
    return {name: table_from(turn.work.records.table(turn.lifter.id, name)) for name in names}


def fallen(turn: Turn, before: Mapping[str, RecordTable]) -> tuple[str, ...]:
    """Exercises of which a record is lower now than it was before, though some are left."""
    names: list[str] = []
    for name, old in before.items():
        new = table_from(turn.work.records.table(turn.lifter.id, name))
        lower = [record for record in old.records if _lower(new.heaviest_for(record.reps), record)]
        if new.records and lower:
            names.append(name)
    return tuple(names)


def _appended(turn: Turn, family: str, sets: Sequence[LoggedSet]) -> list[LoggedSet] | None:
    """The sets with what the estimate implied, if they all come after what it has seen; else None."""
    standing = turn.standing(family)
    if standing.outdated or (standing.through is not None and sets[0].position <= standing.through):
        return None
    walk = Walk(standing, {each.exercise: turn.known(each.exercise) for each in sets})
    done = [replace(each, implied_left=walk.take(each)) for each in sets]
    walk.note()
    _write(turn, family, walk.standing, walk.checkpoints, walk.notes)
    return done


def _write(
    turn: Turn,
    family: str,
    standing: Standing,
    checkpoints: Sequence[Checkpoint],
    notes: Sequence[SessionEstimate],
) -> None:
    estimates, lifter_id = turn.work.estimates, turn.lifter.id
    for checkpoint in checkpoints:
        estimates.checkpoint(lifter_id, family, checkpoint)
    for note in notes:
        estimates.note(lifter_id, family, note)
    estimates.save_state(lifter_id, family, None if standing.through is None else written(standing))
    turn.standings[family] = standing


def _write_verdicts(turn: Turn, judged: Iterable[tuple[LoggedSet, Counted]]) -> None:
    changed = [(each, new) for each, new in judged if new is not each.counted]
    if changed:
        turn.work.sets.judge(turn.lifter.id, changed)


def _judge_sessions(turn: Turn, touched: Sequence[LoggedSet]) -> None:
    for session_id in dict.fromkeys(each.session_id for each in touched):
        names = {each.exercise for each in touched if each.session_id == session_id}
        sets = [each for each in turn.work.sets.of_session(session_id) if each.exercise in names]
        verdicts = counted(sets, exercises={name: turn.known(name) for name in names})
        _write_verdicts(turn, zip(sets, verdicts, strict=True))


def _family(turn: Turn, name: str) -> str:
    return turn.known(name).variation_of or name


def _by_family(turn: Turn, sets: Sequence[LoggedSet]) -> dict[str, list[str]]:
    """Exercises of some sets by family; the family's name leads each list."""
    families: dict[str, list[str]] = {}
    for each in sets:
        family = _family(turn, each.exercise)
        names = families.setdefault(family, [family])
        if each.exercise not in names:
            names.append(each.exercise)
    return families


def _members(turn: Turn, family: str) -> list[str]:
    variations = [each.name for each in turn.lifts if each.variation_of == family]
    return [family, *variations]


def _records_after(turn: Turn, name: str, sets: Iterable[LoggedSet]) -> list[RecordTold]:
    before = table_from(turn.work.records.table(turn.lifter.id, name))
    table = before
    best: RecordTold | None = None
    for each in sets:
        if each.exercise != name:
            continue
        table, record = with_set(table, each)
        if record is not None:
            best = record_told(name, record, bodyweight=each.bodyweight)
    if table is not before:
        turn.work.records.save(turn.lifter.id, name, table.text())
    return [] if best is None or not _tells_records(turn, name) else [best]


def _tells_records(turn: Turn, name: str) -> bool:
    """Whether an exercise has records to tell of: in its first session, every heavier set would be one."""
    return len(turn.work.sets.recent_sessions(turn.lifter.id, name, limit=2)) >= _SESSIONS_FOR_A_RECORD


def _lower(now: Record | None, before: Record) -> bool:
    # One that nothing else comes near was the first of so many repetitions, which nobody was told of.
    return now is not None and now.load_kg < before.load_kg


def record_told(name: str, record: Record, *, bodyweight: bool) -> RecordTold:
    """A record as it is told."""
    return RecordTold(name, record.reps, Load(record.amount, record.unit), bodyweight=bodyweight)
