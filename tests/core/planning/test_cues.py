from collections import Counter

from hypothesis import given
from hypothesis import strategies as st

from core.domain.session_commands import Cue
from core.planning.cues import cue


def rotated(sessions: int, failing: dict[Cue, int]) -> Counter[Cue]:
    shown: Counter[Cue] = Counter()
    for _ in range(sessions):
        shown[cue(shown, failing)] += 1
    return shown


def test_every_cue_comes_once_before_any_comes_again() -> None:
    assert rotated(6, {}) == Counter(Cue)


def test_a_cue_that_fails_comes_twice_as_often() -> None:
    # Six cues, one of double weight: seven sessions, two of them for it.
    found = rotated(7, {Cue.ELBOWS: 1})

    assert found[Cue.ELBOWS] == 2
    assert all(found[each] == 1 for each in Cue if each is not Cue.ELBOWS)


@given(failing=st.dictionaries(st.sampled_from(Cue), st.integers(1, 50)))
def test_no_cue_is_forgotten_however_often_another_fails(failing: dict[Cue, int]) -> None:
    # At most three times the others: the sum of weights is at most 18.
    assert set(rotated(18, failing)) == set(Cue)
