"""Undulation: what each day asks of the main lift, the block of weeks, and the reduced week."""

from dataclasses import replace
from itertools import combinations

from core.domain.exercises import Exercise
from core.domain.plans import DAYS, Block, DayKind, PlannedLift, PlannedSession, Role, Scheme, WeekPlan, Wishes

BLOCK_WEEKS = 5
"""Weeks of a block before its reduced week. [weeks] Strength athletes report one every 5.6 weeks (Rogerson et al. 2024,
from memory)."""

REDUCED_LOAD = 0.9
"""Share of the usual load in a reduced week. [1]"""

TARGET_LEFT = 2.0
"""Repetitions left after the last set on strength and volume days. [repetitions]"""

FEWEST_SETS = 3
"""Fewest sets of a lift in a session. [sets]"""

MOST_SETS = 6
"""Most sets of a lift in a session. [sets]"""

STRENGTH = Scheme(reps=5, top=7, left=TARGET_LEFT)
VOLUME = Scheme(reps=8, top=10, left=TARGET_LEFT)
POWER = Scheme(reps=3, top=3, left=None, share=0.70)
MULTI_JOINT = Scheme(reps=8, top=10, left=TARGET_LEFT)
SINGLE_JOINT = Scheme(reps=12, top=15, left=TARGET_LEFT)

SCHEMES = {DayKind.STRENGTH: STRENGTH, DayKind.VOLUME: VOLUME, DayKind.POWER: POWER}
"""What the main lift's sets ask for on each kind of day; fives and eights with two pressing days, cp."""

USUAL_SETS = {DayKind.STRENGTH: 5, DayKind.VOLUME: 3, DayKind.POWER: 5}
"""Sets of the main lift that are aimed at. [sets] Five of five and three of eight, cp."""

LEAST_MAIN_SETS = {DayKind.STRENGTH: 3, DayKind.VOLUME: 3, DayKind.POWER: 5}
"""Fewest sets of the main lift. [sets]"""

BACK_OFF_SETS = 2
"""Back-off sets of eight after the main lift, where it is trained on one day only. [sets]"""

KINDS = {
    1: (DayKind.STRENGTH,),
    2: (DayKind.STRENGTH, DayKind.VOLUME),
    3: (DayKind.VOLUME, DayKind.POWER, DayKind.STRENGTH),
    4: (DayKind.VOLUME, DayKind.POWER, DayKind.STRENGTH, DayKind.VOLUME),
}
"""Kinds of the pressing days, in order. Three: the order of Zourdos et al. 2016, JSCR 30:784-791. The fourth day trains
a variation for 8 to 10 in place of the main lift."""

MOST_USUAL_PRESSING_DAYS = 3
"""Most pressing days that a plan takes by itself: presses are spread over two or three days (cp)."""


def pressing_days(wishes: Wishes) -> tuple[int, ...]:
    """Weekdays of the main lift: two or three of the training days, as far from each other as they can be.

    Fewer where three would fall on consecutive days. The same wishes give the same days.
    """
    days = wishes.training_days
    if wishes.pressing_days is not None:
        return _spread(days, wishes.pressing_days)
    for count in range(min(MOST_USUAL_PRESSING_DAYS, len(days)), 1, -1):
        chosen = _spread(days, count)
        if count == 2 or min(_gaps(chosen)) >= 2:
            return chosen
    return days[:1]


def day_kinds(pressing: tuple[int, ...]) -> dict[int, DayKind]:
    """Kind of each pressing day."""
    return dict(zip(pressing, KINDS[len(pressing)], strict=True))


def variation_day(pressing: tuple[int, ...]) -> int | None:
    """The day that trains a variation in place of the main lift: the fourth one."""
    return pressing[3] if len(pressing) == 4 else None


def scheme(role: Role, kind: DayKind, exercise: Exercise) -> Scheme:
    """What the sets of a lift ask for on a kind of day."""
    if role is Role.MAIN:
        return SCHEMES[kind]
    if role is Role.BACK_OFF:
        return VOLUME
    return MULTI_JOINT if exercise.multi_joint else SINGLE_JOINT


def block(week: WeekPlan) -> Block:
    """Five weeks on one layout, and the reduced week after them."""
    return Block(week=week, weeks=BLOCK_WEEKS, reduced=reduced(week))


def reduced(week: WeekPlan) -> WeekPlan:
    """The week with less work: the same days and lifts, half the sets rounded up.

    The loads, a tenth lower, are `prescription`'s part. Its sets stand outside trend and advice, so it has no targets.
    """
    sessions = tuple(
        replace(session, lifts=tuple(_halved(lift) for lift in session.lifts)) for session in week.sessions
    )
    return WeekPlan(sessions=sessions, muscles=(), targets=())


def week_number(weeks_since_start: int) -> int:
    """Week of the block, 1 to 6, the sixth being the reduced one, from the weeks since the first block began."""
    return weeks_since_start % (BLOCK_WEEKS + 1) + 1


def reduced_session(session: PlannedSession) -> PlannedSession:
    """One session with half the sets rounded up."""
    return replace(session, lifts=tuple(_halved(lift) for lift in session.lifts))


def _halved(lift: PlannedLift) -> PlannedLift:
    return replace(lift, sets=-(-lift.sets // 2))


def _spread(days: tuple[int, ...], count: int) -> tuple[int, ...]:
    # The even spread first, then the earliest days: the order decides between spreads as good.
    return max(combinations(days, count), key=lambda each: (sorted(_gaps(each)), [-day for day in each]))


def _gaps(days: tuple[int, ...]) -> list[int]:
    return [(later - day - 1) % DAYS + 1 for day, later in zip(days, (*days[1:], days[0]), strict=True)]
