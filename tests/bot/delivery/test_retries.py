"""Retries: waits grow, are bounded and differ; what comes too late is not sent."""

from dataclasses import replace
from datetime import timedelta

from hypothesis import given
from hypothesis import strategies as st

from bot.delivery.retries import LIVE_KEPT, LONGEST_WAIT_S, is_too_late, wait_before_next_s
from tests.core.storage.rows import NOW, answer, due


@given(tries=st.integers(min_value=1, max_value=10_000), luck=st.floats(min_value=0, max_value=1))
def test_every_wait_is_bounded_and_none_is_shorter_than_half_of_the_first(tries: int, luck: float) -> None:
    wait_s = wait_before_next_s(tries, luck=luck)

    assert 0.5 <= wait_s <= LONGEST_WAIT_S


@given(tries=st.integers(min_value=1, max_value=30))
def test_with_the_same_luck_no_wait_is_shorter_than_the_one_before(tries: int) -> None:
    assert wait_before_next_s(tries + 1, luck=0.3) >= wait_before_next_s(tries, luck=0.3)


def test_two_chats_do_not_come_back_at_the_same_moment() -> None:
    assert wait_before_next_s(3, luck=0.1) != wait_before_next_s(3, luck=0.9)


def test_an_answer_is_worth_sending_for_two_days() -> None:
    assert not is_too_late(answer(), NOW + LIVE_KEPT - timedelta(seconds=1))
    assert is_too_late(answer(), NOW + LIVE_KEPT)


def test_what_has_its_own_end_is_sent_until_then() -> None:
    row = replace(due("rest over"), expires_at=NOW + timedelta(seconds=30))

    assert not is_too_late(row, NOW + timedelta(seconds=29))
    assert is_too_late(row, NOW + timedelta(seconds=30))
