"""Hard sets: which sets count, for which muscles, and why the others do not."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import compress
from math import inf
from types import MappingProxyType
from typing import Protocol

from core.domain.exercises import Exercise, Muscle
from core.domain.sets import Counted, LoggedSet

FEWEST_REPS = 3
"""Fewest repetitions of a set that counts. [repetitions] One or two train strength; common practice, no source."""

LONGEST_USUAL_REPS = 12
"""Most repetitions of a set judged by `MOST_LEFT_USUAL`. [repetitions] Common practice, no source."""

MOST_REPS_COUNTED = 30
"""Most repetitions of a set that counts. [repetitions] Above it the load is too light; common practice, no source."""

MOST_LEFT_USUAL = 4.0
"""Most repetitions left in a set of 3 to 12 that counts. [repetitions] Common practice, no source."""

MOST_LEFT_LONG = 3.0
"""Most repetitions left in a set of 13 to 30 that counts. [repetitions] Long sets are judged less surely; cp."""

LEFT_BEFORE_LAST = 2.0
"""How many more may be left in the earlier straight sets. [repetitions] On one load the first of five sets has about
two more left than the last; the program's own figure."""

HEAVY_SHARE = 0.9
"""Share of the session's heaviest load from which a set of unknown effort counts without an estimate. [1] The program's
own figure: four repetitions left at 3 to 12 repetitions lie within about a tenth of the load with none left."""

EFFORT_AT_NONE_LEFT = 10.0
"""Rating at which no repetition is left. [1] Zourdos et al. 2016, JSCR 30:267-275."""

LOWEST_EXACT_RPE = 7.0
"""Lowest rating that says how many repetitions are left. [1] Zourdos et al. 2016, JSCR 30:267-275."""

LEFT_BELOW_EXACT_RPE = 4.0
"""Repetitions that at least are left at a lower rating. [repetitions] From memory of the same scale."""

DIRECT_CREDIT = 1.0
"""What a hard set counts for a muscle it trains directly. [sets] Pelland et al. 2024."""

INDIRECT_CREDIT = 0.5
"""What a hard set counts for a muscle it trains indirectly. [sets] Pelland et al. 2024."""

_A_TRACE = 1e-9
"""What "at least n" lies above n when n is the limit: it is not "at most n". [repetitions]"""


def judge(
    sets_of_one_exercise_in_one_session: Sequence[LoggedSet],
    *,
    exercise: Exercise,
    power_sets: frozenset[int] = frozenset(),
    implied: Sequence[float | None] | None = None,
) -> tuple[Counted, ...]:
    """Whether each set counts as a hard set, or why it does not.

    What is not sure does not count: "at least 4 left" is not "at most 4 left", and a lower bound below the limit leaves
    the effort unknown. A failed set counts from the first repetition made, however few; with none made nothing was
    done. Help means that none was left. Of a drop or rest-pause set, which is one set, the longest part sets the limit.

    A set is on the way up (an unmarked ramp) when no set before it was heavier, a later one is, no effort
    within the limit was told, and it either lies below `HEAVY_SHARE` of the heaviest load or is a single or double
    before longer sets. Where effort was not told, the estimate can still call it hard, unless a heavier set that
    followed had as many repetitions: then this one had plenty left.

    Args:
        sets_of_one_exercise_in_one_session: In order of position, as the store hands them over.
        exercise: The exercise; it tells whether the load is help.
        power_sets: Store's numbers of the sets that were prescribed as power sets.
        implied: Repetitions left that the estimate implies now, a value a set; those of the sets without. [repetitions]

    Returns:
        One verdict a set, in the same order.

    """
    session = sets_of_one_exercise_in_one_session
    if implied is None:
        implied = [item.implied_left for item in session]
    plain = [_verdict_without_effort(item, power_sets) for item in session]
    loads = _comparable_loads(session, exercise)
    lifted = [verdict not in _NOT_LIFTED for verdict in plain]
    heaviest = max(compress(loads, lifted), default=0.0)
    heavy_from = HEAVY_SHARE * heaviest if heaviest > 0.0 else heaviest
    verdicts: list[Counted] = []
    before = -inf
    for first, end in _straight_runs(session, plain):
        load = loads[first]
        reps = _all_reps(session[first])
        rising = before <= load < heaviest
        # Asked only of what may be on the way up: to ask it of every set is quadratic in a long session.
        followed_by = _longest_above(load, session, loads, lifted, start=end) if rising else 0
        if load > before and True in lifted[first:end]:
            before = load
        ramp = rising and (load < heavy_from or reps < FEWEST_REPS <= followed_by)
        run, run_plain = session[first:end], plain[first:end]
        if plain[first] is Counted.STRENGTH:
            verdicts += _verdicts_of_short_sets(run, run_plain, ramp=ramp)
        else:
            run_implied = implied[first:end] if not ramp or followed_by < reps else [None] * len(run)
            verdicts += _verdicts_by_effort(run, run_plain, run_implied, heavy=load >= heavy_from, ramp=ramp)
    return tuple(verdicts)


class SetsCounted(Protocol):
    """How many sets of one exercise and session have one verdict."""

    @property
    def session_id(self) -> int:
        """The session."""

    @property
    def exercise(self) -> str:
        """Name of the exercise."""

    @property
    def counted(self) -> Counted:
        """The verdict."""

    @property
    def sets(self) -> int:
        """How many."""


@dataclass(frozen=True, slots=True)
class MuscleSets:
    """What one muscle got in a span of days.

    Args:
        sets: Hard sets, direct ones 1 and indirect ones 0.5. [sets]
        sessions: Sessions with at least one hard set for it, direct or indirect.

    """

    sets: float
    sessions: int


@dataclass(frozen=True, slots=True)
class NotCounted:
    """Sets of one exercise that count for no muscle.

    Args:
        exercise: Its name.
        why: The verdict; `Counted.HARD` says that no muscle of the exercise is known.
        sets: How many.

    """

    exercise: str
    why: Counted
    sets: int


@dataclass(frozen=True, slots=True)
class WeeklySets:
    """Hard sets by muscle, in the order of `Muscle`, and what was not counted, in the order it was met."""

    muscles: Mapping[Muscle, MuscleSets]
    not_counted: tuple[NotCounted, ...]


def weekly_sets(rows: Iterable[SetsCounted], *, exercises: Mapping[str, Exercise]) -> WeeklySets:
    """Hard sets by muscle over the days that the rows are from.

    Args:
        rows: Numbers of sets by session, exercise and verdict, in any order.
        exercises: Exercises by name; sets of one that is not there count for no muscle.

    Source:
        Pelland et al. 2024 for the credit of direct and indirect sets.

    """
    credit_of: dict[Muscle, float] = {}
    sessions: dict[Muscle, set[int]] = {}
    not_counted: dict[tuple[str, Counted], int] = {}
    for row in rows:
        if row.sets <= 0:
            continue
        exercise = exercises.get(row.exercise)
        if row.counted is not Counted.HARD or exercise is None or not (exercise.direct or exercise.indirect):
            key = (row.exercise, row.counted)
            not_counted[key] = not_counted.get(key, 0) + row.sets
            continue
        for muscles, credit in ((exercise.direct, DIRECT_CREDIT), (exercise.indirect, INDIRECT_CREDIT)):
            for muscle in muscles:
                credit_of[muscle] = credit_of.get(muscle, 0.0) + credit * row.sets
                sessions.setdefault(muscle, set()).add(row.session_id)
    return WeeklySets(
        muscles=MappingProxyType(
            {
                muscle: MuscleSets(sets=credit_of[muscle], sessions=len(sessions[muscle]))
                for muscle in _MUSCLES
                if muscle in credit_of
            }
        ),
        not_counted=tuple(NotCounted(exercise=name, why=why, sets=n) for (name, why), n in not_counted.items()),
    )


_MUSCLES = tuple(Muscle)

_NOT_LIFTED = frozenset({Counted.WARM_UP, Counted.TIMED, Counted.NOTHING_DONE})

_BY_EFFORT = frozenset({None, Counted.STRENGTH, Counted.HARD, Counted.NOTHING_DONE})


def _verdict_without_effort(item: LoggedSet, power_sets: frozenset[int]) -> Counted | None:
    if item.warmup:
        return Counted.WARM_UP
    if item.seconds is not None:
        return Counted.TIMED
    reps = _all_reps(item)
    if reps == 0:
        return Counted.NOTHING_DONE
    if item.id and item.id in power_sets:
        return Counted.POWER
    if _longest_part(item) > MOST_REPS_COUNTED:
        return Counted.TOO_MANY
    if item.failed and not item.measured:
        return Counted.HARD
    return Counted.STRENGTH if reps < FEWEST_REPS else None


def _all_reps(item: LoggedSet) -> int:
    reps = item.reps or 0
    return reps + sum(part.reps for part in item.parts) if item.parts else reps


def _longest_part(item: LoggedSet) -> int:
    reps = item.reps or 0
    return max(reps, *(part.reps for part in item.parts)) if item.parts else reps


def _longest_above(
    load: float, session: Sequence[LoggedSet], loads: Sequence[float], lifted: Sequence[bool], *, start: int
) -> int:
    """Most repetitions of the sets from a place on that were heavier. [repetitions]"""
    return max((session[i].reps or 0 for i in range(start, len(session)) if lifted[i] and loads[i] > load), default=0)


def _comparable_loads(session: Sequence[LoggedSet], exercise: Exercise) -> list[float]:
    moved = [item.moved_kg for item in session if item.moved_kg is not None]
    if len(moved) == len(session):
        return moved
    # Without body mass the load alone compares: its share of the heaviest only rises when body mass is added to both.
    # With help it has no share, and only the least help is sure to be heavy.
    return [-abs(item.load_kg) if exercise.assisted else item.load_kg for item in session]


def _straight_runs(session: Sequence[LoggedSet], plain: Sequence[Counted | None]) -> Iterator[tuple[int, int]]:
    """Where runs of straight sets begin, and where the next one does."""
    start = 0
    for i in range(1, len(session)):
        together = plain[start] in _BY_EFFORT and plain[i] in _BY_EFFORT
        if not together or not _straight(session[start], session[i]):
            yield start, i
            start = i
    if session:
        yield start, len(session)


def _straight(first: LoggedSet, later: LoggedSet) -> bool:
    # The target of a set is not logged: it is what the first of them did, which a failed one fell short of.
    return (
        first.load_kg == later.load_kg
        and first.bodyweight == later.bodyweight
        and not first.parts
        and not later.parts
        and (first.reps == later.reps or (later.failed and (later.reps or 0) < (first.reps or 0)))
    )


def _verdicts_of_short_sets(
    run: Sequence[LoggedSet], plain: Sequence[Counted | None], *, ramp: bool
) -> Iterator[Counted]:
    told_hard = any(left is not None and not bound and left <= MOST_LEFT_USUAL for left, bound in map(_told_left, run))
    for verdict in plain:
        if verdict is Counted.NOTHING_DONE:
            yield verdict
        else:
            yield Counted.RAMP if ramp and not told_hard else Counted.STRENGTH


def _verdicts_by_effort(
    run: Sequence[LoggedSet],
    plain: Sequence[Counted | None],
    implied: Sequence[float | None],
    *,
    heavy: bool,
    ramp: bool,
) -> list[Counted]:
    limit = MOST_LEFT_USUAL if _longest_part(run[0]) <= LONGEST_USUAL_REPS else MOST_LEFT_LONG
    told = [_told_left(item) for item in run]
    left = [_likely_left(*each, by_estimate, limit=limit) for each, by_estimate in zip(told, implied, strict=True)]
    last = _left_after_last(told, left[-1], limit=limit)
    together = last is not None and max([each or 0.0 for each in left]) <= limit + LEFT_BEFORE_LAST
    verdicts: list[Counted] = []
    for verdict, (own_told, bound), own in zip(plain, told, left, strict=True):
        judged_by = last if together else own
        if verdict is not None:
            verdicts.append(verdict)
        elif own_told is not None and not bound and own_told <= limit:
            verdicts.append(Counted.HARD)
        elif judged_by is not None:
            verdicts.append(Counted.HARD if judged_by <= limit else Counted.RAMP if ramp else Counted.TOO_EASY)
        elif ramp:
            verdicts.append(Counted.RAMP)
        else:
            verdicts.append(Counted.HARD if heavy else Counted.TOO_LIGHT)
    return verdicts


def _left_after_last(told: Sequence[tuple[float | None, bool]], likely: float | None, *, limit: float) -> float | None:
    """Repetitions left after the last straight set, by all that was told of them. [repetitions]"""
    last, bound = told[-1]
    if last is not None and (not bound or last >= limit):
        return likely
    # On one load fatigue only takes repetitions away, so what was told earlier is the most the last had left.
    for left, bound in reversed(told):
        if left is not None and not bound:
            return left if likely is None else min(likely, left)
    return likely


def _told_left(item: LoggedSet) -> tuple[float | None, bool]:
    """Repetitions left as told, and whether that is only a lower bound. [repetitions]."""
    if item.failed or item.helped:
        return 0.0, False
    if item.rir is not None:
        return item.rir, item.at_least
    if item.rpe is None:
        return None, False
    if item.rpe < LOWEST_EXACT_RPE:
        return LEFT_BELOW_EXACT_RPE, True
    return EFFORT_AT_NONE_LEFT - item.rpe, item.at_least


def _likely_left(told: float | None, bound: bool, implied: float | None, *, limit: float) -> float | None:  # noqa: FBT001 - a pair of `_told_left`, unpacked
    if told is None or not bound:
        return implied if told is None else told
    if told >= limit:
        return max(told, implied or 0.0) + _A_TRACE
    return None if implied is None else max(told, implied)
