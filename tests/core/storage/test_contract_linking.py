"""What every engine must do alike: codes by which one chat joins another, and the chats of one lifter."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import timedelta

import pytest

from core.application.link_codes import LinkCode
from core.application.ports import Store, UnitOfWork
from core.domain.profile import Address, Lifter
from core.storage.unit_of_work import open_store
from tests.core.storage.rows import (
    KIM,
    NOW,
    TODAY,
    TOVE,
    answer,
    arrived,
    asked,
    bench,
    done,
    minutes,
    new_lifter,
    new_session,
    stored,
)

PHONE = Address("matrix", "@tove:example.org")


def given(store: Store, lifter: Lifter, code: str = "bcdghjklmnpq") -> LinkCode:
    """A code that a lifter was given."""
    made = LinkCode(code=code, lifter_id=lifter.id, address=TOVE, given_at=NOW)
    done(store, lambda work: work.link_codes.give(made))
    return made


def taken(code: LinkCode, taker: Lifter, address: Address = PHONE) -> LinkCode:
    return replace(code, taker_id=taker.id, taker=address, taken_at=minutes(1), shares=True)


def test_a_code_is_kept_with_all_that_is_told_of_it(store: Store) -> None:
    tove, other = new_lifter(store), new_lifter(store, PHONE)
    code = given(store, tove)
    before = done(store, lambda work: work.link_codes.get(code.code))

    was_first = done(store, lambda work: work.link_codes.take(taken(code, other)))

    after = done(store, lambda work: work.link_codes.get(code.code))
    assert before == code
    assert was_first
    assert after == taken(code, other)
    assert done(store, lambda work: work.link_codes.get("zzzzzzzzzzzz")) is None


def test_a_code_is_taken_once_and_not_after_its_end(store: Store) -> None:
    tove, other, third = new_lifter(store), new_lifter(store, PHONE), new_lifter(store, KIM)
    code = given(store, tove)

    first = done(store, lambda work: work.link_codes.take(taken(code, other)))
    second = done(store, lambda work: work.link_codes.take(taken(code, third, KIM)))
    newer = given(store, tove, "bbbbbbbbbbbb")
    done(store, lambda work: work.link_codes.end(newer.code))
    third_try = done(store, lambda work: work.link_codes.take(taken(newer, other)))

    assert (first, second, third_try) == (True, False, False)
    kept = done(store, lambda work: work.link_codes.get(code.code))
    assert kept is not None
    # The newer code has put an end to it, and says still who took it.
    assert (kept.taker, kept.ended) == (PHONE, True)


def test_of_two_who_take_a_code_at_once_one_gets_it(shared: str) -> None:
    first, second = open_store(shared), open_store(shared)
    try:
        tove = new_lifter(first)
        takers = [new_lifter(first, Address("matrix", f"@tove{number}:example.org")) for number in range(8)]
        code = given(first, tove)

        def take(number: int) -> bool:
            store = (first, second)[number % 2]
            return done(store, lambda work: work.link_codes.take(taken(code, takers[number])))

        with ThreadPoolExecutor(8) as threads:
            got = list(threads.map(take, range(8)))
    finally:
        first.close()
        second.close()

    assert sorted(got) == [False] * 7 + [True]


def test_codes_and_tries_are_counted_by_time_and_forgotten(store: Store) -> None:
    tove = new_lifter(store)
    given(store, tove)
    done(store, lambda work: work.link_codes.tried(PHONE, at=NOW))
    done(store, lambda work: work.link_codes.tried(PHONE, at=minutes(2)))
    done(store, lambda work: work.link_codes.tried(KIM, at=NOW))

    def counted(work: UnitOfWork) -> tuple[int, int]:
        return len(work.link_codes.given_since(tove.id, minutes(-1))), len(work.link_codes.tried_since(PHONE, NOW))

    assert done(store, counted) == (1, 1)
    assert list(done(store, lambda work: work.link_codes.tried_since(PHONE, minutes(-1)))) == [NOW, minutes(2)]
    done(store, lambda work: work.link_codes.forget_before(minutes(1)))
    assert done(store, counted) == (0, 1)
    assert list(done(store, lambda work: work.link_codes.tried_since(KIM, minutes(-1)))) == []


def test_joined_chats_are_one_lifters_with_what_waits_there_and_nothing_is_left_of_the_other(store: Store) -> None:
    tove, guest = new_lifter(store), new_lifter(store, PHONE)
    session = new_session(store, tove)
    stored(store, tove, bench(session))
    done(store, lambda work: work.questions.ask(asked(guest)))
    handled, waiting = done(
        store, lambda work: work.inbox.receive([arrived("e1", address=PHONE), arrived("e2", address=PHONE)])
    )
    done(store, lambda work: work.inbox.handled(handled.id, at=NOW, lifter_id=guest.id))
    done(store, lambda work: work.outbox.add([answer(handled.id, address=PHONE)], lifter_id=guest.id))

    done(store, lambda work: work.addresses.join(guest.id, tove.id, at=minutes(1)))

    with store.read() as work:
        assert work.lifters.at_address(PHONE) == work.lifters.at_address(TOVE)
        assert list(work.addresses.of(tove.id)) == [TOVE, PHONE]
        assert work.lifters.by_id(guest.id) is None
        assert work.questions.get("q1") is None
        assert len(work.sets.between(tove.id, TODAY, TODAY)) == 1
        # What was written there and not handled yet is handled as theirs, and what waits to be sent is sent.
        assert work.inbox.next_for(PHONE) == waiting
        assert [each.address for each in work.outbox.waiting("matrix", limit=9)] == [PHONE]
    # All of it goes with them.
    done(store, lambda work: work.lifters.erase(tove.id))
    with store.read() as work:
        assert work.lifters.at_address(PHONE) is None
        assert list(work.outbox.waiting("matrix", limit=9)) == []
        assert [work.inbox.by_key("matrix", key).text for key in ("e1", "e2")] == [None, None]  # type: ignore[union-attr]


@pytest.mark.parametrize("left", [TOVE, PHONE], ids=["the first", "the added"])
def test_a_parted_chat_is_nobodys_and_the_log_goes_on_with_the_other(store: Store, left: Address) -> None:
    tove, guest = new_lifter(store), new_lifter(store, PHONE)
    done(store, lambda work: work.addresses.join(guest.id, tove.id, at=minutes(1)))
    [stays] = {TOVE, PHONE} - {left}

    done(store, lambda work: work.addresses.part(left))

    with store.read() as work:
        assert work.lifters.at_address(left) is None
        assert list(work.addresses.of(tove.id)) == [stays]
    # Whoever joins later comes behind it.
    new_guest = new_lifter(store, Address("a", "a"))
    done(store, lambda work: work.addresses.join(new_guest.id, tove.id, at=minutes(2)))
    with store.read() as work:
        assert list(work.addresses.of(tove.id)) == [stays, Address("a", "a")]


def test_a_code_goes_with_whoever_gave_it_and_whoever_took_it(store: Store) -> None:
    tove, other = new_lifter(store), new_lifter(store, PHONE)
    code = given(store, tove)
    done(store, lambda work: work.link_codes.take(taken(code, other)))

    done(store, lambda work: work.lifters.erase(other.id))

    assert done(store, lambda work: work.link_codes.get(code.code)) is None
    again = given(store, tove)
    done(store, lambda work: work.lifters.erase(tove.id))
    assert done(store, lambda work: work.link_codes.get(again.code)) is None


def test_two_lifters_who_say_yes_to_each_other_at_once_do_not_wait_for_ever(shared: str) -> None:
    first, second = open_store(shared), open_store(shared)
    try:
        tove, other = new_lifter(first), new_lifter(first, PHONE)

        def both(store: Store, mine: Address, theirs: int) -> bool:
            def locked(work: UnitOfWork) -> bool:
                return work.lifters.at_address(mine) is not None and work.lifters.by_id(theirs) is not None

            return done(store, locked)

        with ThreadPoolExecutor(2) as threads:
            one = [threads.submit(both, first, TOVE, other.id) for _ in range(10)]
            two = [threads.submit(both, second, PHONE, tove.id) for _ in range(10)]
            got = [each.result(timeout=timedelta(minutes=2).total_seconds()) for each in (*one, *two)]
    finally:
        first.close()
        second.close()

    assert got == [True] * 20
