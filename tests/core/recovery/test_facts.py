"""Facts refuse what cannot be."""

from math import nan

import pytest

from core.domain.advice import OFFERS, Rule
from core.domain.exercises import Muscle
from core.recovery.facts import Declined, MuscleFacts, Performance, WeekFacts


@pytest.mark.parametrize("probability", [-0.1, 1.1, nan])
def test_a_probability_lies_between_0_and_1(probability: float) -> None:
    with pytest.raises(ValueError, match=r"not a probability"):
        Performance(probability, weeks=4, exposures=8, down=False)


@pytest.mark.parametrize(("weeks", "exposures"), [(-1, 8), (4, -1)])
def test_a_trend_has_no_negative_length(weeks: int, exposures: int) -> None:
    with pytest.raises(ValueError, match=r"negative length"):
        Performance(0.5, weeks=weeks, exposures=exposures, down=False)


@pytest.mark.parametrize("share", [-0.1, nan])
def test_no_share_of_sessions_is_negative(share: float) -> None:
    with pytest.raises(ValueError, match=r"not a share"):
        WeekFacts(beside_past=None, check_ins=1, done_share=share)


@pytest.mark.parametrize(
    ("target", "weekly_sets", "floor", "ceiling"),
    [(-1, 8.0, 4, 16), (8, -0.5, 4, 16), (8, nan, 4, 16), (8, 8.0, 17, 16), (8, 8.0, -1, 16)],
)
def test_sets_are_not_negative_and_the_floor_lies_under_the_ceiling(
    target: int, weekly_sets: float, floor: int, ceiling: int
) -> None:
    with pytest.raises(ValueError, match=r"floor|negative"):
        MuscleFacts(
            muscle=Muscle.CHEST,
            rank=1,
            target=target,
            weekly_sets=weekly_sets,
            floor=floor,
            ceiling=ceiling,
            weeks_since_change=1,
        )


@pytest.mark.parametrize("rule", sorted(set(Rule) - OFFERS))
def test_care_and_judgement_cannot_be_declined(rule: Rule) -> None:
    with pytest.raises(ValueError, match=r"nothing to decline"):
        Declined(rule, (), weeks_ago=0)
