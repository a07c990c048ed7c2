"""What follows from a change of the log: estimates, records, and which sets count as hard."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime

from core.application.rows import (
    Checkpoint,
    SessionEstimate,
)
from core.application.standing import Position, Standing, standing_from
from core.application.turn import Turn
from core.domain.exercises import Exercise
from core.domain.reviews import RecordTold
from core.domain.sets import Counted, LoggedSet
from core.domain.units import Load
from core.strength import estimate as strength
from core.strength.evidence import Evidence, Lift
from core.strength.records import Record, RecordTable, table_from, table_of, with_set
from core.workload.hard_sets import judge

EXACT_RPE_FROM = 7.0
"""Lowest rating that stands for a number of repetitions left. Zourdos et al. 2016."""

LEFT_AT_LOWER_RPE = 4.0
"""Repetitions that at least are left at a lower rating. [repetitions] From memory of the same scale."""


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


def log(turn: Turn, sets: Sequence[LoggedSet], *, day: date, before: Sequence[LoggedSet]) -> Followed:
    """Store new sets of one session, and all that follows from them.

    Args:
        turn: The turn.
        sets: New sets of one session.
        day: The day of that session.
        before: Sets that the session has already.

    """
    followed = Followed()
    ready: dict[Position, LoggedSet] = {}
    late: set[str] = set()
    for exercise_names in _by_family(turn, sets).values():
        family = exercise_names[0]
        mine = [each for each in sets if _family(turn, each.exercise) == family]
        taken = _appended(turn, family, mine)
        if taken is None:
            late.add(family)
            taken = mine
        ready.update({each.position: each for each in taken})
    verdicts: dict[int, Counted] = {}
    for name in dict.fromkeys(each.exercise for each in sets):
        there = [each for each in before if each.exercise == name]
        mine = [each for each in ready.values() if each.exercise == name]
        together = sorted([*there, *mine], key=lambda each: each.position)
        for each, counted in zip(together, judge(together, exercise=turn.known(name)), strict=True):
            if each.counted is counted:
                continue
            if each.id == 0:
                ready[each.position] = replace(each, counted=counted)
            else:
                verdicts[each.id] = counted
    if verdicts:
        turn.work.sets.judge(verdicts)
    followed.sets = tuple(
        turn.work.sets.add(
            turn.lifter.id, [ready[each.position] for each in sets], days=[day] * len(sets), change=turn.row.id
        )
    )
    for family in sorted(late):
        rebuild(turn, family, since=min(each.at for each in sets))
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
    turn.work.estimates.forget_from(
        turn.lifter.id, family, checkpoint.at if checkpoint is not None else datetime.min.replace(tzinfo=UTC)
    )
    sets = [
        each
        for each in turn.work.sets.of_exercises(turn.lifter.id, names, since=from_at)
        if standing.through is None or each.position > standing.through
    ]
    implied: dict[int, float | None] = {}
    replayed: list[LoggedSet] = []
    walk = _Walk(turn, family, standing)
    for each in sets:
        left = walk.take(each)
        if left != each.implied_left:
            implied[each.id] = left
        replayed.append(replace(each, implied_left=left))
    walk.finish()
    if implied:
        turn.work.sets.imply(implied)
    _judge_again(turn, replayed)


def after_removal(turn: Turn, removed: Sequence[LoggedSet]) -> None:
    """Compute what hangs on sets that have left the log, or come back to it."""
    for family, names in _by_family(turn, removed).items():
        rebuild(turn, family, since=min(each.at for each in removed if each.exercise in names))
    _judge_sessions(turn, removed)
    for name in dict.fromkeys(each.exercise for each in removed):
        table = table_of(turn.work.sets.of_exercises(turn.lifter.id, [name]))
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


def evidence(each: LoggedSet, exercise: Exercise) -> Evidence | None:
    """A set as the estimate takes it; None for one that says nothing about strength."""
    if each.moved_kg is None or each.moved_kg <= 0 or each.seconds is not None or each.reps is None:
        return None
    if each.reps == 0 and not each.failed:
        return None
    left, at_least = told_left(each)
    return Evidence(
        lift=Lift.of(exercise),
        at=each.at,
        session=str(each.session_id),
        sequence=each.place,
        load_kg=each.moved_kg,
        repetitions=each.reps,
        reported_left=left,
        at_least=at_least,
        failed=each.failed,
        to_failure=left == 0 and not at_least,
        measured=each.measured,
        weak=each.weak,
        helped=each.helped,
        warm_up=each.warmup,
    )


def told_left(each: LoggedSet) -> tuple[float | None, bool]:
    """Repetitions left as told, by number or by rating, and whether that is only a lower bound. [repetitions]"""
    if each.rir is not None:
        return each.rir, each.at_least
    if each.rpe is None:
        return None, False
    if each.rpe < EXACT_RPE_FROM:
        return LEFT_AT_LOWER_RPE, True
    return 10.0 - each.rpe, each.at_least


class _Walk:
    """Takes the sets of a family in order and writes what the estimate says along the way."""

    def __init__(self, turn: Turn, family: str, standing: Standing) -> None:
        self.turn = turn
        self.family = family
        self.standing = standing
        self.touched: dict[str, LoggedSet] = {}

    def take(self, each: LoggedSet) -> float | None:
        """Go one set further; returned: the repetitions left that the estimate from before it implies."""
        if each.session_id != self.standing.session_id:
            self._note()
            self.turn.work.estimates.checkpoint(
                self.turn.lifter.id,
                self.family,
                Checkpoint(session_id=each.session_id, at=each.at, state=self.standing.text()),
            )
        exercise = self.turn.known(each.exercise)
        taken = evidence(each, exercise)
        state = self.standing.state
        left = None
        if taken is not None and not each.warmup:
            left = _implied(state, taken)
            state = strength.advance(state, taken)
            self.touched[each.exercise] = each
        self.standing = Standing(state, each.position, each.session_id)
        return left

    def finish(self) -> None:
        """Write the state after the last set."""
        self._note()
        none = self.standing.through is None
        self.turn.work.estimates.save_state(self.turn.lifter.id, self.family, None if none else self.standing.text())
        self.turn.standings[self.family] = self.standing

    def _note(self) -> None:
        for name, each in self.touched.items():
            told = strength.estimate(self.standing.state, Lift.of(self.turn.known(name)), each.at)
            if told is not None:
                self.turn.work.estimates.note(
                    self.turn.lifter.id,
                    self.family,
                    SessionEstimate(
                        session_id=each.session_id,
                        exercise=name,
                        at=each.at,
                        estimate_kg=told.mean_kg,
                        low_kg=told.low_kg,
                        high_kg=told.high_kg,
                    ),
                )
        self.touched.clear()


def _appended(turn: Turn, family: str, sets: Sequence[LoggedSet]) -> list[LoggedSet] | None:
    """The sets with what the estimate implied, if they all come after what it has seen; else None."""
    standing = turn.standing(family)
    if standing.outdated or (standing.through is not None and sets[0].position <= standing.through):
        return None
    walk = _Walk(turn, family, standing)
    done = [replace(each, implied_left=walk.take(each)) for each in sets]
    walk.finish()
    return done


def _implied(state: strength.FamilyState, taken: Evidence) -> float | None:
    return strength.expected_left(
        state,
        taken.lift,
        taken.at,
        load_kg=taken.load_kg,
        repetitions=taken.repetitions,
        set_number=state.sets_in(taken.session, taken.lift.name) + 1,
    )


def _judge_again(turn: Turn, replayed: Iterable[LoggedSet]) -> None:
    groups: dict[tuple[int, str], list[LoggedSet]] = {}
    for each in replayed:
        groups.setdefault((each.session_id, each.exercise), []).append(each)
    verdicts: dict[int, Counted] = {}
    for (_, name), together in groups.items():
        for each, counted in zip(together, judge(together, exercise=turn.known(name)), strict=True):
            if counted is not each.counted:
                verdicts[each.id] = counted
    if verdicts:
        turn.work.sets.judge(verdicts)


def _judge_sessions(turn: Turn, touched: Sequence[LoggedSet]) -> None:
    for session_id in dict.fromkeys(each.session_id for each in touched):
        names = {each.exercise for each in touched if each.session_id == session_id}
        _judge_again(turn, [each for each in turn.work.sets.of_session(session_id) if each.exercise in names])


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
    return now is None or now.load_kg < before.load_kg


def record_told(name: str, record: Record, *, bodyweight: bool) -> RecordTold:
    """A record as it is told."""
    return RecordTold(name, record.reps, Load(record.amount, record.unit), bodyweight=bodyweight)
