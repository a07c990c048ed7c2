"""A closed loop: invented lifters train by their plan for a year, check in, and take the advice they get.

What becomes of a lifter here follows rules of its own, which the advice does not know: sets above what they recover
from pile up as fatigue, which takes strength and lowers the answers; up to there strength grows, ever more slowly.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import partial
from itertools import pairwise

import numpy as np

from core.application import follow
from core.application.strength_now import StrengthNow
from core.application.turn import Turn
from core.domain.advice import Action, AdviceAnswer
from core.domain.exercises import Muscle
from core.domain.plans import Wishes
from core.domain.replies import Asked
from core.domain.sessions import Session
from core.domain.sets import LoggedSet
from core.domain.units import Unit
from core.planning.calendar import is_reduced, week_of
from core.storage.unit_of_work import open_store
from tests.core.application.chats import Chat
from tests.core.application.plans import in_turn, with_plan

WEEKS = 52
"""How long the loop runs. [weeks]"""

TRAINED = frozenset({Muscle.CHEST, Muscle.LATS, Muscle.UPPER_BACK})
"""Muscles with sets of their own: a press and a pull tell what there is to tell, in little time."""

REPS_LOST_A_SET = 0.5
"""Repetitions that each set costs the next. [repetitions]"""

STEP_KG = 2.5
"""Smallest step of the loads. [kg]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """A way to make lifters.

    Args:
        name: For the table.
        starts: Weekly chest sets at the beginning. [sets]
        recovers: Weekly chest sets from which fatigue piles up. [sets]
        gain: Weekly gain at ten sets. [1/week]
        says: "true", "five" (always 5) or "dice" (answers that mean nothing).
        comes: Probability of coming to a session. [1]

    """

    name: str
    starts: int = 8
    recovers: float = 15.0
    gain: float = 0.001
    says: str = "true"
    comes: float = 1.0


@dataclass(frozen=True, slots=True)
class Week:
    """One week of the loop.

    Args:
        target: Weekly chest sets planned. [sets]
        reduced: It was a reduced week.
        done: Share of the sessions done. [1]
        fatigue: Strength that piled-up work takes. [1]
        action: What was advised for the chest; None where nothing was.
        strength_kg: True maximum without fatigue. [kg]

    """

    target: float
    reduced: bool
    done: float
    fatigue: float
    action: Action | None
    strength_kg: float


KINDS = (
    Kind(name="starts low, recovers well", starts=6, recovers=15.0),
    Kind(name="starts at 8, recovers well", starts=8, recovers=15.0),
    Kind(name="starts low, recovers badly", starts=6, recovers=7.0),
    Kind(name="starts high, recovers badly", starts=12, recovers=7.0),
    Kind(name="starts very high, recovers badly", starts=14, recovers=8.0),
    Kind(name="gains fast, recovers well", starts=8, recovers=15.0, gain=0.004),
    Kind(name="answers mean nothing", starts=8, recovers=12.0, says="dice"),
    Kind(name="always says 5, recovers badly", starts=10, recovers=8.0, says="five"),
    Kind(name="comes to six in ten", starts=8, recovers=15.0, comes=0.6),
    Kind(name="comes to four in ten", starts=8, recovers=10.0, comes=0.4),
)


def wishes(kind: Kind) -> Wishes:
    """Two days of pressing, with nothing planned but what the loop looks at."""
    return Wishes(
        days=(0, 3),
        minutes=90,
        most=(Muscle.CHEST,),
        left_out=frozenset(Muscle) - TRAINED,
        sets_now=((Muscle.CHEST, float(kind.starts)),),
    )


def lived(kind: Kind, *, seed: int, weeks: int = WEEKS) -> Iterator[Week]:
    """The weeks of one lifter; the same number gives the same lifter."""
    store = open_store("sqlite://")
    try:
        yield from _lived(Chat(store), kind, np.random.default_rng(seed), weeks)
    finally:
        store.close()


def _lived(chat: Chat, kind: Kind, draw: np.random.Generator, weeks: int) -> Iterator[Week]:
    chat.say("consent on")
    with_plan(chat, wishes(kind))
    maxima = {"bench press": math.log(draw.uniform(70.0, 140.0))}
    fatigue = 0.0
    for _ in range(weeks):
        monday = chat.now
        target, reduced = in_turn(chat, _planned)
        sets = (target / 2 if reduced else target) * kind.comes
        done = 0
        for day, lifts in in_turn(chat, _sessions):
            if draw.random() >= kind.comes:
                continue
            done += 1
            chat.now = monday + timedelta(days=(day - monday.date()).days)
            form = draw.normal(0.0, 0.01)
            for name, *_ in lifts:
                maxima.setdefault(name, math.log(draw.uniform(60.0, 100.0)))
            able = {name: maxima[name] - fatigue + form for name, *_ in lifts}
            lighter = 0.9 if reduced else 1.0
            in_turn(chat, partial(_train, lifts=lifts, able=able, draw=draw, lighter=lighter))
        chat.now = monday + timedelta(days=6)
        action = _checked_in(chat, kind, fatigue, draw)
        yield Week(target, reduced, done / 2, fatigue, action, math.exp(maxima["bench press"]))
        # Half of the fatigue is gone after a week; each set too many takes half a percent.
        fatigue = 0.5 * fatigue + 0.005 * max(0.0, sets - kind.recovers)
        grown = kind.gain * min(1.0, sets / 10.0) * (0.3 if fatigue > 0.02 else 1.0)
        maxima = {name: maximum + grown for name, maximum in maxima.items()}
        chat.now = monday + timedelta(weeks=1)


def _planned(turn: Turn) -> tuple[float, bool]:
    plan = turn.plan
    assert plan is not None
    return dict(plan.block.week.targets)[Muscle.CHEST], is_reduced(plan, week_of(plan, turn.today))


def _sessions(turn: Turn) -> list[tuple[date, list[tuple[str, int, int, float]]]]:
    plan = turn.plan
    assert plan is not None
    return [
        (day.day, [(each.exercise, each.sets, each.scheme.reps, each.scheme.left or 2.0) for each in day.session.lifts])
        for day in turn.days_of_week(plan, week_of(plan, turn.today))
    ]


def _train(
    turn: Turn,
    *,
    lifts: Sequence[tuple[str, int, int, float]],
    able: Mapping[str, float],
    draw: np.random.Generator,
    lighter: float,
) -> None:
    """One session as it is logged: loads from the estimate, efforts from the true strength."""
    day = turn.today
    session = turn.work.sessions.add(
        Session(lifter_id=turn.lifter.id, day=day, opened_at=turn.now, last_set_at=turn.now, exercise=lifts[0][0])
    )
    for number, (name, count, reps, left) in enumerate(lifts):
        advised = StrengthNow(turn).load_kg(turn.known(name), reps=reps, left=left, sets=count)
        load_kg = advised or math.exp(able[name]) * _share(reps + left + REPS_LOST_A_SET * count)
        load_kg = max(STEP_KG, STEP_KG * round(lighter * load_kg / STEP_KG))
        sets = []
        for place in range(count):
            possible = _able(load_kg / math.exp(able[name])) - REPS_LOST_A_SET * place
            failed = possible < reps
            felt = round(possible - reps + draw.normal(0.0, 0.7))
            sets.append(
                LoggedSet(
                    session_id=session.id,
                    at=turn.now + timedelta(minutes=15 * number + 3 * place),
                    root_key=f"{day} {name}",
                    place=place,
                    exercise=name,
                    load=load_kg,
                    unit=Unit.KG,
                    load_kg=load_kg,
                    moved_kg=load_kg,
                    reps=max(int(possible), 1) if failed else reps,
                    rir=None if failed else float(min(max(felt, 0), 6)),
                    failed=failed,
                )
            )
        follow.log(turn, sets, day=day, before=())


def _share(repetitions: float) -> float:
    # Epley made to pass through 1 at one repetition.
    return 1.0 / (1.0 + (repetitions - 1.0) / 30.0)


def _able(share: float) -> float:
    return 1.0 + 30.0 * (1.0 / share - 1.0) if share < 1.0 else 0.0


def _checked_in(chat: Chat, kind: Kind, fatigue: float, draw: np.random.Generator) -> Action | None:
    answers = []
    for _ in range(5):
        if kind.says == "five":
            answers.append(5)
        elif kind.says == "dice":
            answers.append(int(draw.integers(1, 6)))
        else:
            felt = 4.0 - 40.0 * fatigue + draw.normal(0.0, 0.35)
            answers.append(min(max(round(felt), 1), 5))
    chat.say("check-in " + " ".join(map(str, answers)))
    replies = chat.say("check-in no pain")
    if any(isinstance(each, Asked) for each in replies):
        chat.say("advice yes")
    return in_turn(chat, _advised)


def _advised(turn: Turn) -> Action | None:
    given = turn.work.advice.since(turn.lifter.id, turn.today - timedelta(days=6))
    chest = [each for each in given if each.advice.muscle is Muscle.CHEST]
    taken = [each for each in chest if each.answer is AdviceAnswer.ACCEPTED]
    return None if not chest else (taken or chest)[-1].advice.action


def changed(weeks: list[Week]) -> list[int]:
    """Directions in which the target moved, one a change: 1 or -1."""
    moves = [after.target - before.target for before, after in pairwise(weeks)]
    return [int(math.copysign(1, each)) for each in moves if each]


def turns(weeks: list[Week]) -> int:
    """How often the target went up after it had gone down, or down after it had gone up."""
    moves = changed(weeks)
    return sum(before != after for before, after in pairwise(moves))


WORN_FROM = 0.02
"""Strength taken by piled-up work from which a lifter who says so counts as overreached. [1] Beyond the noise of a day's
form, and by four points of the week's five answers."""

WORN_UNTOLD_FROM = 0.042
"""The same for one whose answers say nothing, of whom no more is known than the log. [1] What a measured maximum itself
varies by from one test to the next, 4.2 % (Grgic et al. 2020): less than that nobody can see in lifts alone, coach or
program, and nobody should cut for."""

RELIEF_WITHIN = 2
"""Check-ins within which an overreached lifter is to get relief."""


def relieved_late(kind: Kind, weeks: list[Week]) -> bool:
    """Whether a lifter's first time of being overreached went on for longer than it may without less work."""
    worn_from = WORN_FROM if kind.says == "true" else WORN_UNTOLD_FROM
    worn = next((place for place, week in enumerate(weeks) if week.fatigue >= worn_from), None)
    if worn is None:
        return False
    soon = weeks[worn : worn + RELIEF_WITHIN]
    # A cut at the check-in before is less work in this very week.
    if any(after.target < before.target for before, after in pairwise(weeks[max(worn - 1, 0) : worn + RELIEF_WITHIN])):
        return False
    return not any(week.reduced or week.action in (Action.CUT, Action.REDUCED_WEEK) for week in soon)
