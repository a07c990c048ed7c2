"""The queue of work: live before due, and nothing due behind live work in one commit."""

from core.storage.work_queue import WorkQueue


def test_what_is_due_waits_for_a_commit_of_its_own_where_somebody_waits_for_this_one() -> None:
    queue = WorkQueue()
    due = queue.put(lambda _unit: "morning", live=False)
    live = queue.put(lambda _unit: "answer", live=True)

    first = queue.get_at_once(live=True)
    behind = queue.get_at_once(live=True)
    alone = queue.get_at_once(live=False)

    assert first is not None
    assert first.live
    assert behind is None
    assert alone is not None
    assert not alone.live
    assert not due.done()
    assert not live.done()


def test_the_end_is_left_for_the_thread_that_waits_for_work() -> None:
    queue = WorkQueue()
    queue.close(threads=1)

    assert queue.get_at_once(live=False) is None
    assert queue.get() is None
