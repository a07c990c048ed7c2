"""Whatever order sets arrive in, and however they are edited and removed, the same log gives the same states, bit for bit."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from itertools import count

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from core.application.ports import Store
from core.application.rows import SessionEstimate
from core.application.standing import Position, standing_from
from core.domain.replies import Asked, Reply
from core.domain.reviews import MaxTold
from core.domain.sets import LoggedSet
from core.strength.state import Track
from tests.core.application.chats import MONDAY, Chat, the

NAMES = count(1)

LAST_DAY = 40

TEXTS = st.builds(
    "{} {}x{}{}".format,
    st.sampled_from(["bench", "close grip bench", "squat"]),
    st.sampled_from([75, 77.5, 80, 82.5]),
    st.integers(4, 7),
    st.sampled_from(["", " rir0", " rir1", " rir2", " rir3", " failed", " w", " 4+ left", " rpe 8"]),
)

# Some minutes apart in a session, and hours apart, where a set that comes late makes one session of two.
TIMES = st.builds(
    lambda day, minute: timedelta(days=day, minutes=minute),
    st.sampled_from([0, 0, 0, 1, 2, 9]) | st.integers(0, LAST_DAY),
    st.sampled_from([0, 0, 4, 9, 50, 150, 290, 400, 560]),
)


@dataclass(frozen=True, slots=True)
class Told:
    """A message of one set: what it says in the end, and what became of it on the way.

    Args:
        after: When it was sent, after the first Monday.
        text: What it says in the end.
        first: What it said before it was edited; None where it was not.
        gone: It was deleted.

    """

    after: timedelta
    text: str
    first: str | None
    gone: bool


MESSAGES = st.lists(
    st.builds(Told, TIMES, TEXTS, st.none() | TEXTS, st.sampled_from([False, False, False, True])),
    min_size=1,
    max_size=9,
)


@settings(
    deadline=None,
    max_examples=10,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(messages=MESSAGES, draw=st.data())
def test_the_same_sets_give_the_same_states_whatever_happened_on_the_way(
    store: Store, messages: list[Told], draw: st.DataObject
) -> None:
    assume(not all(each.gone for each in messages))
    keyed = list(enumerate(messages, start=1))
    plain = Chat(store, name=f"in order {next(NAMES)}", now=MONDAY + timedelta(days=LAST_DAY + 1))
    for number, each in sorted(keyed, key=lambda pair: (pair[1].after, pair[0])):
        if not each.gone:
            told(plain.say(each.text, at=MONDAY + each.after, key=f"{number:06d}"))

    stirred = Chat(store, name=f"stirred {next(NAMES)}", now=MONDAY + timedelta(days=LAST_DAY + 1))
    for number, each in draw.draw(st.permutations(keyed)):
        told(stirred.say(each.first or each.text, at=MONDAY + each.after, key=f"{number:06d}"))
    for number, each in draw.draw(st.permutations(keyed)):
        if each.first is not None:
            told(stirred.edit(number, each.text))
        if each.gone:
            stirred.delete(number)

    assert sets_of(stirred) == sets_of(plain)
    assert sessions_of(stirred) == sessions_of(plain)
    assert states_of(stirred) == states_of(plain)
    assert histories_of(stirred) == histories_of(plain)
    if any("bench" in each.exercise and each.reps and not each.warmup for each in plain.sets):
        for lift in {each.exercise for each in plain.sets if not each.warmup and (each.reps or each.failed)}:
            expected, found = plain.say(f"max {lift}"), stirred.say(f"max {lift}")
            assert the(MaxTold, found).told == the(MaxTold, expected).told


def told(replies: Sequence[Reply]) -> None:
    """Pass over logs in which a set was asked about: what was known by then decides that, and the order with it."""
    assume(not any(isinstance(each, Asked) for each in replies))


def sets_of(chat: Chat) -> list[LoggedSet]:
    """The log with its verdicts, without the store's numbers."""
    ordered = sorted(chat.sets, key=lambda each: each.position)
    return [replace(each, id=0, session_id=0) for each in ordered]


def sessions_of(chat: Chat) -> list[tuple[date, datetime, datetime, list[Position]]]:
    """The sessions in order, each with its sets, without the store's numbers."""
    found: dict[int, list[Position]] = {}
    for each in chat.sets:
        found.setdefault(each.session_id, []).append(each.position)
    lifter = chat.lifter
    assert lifter is not None
    with chat.store.read() as work:
        rows = [work.sessions.by_id(lifter.id, number) for number in found]
    return sorted((row.day, row.opened_at, row.last_set_at, sorted(found[row.id])) for row in rows if row is not None)


def states_of(chat: Chat) -> list[tuple[Track, ...]]:
    """The states of the estimate, without the store's numbers."""
    lifter = chat.lifter
    assert lifter is not None
    with chat.store.read() as work:
        texts = [work.estimates.state(lifter.id, family) for family in ("bench press", "squat")]
    return [tuple(replace(track, session="") for track in standing_from(text).state.tracks) for text in texts]


def histories_of(chat: Chat) -> list[list[SessionEstimate]]:
    """What was estimated after each session, without the store's numbers."""
    lifter = chat.lifter
    assert lifter is not None
    with chat.store.read() as work:
        return [
            [replace(each, session_id=0) for each in work.estimates.history(lifter.id, name)]
            for name in ("bench press", "close grip bench press", "squat")
        ]
