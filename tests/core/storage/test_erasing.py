"""Other people's data: what erasing leaves, in every table and in the file itself."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import sqlalchemy as sa

from core.application.link_codes import LinkCode
from core.application.ports import Store, UnitOfWork
from core.application.rows import (
    Checkpoint,
    MessageState,
    SessionEstimate,
)
from core.domain.advice import Action, Advice, GivenAdvice, Rule
from core.domain.checkins import CheckIn, Item
from core.domain.exercises import Equipment, Exercise, Muscle, Pattern
from core.domain.profile import Address, Consent, Lifter
from core.storage.unit_of_work import open_store
from tests.core.storage.rows import (
    NOW,
    TODAY,
    answer,
    arrived,
    asked,
    bench,
    done,
    due,
    minutes,
    new_lifter,
    new_session,
)

KEPT = Advice(muscle=Muscle.CHEST, rule=Rule.TOO_EARLY, action=Action.KEEP, change=0, sets=8, trace=())

MARK = "zqx"
"""Planted in every text of the lifter who is erased, and in nobody else's."""

MARKED = Address("terminal", f"{MARK}-chat")

OTHER = Address("terminal", "kim")

NUMBER = 77_001
"""The erased lifter's number: like no other number in the tables."""

DAY = timedelta(days=1)


def test_a_forgotten_lifter_is_in_no_table(shared: str) -> None:
    store = open_store(shared)
    try:
        _everything_of(store, OTHER, "plain")
        _number_next_lifter(shared, NUMBER)
        theirs = _everything_of(store, MARKED, MARK)
        before = _rows(shared)
        planted = {table for table, row in before if _tells_of_them(row)}

        done(store, lambda work: work.lifters.erase(NUMBER))

        after = _rows(shared)
    finally:
        store.close()
    assert theirs.id == NUMBER
    # Every table had something of theirs, else this test proves nothing of it.
    assert planted == {table for table, _ in before if table != "alembic_version"}
    assert [(table, row) for table, row in after if _tells_of_them(row)] == []
    # Nothing of others went, and of theirs only the keys in the inbox stayed.
    assert [row for row in after if row in before] == [row for row in before if not _tells_of_them(row[1])]
    assert [table for table, _ in after].count("messages") == [table for table, _ in before].count("messages")


def test_a_forgotten_lifter_is_not_in_the_files_either(tmp_path: Path) -> None:
    path = tmp_path / "rackside.db"
    store = open_store(f"sqlite:///{path}")
    lifter = _everything_of(store, MARKED, MARK)
    # They are in the files, or the search below would find nothing anyway.
    there = any(MARK.encode() in file.read_bytes() for file in tmp_path.iterdir())

    done(store, lambda work: work.lifters.erase(lifter.id))
    while_open = [file.name for file in tmp_path.iterdir() if MARK.encode() in file.read_bytes()]
    store.close()

    assert there
    assert while_open == []
    assert [file.name for file in tmp_path.iterdir() if MARK.encode() in file.read_bytes()] == []


def test_an_event_of_a_forgotten_lifter_is_known_when_it_comes_again(store: Store) -> None:
    lifter = new_lifter(store)
    [handled, waiting] = done(store, lambda work: work.inbox.receive([arrived("e1"), arrived("e2")]))
    done(store, lambda work: work.inbox.handled(handled.id, at=NOW, lifter_id=lifter.id))

    done(store, lambda work: work.lifters.erase(lifter.id))
    again = done(store, lambda work: work.inbox.receive([arrived("e1"), arrived("e2"), arrived("e3")]))

    assert [each.event_key for each in again] == ["e3"]
    stripped = done(store, lambda work: work.inbox.by_key("terminal", "e2"))
    assert stripped is not None
    assert (stripped.id, stripped.address.chat, stripped.message_key, stripped.text) == (waiting.id, "", "", None)
    assert stripped.state is MessageState.HANDLED
    assert "e2" not in stripped.event_key


def test_the_goodbye_is_the_last_row_and_goes_when_it_is_sent(store: Store) -> None:
    lifter = new_lifter(store)

    def forget(work: UnitOfWork) -> int:
        work.outbox.add([answer(1), due("tomorrow's session")], lifter_id=lifter.id)
        work.lifters.erase(lifter.id)
        [goodbye] = work.outbox.add([answer(1, text="goodbye")], lifter_id=None)
        return goodbye.id

    goodbye_id = done(store, forget)
    waiting = done(store, lambda work: work.outbox.waiting("terminal", limit=9))
    done(store, lambda work: work.outbox.sent(goodbye_id, at=NOW))

    assert [each.text for each in waiting] == ["goodbye"]
    assert list(done(store, lambda work: work.outbox.answers_to(1))) == []


def test_what_is_nobodys_at_their_address_goes_with_them(store: Store) -> None:
    lifter = new_lifter(store)
    done(store, lambda work: work.outbox.add([answer(1, text="something went wrong here")], lifter_id=None))

    done(store, lambda work: work.lifters.erase(lifter.id))

    assert list(done(store, lambda work: work.outbox.waiting("terminal", limit=9))) == []


def test_raw_texts_are_erased_once_handled_long_enough_ago(store: Store) -> None:
    lifter = new_lifter(store)
    old, new, waiting = done(store, lambda work: work.inbox.receive([arrived("e1"), arrived("e2"), arrived("e3")]))

    def settle(work: UnitOfWork) -> None:
        work.inbox.handled(old.id, at=NOW)
        work.inbox.handled(new.id, at=NOW + DAY)
        work.questions.ask(asked(lifter, question_id="old"))
        work.questions.ask(asked(lifter, question_id="new", at=NOW + DAY))
        rows = [answer(old.id), answer(old.id, text="not sent yet"), answer(new.id, at=NOW + DAY)]
        sent, _, sent_later = work.outbox.add(rows, lifter_id=lifter.id)
        work.outbox.sent(sent.id, at=NOW)
        work.outbox.sent(sent_later.id, at=NOW + DAY)

    done(store, settle)

    erased = done(store, lambda work: work.inbox.erase_texts_before(NOW + DAY))

    with store.read() as work:
        texts = [work.inbox.by_key("terminal", key) for key in ("e1", "e2", "e3")]
        assert [each and each.text for each in texts] == [None, new.text, waiting.text]
        # What quotes a text goes with it; what still has to be sent does not.
        assert [each.text for each in work.outbox.answers_to(old.id)] == ["not sent yet"]
        assert len(work.outbox.answers_to(new.id)) == 1
        assert (work.questions.get("old"), work.questions.get("new") is not None) == (None, True)
    assert erased == 1
    assert done(store, lambda work: work.inbox.erase_texts_before(NOW + DAY)) == 0


def test_the_texts_of_one_lifter_are_erased_and_those_of_others_stay(store: Store) -> None:
    tove, kim = new_lifter(store), new_lifter(store, OTHER, name="Kim")
    told = done(store, lambda work: work.inbox.receive([arrived("e1"), arrived("e2", address=OTHER), arrived("e3")]))
    mine, others, waiting = told

    def settle(work: UnitOfWork) -> None:
        work.inbox.handled(mine.id, at=NOW, lifter_id=tove.id)
        work.inbox.handled(others.id, at=NOW, lifter_id=kim.id)
        for row, lifter in ((mine, tove), (others, kim)):
            [sent] = work.outbox.add([answer(row.id)], lifter_id=lifter.id)
            work.outbox.sent(sent.id, at=NOW)
            work.questions.ask(asked(lifter, question_id=f"of {lifter.name}"))
            work.questions.answer(f"of {lifter.name}", 0)
        work.questions.ask(asked(tove, question_id="open"))

    done(store, settle)

    done(store, lambda work: work.inbox.erase_texts_of(tove.id))

    assert _texts(store)[:3] == [None, others.text, waiting.text]
    with store.read() as work:
        assert [len(work.outbox.answers_to(each.id)) for each in (mine, others)] == [0, 1]
        asked_still = [work.questions.get(each) is not None for each in ("of Tove", "of Kim", "open")]
    assert asked_still == [False, True, True]


def test_the_text_of_one_message_is_erased_with_its_edits_and_answers_in_its_chat_only(store: Store) -> None:
    lifter = new_lifter(store)
    message = arrived("e1")
    edit = replace(arrived("e2", text="bench 85x5"), message_key=message.message_key)
    elsewhere = replace(arrived("e3", address=OTHER), message_key=message.message_key)
    another = arrived("e4")
    one, _, three, _ = done(store, lambda work: work.inbox.receive([message, edit, elsewhere, another]))

    def send(work: UnitOfWork) -> None:
        for each in work.outbox.add([answer(one.id), answer(three.id)], lifter_id=lifter.id):
            work.outbox.sent(each.id, at=NOW)

    done(store, send)

    done(store, lambda work: work.inbox.erase_text("terminal", message.message_key, chat="tove"))
    in_chat = _texts(store)
    answers = [len(done(store, lambda work: work.outbox.answers_to(one.id)))]
    answers.append(len(done(store, lambda work: work.outbox.answers_to(three.id))))
    done(store, lambda work: work.inbox.erase_text("terminal", message.message_key))

    assert in_chat == [None, None, elsewhere.text, another.text]
    assert answers == [0, 1]
    assert _texts(store) == [None, None, None, another.text]
    assert list(done(store, lambda work: work.outbox.answers_to(three.id))) == []


def test_keys_are_dropped_once_their_text_is_gone_and_they_are_old(store: Store) -> None:
    keys = ["text", "old", "new", "waiting"]
    rows = [replace(arrived(key), text="80x5" if key == "text" else None) for key in keys]
    text, old, new, _ = done(store, lambda work: work.inbox.receive(rows))

    def settle(work: UnitOfWork) -> None:
        work.inbox.handled(text.id, at=NOW)
        work.inbox.set_aside(old.id, at=NOW, reference="7f3a")
        work.inbox.handled(new.id, at=NOW + DAY)

    done(store, settle)

    dropped = done(store, lambda work: work.inbox.forget_keys_before(NOW + DAY))

    with store.read() as work:
        assert [key for key in keys if work.inbox.by_key("terminal", key)] == ["text", "new", "waiting"]
    assert dropped == 1


def test_a_key_of_a_forgotten_lifter_is_dropped_in_its_turn(store: Store) -> None:
    lifter = new_lifter(store)
    done(store, lambda work: work.inbox.receive([arrived("e1")]))
    done(store, lambda work: work.lifters.erase(lifter.id))

    dropped = done(store, lambda work: work.inbox.forget_keys_before(NOW + DAY))

    assert dropped == 1
    assert len(done(store, lambda work: work.inbox.receive([arrived("e1")]))) == 1


def _everything_of(store: Store, address: Address, mark: str) -> Lifter:
    """Something in every table, each text of it marked."""
    lifter = new_lifter(store, address, name=f"{mark} name")
    session = new_session(store, lifter)

    def fill(work: UnitOfWork) -> None:
        kept = replace(
            lifter, habits={f"{mark} key": mark}, consent=Consent(given=True, at=NOW, version=mark), zone="UTC"
        )
        work.lifters.save(kept)
        work.sessions.save(replace(session, exercise=f"{mark} lift"))
        sets = [
            replace(bench(session, key=f"{mark}-{place}", place=place), exercise=f"{mark} lift") for place in range(3)
        ]
        added = work.sets.add(lifter.id, sets, days=[TODAY] * 3, change=1)
        work.sets.take_back(lifter.id, [added[0]], change=2)
        work.exercises.add(
            lifter.id,
            Exercise(
                name=f"{mark} lift",
                equipment=Equipment.SLED,
                pattern=Pattern.WHOLE_BODY,
                direct=frozenset(),
                multi_joint=True,
                lower_body=True,
            ),
        )
        work.estimates.save_state(lifter.id, f"{mark} lift", mark)
        work.estimates.checkpoint(lifter.id, f"{mark} lift", Checkpoint(session_id=session.id, at=NOW, state=mark))
        work.estimates.note(
            lifter.id,
            f"{mark} lift",
            SessionEstimate(
                session_id=session.id, exercise=f"{mark} lift", at=NOW, estimate_kg=98, low_kg=None, high_kg=None
            ),
        )
        work.records.save(lifter.id, f"{mark} lift", mark)
        work.link_codes.give(LinkCode(code=f"{mark}-code", lifter_id=lifter.id, address=address, given_at=NOW))
        work.check_ins.save(lifter.id, CheckIn(week=TODAY, answers={Item.SLEEP: 4}))
        work.advice.save(lifter.id, [GivenAdvice(week=TODAY, given_at=NOW, advice=KEPT, from_sets=8)])
        question = asked(lifter, question_id=f"{mark}-q", key=f"{mark}-m")
        work.questions.ask(replace(question, sends=(mark, mark), labels=(mark, mark)))
        rows = [
            replace(
                arrived(f"{mark}-{number}", address=address, text=f"{mark} 80x5"),
                message_key=f"{mark}-m",
                question=f"{mark}-q",
            )
            for number in range(4)
        ]
        claimed, aside, moved, _ = work.inbox.receive(rows)
        work.inbox.handled(claimed.id, at=minutes(1), lifter_id=lifter.id)
        work.inbox.set_aside(aside.id, at=minutes(1), reference=mark)
        work.inbox.handled(moved.id, at=minutes(1), lifter_id=lifter.id)
        out = replace(answer(claimed.id, address=address, text=mark), choices=((mark, mark),), data=mark)
        work.outbox.add([replace(out, question=f"{mark}-q"), replace(out, scheduled=True)], lifter_id=lifter.id)
        work.outbox.add([out], lifter_id=None)

    done(store, fill)
    return lifter


def _rows(url: str) -> list[tuple[str, tuple[object, ...]]]:
    """Every row of every table that the database itself knows of, in one order."""
    with _looked_into(url) as connection:
        tables = sorted(sa.inspect(connection).get_table_names())
        return [
            (table, tuple(row))
            for table in tables
            for row in sorted(connection.execute(sa.text(f"SELECT * FROM {table}")), key=str)  # noqa: S608 - names of tables
        ]


def _tells_of_them(row: tuple[object, ...]) -> bool:
    return any(value == NUMBER or MARK in str(value) for value in row)


def _texts(store: Store) -> list[str | None]:
    with store.read() as work:
        rows = [work.inbox.by_key("terminal", key) for key in ("e1", "e2", "e3", "e4")]
        return [row.text if row is not None else "missing" for row in rows]


def _number_next_lifter(url: str, number: int) -> None:
    with _looked_into(url) as connection:
        if connection.dialect.name == "sqlite":
            connection.execute(
                sa.text("UPDATE sqlite_sequence SET seq = :seq WHERE name = 'lifters'"), {"seq": number - 1}
            )
        else:
            connection.execute(sa.text(f"ALTER TABLE lifters ALTER COLUMN id RESTART WITH {number}"))
        connection.commit()


@contextmanager
def _looked_into(url: str) -> Iterator[sa.Connection]:
    engine = sa.create_engine(url.replace("postgresql://", "postgresql+psycopg://"))
    try:
        with engine.connect() as connection:
            yield connection
    finally:
        engine.dispose()
