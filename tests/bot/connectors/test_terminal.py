"""Terminal: pictures are put into a folder at a prompt, and left out on a pipe, where the words before them must do."""

from io import StringIO
from pathlib import Path

import pytest

from bot.connectors.terminal import Terminal
from bot.dispatch import Dispatch
from core.storage.unit_of_work import open_store
from tests.conversations import dispatch_on
from tests.core.storage.rows import NOW


@pytest.fixture
def words() -> StringIO:
    return StringIO()


def terminal(dispatch: Dispatch, out: StringIO, pictures: Path | None) -> Terminal:
    made = Terminal(dispatch, name="tove", clock=lambda: NOW, run="run", as_json=False, out=out, pictures=pictures)
    made.say("bench 80x5 rir2")
    out.truncate(0)
    return made


def test_at_a_prompt_one_line_tells_where_the_picture_is(tmp_path: Path, words: StringIO) -> None:
    store = open_store("sqlite://")
    chat = terminal(dispatch_on(store, lambda: NOW), words, tmp_path / "pictures")

    chat.say("chart week")
    store.close()

    [picture] = (tmp_path / "pictures").iterdir()
    assert picture.read_bytes().startswith(b"\x89PNG")
    assert words.getvalue().splitlines()[-1] == f"picture: {picture}"
    assert picture.stat().st_mode & 0o077 == 0


def test_on_a_pipe_the_words_say_the_same(words: StringIO) -> None:
    store = open_store("sqlite://")
    chat = terminal(dispatch_on(store, lambda: NOW), words, None)

    chat.say("chart week")
    waiting = store.submit(lambda work: work.outbox.waiting("terminal", limit=9)).result()
    store.close()

    assert "picture" not in words.getvalue()
    assert "chest" in words.getvalue()
    assert waiting == []


def test_a_folder_that_cannot_be_written_costs_only_the_picture(tmp_path: Path, words: StringIO) -> None:
    store = open_store("sqlite://")
    (tmp_path / "taken").write_text("a file", encoding="utf-8")
    chat = terminal(dispatch_on(store, lambda: NOW), words, tmp_path / "taken")

    chat.say("chart week")
    store.close()

    assert "chest" in words.getvalue()
    assert "picture" not in words.getvalue()
