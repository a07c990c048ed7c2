"""Replay: sets of a family taken in order, and what the estimate says along the way; worked out on paper."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from core.application.rows import Checkpoint, SessionEstimate
from core.application.standing import Standing
from core.application.worked_out import NOTHING_WORKED_OUT, NotWorkedOut, WorkedOut
from core.domain.exercises import Exercise
from core.domain.sets import Counted, LoggedSet
from core.strength import estimate as strength
from core.strength.evidence import Evidence, Lift
from core.workload.hard_sets import judge

EXACT_RPE_FROM = 7.0
"""Lowest rating that stands for a number of repetitions left. Zourdos et al. 2016."""

LEFT_AT_LOWER_RPE = 4.0
"""Repetitions that at least are left at a lower rating. [repetitions] From memory of the same scale."""

MOST_AT_ONCE = 60
"""Most sets that are taken in while nobody else can write. [sets] About 20 ms; more are worked out before."""

MOST_TRIES = 3
"""How often a stretch of the log is worked out before; if it changes all the time, it is done while others wait."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """Sets of a family, in order, from a standing on: all that what follows from them depends on.

    Args:
        standing: The state before the first of them.
        sets: The sets.
        exercises: What they are of, by name.

    """

    standing: Standing
    sets: tuple[LoggedSet, ...]
    exercises: Mapping[str, Exercise]

    def same_as(self, other: "Stretch") -> bool:
        """Whether the same follows from both: a set that was not stored yet has another number each time."""
        if (self.standing, self.exercises, len(self.sets)) != (other.standing, other.exercises, len(other.sets)):
            return False
        pairs = zip(self.sets, other.sets, strict=True)
        return all(mine == theirs or replace(mine, id=theirs.id) == theirs for mine, theirs in pairs)


@dataclass(frozen=True, slots=True)
class Replayed:
    """What follows from a stretch.

    Args:
        standing: The state after its last set.
        implied: Repetitions left that the estimate from before each set implies.
        counted: What each set counts as.
        checkpoints: States before the first set of each session.
        notes: What was estimated at the end of each session.

    """

    standing: Standing
    implied: tuple[float | None, ...]
    counted: tuple[Counted, ...]
    checkpoints: tuple[Checkpoint, ...]
    notes: tuple[SessionEstimate, ...]


class Longer(Exception):  # noqa: N818 - it asks for something, and nothing is wrong
    """A stretch is too long to be worked out while others wait; whoever runs the work does so, and runs it again."""

    def __init__(self, stretch: Stretch) -> None:
        super().__init__()
        self.stretch = stretch


@dataclass(frozen=True, slots=True)
class Replays:
    """Stretches that were worked out before the work began, in which they hold only if nothing changed meanwhile.

    Args:
        done: What was worked out.
        weeks: Weeks that were laid out.
        patient: Further ones may be asked for.

    """

    done: tuple[tuple[Stretch, Replayed], ...] = ()
    patient: bool = False
    weeks: WorkedOut = NOTHING_WORKED_OUT

    def of(self, stretch: Stretch) -> Replayed:
        """What follows from a stretch.

        Raises:
            Longer: it has to be worked out first.

        """
        for known, replayed in self.done:
            if known.same_as(stretch):
                return replayed
        if self.patient and len(stretch.sets) > MOST_AT_ONCE:
            raise Longer(stretch)
        return replayed_from(stretch)

    def after(self, longer: Longer | NotWorkedOut) -> "Replays":
        """These with one stretch or one week more, worked out now."""
        if isinstance(longer, NotWorkedOut):
            return replace(self, weeks=self.weeks.after(longer))
        done = (*self.done, (longer.stretch, replayed_from(longer.stretch)))
        return replace(self, done=done, patient=len(done) < MOST_TRIES)


NONE_BEFORE = Replays()
"""Everything is worked out inside the work."""


@dataclass(slots=True)
class Walk:
    """Takes the sets of a family in order.

    Args:
        standing: The state so far.
        exercises: What the sets are of, by name.
        checkpoints: States before the first set of each session.
        notes: What was estimated at the end of each session.

    """

    standing: Standing
    exercises: Mapping[str, Exercise]
    checkpoints: list[Checkpoint] = field(default_factory=list)
    notes: list[SessionEstimate] = field(default_factory=list)
    _touched: dict[str, LoggedSet] = field(default_factory=dict)
    _lifts: dict[str, Lift] = field(default_factory=dict)

    def take(self, each: LoggedSet) -> float | None:
        """Go one set further; returned: the repetitions left that the estimate from before it implies."""
        if each.session_id != self.standing.session_id:
            self.note()
            self.checkpoints.append(
                Checkpoint(session_id=each.session_id, at=each.at, state=self.standing.text()),
            )
        taken = evidence(each, self._lift(each.exercise))
        state = self.standing.state
        left = None
        if taken is not None and not each.warmup:
            left = _implied(state, taken)
            state = strength.advance(state, taken)
            self._touched[each.exercise] = each
        self.standing = Standing(state, each.position, each.session_id)
        return left

    def note(self) -> None:
        """Note what is estimated now, at the end of a session or of the sets."""
        for name, each in self._touched.items():
            told = strength.estimate(self.standing.state, self._lift(name), each.at)
            if told is not None:
                self.notes.append(
                    SessionEstimate(
                        session_id=each.session_id,
                        exercise=name,
                        at=each.at,
                        estimate_kg=told.mean_kg,
                        low_kg=told.low_kg,
                        high_kg=told.high_kg,
                    )
                )
        self._touched.clear()

    def _lift(self, name: str) -> Lift:
        lift = self._lifts.get(name)
        if lift is None:
            lift = self._lifts[name] = Lift.of(self.exercises[name])
        return lift


def replayed_from(stretch: Stretch) -> Replayed:
    """What follows from a stretch, the same to the last bit wherever and whenever it is worked out."""
    walk = Walk(stretch.standing, stretch.exercises)
    implied = [walk.take(each) for each in stretch.sets]
    walk.note()
    return Replayed(
        standing=walk.standing,
        implied=tuple(implied),
        counted=counted(stretch.sets, exercises=stretch.exercises, implied=implied),
        checkpoints=tuple(walk.checkpoints),
        notes=tuple(walk.notes),
    )


def counted(
    sets: Sequence[LoggedSet], *, exercises: Mapping[str, Exercise], implied: Sequence[float | None] | None = None
) -> tuple[Counted, ...]:
    """What each of some sets counts as, by what the estimate implies of it now, or by what it was stored with.

    Of an exercise and session, all sets are among them.
    """
    if implied is None:
        implied = [each.implied_left for each in sets]
    groups: dict[tuple[int, str], list[int]] = {}
    for place, each in enumerate(sets):
        groups.setdefault((each.session_id, each.exercise), []).append(place)
    verdicts = [each.counted for each in sets]
    for (_, name), places in groups.items():
        judged = judge(
            [sets[place] for place in places], exercise=exercises[name], implied=[implied[place] for place in places]
        )
        for place, verdict in zip(places, judged, strict=True):
            verdicts[place] = verdict
    return tuple(verdicts)


def evidence(each: LoggedSet, lift: Lift) -> Evidence | None:
    """A set as the estimate takes it; None for one that says nothing about strength."""
    if each.moved_kg is None or each.moved_kg <= 0 or each.seconds is not None or each.reps is None:
        return None
    if each.reps == 0 and not each.failed:
        return None
    left, at_least = told_left(each)
    return Evidence(
        lift=lift,
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


def _implied(state: strength.FamilyState, taken: Evidence) -> float | None:
    return strength.expected_left(
        state,
        taken.lift,
        taken.at,
        load_kg=taken.load_kg,
        repetitions=taken.repetitions,
        set_number=state.sets_in(taken.session, taken.lift.name) + 1,
    )
