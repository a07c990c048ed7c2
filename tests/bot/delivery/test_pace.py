"""Pace: no window of time sees more messages than the platform takes, and live ones always find room."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.delivery.connector import Limits
from bot.delivery.pace import MOST_CHATS, Pace, Rate

# The platform's documented rates: about 30 a second in all, 1 a second in a chat; the scheduled share is our own choice.
TELEGRAM = Limits(size=4096, a_second=30, scheduled_a_second=25, chat_a_second=1)


def sent_at_s(pace: Pace, chats: list[tuple[str, bool]]) -> list[float]:
    """When each message goes, sent one after the other as soon as it may. [s]"""
    now_s = 0.0
    times: list[float] = []
    for chat, scheduled in chats:
        now_s += pace.wait_s(chat, scheduled=scheduled, now_s=now_s)
        pace.take(chat, scheduled=scheduled, now_s=now_s)
        times.append(now_s)
    return times


def test_a_second_never_sees_more_than_the_rate_and_its_burst() -> None:
    pace = Pace(TELEGRAM)

    times = sent_at_s(pace, [(f"chat {number}", False) for number in range(300)])

    # 3 at once and then 30 a second: by hand, 33 in the fullest second.
    assert max(sum(start <= at < start + 1 for at in times) for start in times) <= 33
    assert times[-1] == pytest.approx((300 - 3) / 30)


def test_scheduled_messages_leave_room_for_live_ones() -> None:
    pace = Pace(TELEGRAM)
    times = sent_at_s(pace, [(f"chat {number}", True) for number in range(250)])

    wait_s = pace.wait_s("live", scheduled=False, now_s=times[-1])
    scheduled_wait_s = pace.wait_s("scheduled", scheduled=True, now_s=times[-1])

    # 250 at 25 a second after a burst of 3.
    assert times[-1] == pytest.approx((250 - 3) / 25)
    assert wait_s == 0
    assert scheduled_wait_s > 0


def test_one_chat_gets_one_message_a_second() -> None:
    times = sent_at_s(Pace(TELEGRAM), [("tove", False)] * 4)

    assert times == pytest.approx([0, 1, 2, 3])


def test_a_burst_to_one_chat_goes_at_once_and_is_paid_for() -> None:
    times = sent_at_s(Pace(Limits(size=1, chat_a_second=1, chat_burst=3)), [("tove", False)] * 5)

    assert times == pytest.approx([0, 0, 0, 1, 2])


def test_without_limits_nothing_waits() -> None:
    assert sent_at_s(Pace(Limits(size=1)), [("tove", True)] * 100) == [0] * 100


def test_quiet_chats_are_let_go() -> None:
    pace = Pace(Limits(size=1, chat_a_second=1))
    for number in range(MOST_CHATS):
        pace.take(f"chat {number}", scheduled=False, now_s=0)

    pace.take("one more", scheduled=False, now_s=10)

    assert len(pace._chats) == 1  # noqa: SLF001 - what it remembers shows nowhere else
    assert pace.wait_s("one more", scheduled=False, now_s=10) == 1


@given(
    gaps_s=st.lists(st.floats(min_value=0, max_value=3), max_size=60),
    a_second=st.floats(min_value=0.1, max_value=50),
    burst=st.integers(min_value=1, max_value=5),
)
def test_any_run_of_messages_keeps_to_the_rate(gaps_s: list[float], a_second: float, burst: int) -> None:
    rate = Rate(a_second, burst=burst)
    now_s = 0.0
    times: list[float] = []
    for gap_s in gaps_s:
        now_s += gap_s
        now_s += rate.wait_s(now_s)
        rate.take(now_s)
        times.append(now_s)

    for first in range(len(times)):
        for last in range(first, len(times)):
            # The limiting case of a steady rate: in t seconds at most burst + t * rate messages.
            assert last - first + 1 <= burst + (times[last] - times[first]) * a_second + 1e-6


@pytest.mark.parametrize("wrong", [{"size": 0}, {"size": 1, "a_second": 0}, {"size": 1, "at_once": 0}])
def test_limits_that_let_nothing_through_are_refused(wrong: dict[str, int]) -> None:
    with pytest.raises(ValueError, match=r"at least 1|more than 0"):
        Limits(**wrong)  # type: ignore[arg-type]  # numbers are numbers here
