"""Terminal: a chat in one's own terminal, or line by line through a pipe."""

import json
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from threading import Event, Lock, Thread
from typing import TYPE_CHECKING, TextIO

from bot.connectors.lines import completions, numbered_keys, shown
from bot.delivery.firing import Firing
from bot.dispatch import Clock, Dispatch
from bot.loading import loading
from bot.messages import Arrived
from bot.rendering.chart_words import saved
from bot.rendering.charts import drawn
from bot.rows import Answer, stored_message
from core.application.ports import Hint, StoreUnavailable, UnitOfWork
from core.domain.check_in_replies import Chart
from core.domain.profile import Address

if TYPE_CHECKING:
    from prompt_toolkit import PromptSession

CONNECTOR = "terminal"
"""Name of this connector in addresses."""

LOOK_S = 0.25
"""Between two looks at what is due: a rest is over at most this much late. [s]"""

MOST_LETTERS = 100
"""Messages to terminals that are looked through for those to this one. [messages]"""

LEAVE = frozenset({"exit", "quit", "bye"})
"""Words that leave the chat; what is logged stays."""


class Terminal:
    """The chat of one lifter on a terminal or a pipe.

    Args:
        dispatch: The way of a message.
        name: The lifter.
        clock: The time; aware.
        run: A word that no other run of the program has: it makes this run's event keys.
        as_json: One JSON object an answer.
        out: Where answers go.
        pictures: Folder that pictures are put into; None for none, where the words before them must do.

    """

    def __init__(
        self,
        dispatch: Dispatch,
        *,
        name: str,
        clock: Clock,
        run: str,
        as_json: bool,
        out: TextIO,
        pictures: Path | None = None,
    ) -> None:
        self.pictures = pictures
        self.dispatch = dispatch
        self.name = name
        self.address = Address(CONNECTOR, name)
        self.clock = clock
        self.as_json = as_json
        self.out = out
        self.keys: Iterator[str] = numbered_keys(run)
        self.firing = Firing(dispatch)
        self.printing = Lock()

    def say(self, text: str) -> None:
        """Take one message and print its answers."""
        key = next(self.keys)
        now = self.clock()
        event = Arrived(address=self.address, event_key=key, sent_at=now, text=text, message_key=key)
        answers = self.dispatch.take(event, name=self.name)
        with self.printing:
            self.print(answers, said=text)

    def say_due(self, out: TextIO | None = None) -> None:
        """Print what came by the clock."""
        with self.printing:
            self.print(self.firing.fire_for(self.address, self.clock()), said=None, out=out)
            self.print(self._letters(), said=None, out=out)

    def _letters(self) -> list[Answer]:
        """What waits for this chat and answers nothing that was said in it, such as a question of another chat."""
        now = self.clock()

        def waiting(work: UnitOfWork) -> list[Answer]:
            return [
                Answer(each.id, stored_message(each), each.created_at)
                for each in work.outbox.waiting(CONNECTOR, limit=MOST_LETTERS)
                if each.address == self.address and each.message_id is None
                if each.expires_at is None or now < each.expires_at
            ]

        return self.dispatch.store.submit(waiting).result()

    def print(self, answers: Iterable[Answer], *, said: str | None, out: TextIO | None = None) -> None:
        """Print answers and mark them as sent."""
        done = list(answers)
        out = out or self.out
        if not done:
            return
        self.dispatch.observer("before sending")
        if self.as_json:
            for each in done:
                if each.message.chart is not None:
                    continue
                out.write(
                    json.dumps(answer_object(each, at=self.clock(), said=said, due=said is None), ensure_ascii=False)
                    + "\n"
                )
        else:
            for each in done:
                line = shown(each.message) if each.message.chart is None else self._picture(each.message.chart)
                if line is not None:
                    out.write(line + "\n")
        out.flush()
        self.dispatch.observer("after sending")
        self.dispatch.sent(done)

    def _picture(self, chart: Chart) -> str | None:
        """Draw a picture into its folder; the line that tells where, None where there is none."""
        if self.pictures is None:
            return None
        # Drawn while its lifter waits for it, and nobody else does.
        where = self.pictures / f"{self.clock():%Y-%m-%d-%H%M%S}.png"
        try:
            self.pictures.mkdir(parents=True, exist_ok=True, mode=0o700)
            where.touch(mode=0o600)
            where.write_bytes(drawn(chart))
        except OSError:
            return None
        return saved(str(where))

    def lines(self, source: Iterable[str], *, step: Callable[[], None]) -> None:
        """Read one message a line until the source ends."""
        for line in source:
            self.say_due()
            text = line.rstrip("\r\n")
            if text.strip():
                self.say(text)
            step()
        self.say_due()

    def prompt(self, history: Path) -> None:
        """Talk at a prompt with line editing, history and completion, until the lifter leaves."""
        # A fifth of the start, which a pipe and the other commands do without.
        with loading():
            from prompt_toolkit import PromptSession
            from prompt_toolkit.auto_suggest import AutoSuggestFromHistory
            from prompt_toolkit.completion import WordCompleter
            from prompt_toolkit.history import FileHistory
            from prompt_toolkit.patch_stdout import patch_stdout

        history.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        history.touch(mode=0o600)
        session: PromptSession[str] = PromptSession(
            history=FileHistory(str(history)),
            auto_suggest=AutoSuggestFromHistory(),
            completer=WordCompleter(completions, ignore_case=True, sentence=True),
            complete_while_typing=False,
        )
        self.out.write("text a set, `help`, or `quit`\n")
        left = Event()
        with patch_stdout(raw=True):
            clock = Thread(target=self._tell_due, args=(left,), name="terminal-clock", daemon=True)
            clock.start()
            try:
                self._talk(session)
            finally:
                left.set()
                clock.join()

    def _tell_due(self, left: Event) -> None:
        """Print what comes by the clock until the lifter leaves."""
        changed = Event()
        changed.set()
        self.dispatch.store.watch(lambda hint: changed.set() if hint is Hint.DUE else None)
        coming: datetime | None = None
        while not left.wait(LOOK_S):
            # The next message says so if the store is away; what is due waits.
            with suppress(StoreUnavailable):
                if changed.is_set():
                    changed.clear()
                    coming = self.firing.next_for(self.address)
                if coming is not None and coming <= self.clock():
                    # While a prompt waits, the standard output is one that draws above it.
                    self.say_due(sys.stdout)
                    changed.set()

    def _talk(self, session: "PromptSession[str]") -> None:
        while True:
            try:
                text = session.prompt(f"{self.name}> ")
            except KeyboardInterrupt:
                continue
            except EOFError:
                break
            if text.strip().lower() in LEAVE:
                break
            if text.strip():
                self.say(text)
                with self.printing:
                    # Another chat may have asked something meanwhile.
                    self.print(self._letters(), said=None)


def answer_object(answer: Answer, *, at: datetime, said: str | None, due: bool = False) -> dict[str, object]:
    """One answer as the JSON object that `chat --json` and `replay --json` print."""
    message = answer.message
    return {
        "at": at.isoformat(),
        "in": said,
        "due": due,
        "texts": [message.text],
        "choices": [{"label": each.label, "send": each.send} for each in message.choices],
        "data": json.loads(message.data),
    }


def is_terminal() -> bool:
    """Whether somebody types at a terminal."""
    return sys.stdin.isatty()
